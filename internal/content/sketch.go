package content

import "context"

// MaxSides bounds the straight lines of a subpath that a sketch keeps.
const MaxSides = 64

// Sketch returns content without the subpaths that have a curve or more than
// MaxSides lines: what is left of a drawing where simple shapes and text are
// looked for. All other operations are kept, and so is every path that clips.
// The result is a copy where anything is removed, else data itself; it does not count
// once ctx has ended.
func Sketch(ctx context.Context, data []byte) []byte {
	var out []byte
	scan, from := NewScanner(data).Within(ctx), 0
	var op Operation
	var k sketcher
	for scan.Next(&op) {
		if op.Op.Class() != ClassPath {
			continue
		}
		if scan.pos = k.path(data, op.Start, op.End); !paintsAt(data, scan.pos) {
			continue
		}
		for _, g := range k.removed {
			out = append(out, data[from:g.start]...)
			from = g.end
		}
	}
	if from == 0 {
		return data
	}
	return append(out, data[from:]...)
}

// paintsAt reports whether the next token is an operator that paints, or ends
// the path without painting.
func paintsAt(data []byte, i int) bool {
	i = skipSpace(data, i)
	return i < len(data) && Lookup(data[i:wordEnd(data, i)]).Class() == ClassPaint
}

// sketcher finds the subpaths of a path that a sketch removes.
type sketcher struct {
	removed []span
	at      subpath // the one at hand
}

type span struct{ start, end int }

// subpath is the span of a subpath from its m or re on, and what it is made of.
type subpath struct {
	span
	sides  int
	curved bool
	closed bool
	mixed  bool // not simple enough to judge: it continues behind h, begins without m, or lacks operands
}

// path goes through the path construction operations from start on, as far as
// there is nothing but numbers and operators, and no m without its two operands.
// It returns where they end, which is no earlier than least, the end of the first
// operation, and leaves the subpaths to remove in removed.
func (k *sketcher) path(data []byte, start, least int) (end int) {
	k.removed, k.at = k.removed[:0], subpath{mixed: true}
	end = start
	for i := start; ; {
		numbers, before := charClass(0), charClass(0)
		for ; i < len(data); i++ {
			part := classes[data[i]] - white // 0 for white space, 1 for numbers
			if part > 1 {
				break
			}
			numbers += part &^ before // beyond 255 it wraps: the operator takes the last ones
			before = part
		}
		n := pathOperator(data[i:])
		if n == 0 || data[i] == 'm' && numbers != 2 {
			break
		}
		i += n
		k.add(data[i-n], int(numbers), end, i)
		end = i
	}
	k.finish()
	return max(end, least)
}

// add takes an operation with the number of its operands.
func (k *sketcher) add(operator byte, operands, start, end int) {
	s := &k.at
	switch operator {
	case 'm', 'r':
		k.finish()
		*s = subpath{span: span{start, end}, mixed: operator == 'r'}
		return
	case 'l':
		s.sides++
		s.mixed = s.mixed || operands < 2
	case 'h':
		s.mixed, s.closed, s.end = s.mixed || s.closed, true, end
		return
	case 'c':
		s.curved = true
		s.mixed = s.mixed || operands < 6
	default: // v and y
		s.curved = true
		s.mixed = s.mixed || operands < 4
	}
	s.mixed, s.end = s.mixed || s.closed, end
}

// finish notes the subpath at hand where a sketch removes it.
func (k *sketcher) finish() {
	if s := &k.at; !s.mixed && (s.curved || s.sides > MaxSides) {
		k.removed = append(k.removed, s.span)
	}
}
