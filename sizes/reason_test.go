package sizes

import "testing"

func TestReasonsHaveSentences(t *testing.T) {
	seen := map[string]reasonKind{}
	for kind := reasonTooLong; kind <= reasonUnknownWord; kind++ {
		text := reason{
			kind: kind, text: "a", other: "b", sizes: []string{"8", "10"},
			parts: []reason{{kind: reasonSays, text: "c", sizes: []string{"8"}}, {kind: reasonSays, text: "d", sizes: []string{"10"}}},
		}.String()
		if other, ok := seen[text]; ok || text == "" {
			t.Errorf("reason %d says %q, as %d does", kind, text, other)
		}
		seen[text] = kind
	}
}
