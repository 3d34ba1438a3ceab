package words

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"
)

// hostile are texts that do harm where they are shown as they are: each to a
// terminal, to what stands beside it, or to a page.
var hostile = []string{
	"", "plain", "\x1b[2J\x1b]0;title\x07", "a\u009b31mb\u0085c", "right \u202eto left\u202c", "\u2066isolated\u2069\u200f\u061c",
	"two\nlines\r\nand\ta tab\x00", "\u2028\u2029", "\ufeffmark\u200b\u00ad", "\U000e0001\U000e0041tags", "\xff\xfe no UTF-8", "\x7f",
	strings.Repeat("long ", 2000), strings.Repeat("ß", 10_000), "<script>alert(1)</script>&amp;\"'`", "\ue000private",
}

// TestShown: whatever a name holds, what is shown of it is signs and blanks, and
// has an end.
func TestShown(t *testing.T) {
	for _, name := range hostile {
		for how, shown := range map[string]string{"Printable": Printable(name), "Line": Line(name), "Harmless": Harmless(name)} {
			for i, r := range shown {
				if acts(r) && r != '\t' {
					t.Errorf("%s(%.40q) has %U at byte %d", how, name, r, i)
				}
			}
			if !utf8.ValidString(shown) {
				t.Errorf("%s(%.40q) is no UTF-8", how, name)
			}
			if most := map[string]int{"Printable": maxName + 16, "Line": maxLine + 16, "Harmless": 1 << 20}[how]; len(shown) > most {
				t.Errorf("%s(%.40q) has %d bytes", how, name, len(shown))
			}
		}
		if a, b := utf8.RuneCountInString(Harmless(name)), utf8.RuneCountInString(strings.ToValidUTF8(name, "\ufffd")); a != b {
			t.Errorf("Harmless(%.40q) has %d characters, not %d", name, a, b)
		}
	}
	const in, want = "a\x1b[31mb\u202ec\td\x9b", "a\ufffd[31mb\ufffdc\td\ufffd"
	if got := Harmless(in); got != want {
		t.Errorf("Harmless(%q) = %q, want %q", in, got, want)
	}
}

// TestCuts: what is cut says so, between characters.
func TestCuts(t *testing.T) {
	for _, c := range []struct{ name, got, want string }{
		{"as long as may be", Cut("abc", 3), "abc"},
		{"longer", Cut("abcd", 3), "ab…"},
		{"longer, of more bytes", Cut("ßßßß", 3), "ßß…"},
		{"no middle to take out", Middle("abcdefgh", 8), "abcdefgh"},
		{"the middle", Middle("abcdefghi", 8), "abcdef … hi"},
		{"the middle, between characters", Middle("aßßßßß", 8), "aßß … ß"},
		{"a tab in a line", Line("a\tb\u200b"), "a\tb<U+200B>"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, want %q", c.name, c.got, c.want)
		}
	}
}

// TestEncodeJSON: what stands in JSON is the same value, and nothing in it acts.
func TestEncodeJSON(t *testing.T) {
	for _, name := range hostile {
		value := map[string][]string{name: {name, "x"}}
		var b bytes.Buffer
		if err := EncodeJSON(&b, value); err != nil {
			t.Fatal(err)
		}
		plain, err := json.MarshalIndent(value, "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		var got, want map[string][]string
		if err := json.Unmarshal(b.Bytes(), &got); err != nil {
			t.Errorf("%.40q: %v", name, err)
		}
		if err := json.Unmarshal(plain, &want); err != nil {
			t.Fatal(err)
		}
		for key := range want {
			if len(got) != 1 || len(got[key]) != 2 || got[key][0] != want[key][0] {
				t.Errorf("%.40q becomes %.80q", name, got)
			}
		}
		for i, r := range b.String() {
			if acts(r) && r != '\n' {
				t.Errorf("%.40q: %U at byte %d of the JSON", name, r, i)
			}
		}
	}
	if err := EncodeJSON(&bytes.Buffer{}, func() {}); err == nil {
		t.Error("a function is no value")
	}
}
