package pdf

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash"
	"io"
	"math"
	"math/bits"
	"strconv"
)

// perObjectStream is how many objects share an object stream (7.5.7): enough
// to compress well, few enough to read one object without reading all.
const perObjectStream = 200

// Write writes the changed document as a complete new file: reachable
// objects only, renumbered breadth first from the catalog (and Info), keys
// sorted, everything but streams in object streams, streams' Raw bytes as
// they are. Equal edits of equal documents give equal bytes. It returns the
// new number of each object written.
//
// The header is the higher of the document's version and 1.5. The first
// element of the file identifier is the document's, the second a hash of the
// output. An encrypted document stays so, with the same passwords, unless
// Decrypt was called; one that must not be changed gives a *failure.PermissionError.
// Where w fails or ctx ends, the output is cut short and the error wraps that
// of w or of ctx.
func (e *Edit) Write(ctx context.Context, w io.Writer) (map[Ref]Ref, error) {
	if err := e.doc.MayChange(); err != nil {
		return nil, err
	}
	order, number, err := e.plan(ctx)
	if err != nil {
		return nil, err
	}
	if w, ok := w.(interface{ Grow(size int) }); ok { // a buffer in memory
		w.Grow(e.size(order))
	}
	out := &fileWriter{
		ctx: ctx, out: bufio.NewWriterSize(w, 64<<10), sum: sha256.New(), src: e, entries: make([]entry, len(order)+1),
		text: serialiser{number: func(r Ref) Ref { return number[r] }},
	}
	if out.enc = e.doc.enc; out.enc != nil && e.plain {
		out.enc, out.plain = nil, true
	}
	// A comment of high bytes marks the file as binary (7.5.2).
	out.write([]byte("%PDF-" + max(e.doc.version, "1.5") + "\n%\xC2\xA7\xC2\xB6\n"))
	for _, r := range order {
		if err := out.object(number[r], e.Object(r)); err != nil {
			return nil, fmt.Errorf("writing object %d: %w", r, err)
		}
	}
	if err := out.finish(number[e.doc.root], number[e.info], e.doc.id); err != nil {
		return nil, fmt.Errorf("writing the end of the file: %w", err)
	}
	return number, nil
}

// size is about how many bytes some objects take in the output.
func (e *Edit) size(refs []Ref) int {
	n := 4096
	for _, r := range refs {
		if n += 24; n > maxGrown {
			return maxGrown
		}
		if s, ok := e.Object(r).(*Stream); ok {
			n += len(s.Raw) + 200
		}
	}
	return n
}

// maxGrown bounds the memory that is asked for ahead of what is written.
const maxGrown = 1 << 30

// entry is where an object has been written: at an offset, or in a container
// at an index.
type entry struct {
	container Ref
	at        int64
}

// fileWriter writes a file object by object. The first failure stays in err.
type fileWriter struct {
	ctx  context.Context
	out  *bufio.Writer
	sum  hash.Hash
	size int64
	err  error

	src Objects
	// enc encrypts the file, unless it is nil; plain says that it is nil since
	// the encryption of the document is left out.
	enc   *encryption
	plain bool

	text serialiser
	// entries is by new number.
	entries []entry
	// waiting are the objects of the object stream to come, whose text is
	// pending, each beginning at its start.
	waiting []Ref
	starts  []int
	pending []byte
}

// write writes b, and counts and hashes it, in pieces where it is long.
func (f *fileWriter) write(b []byte) {
	for piece := range pieces(f.ctx, b) {
		if f.err != nil {
			return
		}
		n, err := f.out.Write(piece)
		f.sum.Write(piece[:n])
		f.size += int64(n)
		f.err = err
	}
	if f.err == nil {
		f.err = f.ctx.Err()
	}
}

// object writes a stream at once, and anything else with the next object
// stream.
func (f *fileWriter) object(num Ref, o Object) error {
	if err := f.ctx.Err(); err != nil {
		return err
	}
	if s, ok := o.(*Stream); ok {
		return f.stream(num, s)
	}
	if f.enc != nil && f.enc.openStreams() {
		return f.alone(num, o, f.enc.stringSealer(num))
	}
	f.text.buf = f.pending
	start := len(f.pending)
	if err := f.text.append(o, 0); err != nil {
		return err
	}
	f.pending = append(f.text.buf, '\n')
	f.waiting, f.starts = append(f.waiting, num), append(f.starts, start)
	if len(f.waiting) == perObjectStream {
		return f.flush()
	}
	return f.err
}

// stream writes a stream as an object of its own (7.3.8).
func (f *fileWriter) stream(num Ref, s *Stream) error {
	d, raw := s.Dict.Clone(), s.Raw
	var seal func(String) String
	if f.enc != nil {
		raw, seal = f.enc.sealed(f.ctx, f.src, num, s)
	} else if f.plain {
		d = withoutCrypt(f.src, d)
	}
	d["Length"] = Integer(len(raw))
	if err := f.begin(num, d, seal); err != nil {
		return err
	}
	f.write([]byte("stream\n"))
	f.write(raw)
	f.write([]byte("\nendstream\nendobj\n"))
	return f.err
}

// alone writes an object that stands in no object stream.
func (f *fileWriter) alone(num Ref, o Object, seal func(String) String) error {
	if err := f.begin(num, o, seal); err != nil {
		return err
	}
	f.write([]byte("endobj\n"))
	return f.err
}

// begin writes an object of its own up to its end, or to the data of a stream.
func (f *fileWriter) begin(num Ref, o Object, seal func(String) String) error {
	f.entries[num] = entry{at: f.size}
	f.text.buf = fmt.Appendf(nil, "%d 0 obj\n", num)
	f.text.seal = seal
	err := f.text.append(o, 0)
	f.text.seal = nil
	if err != nil {
		return err
	}
	f.write(append(f.text.buf, '\n'))
	return nil
}

// flush writes the waiting objects as an object stream.
func (f *fileWriter) flush() error {
	if len(f.waiting) == 0 {
		return f.err
	}
	container := Ref(len(f.entries))
	f.entries = append(f.entries, entry{})
	var data []byte
	for i, num := range f.waiting {
		f.entries[num] = entry{container, int64(i)}
		data = fmt.Appendf(data, "%d %d ", num, f.starts[i])
	}
	first := len(data)
	data = append(data, f.pending...)
	d := Dict{"Type": Name("ObjStm"), "N": Integer(len(f.waiting)), "First": Integer(first)}
	f.waiting, f.starts, f.pending = f.waiting[:0], f.starts[:0], f.pending[:0]
	return f.stream(container, NewStream(f.ctx, d, data))
}

// finish writes what is waiting, the cross-reference stream with the entries
// of the trailer, and the end of the file (7.5.5, 7.5.8).
func (f *fileWriter) finish(root, info Ref, id String) error {
	if err := f.flush(); err != nil {
		return err
	}
	encrypt := Ref(0)
	if f.enc != nil { // never encrypted itself, nor in an object stream (7.5.7, 7.6.1)
		encrypt = Ref(len(f.entries))
		f.entries = append(f.entries, entry{})
		if err := f.alone(encrypt, f.enc.dict, nil); err != nil {
			return err
		}
	}
	content := String(f.sum.Sum(nil)[:16])
	if id == "" && f.enc == nil { // the key depends on it
		id = content
	}
	num, at := Ref(len(f.entries)), f.size
	f.entries = append(f.entries, entry{at: at})
	data, widths := f.table()
	d := Dict{
		"Type": Name("XRef"), "Size": Integer(len(f.entries)), "W": widths,
		"Root": root, "ID": Array{id, content},
	}
	if info != 0 {
		d["Info"] = info
	}
	if encrypt != 0 {
		d["Encrypt"] = encrypt
	}
	// The references of the trailer are new numbers already.
	f.text.number = func(r Ref) Ref { return r }
	if err := f.stream(num, NewStream(f.ctx, d, data)); err != nil {
		return err
	}
	f.write(fmt.Appendf(nil, "startxref\n%d\n%%%%EOF\n", at))
	if f.err == nil {
		f.err = f.out.Flush()
	}
	return f.err
}

// table returns the rows of the cross-reference stream and the widths of
// their fields (Tables 17 and 18). Number 0 is free.
func (f *fileWriter) table() ([]byte, Array) {
	width := (bits.Len64(uint64(f.size)) + 7) / 8
	const index = 2
	data := make([]byte, 0, len(f.entries)*(1+width+index))
	data = appendRow(data, 0, 0, width, 0xFFFF, index)
	for _, e := range f.entries[1:] {
		if e.container == 0 {
			data = appendRow(data, 1, e.at, width, 0, index)
			continue
		}
		data = appendRow(data, 2, int64(e.container), width, e.at, index)
	}
	return data, Array{Integer(1), Integer(width), Integer(index)}
}

func appendRow(data []byte, kind byte, a int64, widthA int, b int64, widthB int) []byte {
	return appendBig(appendBig(append(data, kind), a, widthA), b, widthB)
}

func appendBig(data []byte, v int64, width int) []byte {
	for i := width - 1; i >= 0; i-- {
		data = append(data, byte(v>>(8*i)))
	}
	return data
}

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
	if bytes.IndexByte(buf[start:], '.') >= 0 {
		return buf
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
