package rewrite

import (
	"context"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// A piece is something that may go to the output: a span of the input, or
// text of our own.
type piece struct {
	// gap is the end of the operation before: data[gap:start] is the white
	// space and comments between.
	gap, start, end int
	text            string // instead of the span, where not empty
	path            bool   // path construction or clipping
	hidden          bool   // stands in removed content: its gap is not kept
	run             bool   // of several operations in removed content
	advance         int    // 1 + index of a displacement, 0 for none
	// description is that of the section that it begins, which may come to begin
	// otherwise: it does not become one with its neighbours.
	description *description
}

// span is a half-open range of bytes.
type span struct{ start, end int }

// An output collects pieces. Neighbouring spans become one, in removed content a run.
type output struct {
	data   []byte
	pieces []piece
}

func (o *output) add(p piece) { o.pieces = join(o.pieces, p) }

// join appends p, or stretches the last piece over it where both are plain
// spans that touch.
func join(pieces []piece, p piece) []piece {
	if n := len(pieces); n > 0 && p.plain() {
		if last := &pieces[n-1]; last.plain() && last.end == p.gap && last.hidden == p.hidden && last.path == p.path {
			last.end, last.run = p.end, p.hidden
			return pieces
		}
	}
	return append(pieces, p)
}

// plain reports whether a piece is a span of the input as it is.
func (p *piece) plain() bool { return p.text == "" && p.description == nil && p.advance == 0 }

// appendRun appends the operations of a run, a line each.
func appendRun(ctx context.Context, out, run []byte) []byte {
	scan := content.NewScanner(run).Within(ctx)
	var op content.Operation
	for scan.Next(&op) {
		if len(out) > 0 {
			out = append(out, '\n')
		}
		out = append(out, run[op.Start:op.End]...)
	}
	return out
}

// bytes writes the pieces out, and tells which of it stands in removed content.
// moves are the displacements; those that are not live are left out. What it gives does
// not count once ctx has ended.
func (o *output) bytes(ctx context.Context, moves []displacement) (out []byte, hidden []span) {
	size := 1 // about, without displacements
	for _, p := range o.pieces {
		size += p.end - min(p.gap, p.start) + len(p.text) + 1
	}
	out = pdf.Lend(size)
	last := -1 // where the span before ended
	for i, p := range o.pieces {
		if i%lookEvery == 0 && ctx.Err() != nil {
			break
		}
		if p.description != nil && p.description.now != "" {
			p.text = p.description.now
		}
		start := len(out)
		switch {
		case p.advance > 0:
			if d := moves[p.advance-1]; d.live {
				out = append(append(out, '\n'), d.operator()...)
			}
			last = -1
		case p.text != "":
			out = append(append(out, '\n'), p.text...)
			last = -1
		case !p.hidden && (p.gap == last || p.gap == 0 && last < 0 && len(out) == 0):
			out = append(out, o.data[p.gap:p.end]...)
			last = p.end
		case p.run:
			out = appendRun(ctx, out, o.data[p.start:p.end])
			last = p.end
		default:
			if len(out) > 0 {
				out = append(out, '\n')
			}
			out = append(out, o.data[p.start:p.end]...)
			last = p.end
		}
		if p.hidden {
			hidden = append(hidden, span{start, len(out)})
		}
	}
	if len(out) > 0 {
		out = append(out, '\n')
	}
	return out, hidden
}
