package pdf

import (
	"bufio"
	"context"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
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
// Decrypt was called; one that must not be changed gives a *PermissionError.
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
	out := newFileWriter(w, number, len(order))
	out.src, out.enc, out.plain = e, e.doc.enc, e.doc.enc != nil && e.plain
	if out.plain {
		out.enc = nil
	}
	out.header(max(e.doc.version, "1.5"))
	for _, r := range order {
		if err := out.object(ctx, number[r], e.Object(r)); err != nil {
			return nil, fmt.Errorf("writing object %d: %w", r, err)
		}
	}
	info := number[e.info]
	if err := out.finish(number[e.doc.root], info, e.doc.id); err != nil {
		return nil, fmt.Errorf("writing the end of the file: %w", err)
	}
	return number, nil
}

// entry is where an object has been written: at an offset, or in a container
// at an index.
type entry struct {
	container Ref
	at        int64
}

// fileWriter writes a file object by object. The first failure stays in err.
type fileWriter struct {
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

func newFileWriter(w io.Writer, number map[Ref]Ref, n int) *fileWriter {
	f := &fileWriter{out: bufio.NewWriterSize(w, 64<<10), sum: sha256.New(), entries: make([]entry, n+1)}
	f.text.number = func(r Ref) Ref { return number[r] }
	return f
}

// write writes b, and counts and hashes it.
func (f *fileWriter) write(b []byte) {
	if f.err != nil {
		return
	}
	n, err := f.out.Write(b)
	f.sum.Write(b[:n])
	f.size += int64(n)
	f.err = err
}

// header writes the header and a comment of high bytes, which marks the file
// as binary (7.5.2).
func (f *fileWriter) header(version string) {
	f.write([]byte("%PDF-" + version + "\n%\xC2\xA7\xC2\xB6\n"))
}

// object writes a stream at once, and anything else with the next object
// stream.
func (f *fileWriter) object(ctx context.Context, num Ref, o Object) error {
	if err := ctx.Err(); err != nil {
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
		raw, seal = f.enc.sealed(f.src, num, s)
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
	return f.stream(container, NewStream(d, data))
}
