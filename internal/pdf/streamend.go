package pdf

import "bytes"

const endStream = "endstream"

// streamEnds finds where the data of streams ends. Asked for streams in
// ascending order it looks at each byte once.
type streamEnds struct {
	data []byte
	// next is where the first endstream at or after from stands.
	from, next int
	begun      bool
}

// find returns the end of the data that begins at start. The length given
// counts where endstream, or else endobj, follows; else the data ends before
// the next endstream, and trusted is false (7.3.8.1).
func (e *streamEnds) find(start, length int) (end int, trusted bool) {
	if length >= 0 && length <= len(e.data)-start && e.follows(start+length) {
		return start + length, true
	}
	return e.search(start), false
}

// follows tells whether a stream may end at i.
func (e *streamEnds) follows(i int) bool {
	x := lexer{data: e.data, pos: i}
	for x.pos < min(len(x.data), i+64) && isSpace(x.data[x.pos]) {
		x.pos++
	}
	return x.startsWith(endStream) || x.startsWith("endobj")
}

// search returns where the data ends by the next endstream, or with the file.
// The end of line before endstream is not data.
func (e *streamEnds) search(start int) int {
	if !e.begun || start < e.from || start > e.next {
		e.begun, e.from, e.next = true, start, len(e.data)
		if i := bytes.Index(e.data[start:], []byte(endStream)); i >= 0 {
			e.next = start + i
		}
	}
	end := e.next
	if end == len(e.data) {
		return end
	}
	if end > start && e.data[end-1] == '\n' {
		end--
	}
	if end > start && e.data[end-1] == '\r' {
		end--
	}
	return end
}
