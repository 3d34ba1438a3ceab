package layers

import (
	"math"

	"github.com/sizeply/sizeply/internal/content"
)

// outline follows the straight lines of the path under construction (8.5.2),
// as far as they may be a square or a part of one. The points are in points of
// the page.
type outline struct {
	done []polyline
	at   polyline
	open bool // at has a point
}

// polyline is a subpath of lines.
type polyline struct {
	points  [6]content.Point
	n       int
	sides   int // lines so far, those that go straight on counted
	closed  bool
	spoiled bool // it has a curve or too many corners
}

// maxOutlines bounds the subpaths that are followed of one path.
const maxOutlines = 512

// add takes a segment.
func (o *outline) add(s *content.Segment) {
	p := &s.Points
	switch s.Op {
	case content.OpMoveTo:
		o.begin(p[0])
	case content.OpLineTo:
		o.at.line(p[0])
	case content.OpRectangle:
		o.begin(p[0])
		o.at.line(p[1])
		o.at.line(p[2])
		o.at.line(p[3])
		o.close()
	case content.OpClosePath:
		o.close()
	default:
		o.at.spoiled = true
	}
}

// reset empties it and keeps its memory.
func (o *outline) reset() { *o = outline{done: o.done[:0]} }

// begin starts a subpath.
func (o *outline) begin(p content.Point) {
	o.finish()
	o.at = polyline{n: 1}
	o.at.points[0] = p
	o.open = true
}

// close ends a subpath with a line to its start, where the next one begins.
func (o *outline) close() {
	if !o.open {
		return
	}
	start := o.at.points[0]
	o.at.closed = true
	o.begin(start)
}

// finish puts the subpath away.
func (o *outline) finish() {
	if o.open && o.at.n > 1 && !o.at.spoiled && len(o.done) < maxOutlines {
		o.done = append(o.done, o.at)
	}
	o.open = false
}

// take gives the subpaths of a path that is painted, and empties it. Filling
// closes all of them (8.5.3.3.1), s and b close the last.
func (o *outline) take(painter content.Op) []polyline {
	o.finish()
	list := o.done
	for i := range list {
		last := i == len(list)-1
		switch painter {
		case content.OpStroke:
		case content.OpCloseStroke:
			list[i].closed = list[i].closed || last
		default:
			list[i].closed = true
		}
	}
	o.done, o.at = o.done[:0], polyline{}
	return list
}

// line adds a point; one that goes on straight replaces the last.
func (l *polyline) line(p content.Point) {
	if l.n == 0 || l.spoiled {
		return
	}
	if l.sides++; l.sides > content.MaxSides {
		l.spoiled = true
		return
	}
	last := l.points[l.n-1]
	if distance(last, p) < 1e-4 {
		return
	}
	if l.n > 1 && straight(l.points[l.n-2], last, p) {
		l.points[l.n-1] = p
		return
	}
	if l.n == len(l.points) {
		l.spoiled = true
		return
	}
	l.points[l.n] = p
	l.n++
}

// corners are the four corners of a closed polyline that has just these.
func (l polyline) corners() (c [4]content.Point, ok bool) {
	p := l.points[:l.n]
	if n := len(p); n > 1 && distance(p[0], p[n-1]) < endSlack {
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
	return [4]content.Point(p), true
}

// endSlack is how far ends of lines that meet may be apart, in points: 0.2 mm.
const endSlack = 0.2 / 25.4 * 72

func distance(a, b content.Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }

// straight tells whether b lies on the way from a to c.
func straight(a, b, c content.Point) bool {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-b.X, c.Y-b.Y
	size := math.Hypot(ux, uy) * math.Hypot(vx, vy)
	return math.Abs(ux*vy-uy*vx) <= 1e-4*size && ux*vx+uy*vy > 0
}
