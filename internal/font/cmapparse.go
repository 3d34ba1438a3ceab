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
