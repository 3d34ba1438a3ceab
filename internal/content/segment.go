package content

// Segment is a path construction operator with its points (8.5.2, Table 59).
type Segment struct {
	Op Op
	// Points are those of the operands, in their order: one for m and l, two
	// for v and y, three for c, none for h; for re the corners in the order in
	// which they are drawn.
	Points [4]Point
}

// Segment returns a path construction operation as its points, taken to another
// space by a matrix; false for other operators and for missing operands.
func (o *Operation) Segment(m Matrix) (s Segment, ok bool) {
	var v [6]float64
	kinds, _ := o.Op.signature()
	if o.Op.Class() != ClassPath || !o.Floats(v[:len(kinds)]) {
		return s, false
	}
	s.set(o.Op, &v, m)
	return s, true
}

// set makes a segment of an operator and its operands.
func (s *Segment) set(op Op, v *[6]float64, m Matrix) {
	s.Op = op
	switch op {
	case OpClosePath:
	case OpRectangle:
		x, y, right, top := v[0], v[1], v[0]+v[2], v[1]+v[3]
		s.Points = [4]Point{m.Apply(Point{x, y}), m.Apply(Point{right, y}), m.Apply(Point{right, top}), m.Apply(Point{x, top})}
	case OpMoveTo, OpLineTo:
		s.Points[0] = m.Apply(Point{v[0], v[1]})
	default:
		s.Points[0], s.Points[1] = m.Apply(Point{v[0], v[1]}), m.Apply(Point{v[2], v[3]})
		if op == OpCurveTo {
			s.Points[2] = m.Apply(Point{v[4], v[5]})
		}
	}
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
