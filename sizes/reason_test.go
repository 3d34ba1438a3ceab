package sizes

import (
	"encoding"
	"encoding/json"
	"fmt"
	"testing"
)

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

func TestWordsOfKinds(t *testing.T) {
	type text interface {
		encoding.TextMarshaler
		fmt.Stringer
	}
	cases := []struct {
		value text
		back  encoding.TextUnmarshaler
		want  string
	}{
		{KindSize, new(Kind), "size"}, {KindKeep, new(Kind), "keep"}, {KindDrop, new(Kind), "drop"},
		{KindUnknown, new(Kind), "unknown"}, {KindAmbiguous, new(Kind), "ambiguous"},
		{RuleLayers, new(Rule), "layers"}, {RuleDrop, new(Rule), "drop"}, {RuleKeep, new(Rule), "keep"},
		{RuleLabel, new(Rule), "label"}, {RuleNone, new(Rule), "none"},
		{RoleWanted, new(Role), "wanted"}, {RoleBelow, new(Role), "below"}, {RoleAbove, new(Role), "above"},
		{RoleBetween, new(Role), "between"},
		{NoteChartEnd, new(NoteKind), "chart end"}, {NoteMissingNeighbour, new(NoteKind), "missing neighbour"},
		{NoteSharedLayer, new(NoteKind), "shared layer"},
	}
	for _, c := range cases {
		got, err := c.value.MarshalText()
		if err != nil || string(got) != c.want || c.value.String() != c.want {
			t.Errorf("%T: %q and %q with error %v, want %q", c.value, got, c.value, err, c.want)
		}
		if err := c.back.UnmarshalText(got); err != nil {
			t.Errorf("%T: reading %q: %v", c.value, got, err)
		}
		if back := fmt.Sprint(c.back.(fmt.Stringer)); back != c.want {
			t.Errorf("%T: %q read back is %q", c.value, got, back)
		}
		if err := c.back.UnmarshalText([]byte("nonsense")); err == nil {
			t.Errorf("%T: reading nonsense gave no error", c.value)
		}
	}
	if got := Kind(0).String(); got != "invalid(0)" {
		t.Errorf("the zero Kind is %q", got)
	}
	for _, unset := range []any{Kind(0), Rule(0), Role(0), NoteKind(99)} {
		if got, err := json.Marshal(unset); err == nil {
			t.Errorf("%T: what is not valid is written as %s", unset, got)
		}
	}
}
