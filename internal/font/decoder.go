package font

import (
	"strconv"
	"strings"
	"unicode/utf16"

	"github.com/sizeply/sizeply/internal/pdf"
)

// A Decoder turns the codes of shown strings into text, as far as the file
// says what they mean: by ToUnicode, else by the names of an encoding, else by
// a predefined CMap whose codes are Unicode (ISO 32000-1, 9.10.2). It never
// changes, so it is safe for concurrent use.
type Decoder struct {
	unicode *toUnicode
	single  *[256]string // glyph names of a simple font, by code
	space   codespace    // of a composite font
	utf16   bool         // the codes are UTF-16
}

// NewDecoder reads a font dictionary. It never fails: codes that cannot be
// understood give no text.
func NewDecoder(src pdf.Objects, dict pdf.Object) *Decoder {
	if src == nil {
		src = noObjects{}
	}
	r := reader{src, pdf.Decode}
	d := r.dict(dict)
	dec := &Decoder{unicode: loadToUnicode(r, d["ToUnicode"])}
	if r.name(d["Subtype"]) == "Type0" || d["DescendantFonts"] != nil {
		dec.space = loadCMap(r, d["Encoding"]).space
		name := string(r.name(d["Encoding"]))
		dec.utf16 = strings.Contains(name, "UCS2") || strings.Contains(name, "UTF16")
		return dec
	}
	dec.single = glyphNames(r, d)
	return dec
}

// glyphNames are the names of the codes of a simple font. A TrueType font that
// says nothing is read as WinAnsi, which most of them mean.
func glyphNames(r reader, d pdf.Dict) *[256]string {
	std, ok := standardFont(r.name(d["BaseFont"]))
	if !ok {
		std = helvetica
	}
	if r.name(d["Subtype"]) == "TrueType" && pdf.Resolve(r.src, d["Encoding"]) == nil {
		return &winAnsiEncoding
	}
	return std.encoding(r, d["Encoding"])
}

// Text gives the text of a shown string; codes without a meaning are left out.
func (d *Decoder) Text(s []byte) string {
	var b strings.Builder
	for len(s) > 0 {
		n := 1
		if d.single == nil {
			n, _ = d.space.next(s)
		}
		b.WriteString(d.code(s[:n]))
		s = s[n:]
	}
	return b.String()
}

func (d *Decoder) code(code []byte) string {
	if text, ok := d.unicode.text(code); ok {
		return text
	}
	switch {
	case d.single != nil:
		return nameText(d.single[code[0]])
	case d.utf16 && len(code) == 2:
		return string(rune(value(code)))
	}
	return ""
}

// nameText gives the text of a glyph name: those of Latin fonts, and uniXXXX
// and uXXXXX as the Adobe Glyph List Specification has them (section 2).
func nameText(name string) string {
	name, _, _ = strings.Cut(name, ".")
	if name == "" {
		return ""
	}
	for code, n := range winAnsiEncoding {
		if n == name {
			return string(winAnsiRune(code))
		}
	}
	switch name {
	case "multiply":
		return "×"
	case "minute":
		return "′"
	case "second":
		return "″"
	case "fi", "fl", "ff":
		return name
	}
	return hexName(name)
}

// hexName reads a name that is a code point.
func hexName(name string) string {
	digits, ok := strings.CutPrefix(name, "uni")
	if ok && len(digits) >= 4 {
		digits = digits[:4]
	} else if digits, ok = strings.CutPrefix(name, "u"); !ok || len(digits) < 4 || len(digits) > 6 {
		return ""
	}
	v, err := strconv.ParseUint(digits, 16, 32)
	if err != nil || v > 0x10FFFF || utf16.IsSurrogate(rune(v)) {
		return ""
	}
	return string(rune(v))
}

// winAnsiRune is the character of a code of WinAnsiEncoding (D.2), which is
// Latin-1 but for the codes 128 to 159.
func winAnsiRune(code int) rune {
	const high = "€•‚ƒ„…†‡ˆ‰Š‹Œ•Ž••‘’“”•–—˜™š›œ•žŸ"
	if code < 128 || code > 159 {
		return rune(code)
	}
	return []rune(high)[code-128]
}
