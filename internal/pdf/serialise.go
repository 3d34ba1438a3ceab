package pdf

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

var errNested = errors.New("an object is nested too deep, or inside itself")

// serialiser writes objects as text (7.3).
type serialiser struct {
	buf []byte
	// number gives the new number of an object, 0 where it is null.
	number func(Ref) Ref
	// seal encrypts the strings, unless it is nil.
	seal func(String) String
}

// append writes o at the given depth of nesting.
func (s *serialiser) append(o Object, depth int) error {
	if depth > 2*maxNesting {
		return errNested
	}
	switch o := o.(type) {
	case nil:
		s.text("null")
	case bool:
		s.buf = strconv.AppendBool(s.buf, o)
	case Integer:
		s.buf = strconv.AppendInt(s.buf, int64(o), 10)
	case Real:
		s.buf = appendReal(s.buf, float64(o))
	case Numeral:
		s.text(string(o))
	case Name:
		s.buf = appendName(s.buf, o)
	case String:
		if s.seal != nil {
			o = s.seal(o)
		}
		s.buf = appendString(s.buf, o)
	case Ref:
		s.ref(o)
	case Array:
		return s.array(o, depth)
	case Dict:
		return s.dict(o, depth)
	default:
		return fmt.Errorf("a %T cannot stand inside a PDF object", o)
	}
	return nil
}

func (s *serialiser) text(t string) { s.buf = append(s.buf, t...) }

// ref writes a reference, one to nothing as null.
func (s *serialiser) ref(r Ref) {
	n := s.number(r)
	if n == 0 {
		s.text("null")
		return
	}
	s.buf = strconv.AppendInt(s.buf, int64(n), 10)
	s.text(" 0 R")
}

func (s *serialiser) array(a Array, depth int) error {
	s.text("[")
	for i, o := range a {
		if i > 0 {
			s.text(" ")
		}
		if err := s.append(o, depth+1); err != nil {
			return err
		}
	}
	s.text("]")
	return nil
}

// dict writes the entries that are not null, by ascending key. The Contents of
// a signature is never encrypted.
func (s *serialiser) dict(d Dict, depth int) error {
	seal := s.seal
	defer func() { s.seal = seal }()
	s.text("<<")
	for _, key := range d.Keys() {
		value := d[key]
		if r, ok := value.(Ref); value == nil || ok && s.number(r) == 0 {
			continue
		}
		if s.seal = seal; key == "Contents" && isSignature(d) {
			s.seal = nil
		}
		s.buf = appendName(s.buf, key)
		s.text(" ")
		if err := s.append(value, depth+1); err != nil {
			return err
		}
	}
	s.text(">>")
	return nil
}

// appendReal writes the shortest digits that read as v again, without an
// exponent, which PDF does not have, and with a point, so that they read as a
// real.
func appendReal(buf []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		v = 0
	}
	start := len(buf)
	buf = strconv.AppendFloat(buf, v, 'f', -1, 64)
	for _, c := range buf[start:] {
		if c == '.' {
			return buf
		}
	}
	return append(buf, ".0"...)
}

// appendName writes a name (7.3.5).
func appendName(buf []byte, n Name) []byte {
	const digits = "0123456789ABCDEF"
	buf = append(buf, '/')
	for i := range len(n) {
		c := n[i]
		if c <= ' ' || c > '~' || c == '#' || isDelimiter(c) {
			buf = append(buf, '#', digits[c>>4], digits[c&15])
			continue
		}
		buf = append(buf, c)
	}
	return buf
}

// appendString writes a literal string (7.3.4.2). What has to be escaped are
// parentheses, the backslash and carriage returns, which would read as line
// feeds.
func appendString(buf []byte, str String) []byte {
	buf = append(buf, '(')
	for i := range len(str) {
		switch c := str[i]; c {
		case '(', ')', '\\':
			buf = append(buf, '\\', c)
		case '\r':
			buf = append(buf, '\\', 'r')
		default:
			buf = append(buf, c)
		}
	}
	return append(buf, ')')
}
