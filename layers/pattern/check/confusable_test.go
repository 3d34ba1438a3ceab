package check

import (
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// The pairs follow from the lines of confusables.txt; the examples "paypal" and
// "scope" are those of UTS #39, section 4.
func TestSkeleton(t *testing.T) {
	alike := [][2]string{
		{"paypal", "p\u0430ypal"},
		{"scope", "\u0455\u0441\u043E\u0440\u0435"},
		{"Size 14", "Siz\u0435 14"},
		{"Size 10", "Size 1O"},
		{"Size 1", "Size l"},
		{"m", "rn"},
		{"Size 8", "Si\u200Bze 8"},
	}
	for _, p := range alike {
		if skeleton(p[0]) != skeleton(p[1]) {
			t.Errorf("%q and %q do not look alike: %q, %q", p[0], p[1], skeleton(p[0]), skeleton(p[1]))
		}
	}
	apart := [][2]string{{"Size 8", "Size 6"}, {"S", "M"}, {"10", "12"}, {"a", "b"}}
	for _, p := range apart {
		if skeleton(p[0]) == skeleton(p[1]) {
			t.Errorf("%q and %q look alike", p[0], p[1])
		}
	}
}

func TestPlainLetters(t *testing.T) {
	cases := []struct{ text, want, replaced, why string }{
		{"Siz\u0435 14", "Size 14", "\u0435", "a Cyrillic letter in a Latin word"},
		{"\u0405ize 14", "Size 14", "\u0405", "a capital"},
		{"Size 14", "Size 14", "", "nothing to replace"},
		{"Größe 38", "Größe 38", "", "Latin letters with marks are no others"},
		{"Размер 44", "Размер 44", "", "a script of its own"},
		{"Размер M", "Размер M", "", "letters that look like none"},
		{"\u0430\u0435", "\u0430\u0435", "", "no Latin letter beside"},
		{"Size 8 \u2605", "Size 8 \u2605", "", "a sign is no letter"},
	}
	for _, c := range cases {
		plain, replaced := plainLetters(c.text)
		if plain != c.want || string(replaced) != c.replaced {
			t.Errorf("%q: %q, replaced %q, want %q, %q: %s", c.text, plain, string(replaced), c.want, c.replaced, c.why)
		}
	}
}

// The file says how many lines it has.
func TestDataIsWhole(t *testing.T) {
	if n := len(prototypes()); n != 6311 {
		t.Errorf("%d mappings; confusables.txt 15.0.0 ends with \"total: 6311\"", n)
	}
	if !strings.Contains(confusables, "Version: 15.0.0") {
		t.Error("the data does not name version 15.0.0")
	}
}

// Texts that are canonically the same have one skeleton, and what plainLetters makes of
// a text looks like it.
func FuzzSkeleton(f *testing.F) {
	f.Add("Siz\u0435 14")
	f.Add("Größe 38 ½")
	f.Fuzz(func(t *testing.T, s string) {
		if !utf8.ValidString(s) {
			return
		}
		want := skeleton(s)
		for _, other := range []string{norm.NFC.String(s), norm.NFD.String(s), "\u200B" + s} {
			if got := skeleton(other); got != want {
				t.Errorf("%q: %q, but %q of %q", s, want, got, other)
			}
		}
		if plain, _ := plainLetters(s); plain != s && skeleton(plain) != want {
			t.Errorf("%q does not look like %q", plain, s)
		}
	})
}
