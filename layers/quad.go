package layers

import (
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
)

// pageShapes collects what may be test squares of one page and their labels.
type pageShapes struct {
	found    []quad
	segments []segment
	runs     []textRun
}

// quad is a square, or a rectangle that is nearly one.
type quad struct {
	width, height float64 // mm, along its sides
	bounds        content.Rect
	layers        []int
	stroked       bool
}

// segment is a line that stands alone, or in an open path of few.
type segment struct {
	a, b   content.Point
	layers []int
}

// What is collected of a page at most, so that a page of many marks costs no
// more than it holds.
const (
	maxQuads    = 2000
	maxSegments = 4000
	maxRuns     = 20_000
)

// Sides of what is collected, in mm.
const (
	minSide = 8
	maxSide = 300
)

// paint takes the subpaths of a painted path. clip is the part of the page
// that it shows on.
func (p *pageShapes) paint(list []polyline, painter content.Op, clip content.Rect, layers func() []int) {
	stroked := painter != content.OpFill && painter != content.OpFillCompat && painter != content.OpFillEvenOdd
	for _, l := range list {
		if c, ok := l.corners(); ok {
			if q, ok := newQuad(c); ok && within(q.bounds, clip) {
				q.layers, q.stroked = layers(), stroked
				p.addQuad(q)
			}
		} else if !l.closed && stroked && l.n <= 4 {
			p.addSegments(l, clip, layers)
		}
	}
}

// newQuad measures four corners. ok is false where they are not nearly a
// square of a size in question.
func newQuad(c [4]content.Point) (q quad, ok bool) {
	mm := func(a, b content.Point) float64 { return distance(a, b) / 72 * 25.4 }
	a, b := (mm(c[0], c[1])+mm(c[2], c[3]))/2, (mm(c[1], c[2])+mm(c[3], c[0]))/2
	d, e := mm(c[0], c[2]), mm(c[1], c[3])
	level := math.Abs(c[1].X-c[0].X) >= math.Abs(c[1].Y-c[0].Y)
	if !level {
		a, b = b, a
	}
	q = quad{width: a, height: b, bounds: content.Bounds(c[:]...)}
	ratio := max(a/b, b/a)
	right := math.Abs(d-e) <= 0.003*d && math.Abs(d-math.Hypot(a, b)) <= 0.003*d
	return q, min(a, b) >= minSide && max(a, b) <= maxSide && ratio <= 1.15 && right
}

// within tells whether a clip shows a square.
func within(bounds, clip content.Rect) bool {
	return bounds.Intersect(clip.Grow(0.5)) == bounds
}

// addQuad adds a square unless it came just before, as one that is filled and
// then stroked.
func (p *pageShapes) addQuad(q quad) {
	n := len(p.found)
	if n > 0 && sameBounds(q.bounds, p.found[n-1].bounds) {
		p.found[n-1].stroked = p.found[n-1].stroked || q.stroked
	} else if n < maxQuads {
		p.found = append(p.found, q)
	}
}

func sameBounds(a, b content.Rect) bool {
	const slack = 0.15 // points: 0.05 mm
	return math.Abs(a.X0-b.X0) < slack && math.Abs(a.Y0-b.Y0) < slack && math.Abs(a.X1-b.X1) < slack && math.Abs(a.Y1-b.Y1) < slack
}

// addSegments adds the lines of an open subpath.
func (p *pageShapes) addSegments(l polyline, clip content.Rect, layers func() []int) {
	for i := 1; i < l.n && len(p.segments) < maxSegments; i++ {
		a, b := l.points[i-1], l.points[i]
		mm := distance(a, b) / 72 * 25.4
		if mm >= minSide && mm <= maxSide && within(content.Bounds(a, b), clip) {
			p.segments = append(p.segments, segment{a, b, layers()})
		}
	}
}

// quads are the squares drawn as one path, and those of lines of their own.
func (p *pageShapes) quads() []quad {
	ends := newEnds(p.segments)
	for i := range p.segments {
		if c, ok := ends.around(i); ok {
			if q, ok := newQuad(c); ok {
				q.layers, q.stroked = p.segments[i].layers, true
				p.addQuad(q)
			}
		}
	}
	return distinct(p.found)
}

// distinct leaves out squares that lie upon an earlier one.
func distinct(list []quad) []quad {
	var out []quad
	for _, q := range list {
		if !slices.ContainsFunc(out, func(r quad) bool { return sameBounds(q.bounds, r.bounds) }) {
			out = append(out, q)
		}
	}
	return out
}

// ends finds segments by where they end.
type ends struct {
	list []segment
	at   map[[2]int][]int
}

func newEnds(list []segment) *ends {
	e := &ends{list, map[[2]int][]int{}}
	for i, s := range list {
		for _, p := range []content.Point{s.a, s.b} {
			c := gridCell(p)
			e.at[c] = append(e.at[c], i)
		}
	}
	return e
}

// gridCell is the square of the plane that a point is in, endSlack wide.
func gridCell(p content.Point) [2]int {
	return [2]int{int(math.Floor(p.X / endSlack)), int(math.Floor(p.Y / endSlack))}
}

// around goes round a square from a segment, to the left. The segments are of
// one layer.
func (e *ends) around(first int) (c [4]content.Point, ok bool) {
	s := e.list[first]
	if c, ok = e.walk(first, s.a, s.b); ok {
		return c, true
	}
	return e.walk(first, s.b, s.a)
}

// walk goes round from a segment in one direction and comes back to its start.
func (e *ends) walk(first int, from, to content.Point) (c [4]content.Point, ok bool) {
	c[0], c[1] = from, to
	last := first
	for i := 2; i < 4; i++ {
		if last, c[i], ok = e.turn(c[i-2], c[i-1], last); !ok {
			return c, false
		}
	}
	_, end, ok := e.turn(c[2], c[3], last)
	return c, ok && distance(end, c[0]) < 2*endSlack
}

// turn finds the segment of about equal length that goes on to the left from
// one between two points.
func (e *ends) turn(from, at content.Point, index int) (next int, to content.Point, ok bool) {
	mid := gridCell(at)
	u := content.Point{X: at.X - from.X, Y: at.Y - from.Y}
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for n, j := range e.at[[2]int{mid[0] + dx, mid[1] + dy}] {
				if n == 16 { // a bundle of lines, such as a star
					break
				}
				if to, ok := e.list[j].from(at); ok && j != index && slices.Equal(e.list[j].layers, e.list[index].layers) && leftTurn(u, content.Point{X: to.X - at.X, Y: to.Y - at.Y}) {
					return j, to, true
				}
			}
		}
	}
	return 0, to, false
}

// from is the other end of a segment that ends at a point.
func (s segment) from(p content.Point) (content.Point, bool) {
	if distance(s.a, p) < endSlack {
		return s.b, true
	}
	return s.a, distance(s.b, p) < endSlack
}

// leftTurn tells whether v is about as long as u and turned by 90 degrees.
func leftTurn(u, v content.Point) bool {
	lu, lv := math.Hypot(u.X, u.Y), math.Hypot(v.X, v.Y)
	return math.Abs(u.X*v.X+u.Y*v.Y) < 0.005*lu*lv && u.X*v.Y-u.Y*v.X > 0 && max(lu/lv, lv/lu) < 1.15
}

func rectOf(r content.Rect) Rect { return Rect{Left: r.X0, Bottom: r.Y0, Right: r.X1, Top: r.Y1} }
