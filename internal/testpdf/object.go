package testpdf

import (
	"bytes"
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
