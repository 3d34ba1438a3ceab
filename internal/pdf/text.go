package pdf

import (
	"encoding/binary"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Text decodes a text string (7.9.2.2): UTF-16BE, UTF-16LE (not standard, but
// met) or UTF-8 by their byte-order marks, else PDFDocEncoding. Language
// escapes, an odd last byte and trailing NULs are dropped; bad surrogates
// become U+FFFD.
func Text(s String) string {
	switch b := string(s); {
	case strings.HasPrefix(b, "\xFE\xFF"):
		return clean(fromUTF16(b[2:], binary.BigEndian))
	case strings.HasPrefix(b, "\xFF\xFE"):
		return clean(fromUTF16(b[2:], binary.LittleEndian))
	case strings.HasPrefix(b, "\xEF\xBB\xBF"):
		return clean(strings.ToValidUTF8(b[3:], "\uFFFD"))
	default:
		return strings.TrimRight(fromPDFDoc(b), "\x00")
	}
}

// fromUTF16 decodes whole units; a lone surrogate becomes U+FFFD.
func fromUTF16(b string, order binary.ByteOrder) string {
	units := make([]uint16, len(b)/2)
	for i := range units {
		units[i] = order.Uint16([]byte(b[2*i : 2*i+2]))
	}
	return string(utf16.Decode(units))
}

// clean drops language escapes, which run from one escape character to the
// next (7.9.2.2), and trailing NULs. An escape character alone is dropped.
func clean(s string) string {
	var out strings.Builder
	for {
		before, after, found := strings.Cut(s, "\x1B")
		out.WriteString(before)
		if !found {
			break
		}
		if _, rest, closed := strings.Cut(after, "\x1B"); closed {
			s = rest
			continue
		}
		out.WriteString(after)
		break
	}
	return strings.TrimRight(out.String(), "\x00")
}

// fromPDFDoc decodes PDFDocEncoding.
func fromPDFDoc(b string) string {
	out := make([]byte, 0, len(b))
	for i := range len(b) {
		out = utf8.AppendRune(out, pdfDocRune(b[i]))
	}
	return string(out)
}

// pdfDocRune returns the character of a code of PDFDocEncoding (Annex D.2,
// D.3). A code without one gives U+FFFD, but a control code itself.
func pdfDocRune(c byte) rune {
	switch {
	case 0x18 <= c && c <= 0x1F:
		return pdfDocAccents[c-0x18]
	case 0x80 <= c && c <= 0xA0:
		return pdfDocHigh[c-0x80]
	case c == 0x7F || c == 0xAD:
		return utf8.RuneError
	}
	return rune(c)
}

// pdfDocAccents are the codes from octal 030, pdfDocHigh those from octal 200.
// The others are those of Latin-1.
var (
	pdfDocAccents = [...]rune{
		'\u02D8', '\u02C7', '\u02C6', '\u02D9', '\u02DD', '\u02DB', '\u02DA', '\u02DC',
	}
	pdfDocHigh = [...]rune{
		'\u2022', '\u2020', '\u2021', '\u2026', '\u2014', '\u2013', '\u0192', '\u2044',
		'\u2039', '\u203A', '\u2212', '\u2030', '\u201E', '\u201C', '\u201D', '\u2018',
		'\u2019', '\u201A', '\u2122', '\uFB01', '\uFB02', '\u0141', '\u0152', '\u0160',
		'\u0178', '\u017D', '\u0131', '\u0142', '\u0153', '\u0161', '\u017E', utf8.RuneError,
		'\u20AC',
	}
)
