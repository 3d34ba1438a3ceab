package sheet

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"strings"
	"unicode/utf16"

	"github.com/klauspost/compress/zlib"
)

// file collects the objects of a PDF file; object n is bodies[n-1].
type file struct{ bodies []string }

// a ref is the number of an object.
type ref int

func (r ref) String() string { return fmt.Sprintf("%d 0 R", int(r)) }

// reserve gives a number whose object is set later.
func (f *file) reserve() ref {
	f.bodies = append(f.bodies, "null")
	return ref(len(f.bodies))
}

func (f *file) set(r ref, body string) { f.bodies[r-1] = body }

func (f *file) add(body string) ref {
	r := f.reserve()
	f.set(r, body)
	return r
}

// addStream adds a compressed stream; entries are further dictionary entries.
func (f *file) addStream(entries string, data []byte) (ref, error) {
	packed, err := deflate(data)
	if err != nil {
		return 0, err
	}
	return f.addPlain(entries+"/Filter/FlateDecode", packed), nil
}

// addPlain adds a stream as it is.
func (f *file) addPlain(entries string, data []byte) ref {
	return f.add(fmt.Sprintf("<<%s/Length %d>>\nstream\n%s\nendstream", entries, len(data), data))
}

func deflate(data []byte) ([]byte, error) {
	var b bytes.Buffer
	w, err := zlib.NewWriterLevel(&b, zlib.BestCompression)
	if err != nil {
		return nil, fmt.Errorf("compress: %w", err)
	}
	if _, err := w.Write(data); err != nil {
		return nil, fmt.Errorf("compress: %w", err)
	}
	if err := w.Close(); err != nil {
		return nil, fmt.Errorf("compress: %w", err)
	}
	return b.Bytes(), nil
}

// bytes lays the file out: header, objects, cross-reference table, trailer
// (7.5). The file identifier (14.4) is a digest of the objects.
func (f *file) bytes(catalog, info ref) []byte {
	var b bytes.Buffer
	b.WriteString("%PDF-1.6\n%\xe2\xe3\xcf\xd3\n")
	var table strings.Builder
	fmt.Fprintf(&table, "xref\n0 %d\n0000000000 65535 f \n", len(f.bodies)+1)
	for i, body := range f.bodies {
		fmt.Fprintf(&table, "%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, body)
	}
	id := sha256.Sum256(b.Bytes())
	start := b.Len()
	fmt.Fprintf(&b, "%strailer\n<</Size %d/Root %v/Info %v/ID[<%x><%x>]>>\nstartxref\n%d\n%%%%EOF\n",
		table.String(), len(f.bodies)+1, catalog, info, id[:16], id[:16], start)
	return b.Bytes()
}

// textString writes a text string (7.9.2.2): ASCII as it is, all else in
// UTF-16 with a byte-order mark.
func textString(s string) string {
	for _, r := range s {
		if r < ' ' || r > '~' {
			return utf16String(s)
		}
	}
	return literal([]byte(s))
}

func utf16String(s string) string {
	hex := "FEFF"
	for _, unit := range utf16.Encode([]rune(s)) {
		hex += fmt.Sprintf("%04X", unit)
	}
	return "<" + hex + ">"
}

// literal writes a string in parentheses (7.3.4.2).
func literal(s []byte) string {
	var b strings.Builder
	b.WriteByte('(')
	for _, c := range s {
		switch {
		case c == '(' || c == ')' || c == '\\':
			b.Write([]byte{'\\', c})
		case c < ' ' || c > '~':
			fmt.Fprintf(&b, "\\%03o", c)
		default:
			b.WriteByte(c)
		}
	}
	b.WriteByte(')')
	return b.String()
}
