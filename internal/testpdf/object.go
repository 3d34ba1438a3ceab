package testpdf

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
)

// The kinds of PDF objects (ISO 32000-1, 7.3). Numbers, strings and the words
// true, false and null keep their source text, so that what is copied does not
// change.
type (
	object any      // atom, name, str, ref, array, dict or *stream; nil is missing
	atom   string   // a number, true, false or null
	name   string   // decoded, without the slash
	str    string   // as in the source, with its delimiters
	array  []object //
	dict   map[name]object
)

// ref is an indirect reference (7.3.10).
type ref struct{ num, gen int }

// stream is a dictionary and the stored bytes (7.3.8).
type stream struct {
	dict dict
	raw  []byte
}

// integer reads an atom as an integer.
func integer(o object) (int, bool) {
	a, ok := o.(atom)
	if !ok {
		return 0, false
	}
	n, err := strconv.Atoi(string(a))
	return n, err == nil
}

// write appends the source text of an object; dictionary keys are sorted.
func write(b *bytes.Buffer, o object) {
	switch v := o.(type) {
	case nil:
		b.WriteString("null")
	case atom:
		b.WriteString(string(v))
	case str:
		b.WriteString(string(v))
	case name:
		writeName(b, v)
	case ref:
		fmt.Fprintf(b, "%d %d R", v.num, v.gen)
	case array:
		writeArray(b, v)
	case dict:
		writeDict(b, v)
	case *stream:
		writeStream(b, v)
	}
}

func writeName(b *bytes.Buffer, n name) {
	b.WriteByte('/')
	for i := range len(n) {
		if c := n[i]; isRegular(c) && c != '#' && c > ' ' && c < 0x7F {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(b, "#%02X", c)
		}
	}
}

func writeArray(b *bytes.Buffer, a array) {
	b.WriteByte('[')
	for i, o := range a {
		if i > 0 {
			b.WriteByte(' ')
		}
		write(b, o)
	}
	b.WriteByte(']')
}

func writeDict(b *bytes.Buffer, d dict) {
	b.WriteString("<<")
	for _, k := range slices.Sorted(maps.Keys(d)) {
		writeName(b, k)
		b.WriteByte(' ')
		write(b, d[k])
	}
	b.WriteString(">>")
}

func writeStream(b *bytes.Buffer, s *stream) {
	d := maps.Clone(s.dict)
	d["Length"] = atom(strconv.Itoa(len(s.raw)))
	writeDict(b, d)
	b.WriteString("\nstream\n")
	b.Write(s.raw)
	b.WriteString("\nendstream")
}

// maxNesting bounds arrays and dictionaries within each other.
const maxNesting = 200

var errSyntax = errors.New("not a PDF object")

// lexer reads objects (7.2, 7.3) from data at pos.
type lexer struct {
	data []byte
	pos  int
}

// object reads one object; references are recognised.
func (l *lexer) object() (object, error) { return l.nested(0) }

func (l *lexer) nested(depth int) (object, error) {
	l.space()
	if depth > maxNesting || l.pos >= len(l.data) {
		return nil, errSyntax
	}
	switch c := l.data[l.pos]; {
	case c == '/':
		return l.name(), nil
	case c == '(':
		return l.literal()
	case bytes.HasPrefix(l.data[l.pos:], []byte("<<")):
		return l.dict(depth)
	case c == '<':
		return l.hex()
	case c == '[':
		return l.array(depth)
	case isRegular(c):
		return l.number()
	}
	return nil, errSyntax
}

// space skips white space and comments.
func (l *lexer) space() {
	for l.pos < len(l.data) {
		switch c := l.data[l.pos]; {
		case isSpace(c):
			l.pos++
		case c == '%':
			for l.pos < len(l.data) && l.data[l.pos] != '\n' && l.data[l.pos] != '\r' {
				l.pos++
			}
		default:
			return
		}
	}
}

func isSpace(c byte) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

func isRegular(c byte) bool {
	return !isSpace(c) && bytes.IndexByte([]byte("()<>[]{}/%"), c) < 0
}

// word reads a run of regular characters.
func (l *lexer) word() string {
	start := l.pos
	for l.pos < len(l.data) && isRegular(l.data[l.pos]) {
		l.pos++
	}
	return string(l.data[start:l.pos])
}

func (l *lexer) name() name {
	l.pos++
	raw := l.word()
	var out []byte
	for i := 0; i < len(raw); i++ {
		if raw[i] == '#' && i+2 < len(raw) {
			if v, err := strconv.ParseUint(raw[i+1:i+3], 16, 8); err == nil {
				out = append(out, byte(v))
				i += 2
				continue
			}
		}
		out = append(out, raw[i])
	}
	return name(out)
}

func (l *lexer) literal() (object, error) {
	start, depth := l.pos, 0
	for ; l.pos < len(l.data); l.pos++ {
		switch l.data[l.pos] {
		case '\\':
			l.pos++
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				l.pos++
				return str(l.data[start:l.pos]), nil
			}
		}
	}
	return nil, errSyntax
}

func (l *lexer) hex() (object, error) {
	end := bytes.IndexByte(l.data[l.pos:], '>')
	if end < 0 {
		return nil, errSyntax
	}
	s := str(l.data[l.pos : l.pos+end+1])
	l.pos += end + 1
	return s, nil
}

func (l *lexer) array(depth int) (object, error) {
	l.pos++
	out := array{}
	for {
		l.space()
		if l.pos < len(l.data) && l.data[l.pos] == ']' {
			l.pos++
			return out, nil
		}
		o, err := l.nested(depth + 1)
		if err != nil {
			return nil, err
		}
		out = append(out, o)
	}
}

func (l *lexer) dict(depth int) (object, error) {
	l.pos += 2
	out := dict{}
	for {
		l.space()
		if bytes.HasPrefix(l.data[l.pos:], []byte(">>")) {
			l.pos += 2
			return out, nil
		}
		if l.pos >= len(l.data) || l.data[l.pos] != '/' {
			return nil, errSyntax
		}
		key := l.name()
		value, err := l.nested(depth + 1)
		if err != nil {
			return nil, err
		}
		out[key] = value
	}
}

// number reads a number, a word, or a reference where two integers and R
// follow each other.
func (l *lexer) number() (object, error) {
	first := l.word()
	num, err := strconv.Atoi(first)
	if err != nil || num < 0 {
		return atom(first), nil
	}
	back := l.pos
	l.space()
	gen, err := strconv.Atoi(l.word())
	if err == nil && gen >= 0 {
		if l.space(); l.word() == "R" {
			return ref{num, gen}, nil
		}
	}
	l.pos = back
	return atom(first), nil
}
