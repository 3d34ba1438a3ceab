package font

import (
	"strconv"
	"strings"
	"sync"
	"unicode/utf16"

	"github.com/sizeply/sizeply/internal/pdf"
)

// A Decoder turns the codes of shown strings into text, as far as the file
// says what they mean: by ToUnicode, else by the names of an encoding, else by
// a predefined CMap whose codes are Unicode (ISO 32000-1, 9.10.2). It never
// changes, so it is safe for concurrent use.
type Decoder struct {
	unicode *toUnicode
	single  *encoding // of a simple font
	space   codespace // of a composite font
	utf16   bool      // the codes are UTF-16
}

func loadDecoder(r reader, dict pdf.Object) *Decoder {
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
func glyphNames(r reader, d pdf.Dict) *encoding {
	std, ok := standardFont(r.name(d["BaseFont"]))
	if !ok {
		std = helvetica
	}
	if r.name(d["Subtype"]) == "TrueType" && pdf.Resolve(r.src, d["Encoding"]) == nil {
		return winAnsiEncoding()
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

// latinNames gives the text of the glyph names of WinAnsiEncoding. Of a name that it
// has twice the first counts.
var latinNames = sync.OnceValue(func() map[string]string {
	names := map[string]string{}
	for code, n := range winAnsiEncoding() {
		if _, had := names[n]; !had {
			names[n] = string(winAnsiRune(code))
		}
	}
	return names
})

// nameText gives the text of a glyph name: those of Latin fonts, and uniXXXX
// and uXXXXX as the Adobe Glyph List Specification has them (section 2).
func nameText(name string) string {
	name, _, _ = strings.Cut(name, ".")
	if name == "" {
		return ""
	}
	if text, ok := latinNames()[name]; ok {
		return text
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

// toUnicode maps codes to text (ISO 32000-1, 9.10.3). A nil one maps nothing.
type toUnicode struct {
	chars map[textCode]string
}

// textCode is a code of n bytes.
type textCode struct {
	n int
	v uint32
}

// maxTexts bounds the codes of a map: all of two bytes. maxTextUnits bounds
// the text of one, in units of UTF-16.
const (
	maxTexts     = 1 << 16
	maxTextUnits = 32
)

// loadToUnicode reads a ToUnicode CMap; nil where there is none.
func loadToUnicode(r reader, o pdf.Object) *toUnicode {
	st, ok := pdf.Resolve(r.src, o).(*pdf.Stream)
	if !ok {
		return nil
	}
	read := func() *toUnicode {
		data, err := r.decode(r.src, st, maxCMap)
		if err != nil && data == nil {
			return nil
		}
		return parseToUnicode(data)
	}
	return once(r.shared, r.shared.texts, st, read)
}

// parseToUnicode reads the sections bfchar and bfrange of a CMap file.
func parseToUnicode(data []byte) *toUnicode {
	m := &toUnicode{chars: map[textCode]string{}}
	p := cmapParser{cmap: &cmap{}, lex: cmapLexer{data: data}}
	for p.next() {
		switch string(p.tok.text) {
		case "beginbfchar":
			p.section(func() bool { return m.char(&p) })
		case "beginbfrange":
			p.section(func() bool { return m.span(&p) })
		}
	}
	return m
}

// char reads "<code> <text>".
func (m *toUnicode) char(p *cmapParser) bool {
	c, ok := p.code()
	if !ok || !p.next() || p.tok.kind != hexToken {
		return false
	}
	m.set(c.n, value(c.bytes[:c.n]), string(utf16Text(p.tok.text)))
	return true
}

// span reads "<lo> <hi> <text>" or "<lo> <hi> [<text> ...]".
func (m *toUnicode) span(p *cmapParser) bool {
	lo, ok := p.code()
	hi, ok2 := p.code()
	if !ok || !ok2 || lo.n != hi.n || !p.next() {
		return false
	}
	from, to := value(lo.bytes[:lo.n]), value(hi.bytes[:hi.n])
	if p.tok.kind == hexToken {
		m.rising(lo.n, from, to, utf16Text(p.tok.text))
		return true
	}
	if p.tok.kind != otherToken {
		return false
	}
	for v := from; p.next() && p.tok.kind == hexToken; v++ {
		m.set(lo.n, v, string(utf16Text(p.tok.text)))
	}
	return p.tok.kind == otherToken
}

// rising maps a range: the last character of the text rises with the code.
func (m *toUnicode) rising(n int, from, to uint32, text []rune) {
	last := len(text) - 1
	if last < 0 {
		return
	}
	head := string(text[:last])
	for v := from; v <= to && len(m.chars) < maxTexts; v++ {
		m.set(n, v, head+string(text[last]+rune(v-from)))
		if v == to { // which may be the highest number
			return
		}
	}
}

func (m *toUnicode) set(n int, v uint32, text string) {
	if len(m.chars) < maxTexts {
		m.chars[textCode{n, v}] = text
	}
}

// text is what a code means; false where the map does not say.
func (m *toUnicode) text(code []byte) (string, bool) {
	if m == nil {
		return "", false
	}
	text, ok := m.chars[textCode{len(code), value(code)}]
	return text, ok
}

// utf16Text reads hexadecimal digits as UTF-16 with the high byte first.
func utf16Text(digits []byte) []rune {
	var units []uint16
	n := 0
	for _, b := range digits {
		d, ok := hexDigit(b)
		if !ok {
			continue // white space
		}
		if n%4 == 0 {
			if len(units) == maxTextUnits {
				break
			}
			units = append(units, 0)
		}
		units[n/4] = units[n/4]<<4 | uint16(d)
		n++
	}
	return utf16.Decode(units)
}
