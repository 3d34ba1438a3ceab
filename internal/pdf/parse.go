package pdf

import (
	"context"
	"errors"
)

var (
	errNesting = errors.New("arrays and dictionaries are nested too deep")
	errNothing = errors.New("nothing where an object should be")
)

// parser reads objects (7.3) from text. It is as lenient as viewers are: what
// it passes over it keeps as damage; only what it cannot make an object of is
// an error.
type parser struct {
	lexer
	// ctx ends the reading of a large object; it may be nil.
	ctx   context.Context
	count int // of objects
	// torn is the first fault that was passed over and that may have cost a part of the
	// object, "" where there is none: readers make different things of it.
	torn string
	// generations are those of the objects that have another than 0, and astray are the
	// references that name another than the object of that number has.
	generations map[Ref]int
	astray      []reference
}

// reference is an indirect reference as it is written (7.3.10).
type reference struct {
	num Ref
	gen int
}

// tear notes a fault that may have cost a part of the object.
func (p *parser) tear(what string) {
	p.damaged(what)
	if p.torn == "" {
		p.torn = what
	}
}

// header reads `n g obj`: the number and the generation.
func (p *parser) header() (num Ref, gen int, ok bool) {
	p.skipSpace()
	n, ok := p.digits()
	if !ok || n == 0 || n > maxNumber {
		return 0, 0, false
	}
	p.skipSpace()
	g, ok := p.digits()
	if !ok {
		return 0, 0, false
	}
	p.skipSpace()
	return Ref(n), int(g), p.accept("obj")
}

// body reads the object after the header of an indirect object (7.3.10). If
// it is the dictionary of a stream (7.3.8.1), start is where the data begins,
// else 0.
func (p *parser) body() (o Object, start int, err error) {
	if p.skipSpace(); p.atEnd() {
		return nil, 0, nil
	}
	if o, err = p.object(0); err != nil {
		return nil, 0, err
	}
	p.skipSpace()
	if _, isDict := o.(Dict); isDict && p.accept("stream") {
		p.skipStreamEOL()
		start = p.pos
	}
	return o, start, nil
}

// skipStreamEOL passes the end of line after `stream`, and blanks before it.
// A carriage return alone is against the standard, but met.
func (p *parser) skipStreamEOL() {
	i := p.pos
	for i < len(p.data) && (p.data[i] == ' ' || p.data[i] == '\t') {
		i++
	}
	switch {
	case i+1 < len(p.data) && p.data[i] == '\r' && p.data[i+1] == '\n':
		p.pos = i + 2
	case i < len(p.data) && (p.data[i] == '\n' || p.data[i] == '\r'):
		p.pos = i + 1
	}
}

// atEnd reports whether the text, or the indirect object at hand, is over.
func (p *parser) atEnd() bool {
	if p.pos >= len(p.data) {
		return true
	}
	c := p.data[p.pos]
	return c == 'e' && (p.startsWith("endobj") || p.startsWith("endstream")) ||
		c == 's' && p.startsWith("stream")
}

// object reads one object at the given depth of nesting. It always moves on.
func (p *parser) object(depth int) (Object, error) {
	if p.count++; p.count%1024 == 0 && p.ctx != nil && p.ctx.Err() != nil {
		return nil, p.ctx.Err()
	}
	p.skipSpace()
	if p.pos >= len(p.data) {
		return nil, errNothing
	}
	switch c := p.data[p.pos]; {
	case c == '/':
		return p.name(), nil
	case c == '(':
		return p.literal()
	case p.startsWith("<<"):
		return p.dict(depth)
	case c == '<':
		return p.hexString()
	case c == '[':
		return p.array(depth)
	case isDigit(c) || c == '-' || c == '+' || c == '.':
		return p.numberOrRef(), nil
	}
	return p.keyword(), nil
}

// keyword reads true, false or null. Anything else counts as null.
func (p *parser) keyword() Object {
	w := p.word()
	switch string(w) {
	case "true":
		return true
	case "false":
		return false
	case "null":
		return nil
	case "":
		p.pos++ // a stray delimiter
	}
	p.tear("an unknown word")
	return nil
}

// numberOrRef reads a number, or an indirect reference if that is what it
// begins. A reference to an impossible number is null.
func (p *parser) numberOrRef() Object {
	n := p.number()
	num, ok := n.(Integer)
	if !ok || num < 0 {
		return n
	}
	after := p.pos
	p.skipSpace()
	begun := p.pos
	gen, ok := p.generationAndR()
	switch {
	case !ok || begun == after:
		p.pos = after
		return n
	case num == 0 || num > maxNumber:
		return nil
	case gen != p.generations[Ref(num)]:
		p.astray = append(p.astray, reference{Ref(num), gen})
	}
	return Ref(num)
}

// generationAndR reads `g R`.
func (p *parser) generationAndR() (gen int, ok bool) {
	g, ok := p.digits()
	at := p.pos
	p.skipSpace()
	if !ok || p.pos == at || !p.accept("R") {
		return 0, false
	}
	return int(g), p.pos == len(p.data) || !isRegular(p.data[p.pos])
}

// array reads an array (7.3.6); its bracket stands at pos.
func (p *parser) array(depth int) (Object, error) {
	if depth == maxNesting {
		return nil, errNesting
	}
	p.pos++
	a := Array{}
	for {
		p.skipSpace()
		switch {
		case p.accept("]"):
			return a, nil
		case p.atEnd() || p.startsWith(">>"):
			p.tear("an array without an end")
			return a, nil
		}
		o, err := p.object(depth + 1)
		if err != nil {
			return nil, err
		}
		a = append(a, o)
	}
}

// dict reads a dictionary (7.3.7); its brackets stand at pos. Of a key that
// occurs twice the last counts.
func (p *parser) dict(depth int) (Object, error) {
	if depth == maxNesting {
		return nil, errNesting
	}
	p.pos += len("<<")
	d := Dict{}
	for {
		p.skipSpace()
		switch {
		case p.accept(">>"):
			return d, nil
		case p.atEnd():
			p.tear("a dictionary without an end")
			return d, nil
		}
		if err := p.entry(d, depth+1); err != nil {
			return nil, err
		}
	}
}

// entry reads a key and its value into d. What is no key is passed over.
func (p *parser) entry(d Dict, depth int) error {
	if p.data[p.pos] != '/' {
		p.tear("a dictionary with a value that has no key")
		_, err := p.object(depth)
		return err
	}
	key := p.name()
	p.skipSpace()
	if p.atEnd() || p.startsWith(">>") {
		p.tear("a dictionary with a key that has no value")
		return nil
	}
	value, err := p.object(depth)
	if err != nil {
		return err
	}
	if delete(d, key); value != nil {
		d[key] = value
	}
	return nil
}
