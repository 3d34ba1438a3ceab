package content

import "math"

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
	if o.Op.Class() != ClassPath || !o.Floats(v[:len(operators[o.Op].operands)]) {
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
	// Measured asks for lengths and areas, Straight for the subpaths of a few
	// straight lines. Both stay as they are when the path is emptied.
	Measured, Straight bool

	extent    Rect
	segments  int
	started   bool // there is a current point
	closed    bool // nothing came since the last h or re
	start, at Point

	length   float64
	subpaths []Subpath // the first of them
	longest  float64
	sub      subpathMeasure

	lines []Polyline // that have ended
	line  Polyline   // the subpath at hand
}

// subpathMeasure is what is measured of the subpath at hand.
type subpathMeasure struct {
	segments int // without one of no length that closes it
	area     float64
	extent   Rect
}

// Ends are where a line or curve begins and ends.
type Ends struct{ From, To Point }

// A Subpath is what is measured of one (8.5.2.1): where it begins and ends, its
// exact extent, its area against the clock once closed, and how many lines and
// curves it has.
type Subpath struct {
	Ends
	Extent   Rect
	Area     float64
	Segments int
}

// Closes reports whether the subpath ends where it begins, as one that an operator
// closed does.
func (s *Subpath) Closes() bool { return distance(s.From, s.To) < endSlack }

// What is kept of one path at most.
const (
	maxSubpaths  = 10_000
	maxPolylines = 512
)

// Append executes a path construction operator. It returns false, and does
// nothing, for other operators, for missing operands, and for a segment
// without a current point, which Poppler and MuPDF ignore too (from memory).
func (p *Path) Append(op *Operation, ctm Matrix) bool {
	s, ok := op.Segment(ctm)
	return ok && p.Add(&s)
}

// Add adds a segment in the space of the path, or begins a subpath. It is false
// where there is no current point for it.
func (p *Path) Add(s *Segment) bool {
	a := &s.Points
	switch {
	case s.Op == OpMoveTo:
		p.moveTo(a[0])
	case s.Op == OpRectangle: // m l l l h
		p.moveTo(a[0])
		for _, c := range a[1:] {
			p.lineTo(c)
		}
		p.Close()
	case !p.started:
		return false
	case s.Op == OpLineTo:
		p.lineTo(a[0])
	case s.Op == OpCurveTo:
		p.curveTo(a[0], a[1], a[2])
	case s.Op == OpCurveToV:
		p.curveTo(p.at, a[0], a[1])
	case s.Op == OpCurveToY:
		p.curveTo(a[0], a[1], a[1])
	case s.Op == OpClosePath:
		p.Close()
	}
	return true
}

// moveTo begins a subpath. One that gets no segment counts for nothing.
func (p *Path) moveTo(to Point) {
	p.end()
	p.started, p.closed, p.start, p.at = true, false, to, to
	if p.Measured {
		p.sub.extent = Bounds(to)
	}
	if p.Straight {
		p.line = Polyline{n: 1}
		p.line.points[0] = to
	}
}

func (p *Path) lineTo(to Point) {
	p.reopen()
	if p.Straight {
		p.line.add(to)
	}
	p.straightTo(to)
}

// straightTo adds a line that may be the one that closes a subpath.
func (p *Path) straightTo(to Point) {
	p.count(NewRect(p.at.X, p.at.Y, to.X, to.Y))
	if p.Measured {
		p.measure(distance(p.at, to), cross(p.at, to)/2, Rect{to.X, to.Y, to.X, to.Y})
	}
	p.at = to
}

// curveTo adds a cubic Bézier curve. The area beside it is a sum of cross products
// of its points, by Green's theorem.
func (p *Path) curveTo(b, c, d Point) {
	p.reopen()
	a, bounds := p.at, CurveBounds(p.at, b, c, d)
	p.count(bounds)
	p.line.spoiled = true
	if p.Measured {
		area := (6*cross(a, b) + 3*cross(a, c) + cross(a, d) + 3*cross(b, c) + 3*cross(b, d) + 6*cross(c, d)) / 20
		p.measure(curveLength(a, b, c, d, 0), area, bounds)
	}
	p.at = d
}

// Close draws a segment to the start of the subpath, of no length where the
// subpath is a mere point or ends there. Closing twice is closing once.
func (p *Path) Close() {
	if !p.started || p.closed {
		return
	}
	if p.at != p.start {
		p.straightTo(p.start)
	} else {
		p.count(Bounds(p.at))
	}
	p.line.closed = true
	p.end()
	p.closed = true
}

// reopen begins a new subpath where one was closed.
func (p *Path) reopen() {
	if p.closed {
		p.moveTo(p.start)
	}
}

// count counts a segment with these bounds.
func (p *Path) count(bounds Rect) {
	if p.segments++; p.segments == 1 {
		p.extent = bounds
		return
	}
	e := &p.extent // neither is empty
	*e = Rect{min(e.X0, bounds.X0), min(e.Y0, bounds.Y0), max(e.X1, bounds.X1), max(e.Y1, bounds.Y1)}
}

// measure adds a segment to what is measured.
func (p *Path) measure(length, area float64, bounds Rect) {
	p.length += length
	p.sub.area += area
	p.sub.extent = p.sub.extent.Union(bounds)
	p.sub.segments++
}

// end ends the subpath at hand, whose area is that which filling it closes.
func (p *Path) end() {
	if p.line.n > 1 && !p.line.spoiled && len(p.lines) < maxPolylines {
		p.lines = append(p.lines, p.line)
	}
	p.line.n = 0
	if p.sub.segments == 0 {
		return
	}
	if len(p.subpaths) < maxSubpaths {
		p.subpaths = append(p.subpaths, Subpath{
			Ends{p.start, p.at}, p.sub.extent, p.sub.area + cross(p.at, p.start)/2, p.sub.segments,
		})
	}
	p.longest = max(p.longest, math.Hypot(p.sub.extent.Width(), p.sub.extent.Height()))
	p.sub.area, p.sub.segments = 0, 0
}

// Reset empties the path and keeps its memory.
func (p *Path) Reset() {
	*p = Path{Measured: p.Measured, Straight: p.Straight, subpaths: p.subpaths[:0], lines: p.lines[:0]}
}

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

// The following are 0 and nil of a path that is not Measured. A subpath that is
// asked for ends.

// Length is that of all segments, those that close a subpath included.
func (p *Path) Length() float64 { return p.length }

// Area is about the area that filling covers: subpaths that run against each other
// are holes, as is, under the even-odd rule, one of two.
func (p *Path) Area(evenOdd bool) float64 {
	p.end()
	if evenOdd && len(p.subpaths) == 2 {
		return math.Abs(math.Abs(p.subpaths[0].Area) - math.Abs(p.subpaths[1].Area))
	}
	sum := 0.0
	for i := range p.subpaths {
		sum += p.subpaths[i].Area
	}
	return math.Abs(sum)
}

// Longest is the greatest diagonal of the extent of a subpath.
func (p *Path) Longest() float64 {
	p.end()
	return p.longest
}

// Subpaths gives the first of them that have a segment, as far as they were drawn.
// They are valid until the path changes.
func (p *Path) Subpaths() []Subpath {
	p.end()
	return p.subpaths
}

// Polylines gives the subpaths that are of a few straight lines, closed as a painter
// closes them: filling closes all (8.5.3.3.1), s and b close the last. They are
// valid until the path changes, and none of a path that does not ask for them.
func (p *Path) Polylines(painter Op) []Polyline {
	p.end()
	for i := range p.lines {
		l := &p.lines[i]
		switch painter {
		case OpStroke:
		case OpCloseStroke:
			l.closed = l.closed || i == len(p.lines)-1
		default:
			l.closed = true
		}
	}
	return p.lines
}

// A Polyline is a subpath of up to six straight lines, counting those that go on
// straight as one: what may be a square or a part of one.
type Polyline struct {
	points  [6]Point
	n       int
	sides   int // lines so far, those that go straight on counted
	closed  bool
	spoiled bool // it has a curve or too many corners
}

// endSlack is how far ends of lines that meet may be apart, in points: 0.2 mm.
const endSlack = 0.2 / 25.4 * 72

// add adds a point; one that goes on straight replaces the last.
func (l *Polyline) add(p Point) {
	if l.n == 0 || l.spoiled {
		return
	}
	l.sides++
	last := l.points[l.n-1]
	switch {
	case l.sides > MaxSides:
		l.spoiled = true
	case math.Hypot(p.X-last.X, p.Y-last.Y) < 1e-4:
	case l.n > 1 && straight(l.points[l.n-2], last, p):
		l.points[l.n-1] = p
	case l.n == len(l.points):
		l.spoiled = true
	default:
		l.points[l.n] = p
		l.n++
	}
}

// Points are the ends of the lines.
func (l *Polyline) Points() []Point { return l.points[:l.n] }

// Closed reports whether the last of the points is joined to the first.
func (l *Polyline) Closed() bool { return l.closed }

// Corners are the four corners of a closed polyline that has just these. Its ends
// may be 0.2 mm apart where the space of the path is in points.
func (l *Polyline) Corners() (c [4]Point, ok bool) {
	p := l.Points()
	if n := len(p); n > 1 && math.Hypot(p[0].X-p[n-1].X, p[0].Y-p[n-1].Y) < endSlack {
		p = p[:n-1]
	} else if !l.closed {
		return c, false
	}
	if n := len(p); n == 5 && straight(p[n-1], p[0], p[1]) {
		p = p[1:] // it began in the middle of a side
	}
	if len(p) != 4 {
		return c, false
	}
	return [4]Point(p), true
}

// straight reports whether b lies on the way from a to c.
func straight(a, b, c Point) bool {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-b.X, c.Y-b.Y
	size := math.Hypot(ux, uy) * math.Hypot(vx, vy)
	return math.Abs(ux*vy-uy*vx) <= 1e-4*size && ux*vx+uy*vy > 0
}

// maxHalvings bounds the halvings of a curve.
const maxHalvings = 12

// curveLength is the length of a cubic Bézier curve, good to about a millionth:
// the mean of chord and control polygon (Gravesen, "Adaptive subdivision and the
// length and energy of Bézier curves", 1997) of parts that are nearly straight.
func curveLength(a, b, c, d Point, depth int) float64 {
	chord := distance(a, d)
	polygon := distance(a, b) + distance(b, c) + distance(c, d)
	if polygon-chord <= 1e-3*polygon || depth == maxHalvings {
		return (chord + polygon) / 2
	}
	ab, bc, cd := middle(a, b), middle(b, c), middle(c, d)
	abc, bcd := middle(ab, bc), middle(bc, cd)
	half := middle(abc, bcd)
	return curveLength(a, ab, abc, half, depth+1) + curveLength(half, bcd, cd, d, depth+1)
}

// distance is that of two points. Coordinates are far from where squares
// overflow.
func distance(a, b Point) float64 {
	x, y := b.X-a.X, b.Y-a.Y
	return math.Sqrt(float64(x*x) + float64(y*y))
}

func middle(a, b Point) Point { return Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2} }

// cross is twice the area of the triangle with the origin.
func cross(a, b Point) float64 { return float64(a.X*b.Y) - float64(b.X*a.Y) }
