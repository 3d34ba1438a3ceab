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
		p.rectangle(a)
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

// rectangle adds what re adds: m l l l h.
func (p *Path) rectangle(corners *[4]Point) {
	p.MoveTo(corners[0])
	for _, c := range corners[1:] {
		p.LineTo(c)
	}
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
