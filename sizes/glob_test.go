package sizes

import (
	"path"
	"strings"
	"testing"
)

func TestPatternMatches(t *testing.T) {
	cases := []struct {
		glob, name string
		want       bool
		why        string
	}{
		{"Text*", "Text", true, "a star stands for nothing"},
		{"Text*", "TEXT and arrows", true, "a star stands for much, case is folded"},
		{"Text*", "My text", false, "a glob stands for the whole name"},
		{"*text*", "My text here", true, "stars on both sides"},
		{"Size ?", "Size 8", true, "one character"},
		{"Size ?", "Size 10", false, "two characters"},
		{"Size ?", "Size 08", true, "the padding of the name does not count"},
		{"Size 0?", "Size 08", true, "the padding of the glob stands in the name"},
		{"Size 0?", "Size 8", false, "a zero before a wildcard is a part of the number"},
		{"Size 08 *", "Size 8 front", true, "a whole number in a glob is padded or not"},
		{"Size 08*", "Size 80", false, "a number that a wildcard goes on is not unpadded"},
		{"Layer 0*", "Layer 10", false, "nor is a zero before a star"},
		{"Layer 0*", "Layer 01", true, "which finds what it shows"},
		{"[a-c]ut", "But", true, "a range, case folded"},
		{"[!a-c]ut", "Cut", false, "a negated range"},
		{"[^a-c]ut", "Hut", true, "the other sign for it"},
		{"[]]", "]", true, "a bracket first in a class"},
		{"[a-]", "-", true, "a hyphen last in a class"},
		{`\*`, "*", true, "an escaped star"},
		{`\[8\]`, "[8]", true, "escaped brackets"},
		{"a*b*c", "aXbXbXc", true, "the last star gives way"},
		{"a*b*c", "aXbXbX", false, "no end"},
		{"**", "", true, "stars in a row"},
		{"Ｔｅｘｔ＊", "text 1", true, "full-width forms of letters and sign"},
		{"Größe*", "GRÖSSE 38", true, "full case folding on both sides"},
		{"size  *", "Size 8", true, "white space is folded in the glob"},
	}
	for _, c := range cases {
		t.Run(c.glob+" on "+c.name, func(t *testing.T) {
			p, err := newPattern(c.glob)
			if err != nil {
				t.Fatal(err)
			}
			got := p.exact == fold(c.name) || p.matches(newFolded(c.name))
			if got != c.want {
				t.Errorf("%q on %q: %v, want %v: %s", c.glob, c.name, got, c.want, c.why)
			}
		})
	}
}

func TestNewPatternRefuses(t *testing.T) {
	cases := []struct{ glob, want string }{
		{"Size [8", `"[" is never closed`},
		{"Size [", `"[" is never closed`},
		{"[]", `"[" is never closed`},
		{`Size \`, "the backslash at the end"},
		{"[z-a]", "the range z-a runs backwards"},
	}
	for _, c := range cases {
		if _, err := newPattern(c.glob); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: error %v, want one with %q", c.glob, err, c.want)
		}
	}
}

// TestGlobTimeIsBounded would not end if the glob tried all ways to part the
// name among the stars, which are more than 10^50.
func TestGlobTimeIsBounded(t *testing.T) {
	p, err := newPattern(strings.Repeat("a*", 100) + "b")
	if err != nil {
		t.Fatal(err)
	}
	name := []rune(strings.Repeat("a", maxTextBytes))
	if p.matches(folded{text: string(name), paddedText: string(name), name: name, padded: name}) {
		t.Error("a name without b fits a glob that ends in b")
	}
}

// FuzzGlob holds globs of letters, stars and question marks against
// path.Match, which reads those signs the same way.
func FuzzGlob(f *testing.F) {
	f.Add("a*b?", "axxbc")
	f.Add("***", "")
	f.Add("*a*a*a", "aaaa")
	f.Fuzz(func(t *testing.T, glob, name string) {
		if strings.Trim(glob, "abc*?") != "" || strings.Trim(name, "abc") != "" {
			return
		}
		p, err := newPattern(glob)
		if err != nil {
			t.Fatal(err)
		}
		want, err := path.Match(glob, name)
		if err != nil {
			t.Fatal(err)
		}
		if got := p.exact == name || p.matches(folded{text: name, paddedText: name, name: []rune(name), padded: []rune(name)}); got != want {
			t.Errorf("%q on %q: %v, path.Match says %v", glob, name, got, want)
		}
	})
}
