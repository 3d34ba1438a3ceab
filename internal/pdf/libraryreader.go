package pdf

import (
	"bytes"
	"cmp"
	"io"
	"regexp"
	"runtime"
	"slices"
	"sync"
)

// libraryReader is a file as pdfcpu is to see it; nothing of it is copied but
// what is asked for. No offset changes.
//
// White space within hexadecimal strings stands at their ends: pdfcpu takes a
// digit before white space for the first of a pair (7.3.4.3 ignores the space).
// What only looks like one, in the text of a string, changes too; objects of
// which anything changes are read again, see rereadPatched. The data of large
// streams is not given at all: our streams are spans of the file itself.
type libraryReader struct {
	data    []byte
	in      *bytes.Reader
	patches []patch // ascending, apart from each other
	large   int     // the least size of a stream that is not given
}

// patch replaces bytes.
type patch struct {
	at   int
	text []byte
}

// largeStream is the least size of a stream whose data pdfcpu does not get. It
// makes room for it, but what is never written to takes no memory.
const largeStream = 64 << 10

func newLibraryReader(data []byte, large int) *libraryReader {
	return &libraryReader{data: data, in: bytes.NewReader(data), patches: outsideStreams(data, evenHex(data)), large: large}
}

// Read implements io.Reader.
func (r *libraryReader) Read(p []byte) (int, error) {
	from := len(r.data) - r.in.Len()
	if len(p) >= r.large && isStreamData(r.data, from, from+len(p)) {
		_, err := r.in.Seek(int64(len(p)), io.SeekCurrent)
		return len(p), err
	}
	n, err := r.in.Read(p)
	i, _ := slices.BinarySearchFunc(r.patches, from, func(x patch, at int) int { return cmp.Compare(x.at+len(x.text), at) })
	for ; i < len(r.patches) && r.patches[i].at < from+n; i++ {
		x := r.patches[i]
		copy(p[max(0, x.at-from):n], x.text[max(0, from-x.at):])
	}
	return n, err
}

// Seek implements io.Seeker.
func (r *libraryReader) Seek(offset int64, whence int) (int64, error) {
	return r.in.Seek(offset, whence)
}

// longestDict bounds the text of a stream's dictionary that isStreamData goes
// through.
const longestDict = 4 << 10

// isStreamData tells whether a span is the data of a stream, all of it (7.3.8),
// that is neither a cross-reference nor an object stream: those pdfcpu reads.
func isStreamData(data []byte, start, end int) bool {
	if end > len(data) || !bytes.HasPrefix(bytes.TrimLeft(data[end:min(end+16, len(data))], "\r\n"), []byte("endstream")) {
		return false
	}
	head := data[max(0, start-longestDict):start]
	head, ok := bytes.CutSuffix(bytes.TrimRight(head, "\r\n"), []byte("stream"))
	if !ok {
		return false
	}
	obj := bytes.LastIndex(head, []byte("obj"))
	if obj < 0 {
		return false
	}
	dict := head[obj:]
	return bytes.Contains(dict, []byte("<<")) && !bytes.Contains(dict, []byte("ObjStm")) && !bytes.Contains(dict, []byte("XRef")) &&
		!bytes.Contains(dict, []byte("#")) // which may spell these
}

// brokenHex finds hexadecimal strings with white space within.
var brokenHex = regexp.MustCompile(`<[0-9A-Fa-f]+[\s\x00]+[0-9A-Fa-f\s\x00]*>`)

// hasBrokenHex tells whether text holds such a string; it is fast where it does
// not.
func hasBrokenHex(text []byte) bool {
	for at := 0; ; {
		i := bytes.IndexByte(text[at:], '<')
		if i < 0 {
			return false
		}
		for at += i + 1; at < len(text) && hexValue(text[at]) >= 0; at++ {
		}
		if at < len(text) && isSpace(text[at]) {
			return brokenHex.Match(text)
		}
	}
}

// evenHex finds the hexadecimal strings with white space within, and writes it
// behind their digits.
func evenHex(data []byte) []patch {
	parts := cutAt(data, '<', runtime.GOMAXPROCS(0)) // which none of them holds but as its first byte
	found := make([][]patch, len(parts)-1)
	var group sync.WaitGroup
	for i, from := range parts[:len(parts)-1] {
		group.Go(func() {
			for _, at := range brokenHex.FindAllIndex(data[from:parts[i+1]], -1) {
				found[i] = append(found[i], patch{from + at[0], spaceLast(data[from+at[0] : from+at[1]])})
			}
		})
	}
	group.Wait()
	return slices.Concat(found...)
}

// outsideStreams leaves out the patches in the data of streams, which may be
// compressed.
func outsideStreams(data []byte, patches []patch) (outside []patch) {
	word, end := cursor{word: "stream"}, 0 // of the stream before
	for _, x := range patches {
		for s := word.next(data, end); end <= x.at && s < x.at; s = word.next(data, end) {
			end = afterStream(data, s)
		}
		if end <= x.at {
			outside = append(outside, x)
		}
	}
	return outside
}

// cutAt gives where data is cut into n parts, as near to alike as may be, of
// which all but the first begin with a byte, or are empty: the beginnings, and
// the end.
func cutAt(data []byte, with byte, n int) []int {
	cuts := []int{0}
	for i := 1; i < n; i++ {
		from := max(cuts[i-1], len(data)/n*i)
		next := bytes.IndexByte(data[from:], with)
		if next < 0 {
			next = len(data) - from
		}
		cuts = append(cuts, from+next)
	}
	return append(cuts, len(data))
}

// spaceLast is a hexadecimal string with its white space at its end.
func spaceLast(text []byte) []byte {
	out := text[:1:1]
	for _, c := range text[1 : len(text)-1] {
		if !isSpace(c) {
			out = append(out, c)
		}
	}
	for len(out) < len(text)-1 {
		out = append(out, ' ')
	}
	return append(out, '>')
}
