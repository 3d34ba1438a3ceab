package sizes

import "testing"

func TestKey(t *testing.T) {
	for _, pair := range [][2]string{
		{"Size 08", " size 8 copy 2"}, {"Size\u00a08", "SIZE 8"}, {"Text", "“Text”"}, {"Text", "Text [Converted]"}, {"10–14", "10-14"},
	} {
		if Key(pair[0]) != Key(pair[1]) {
			t.Errorf("%q and %q: %q, %q", pair[0], pair[1], Key(pair[0]), Key(pair[1]))
		}
	}
	for _, pair := range [][2]string{{"Size 8", "Size 80"}, {"Text", "Texts"}, {"0", "00"}, {"8 front", "8"}} {
		if Key(pair[0]) == Key(pair[1]) {
			t.Errorf("%q and %q have one key, %q", pair[0], pair[1], Key(pair[0]))
		}
	}
}
