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
	if o.Op.Class() != ClassPath || !o.Floats(v[:operators[o.Op].operands]) {
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
		s.Points = [4]Point{
			m.Apply(Point{x, y}), m.Apply(Point{right, y}), m.Apply(Point{right, top}), m.Apply(Point{x, top}),
		}
	case OpMoveTo, OpLineTo:
		s.Points[0] = m.Apply(Point{v[0], v[1]})
	default:
		s.Points[0], s.Points[1] = m.Apply(Point{v[0], v[1]}), m.Apply(Point{v[2], v[3]})
		if op == OpCurveTo {
			s.Points[2] = m.Apply(Point{v[4], v[5]})
		}
	}
}

// Path accumulates path construction operators (ISO 32000-1, 8.5.2). It keeps
// no segments, only what can be said of them. Points are transformed when they
// are constructed: a cm inside a path moves only what comes after it. The zero
// value is an empty path.
type Path struct {
	extent   Rect
	segments int

	started   bool // there is a current point
	closed    bool // nothing came since the last h or re
	start, at Point
}

// Append executes a path construction operator. It returns false, and does
// nothing, for other operators, for missing operands, and for a segment
// without a current point, which Poppler and MuPDF ignore too (from memory).
func (p *Path) Append(op *Operation, ctm Matrix) bool {
	s, ok := op.Segment(ctm)
	return ok && p.Add(&s)
}

// The following take points in the space of the extent.

// Add adds a segment, or begins a subpath. It is false where there is no current
// point for it.
func (p *Path) Add(s *Segment) bool {
	a := &s.Points
	switch {
	case s.Op == OpMoveTo:
		p.MoveTo(a[0])
	case s.Op == OpRectangle:
		p.MoveTo(a[0]) // m l l l h
		for _, corner := range a[1:] {
			p.LineTo(corner)
		}
		p.Close()
	case !p.started:
		return false
	case s.Op == OpLineTo:
		p.LineTo(a[0])
	case s.Op == OpCurveTo:
		p.CurveTo(a[0], a[1], a[2])
	case s.Op == OpCurveToV:
		p.CurveTo(p.at, a[0], a[1])
	case s.Op == OpCurveToY:
		p.CurveTo(a[0], a[1], a[1])
	case s.Op == OpClosePath:
		p.Close()
	}
	return true
}

// MoveTo begins a subpath. One that gets no segment counts for nothing.
func (p *Path) MoveTo(to Point) {
	p.started, p.closed, p.start, p.at = true, false, to, to
}

// LineTo adds a straight segment.
func (p *Path) LineTo(to Point) {
	p.segment(Bounds(p.at, to), to)
}

// CurveTo adds a cubic Bézier curve.
func (p *Path) CurveTo(c1, c2, to Point) {
	p.segment(CurveBounds(p.at, c1, c2, to), to)
}

// Close draws a segment to the start of the subpath, of no length where the
// subpath is a mere point or ends there. Closing twice is closing once.
func (p *Path) Close() {
	if p.started && !p.closed {
		p.LineTo(p.start)
		p.closed = true
	}
}

// Reset empties the path.
func (p *Path) Reset() { *p = Path{} }

// Extent returns the exact bounds of all segments, the width of a stroke not
// included (State.StrokeReach); empty without segments.
func (p *Path) Extent() Rect {
	if p.segments == 0 {
		return EmptyRect()
	}
	return p.extent
}

// Segments returns the number of lines and curves, those that close a subpath
// included: re has four.
func (p *Path) Segments() int { return p.segments }

// segment adds a segment with these bounds that ends at a point.
func (p *Path) segment(bounds Rect, to Point) {
	if p.segments == 0 {
		p.extent = bounds
	}
	p.extent = p.extent.Union(bounds)
	p.segments++
	p.closed, p.at = false, to
}
