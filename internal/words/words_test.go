package words

import (
	"strings"
	"testing"
)

// TestList: names come once, safe for a terminal, and the rest as a number.
func TestList(t *testing.T) {
	for _, c := range []struct {
		name  string
		in    []string
		most  int
		plain string
	}{
		{"none", nil, 3, ""},
		{"one", []string{"a"}, 3, "a"},
		{"three", []string{"a", "b", "c"}, 3, "a, b, c"},
		{"more", []string{"a", "b", "c", "d", "e"}, 3, "a, b, c, and 2 more"},
		{"a layer for each page", []string{"a", "b", "a", "b", "b"}, 3, "a (2 layers), b (3 layers)"},
		{"repeats are no more names", []string{"a", "a", "b", "c", "c"}, 3, "a (2 layers), b, c (2 layers)"},
		{"what a terminal would take for an order", []string{"\x1b[2J", ""}, 3, "<U+001B>[2J, (no name)"},
	} {
		if got := List(c.in, c.most); got != c.plain {
			t.Errorf("%s: %q, not %q", c.name, got, c.plain)
		}
	}
	if got, want := Quoted([]string{"a", "b", "a"}), `"a" (2 layers), "b"`; got != want {
		t.Errorf("in quotes: %q, not %q", got, want)
	}
}

// TestPrintable: names for people do nothing to a terminal and end.
func TestPrintable(t *testing.T) {
	for _, c := range []struct{ name, want string }{
		{"", "(no name)"},
		{"Größe 38", "Größe 38"},
		{"a\x1b[31mb\u202ec\n", "a<U+001B>[31mb<U+202E>c<U+000A>"},
		{strings.Repeat("ä", 250), strings.Repeat("ä", 250)},
		{strings.Repeat("ä", 100_000), strings.Repeat("ä", 250) + "…"},
	} {
		if got := Printable(c.name); got != c.want {
			t.Errorf("%.40q: %.600q", c.name, got)
		}
	}
}
