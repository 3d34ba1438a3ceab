package bench

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"maps"
	"slices"
)

// file writes a PDF file with a plain cross-reference table (7.5.4). The first
// failure stays in err.
type file struct {
	out  *bufio.Writer
	at   int
	next int
	// offsets is where each object begins.
	offsets map[int]int
	err     error
}

func newFile(out io.Writer) *file {
	f := &file{out: bufio.NewWriter(out), next: firstGroup, offsets: map[int]int{}}
	f.write([]byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"))
	return f
}

func (f *file) write(b []byte) {
	n, err := f.out.Write(b)
	f.at += n
	if f.err == nil {
		f.err = err
	}
}

// put writes an object under its number.
func (f *file) put(number int, text string) {
	f.offsets[number] = f.at
	f.write(fmt.Appendf(nil, "%d 0 obj\n%s\nendobj\n", number, text))
}

// add writes an object under a new number, and returns that.
func (f *file) add(text string) int {
	n := f.next
	f.next++
	f.put(n, text)
	return n
}

// stream writes a stream, compressed as drawing programs do it.
func (f *file) stream(dict string, data []byte) int {
	packed, err := f.deflated(data)
	if f.err == nil {
		f.err = err
	}
	n := f.next
	f.next++
	f.offsets[n] = f.at
	f.write(fmt.Appendf(nil, "%d 0 obj\n<<%s/Filter/FlateDecode/Length %d>>\nstream\n", n, dict, len(packed)))
	f.write(packed)
	f.write([]byte("\nendstream\nendobj\n"))
	return n
}

func (f *file) deflated(data []byte) ([]byte, error) {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, err := w.Write(data)
	if err == nil {
		err = w.Close()
	}
	return b.Bytes(), err
}

// finish writes the cross-reference table and the trailer.
func (f *file) finish() error {
	start := f.at
	f.write(fmt.Appendf(nil, "xref\n0 %d\n%010d 65535 f \n", f.next, 0))
	for _, n := range slices.Sorted(maps.Keys(f.offsets)) {
		f.write(fmt.Appendf(nil, "%010d 00000 n \n", f.offsets[n]))
	}
	f.write(fmt.Appendf(nil, "trailer\n<</Size %d/Root %d 0 R>>\nstartxref\n%d\n%%%%EOF\n", f.next, catalogObject, start))
	if f.err != nil {
		return f.err
	}
	return f.out.Flush()
}
