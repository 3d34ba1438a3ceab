package rewrite

import "github.com/sizeply/sizeply/internal/content"

// A piece is something that may go to the output: a span of the input, or
// text of our own.
type piece struct {
	// gap is the end of the operation before: data[gap:start] is the white
	// space and comments between.
	gap, start, end int
	text            string // instead of the span, where not empty
	path            bool   // path construction or clipping
	hidden          bool   // stands in removed content: its gap is not kept
	run             bool   // of several operations, for addRun
	advance         int    // 1 + index of a displacement, 0 for none
	// tagging is the section that it begins, which may come to begin
	// otherwise: it does not become one with its neighbours.
	tagging *tagging
}

// span is a half-open range of bytes.
type span struct{ start, end int }

// An emitter collects pieces. Neighbouring spans become one.
type emitter struct {
	data   []byte
	pieces []piece
}

func (e *emitter) add(p piece) { e.pieces = join(e.pieces, p) }

// addRun adds a piece, a run as its single operations.
func (e *emitter) addRun(p piece) {
	if !p.run {
		e.add(p)
		return
	}
	scan := content.NewScanner(e.data[p.start:p.end])
	var op content.Operation
	for one := p; scan.Next(&op); one.gap = one.end {
		one.start, one.end, one.run = p.start+op.Start, p.start+op.End, false
		e.add(one)
	}
}

// join appends p, or stretches the last piece over it where both are plain
// spans that touch.
func join(pieces []piece, p piece) []piece {
	if n := len(pieces); n > 0 && p.text == "" && p.tagging == nil {
		if last := &pieces[n-1]; last.text == "" && last.tagging == nil && last.end == p.gap &&
			!p.hidden && !last.hidden && last.path == p.path {
			last.end = p.end
			return pieces
		}
	}
	return append(pieces, p)
}

// size is about how many bytes the pieces are, displacements left out.
func (e *emitter) size() int {
	n := 1
	for _, p := range e.pieces {
		n += p.end - min(p.gap, p.start) + len(p.text) + 1
	}
	return n
}

// bytes writes the pieces out, and tells which of it stands in removed content.
// live says which displacements are needed.
func (e *emitter) bytes(live []displacement) (out []byte, hidden []span) {
	out = make([]byte, 0, e.size())
	last := -1 // where the span before ended
	for _, p := range e.pieces {
		if p.tagging != nil && p.tagging.now != "" {
			p.text = p.tagging.now
		}
		if p.hidden {
			hidden = append(hidden, span{len(out), len(out)})
		}
		switch {
		case p.advance > 0:
			if d := live[p.advance-1]; d.live {
				out = append(append(out, '\n'), d.operator()...)
			}
			last = -1
		case p.text != "":
			out = append(append(out, '\n'), p.text...)
			last = -1
		case !p.hidden && (p.gap == last || p.gap == 0 && last < 0 && len(out) == 0):
			out = append(out, e.data[p.gap:p.end]...)
			last = p.end
		default:
			if len(out) > 0 {
				out = append(out, '\n')
			}
			out = append(out, e.data[p.start:p.end]...)
			last = p.end
		}
		if p.hidden {
			hidden[len(hidden)-1].end = len(out)
		}
	}
	if len(out) > 0 {
		out = append(out, '\n')
	}
	return out, hidden
}
