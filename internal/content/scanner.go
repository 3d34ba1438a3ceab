package content

import (
	"context"
	"math"
)

// maxOperands bounds the operands kept for an operation. Operators take at
// most 33 (SCN with 32 colorants, ISO 32000-1, Table C.1, and a pattern).
const maxOperands = 128

// Scanner steps through the operations of a content stream. It allocates
// nothing for each operation and never fails: bytes that are no token are
// passed over.
type Scanner struct {
	// ColourComponents, if set, gives the number of components of a colour
	// space that an inline image calls by its resource name; false if it is
	// unknown. It helps to measure image data.
	ColourComponents func(name string) (int, bool)

	data     []byte
	pos      int
	ctx      context.Context // nil for none
	lookAt   int             // where to look at it next
	stray    int             // see Stray, -1 for none
	operands [maxOperands]Operand
	measure  measurer
}

// NewScanner begins at the start of data, which it never changes.
func NewScanner(data []byte) *Scanner {
	s := &Scanner{}
	s.Reset(data)
	return s
}

// Reset begins anew with other data.
func (s *Scanner) Reset(data []byte) {
	s.data, s.pos, s.stray, s.measure = data, 0, -1, measurer{budget: measureBudget}
	s.ctx, s.lookAt = nil, math.MaxInt
}

// lookEvery is how many bytes are gone through between two looks at a context.
const lookEvery = 256 << 10

// Within lets the operations end early, as at the end of the data, once ctx has ended.
// It is for the data at hand.
func (s *Scanner) Within(ctx context.Context) *Scanner {
	s.ctx, s.lookAt = ctx, s.pos
	return s
}

// ended reports whether there is a context and it has ended.
func (s *Scanner) ended() bool {
	if s.pos < s.lookAt {
		return false
	}
	s.lookAt = s.pos + lookEvery
	return s.ctx.Err() != nil
}

// Next reads the next operation; false at the end, or once a context has ended: see
// Within. Operands without an operator at the end of the stream are no operation.
func (s *Scanner) Next(op *Operation) bool {
	if s.ended() {
		return false
	}
	data, i, n, start := s.data, s.pos, 0, -1
	for i < len(data) {
		var kind Kind
		var end int
		switch classes[data[i]] {
		case white:
			i++
			continue
		case percent:
			i = commentEnd(data, i)
			continue
		case numeric:
			kind, end = Number, numberEnd(data, i)
			if end < len(data) && isRegular(data[end]) && s.stray < 0 {
				s.stray = i
			}
		case regular:
			end = wordEnd(data, i)
			word := data[i:end]
			code := Lookup(word)
			if code != OpUnknown || !isLiteral(word) {
				if start < 0 {
					start = i
				}
				s.finish(op, code, s.operands[:n], start, i, end)
				return true
			}
			kind = Keyword
		default:
			var shut bool
			if kind, end, shut = lexOperand(data, i); (kind == 0 || !shut) && s.stray < 0 {
				s.stray = i
			}
		}
		if kind != 0 {
			if start < 0 {
				start = i
			}
			if n == maxOperands { // the older half makes room
				n = copy(s.operands[:], s.operands[maxOperands/2:])
			}
			s.operands[n] = Operand{kind, i, end}
			n++
		}
		i = end
	}
	if n > 0 && s.stray < 0 {
		s.stray = start
	}
	s.pos = i
	return false
}

// Stray is where the first bytes stand that belong to no operation as the standard
// has it, of those that Next has gone through: what is no token, a number that ends in
// something else, an operand without an end, operands without an operator at the end of
// the stream. ok is false where there are none.
func (s *Scanner) Stray() (at int, ok bool) { return s.stray, s.stray >= 0 }

// finish fills op with the operator at data[word:end] and what comes before.
func (s *Scanner) finish(op *Operation, code Op, operands []Operand, start, word, end int) {
	op.Op, op.Start, op.End = code, start, end
	op.Operands, op.first = operands, 0
	if kinds := operators[code].operands; kinds != anyOperands {
		op.first = max(0, len(operands)-len(kinds))
	}
	op.data, op.word = s.data, word
	op.Inline = InlineImage{}
	if code == OpInlineImage {
		op.Inline, op.End = s.inlineImage(end)
	}
	s.pos = op.End
}

// isLiteral reports whether a word is an operand (7.3.2, 7.3.9).
func isLiteral(word []byte) bool {
	switch string(word) {
	case "true", "false", "null":
		return true
	}
	return false
}

// SkipPath passes over the path construction operations that follow, as long as
// they are written with nothing but numbers, as many as each takes, white space and
// their operators, and returns the span from the first to the last of them. It looks at no
// operand and is for paths that nobody wants to see. Next goes on behind them;
// over the span it would give the same operations. Of a very long path it passes over
// a part at a time, where the scanner has a context to look at.
func (s *Scanner) SkipPath() (start, end int) {
	data := s.data
	for start = s.pos; start < len(data) && classes[data[start]] == white; start++ {
	}
	end = start
	for i := start; ; {
		numbers, before := 0, white
		for i < len(data) {
			c := classes[data[i]]
			if c-white > numeric-white {
				break
			}
			if c > before {
				numbers++
			}
			before = c
			i++
		}
		n := pathOperator(data[i:])
		if n == 0 || before != white {
			break
		}
		if _, takes := plainSegment(data[i]); takes != numbers {
			break
		}
		i += n
		if end = i; end > s.lookAt {
			break
		}
	}
	if end > start {
		s.pos = end
	}
	return start, end
}

// SkipPainted is SkipPath for a path that is painted right behind it, and clips
// nothing. It passes over no other, and returns false.
func (s *Scanner) SkipPainted() bool {
	from, lookAt := s.pos, s.lookAt
	s.lookAt = math.MaxInt // all of the path
	s.SkipPath()
	if s.lookAt = lookAt; paintsAt(s.data, s.pos) {
		return true
	}
	s.pos = from
	return false
}

// pathOperator returns the length of the path construction operator that data
// begins with, white space behind it; 0 where there is none.
func pathOperator(data []byte) int {
	n := 1
	if len(data) > 2 && data[0] == 'r' && data[1] == 'e' {
		n = 2
	}
	if len(data) <= n || classes[data[n]] != white {
		return 0
	}
	switch data[0] {
	case 'c', 'l', 'm', 'v', 'y', 'h':
		return n
	case 'r':
		return n - n%2
	}
	return 0
}

// NextSegment reads the next operation as a segment, where it is path
// construction in plain writing: its numbers have one sign at most, before them,
// and up to 18 digits or a point among them, and nothing but white space stands
// between, as nearly all programs write paths. Everything else it leaves to Next,
// and returns false.
func (s *Scanner) NextSegment(seg *Segment, m Matrix) bool {
	var v [6]float64
	data, i, n := s.data, s.pos, 0
	for i < len(data) {
		switch classes[data[i]] {
		case white:
			i++
		case numeric:
			if n == len(v) {
				return false
			}
			end, ok := plainNumber(data, i, &v[n])
			if !ok {
				return false
			}
			i, n = end, n+1
		default:
			length := pathOperator(data[i:])
			if length == 0 {
				return false
			}
			op, operands := plainSegment(data[i])
			if n != operands {
				return false
			}
			seg.set(op, &v, m)
			s.pos = i + length
			return true
		}
	}
	return false
}

// plainSegment tells a path construction operator by its first character, and
// how many operands it takes.
func plainSegment(c byte) (op Op, operands int) {
	switch c {
	case 'm':
		return OpMoveTo, 2
	case 'l':
		return OpLineTo, 2
	case 'c':
		return OpCurveTo, 6
	case 'v':
		return OpCurveToV, 4
	case 'y':
		return OpCurveToY, 4
	case 'h':
		return OpClosePath, 0
	}
	return OpRectangle, 4
}

// plainNumber reads the number that begins at i. It is false for what is not in
// plain writing.
func plainNumber(data []byte, i int, v *float64) (end int, ok bool) {
	negative := data[i] == '-'
	if negative || data[i] == '+' {
		i++
	}
	var digits uint64
	first, point := i, -1
	for ; i < len(data); i++ {
		c := data[i]
		if d := c - '0'; d <= 9 {
			digits = digits*10 + uint64(d)
		} else if c == '.' && point < 0 {
			point = i
		} else {
			break
		}
	}
	if i == len(data) || classes[data[i]] != white || i-first > 18 || i == first {
		return i, false
	}
	x := float64(digits)
	if point >= 0 {
		x /= powersOfTen[i-1-point]
	}
	if negative && x != 0 {
		x = -x
	}
	*v = x
	return i, true
}
