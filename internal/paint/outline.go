package paint

import (
	"math"

	"github.com/sizeply/sizeply/internal/content"
)

// What a filled path must be like to look like a line, in points. Letters that
// are drawn as shapes are shorter.
const (
	thinWidth  = 1.5 * UnitsPerMillimetre // at most, on average
	thinLength = 15 * UnitsPerMillimetre  // at least, from end to end
)

// An Outline measures a path: what its segments have for length, and what it
// looks like when it is filled. It takes the operators of 8.5.2, with points
// transformed as they come. The zero value is an empty path.
type Outline struct {
	// Length of all segments, those that close a subpath included.
	Length float64

	areas   []float64 // of the subpaths, against the clock; of the first of them
	longest float64   // extent of a subpath in one direction
	extent  content.Rect
	area    float64 // of the subpath at hand

	started   bool
	closed    bool
	start, at content.Point

	segments int // of the subpath at hand
	// Pieces are the subpaths so far that are one line or curve each.
	Pieces []Piece
}

// A Piece is where a line or curve begins and ends.
type Piece struct{ From, To content.Point }

// maxAreas and maxPieces bound what an outline keeps of one path.
const (
	maxAreas  = 10_000
	maxPieces = 10_000
)

// Append takes a path construction operator; others do nothing.
func (o *Outline) Append(op *content.Operation, ctm content.Matrix) {
	if s, ok := op.Segment(ctm); ok {
		o.Add(&s)
	}
}

// Add takes a segment, in the space in which the path is measured.
func (o *Outline) Add(s *content.Segment) {
	p := &s.Points
	switch {
	case s.Op == content.OpMoveTo:
		o.moveTo(p[0])
	case s.Op == content.OpRectangle:
		o.rectangle(p)
	case !o.started:
	case s.Op == content.OpLineTo:
		o.lineTo(p[0])
	case s.Op == content.OpCurveTo:
		o.curveTo(p[0], p[1], p[2])
	case s.Op == content.OpCurveToV:
		o.curveTo(o.at, p[0], p[1])
	case s.Op == content.OpCurveToY:
		o.curveTo(p[0], p[1], p[1])
	case s.Op == content.OpClosePath:
		o.Close()
	}
}

// Reset empties the outline and keeps its memory.
func (o *Outline) Reset() { *o = Outline{areas: o.areas[:0], Pieces: o.Pieces[:0]} }

func (o *Outline) moveTo(p content.Point) {
	o.end()
	o.started, o.closed, o.start, o.at = true, false, p, p
	o.extent = content.Bounds(p)
}

func (o *Outline) rectangle(corners *[4]content.Point) {
	o.moveTo(corners[0])
	for _, c := range corners[1:] {
		o.lineTo(c)
	}
	o.Close()
}

func (o *Outline) lineTo(p content.Point) {
	o.reopen()
	o.Length += distance(o.at, p)
	o.area += cross(o.at, p) / 2
	o.extent = o.extent.Include(p)
	o.at = p
	o.segments++
}

// curveTo adds a curve. The area beside a cubic Bézier curve is a sum of cross
// products of its points, by Green's theorem.
func (o *Outline) curveTo(b, c, d content.Point) {
	o.reopen()
	a := o.at
	o.Length += curveLength(a, b, c, d, 0)
	o.area += (6*cross(a, b) + 3*cross(a, c) + cross(a, d) + 3*cross(b, c) + 3*cross(b, d) + 6*cross(c, d)) / 20
	o.extent = o.extent.Union(content.CurveBounds(a, b, c, d))
	o.at = d
	o.segments++
}

// Close draws the segment that closes a subpath; twice is once.
func (o *Outline) Close() {
	if o.closed || !o.started {
		return
	}
	if o.at != o.start {
		o.lineTo(o.start)
	}
	o.end()
	o.closed = true
}

// reopen begins a new subpath where one was closed.
func (o *Outline) reopen() {
	if o.closed {
		o.moveTo(o.start)
	}
}

// end counts the subpath at hand, closed as filling closes it.
func (o *Outline) end() {
	if o.segments == 0 {
		return
	}
	if o.segments == 1 && len(o.Pieces) < maxPieces {
		o.Pieces = append(o.Pieces, Piece{o.start, o.at})
	}
	if len(o.areas) < maxAreas {
		o.areas = append(o.areas, o.area+cross(o.at, o.start)/2)
	}
	o.longest = max(o.longest, math.Hypot(o.extent.Width(), o.extent.Height()))
	o.area, o.segments = 0, 0
}

// Single gives Pieces where the whole path is of them, else nil.
func (o *Outline) Single() []Piece {
	o.end()
	if len(o.Pieces) < len(o.areas) {
		return nil
	}
	return o.Pieces
}

// Thin tells whether the path, filled, looks like a line, and how wide that
// would be: its area over half its outline. One subpath at least is long, so
// that letters drawn as shapes are none.
func (o *Outline) Thin(evenOdd bool) (width float64, thin bool) {
	if o.Length == 0 {
		return 0, false
	}
	o.end()
	width = 2 * o.filled(evenOdd) / o.Length
	return width, width <= thinWidth && o.longest >= thinLength
}

// filled is about the area that filling covers: subpaths that run against each
// other are holes, as are, under the even-odd rule, those within others.
func (o *Outline) filled(evenOdd bool) float64 {
	sum := 0.0
	if evenOdd && len(o.areas) == 2 {
		return math.Abs(math.Abs(o.areas[0]) - math.Abs(o.areas[1]))
	}
	for _, a := range o.areas {
		sum += a
	}
	return math.Abs(sum)
}

// maxHalvings bounds the halvings of a curve.
const maxHalvings = 12

// curveLength is the length of a cubic Bézier curve, good to about a millionth:
// the mean of chord and control polygon (Gravesen, "Adaptive subdivision and the
// length and energy of Bézier curves", 1997) of parts that are nearly straight.
func curveLength(a, b, c, d content.Point, depth int) float64 {
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
func distance(a, b content.Point) float64 {
	x, y := b.X-a.X, b.Y-a.Y
	return math.Sqrt(float64(x*x) + float64(y*y))
}

func middle(a, b content.Point) content.Point {
	return content.Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2}
}

// cross is twice the area of the triangle with the origin.
func cross(a, b content.Point) float64 { return float64(a.X*b.Y) - float64(b.X*a.Y) }
