package font

import (
	"unicode/utf16"

	"github.com/sizeply/sizeply/internal/pdf"
)

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
	data, err := r.decode(r.src, st, maxCMap)
	if err != nil && data == nil {
		return nil
	}
	return parseToUnicode(data)
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
