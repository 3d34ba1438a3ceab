package rewrite

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// propertyList writes the property list of marked content in place (14.6.2).
type propertyList struct{ text strings.Builder }

func (p *propertyList) String() string { return p.text.String() }

// raw adds an entry with its value as written.
func (p *propertyList) raw(k pdf.Name, value []byte) {
	if p.text.Len() > 0 {
		p.text.WriteByte(' ')
	}
	p.text.WriteString(spellName(k) + " " + string(value))
}

// object adds an entry, unless its value cannot stand in a content stream: one
// that is or holds a reference to anything but a simple value.
func (p *propertyList) object(src pdf.Objects, k pdf.Name, v pdf.Object) {
	if text, ok := spell(src, v, 0); ok {
		p.raw(k, []byte(text))
	}
}

// spell writes an object for a content stream; ok is false for streams and what
// holds one.
func spell(src pdf.Objects, o pdf.Object, depth int) (text string, ok bool) {
	if depth > maxSpelled {
		return "", false
	}
	switch o := pdf.Resolve(src, o).(type) {
	case nil:
		return "null", true
	case bool:
		return strconv.FormatBool(o), true
	case pdf.Integer:
		return strconv.FormatInt(int64(o), 10), true
	case pdf.Real:
		return strconv.FormatFloat(float64(o), 'f', -1, 64), true
	case pdf.Numeral:
		return string(o), true
	case pdf.Name:
		return spellName(o), true
	case pdf.String:
		return fmt.Sprintf("<%X>", string(o)), true
	case pdf.Array:
		return spellArray(src, o, depth)
	case pdf.Dict:
		return spellDict(src, o, depth)
	}
	return "", false
}

// maxSpelled bounds values within values, and so what leads back to itself.
const maxSpelled = 8

func spellArray(src pdf.Objects, a pdf.Array, depth int) (string, bool) {
	var list []string
	for _, v := range a {
		text, ok := spell(src, v, depth+1)
		if !ok {
			return "", false
		}
		list = append(list, text)
	}
	return "[" + strings.Join(list, " ") + "]", true
}

func spellDict(src pdf.Objects, d pdf.Dict, depth int) (string, bool) {
	var list propertyList
	for _, k := range d.Keys() {
		text, ok := spell(src, d[k], depth+1)
		if !ok {
			return "", false
		}
		list.raw(k, []byte(text))
	}
	return "<<" + list.String() + ">>", true
}

// spellName writes a name (7.3.5).
func spellName(n pdf.Name) string {
	var b strings.Builder
	b.WriteByte('/')
	for _, c := range []byte(n) {
		if c <= ' ' || c > '~' || strings.IndexByte("#()<>[]{}/%", c) >= 0 {
			fmt.Fprintf(&b, "#%02X", c)
		} else {
			b.WriteByte(c)
		}
	}
	return b.String()
}
