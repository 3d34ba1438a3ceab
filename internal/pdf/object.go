package pdf

import (
	"encoding/binary"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// An Object is one of nil (the null object), bool, Integer, Real, Numeral, Name,
// String, Array, Dict, *Stream or Ref (ISO 32000-1, 7.3). Objects that come
// out of a Document are shared and must not be changed: clone, change the
// clone, and hand it to Edit.Set.
type Object any

type (
	// Integer is an integer object (7.3.3).
	Integer int64
	// Real is a real number object (7.3.3).
	Real float64
	// Numeral is a number that neither Integer nor Real holds to the last digit:
	// as it is written, and is written again. AsNumber gives its value.
	Numeral string
	// Name is a name object without its slash, with #xx sequences decoded
	// (7.3.5). It need not be valid UTF-8.
	Name string
	// String is the bytes of a string object, with escapes or hexadecimal
	// digits decoded (7.3.4). Text gives it as text.
	String string
	// Array is an array object (7.3.6).
	Array []Object
	// Dict is a dictionary object (7.3.7). A key whose value is null is
	// absent.
	Dict map[Name]Object
	// Ref is an indirect reference by object number (7.3.10). Generations
	// are not told apart: a file holds one object of each number.
	Ref int
)

// Stream is a stream object (7.3.8).
type Stream struct {
	// Dict is the stream dictionary without Length, which the writer sets.
	Dict Dict
	// Raw is the encoded data: the bytes of the file, decrypted where the
	// file is encrypted.
	Raw []byte
	// Cut says that the data ends with the file, where the end of the stream should
	// be.
	Cut bool
}

// Clone returns a shallow copy.
func (d Dict) Clone() Dict {
	c := make(Dict, len(d))
	for k, v := range d {
		c[k] = v
	}
	return c
}

// Keys returns the keys in ascending byte order.
func (d Dict) Keys() []Name {
	keys := make([]Name, 0, len(d))
	for k := range d {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// Objects is a source of indirect objects: a Document, or an Edit over one.
type Objects interface {
	// Object returns the object of that number, nil where there is none.
	Object(Ref) Object
}

// maxRefChain bounds a chain of references that lead to references.
const maxRefChain = 32

// Resolve follows o as long as it is a reference. A reference to nothing,
// and a chain of references without end, are null.
func Resolve(src Objects, o Object) Object {
	for range maxRefChain {
		r, ok := o.(Ref)
		if !ok {
			return o
		}
		o = src.Object(r)
	}
	return nil
}

// AsDict resolves o and returns it as a dictionary, nil where it is none. A
// stream is none.
func AsDict(src Objects, o Object) Dict { d, _ := Resolve(src, o).(Dict); return d }

// AsStream resolves o and returns it as a stream, nil where it is none.
func AsStream(src Objects, o Object) *Stream { s, _ := Resolve(src, o).(*Stream); return s }

// AsArray resolves o and returns it as an array, nil where it is none.
func AsArray(src Objects, o Object) Array { a, _ := Resolve(src, o).(Array); return a }

// AsName resolves o and returns it as a name, "" where it is none.
func AsName(src Objects, o Object) Name { n, _ := Resolve(src, o).(Name); return n }

// AsString resolves o and returns it as a string; ok is false where it is
// none.
func AsString(src Objects, o Object) (s String, ok bool) {
	s, ok = Resolve(src, o).(String)
	return s, ok
}

// AsNumber resolves o and returns it as a number; ok is false where it is
// none.
func AsNumber(src Objects, o Object) (v float64, ok bool) {
	switch n := Resolve(src, o).(type) {
	case Integer:
		return float64(n), true
	case Real:
		return float64(n), true
	case Numeral:
		v, _ = strconv.ParseFloat(string(n), 64) // infinite where it is too large
		return min(max(v, -largest), largest), true
	}
	return 0, false
}

// largest bounds the values of numbers: readers take one whose digits before the
// point make no 64-bit integer for 0. Nothing on a page is as far off (Table C.1
// asks for 3.4e38, which no picture needs).
const largest = 9e18

// AsInt resolves o and returns it as an integer, def where it is no number.
// A real is cut towards zero.
func AsInt(src Objects, o Object, def int) int {
	if v, ok := AsNumber(src, o); ok {
		return int(v)
	}
	return def
}

// Text decodes a text string (7.9.2.2): UTF-16BE, UTF-16LE (not standard, but
// met) or UTF-8 by their byte-order marks, else PDFDocEncoding. Language
// escapes, an odd last byte and trailing NULs are dropped; bad surrogates
// become U+FFFD.
func Text(s String) string {
	switch b := string(s); {
	case strings.HasPrefix(b, "\xFE\xFF"):
		return clean(fromUTF16(b[2:], binary.BigEndian))
	case strings.HasPrefix(b, "\xFF\xFE"):
		return clean(fromUTF16(b[2:], binary.LittleEndian))
	case strings.HasPrefix(b, "\xEF\xBB\xBF"):
		return clean(strings.ToValidUTF8(b[3:], "\uFFFD"))
	default:
		out := make([]byte, 0, len(b))
		for i := range len(b) {
			out = utf8.AppendRune(out, pdfDocRune(b[i]))
		}
		return strings.TrimRight(string(out), "\x00")
	}
}

// fromUTF16 decodes whole units; a lone surrogate becomes U+FFFD.
func fromUTF16(b string, order binary.ByteOrder) string {
	units := make([]uint16, len(b)/2)
	for i := range units {
		units[i] = order.Uint16([]byte(b[2*i : 2*i+2]))
	}
	return string(utf16.Decode(units))
}

// clean drops language escapes, which run from one escape character to the
// next (7.9.2.2), and trailing NULs. An escape character alone is dropped.
func clean(s string) string {
	parts := strings.Split(s, "\x1B")
	var out strings.Builder
	for i, part := range parts {
		if i%2 == 0 || i == len(parts)-1 { // the others are escapes
			out.WriteString(part)
		}
	}
	return strings.TrimRight(out.String(), "\x00")
}

// pdfDocRune returns the character of a code of PDFDocEncoding (Annex D.2,
// D.3). A code without one gives U+FFFD, but a control code itself.
func pdfDocRune(c byte) rune {
	switch {
	case 0x18 <= c && c <= 0x1F:
		return pdfDocAccents[c-0x18]
	case 0x80 <= c && c <= 0xA0:
		return pdfDocHigh[c-0x80]
	case c == 0x7F || c == 0xAD:
		return utf8.RuneError
	}
	return rune(c)
}

// pdfDocAccents are the codes from octal 030, pdfDocHigh those from octal 200.
// The others are those of Latin-1.
var (
	pdfDocAccents = [...]rune{
		'\u02D8', '\u02C7', '\u02C6', '\u02D9', '\u02DD', '\u02DB', '\u02DA', '\u02DC',
	}
	pdfDocHigh = [...]rune{
		'\u2022', '\u2020', '\u2021', '\u2026', '\u2014', '\u2013', '\u0192', '\u2044',
		'\u2039', '\u203A', '\u2212', '\u2030', '\u201E', '\u201C', '\u201D', '\u2018',
		'\u2019', '\u201A', '\u2122', '\uFB01', '\uFB02', '\u0141', '\u0152', '\u0160',
		'\u0178', '\u017D', '\u0131', '\u0142', '\u0153', '\u0161', '\u017E', utf8.RuneError,
		'\u20AC',
	}
)
