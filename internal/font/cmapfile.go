package font

import (
	"bytes"
	"strconv"

	"github.com/sizeply/sizeply/internal/pdf"
)

// cmapParser reads the sections of a CMap file that matter for displacements
// (ISO 32000-1, 9.7.5.4; Adobe Technical Note 5014). The file is PostScript,
// but is not run: everything outside the sections is passed over.
type cmapParser struct {
	cmap  *cmap
	lex   cmapLexer
	again bool  // tok is to be read once more
	tok   token // read last
}

// parseCMap fills m from data and returns the name before usecmap, if any.
func parseCMap(m *cmap, data []byte) (base pdf.Name) {
	p := cmapParser{cmap: m, lex: cmapLexer{data: data}}
	var last token
	for p.next() {
		switch {
		case p.tok.kind == wordToken && string(p.tok.text) == "usecmap" && last.kind == nameToken:
			base = pdf.Name(last.text)
		case p.tok.kind == wordToken:
			p.begin()
		case p.tok.kind == numberToken && last.kind == nameToken && string(last.text) == "WMode":
			m.vertical = string(p.tok.text) == "1"
		}
		last = p.tok
	}
	return base
}

// begin reads the section that an operator begins, if it does.
func (p *cmapParser) begin() {
	m := p.cmap
	switch string(p.tok.text) {
	case "begincodespacerange":
		p.section(p.codespaceRange)
	case "begincidrange":
		p.section(func() bool { return p.cidRange(&m.ranges, true) })
	case "begincidchar":
		p.section(func() bool { return p.cidRange(&m.ranges, false) })
	case "beginnotdefrange":
		p.section(func() bool { return p.cidRange(&m.notdef, true) })
	case "beginnotdefchar":
		p.section(func() bool { return p.cidRange(&m.notdef, false) })
	}
}

// next reads a token; false at the end.
func (p *cmapParser) next() bool {
	if p.again {
		p.again = false
		return p.tok.kind != endToken
	}
	p.tok = p.lex.next()
	return p.tok.kind != endToken
}

// section reads entries up to the operator that ends the section. The rest of
// one that holds anything else is passed over.
func (p *cmapParser) section(entry func() bool) {
	ok := true
	for p.next() && p.tok.kind != wordToken {
		p.again = ok
		ok = ok && entry()
		if !ok && p.tok.kind == wordToken {
			break
		}
	}
	if !ok || !bytes.HasPrefix(p.tok.text, []byte("end")) {
		p.cmap.setFault("malformed CMap")
	}
}

// codespaceRange reads "<lo> <hi>".
func (p *cmapParser) codespaceRange() bool {
	lo, ok := p.code()
	hi, ok2 := p.code()
	if !ok || !ok2 || lo.n != hi.n {
		return false
	}
	if len(p.cmap.space) <= maxRanges {
		p.cmap.space = append(p.cmap.space, codeRange{lo.n, lo.bytes, hi.bytes})
	}
	return true
}

// cidRange reads "<lo> <hi> cid", or "<code> cid" for a single code.
func (p *cmapParser) cidRange(to *[]cidRange, two bool) bool {
	lo, ok := p.code()
	hi := lo
	if ok && two {
		hi, ok = p.code()
	}
	if !ok || !p.next() || p.tok.kind != numberToken || lo.n != hi.n {
		return false
	}
	cid, err := strconv.Atoi(string(p.tok.text))
	if err != nil || cid < 0 || cid > maxCID {
		return false
	}
	r := cidRange{lo.n, value(lo.bytes[:lo.n]), value(hi.bytes[:hi.n]), cid}
	if r.lo <= r.hi {
		*to = append(*to, r)
	}
	return true
}

// hexCode is a code written as a hexadecimal string.
type hexCode struct {
	n     int
	bytes [maxCode]byte
}

// code reads a hexadecimal string of one to four bytes.
func (p *cmapParser) code() (c hexCode, ok bool) {
	if !p.next() || p.tok.kind != hexToken {
		return c, false
	}
	digits := 0
	for _, b := range p.tok.text {
		d, ok := hexDigit(b)
		if !ok {
			continue // white space
		}
		if digits == 2*maxCode {
			return c, false
		}
		c.bytes[digits/2] |= d << (4 * (1 - digits%2))
		digits++
	}
	c.n = (digits + 1) / 2
	return c, c.n > 0
}

func hexDigit(b byte) (d byte, ok bool) {
	switch {
	case '0' <= b && b <= '9':
		return b - '0', true
	case 'a' <= b && b <= 'f':
		return b - 'a' + 10, true
	case 'A' <= b && b <= 'F':
		return b - 'A' + 10, true
	}
	return 0, false
}

// cmapLexer cuts a CMap file into PostScript tokens. It reads any bytes.
type cmapLexer struct {
	data []byte
	pos  int
}

// token is one token; text is a part of the data without delimiters.
type token struct {
	kind tokenKind
	text []byte
}

type tokenKind int

const (
	endToken    tokenKind = iota
	wordToken             // an operator or any other run of regular characters
	numberToken           // a run that begins with a digit
	nameToken             // without its slash
	hexToken              // the digits of a hexadecimal string, with white space
	otherToken            // a string in parentheses or a delimiter
)

func (l *cmapLexer) next() token {
	l.skipSpace()
	if l.pos == len(l.data) {
		return token{}
	}
	switch b := l.data[l.pos]; b {
	case '/':
		l.pos++
		return token{nameToken, l.regular()}
	case '<':
		if bytes.HasPrefix(l.data[l.pos:], []byte("<<")) {
			l.pos += 2
			return token{kind: otherToken}
		}
		return l.hexString()
	case '(':
		l.skipString()
		return token{kind: otherToken}
	case ')', '>', '[', ']', '{', '}':
		l.pos++
		return token{kind: otherToken}
	default:
		t := token{wordToken, l.regular()}
		if b >= '0' && b <= '9' {
			t.kind = numberToken
		}
		return t
	}
}

// skipSpace passes over white space and comments.
func (l *cmapLexer) skipSpace() {
	for l.pos < len(l.data) {
		switch b := l.data[l.pos]; {
		case isSpace(b):
			l.pos++
		case b == '%':
			for l.pos < len(l.data) && l.data[l.pos] != '\n' && l.data[l.pos] != '\r' {
				l.pos++
			}
		default:
			return
		}
	}
}

func (l *cmapLexer) regular() []byte {
	start := l.pos
	for l.pos < len(l.data) && !isSpace(l.data[l.pos]) && bytes.IndexByte([]byte("()<>[]{}/%"), l.data[l.pos]) < 0 {
		l.pos++
	}
	return l.data[start:l.pos]
}

// hexString reads a hexadecimal string.
func (l *cmapLexer) hexString() token {
	start := l.pos + 1
	n := bytes.IndexByte(l.data[start:], '>')
	if n < 0 {
		l.pos = len(l.data)
		return token{hexToken, l.data[start:]}
	}
	l.pos = start + n + 1
	return token{hexToken, l.data[start : start+n]}
}

// skipString passes over a string in parentheses, which may nest.
func (l *cmapLexer) skipString() {
	for depth := 0; l.pos < len(l.data); l.pos++ {
		switch l.data[l.pos] {
		case '\\':
			l.pos = min(l.pos+1, len(l.data)-1)
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				l.pos++
				return
			}
		}
	}
}

func isSpace(b byte) bool {
	switch b {
	case 0, '\t', '\n', '\f', '\r', ' ':
		return true
	}
	return false
}
