package pdf

import (
	"testing"
)

func TestText(t *testing.T) {
	tests := []struct{ name, in, want string }{
		{"empty", "", ""},
		{"ASCII", "Size 14", "Size 14"},
		{"UTF-16BE", "\xFE\xFF\x00L\x00\xE9", "Lé"},
		{"UTF-16BE, surrogate pair", "\xFE\xFF\xD8\x3D\xDE\x00", "\U0001F600"},
		{"UTF-16BE, private use", "\xFE\xFF\xE0\x00", "\uE000"},
		{"UTF-16BE, lone surrogates", "\xFE\xFF\xD8\x3D\x00A\xDE\x00", "\uFFFDA\uFFFD"},
		{"UTF-16BE, odd last byte", "\xFE\xFF\x00L\x00", "L"},
		{"UTF-16BE, trailing NULs", "\xFE\xFF\x00L\x001\x00\x00", "L1"},
		{"UTF-16BE, NUL inside stays", "\xFE\xFF\x00L\x00\x00\x001", "L\x001"},
		{"UTF-16BE, language escape (7.9.2.2)", "\xFE\xFF\x00\x1B\x00e\x00n\x00\x1B\x00A", "A"},
		{"UTF-16BE, two escapes", "\xFE\xFF\x00\x1B\x00e\x00n\x00\x1B\x00A\x00\x1B\x00d\x00e\x00\x1B\x00B", "AB"},
		{"UTF-16BE, escape without an end", "\xFE\xFF\x00A\x00\x1B\x00B", "AB"},
		{"UTF-16BE, mark only", "\xFE\xFF", ""},
		{"UTF-16LE", "\xFF\xFEL\x00\xE9\x00", "Lé"},
		{"UTF-8 (ISO 32000-2, 7.9.2.2)", "\xEF\xBB\xBF\xC3\xA9", "é"},
		{"UTF-8, bad byte", "\xEF\xBB\xBFa\xFFb", "a\uFFFDb"},
		{"UTF-8, escape", "\xEF\xBB\xBF\x1Bde\x1BA", "A"},
		{"UTF-8 without a mark is PDFDocEncoding", "\xC3\xA9", "Ã©"},
		{"PDFDocEncoding, trailing NUL", "L1\x00", "L1"},
		{"PDFDocEncoding has no escapes: 033 is a dot accent", "a\x1Bb", "a\u02D9b"},
		{"backslash is plain", `C:\new`, `C:\new`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Text(String(tt.in)); got != tt.want {
				t.Errorf("Text(%q) is %q, want %q", tt.in, got, tt.want)
			}
		})
	}
}

// TestPDFDocEncoding goes through Table D.2 of ISO 32000-1, by the octal codes
// of its column PDF. What the table leaves out is undefined; the other codes
// are those of ASCII and Latin-1.
func TestPDFDocEncoding(t *testing.T) {
	table := map[byte]rune{
		0o030: '˘', 0o031: 'ˇ', 0o032: 'ˆ', 0o033: '˙', 0o034: '˝', 0o035: '˛', 0o036: '˚', 0o037: '˜',
		0o200: '•', 0o201: '†', 0o202: '‡', 0o203: '…', 0o204: '—', 0o205: '–', 0o206: 'ƒ', 0o207: '⁄',
		0o210: '‹', 0o211: '›', 0o212: '−', 0o213: '‰', 0o214: '„', 0o215: '“', 0o216: '”', 0o217: '‘',
		0o220: '’', 0o221: '‚', 0o222: '™', 0o223: 'ﬁ', 0o224: 'ﬂ', 0o225: 'Ł', 0o226: 'Œ', 0o227: 'Š',
		0o230: 'Ÿ', 0o231: 'Ž', 0o232: 'ı', 0o233: 'ł', 0o234: 'œ', 0o235: 'š', 0o236: 'ž', 0o240: '€',
		0o177: '\uFFFD', 0o237: '\uFFFD', 0o255: '\uFFFD',
	}
	for c := range 256 {
		want, listed := table[byte(c)]
		if !listed {
			want = rune(c)
		}
		if got := Text("x" + String([]byte{byte(c)}) + "x"); got != "x"+string(want)+"x" {
			t.Errorf("code %#o is %q, want %q", c, got, want)
		}
	}
}
