package sizes

import (
	"testing"
)

func TestFold(t *testing.T) {
	cases := []struct{ name, in, want string }{
		{"nothing", "", ""},
		{"case", "SIZE Eight", "size eight"},
		{"full case folding: sharp s (Unicode CaseFolding.txt, status F)", "Größe", "grösse"},
		{"composed and decomposed are one", "Gro\u0308sse", "grösse"},
		{"full-width forms (NFKC)", "Ｓｉｚｅ　８", "size 8"},
		{"ligature (NFKC)", "ﬁt", "fit"},
		{"white space", "\t Size \n\u00a0 8 ", "size 8"},
		{"invisible characters", "\ufeffSi\u200bze\u00ad\u2060 8\ufe0f", "size 8"},
		{"controls", "Size\x00 8\x07", "size 8"},
		{"dashes", "a\u2010b\u2011c\u2013d\u2014e\u2212f", "a-b-c-d-e-f"},
		{"slashes", "1\u20442\u2215", "1/2/"},
		{"fraction", "8½", "8 1/2"},
		{"raised digit", "8²", "8 2"},
		{"Arabic-Indic and Devanagari digits", "٣٨ ३८", "38 38"},
		{"padding", "08 010 0010 sz08_cut", "8 10 10 sz8_cut"},
		{"zeros alone", "0 00 000", "0 00 000"},
		{"after a decimal point", "38.05 38.50 08.05", "38.05 38.50 8.05"},
		{"after two dots", "06..08", "6..8"},
		{"not UTF-8", "a\xffb", "a\ufffdb"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := fold(c.in); got != c.want {
				t.Errorf("fold(%q) = %q, want %q", c.in, got, c.want)
			}
		})
	}
}

func FuzzFold(f *testing.F) {
	for _, c := range spellingCases {
		f.Add(c.name)
	}
	f.Fuzz(func(t *testing.T, s string) {
		once := fold(s)
		if twice := fold(once); twice != once {
			t.Errorf("fold(%q) = %q, and again %q", s, once, twice)
		}
	})
}

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
