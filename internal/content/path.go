package content

// Path accumulates path construction operators (ISO 32000-1, 8.5.2). It keeps
// no segments, only what can be said of them. Points are transformed when they
// are constructed: a cm inside a path moves only what comes after it. The zero
// value is an empty path.
type Path struct {
	extent   Rect
	segments int
	subpaths int

	started   bool // there is a current point
	drawing   bool // the current subpath has segments
	closed    bool // nothing came since the last h or re
	start, at Point

	corners   [5]Point // of the first subpath, as long as it is of lines
	cornerN   int
	noCorners bool // it is no rectangle
}

// Append executes a path construction operator. It returns false, and does
// nothing, for other operators, for missing operands, and for a segment
// without a current point, which Poppler and MuPDF ignore too (from memory).
func (p *Path) Append(op *Operation, ctm Matrix) bool {
	var v [6]float64
	kinds, _ := op.Op.signature()
	if op.Op.Class() != ClassPath || !op.Floats(v[:len(kinds)]) {
		return false
	}
	switch op.Op {
	case OpMoveTo:
		p.MoveTo(ctm.Apply(Point{v[0], v[1]}))
		return true
	case OpRectangle:
		p.Rectangle(v[0], v[1], v[2], v[3], ctm)
		return true
	}
	if !p.started {
		return false
	}
	a, b := ctm.Apply(Point{v[0], v[1]}), ctm.Apply(Point{v[2], v[3]})
	switch op.Op {
	case OpLineTo:
		p.LineTo(a)
	case OpCurveTo:
		p.CurveTo(a, b, ctm.Apply(Point{v[4], v[5]}))
	case OpCurveToV:
		p.CurveTo(p.at, a, b)
	case OpCurveToY:
		p.CurveTo(a, b, b)
	case OpClosePath:
		p.Close()
	}
	return true
}

// The following take points in the space of the extent.

// MoveTo begins a subpath. One that gets no segment counts for nothing.
func (p *Path) MoveTo(to Point) {
	p.started, p.drawing, p.closed = true, false, false
	p.start, p.at = to, to
}

// LineTo adds a straight segment.
func (p *Path) LineTo(to Point) {
	p.segment(Bounds(p.at, to))
	p.corner(to)
	p.at = to
}

// CurveTo adds a cubic Bézier curve.
func (p *Path) CurveTo(c1, c2, to Point) {
	p.segment(CurveBounds(p.at, c1, c2, to))
	p.noCorners = true
	p.at = to
}

// Close draws a segment to the start of the subpath, of no length where the
// subpath is a mere point or ends there. Closing twice is closing once.
func (p *Path) Close() {
	if p.started && !p.closed {
		p.LineTo(p.start)
		p.drawing, p.closed = false, true
	}
}

// Rectangle adds what re adds: m l l l h in user space.
func (p *Path) Rectangle(x, y, width, height float64, ctm Matrix) {
	p.MoveTo(ctm.Apply(Point{x, y}))
	p.LineTo(ctm.Apply(Point{x + width, y}))
	p.LineTo(ctm.Apply(Point{x + width, y + height}))
	p.LineTo(ctm.Apply(Point{x, y + height}))
	p.Close()
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

// Subpaths returns the number of subpaths with segments.
func (p *Path) Subpaths() int { return p.subpaths }

// Current returns the current point; false if there is none.
func (p *Path) Current() (Point, bool) { return p.at, p.started }

// IsRect tells whether the path, filled or used as a clip, is just a rectangle
// with sides along the axes. The rectangle may have no width or height.
func (p *Path) IsRect() (Rect, bool) {
	c := p.corners
	if p.subpaths != 1 || p.noCorners || p.cornerN < 4 || p.cornerN == 5 && c[4] != c[0] {
		return Rect{}, false
	}
	across := c[0].Y == c[1].Y && c[1].X == c[2].X && c[2].Y == c[3].Y && c[3].X == c[0].X
	along := c[0].X == c[1].X && c[1].Y == c[2].Y && c[2].X == c[3].X && c[3].Y == c[0].Y
	return p.extent, across || along
}

// segment counts a segment with these bounds.
func (p *Path) segment(bounds Rect) {
	if p.segments == 0 {
		p.extent = bounds
	}
	p.extent = p.extent.Union(bounds)
	p.segments++
	p.closed = false
	if !p.drawing {
		p.drawing = true
		p.subpaths++
		p.corner(p.at)
	}
}

// corner notes an end of a line.
func (p *Path) corner(at Point) {
	if p.cornerN == len(p.corners) || p.subpaths > 1 {
		p.noCorners = true
		return
	}
	p.corners[p.cornerN] = at
	p.cornerN++
}
