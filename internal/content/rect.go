package content

import "math"

// Rect is a rectangle with sides along the axes, its edges included. It may
// have no width or no height and still hold points. It is empty if X0 > X1 or
// Y0 > Y1; the zero value is not, it holds the origin.
type Rect struct{ X0, Y0, X1, Y1 float64 }

// EmptyRect holds no point.
func EmptyRect() Rect {
	return Rect{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
}

// Everywhere holds every point.
func Everywhere() Rect {
	return Rect{math.Inf(-1), math.Inf(-1), math.Inf(1), math.Inf(1)}
}

// NewRect returns the rectangle with two opposite corners in any order, as a
// PDF rectangle gives them (ISO 32000-1, 7.9.5).
func NewRect(x0, y0, x1, y1 float64) Rect {
	return Rect{min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)}
}

// Bounds returns the smallest rectangle that holds the points.
func Bounds(points ...Point) Rect {
	r := EmptyRect()
	for _, p := range points {
		r = r.Include(p)
	}
	return r
}

// Empty tells whether the rectangle holds no point.
func (r Rect) Empty() bool { return r.X0 > r.X1 || r.Y0 > r.Y1 }

// Width is 0 for an empty rectangle.
func (r Rect) Width() float64 { return max(0, r.X1-r.X0) }

// Height is 0 for an empty rectangle.
func (r Rect) Height() float64 { return max(0, r.Y1-r.Y0) }

// Contains tells whether the point is inside or on an edge.
func (r Rect) Contains(p Point) bool {
	return r.X0 <= p.X && p.X <= r.X1 && r.Y0 <= p.Y && p.Y <= r.Y1
}

// Include returns the rectangle grown to hold the point.
func (r Rect) Include(p Point) Rect {
	return Rect{min(r.X0, p.X), min(r.Y0, p.Y), max(r.X1, p.X), max(r.Y1, p.Y)}
}

// Union returns the smallest rectangle that holds both.
func (r Rect) Union(s Rect) Rect {
	switch {
	case r.Empty():
		return s
	case s.Empty():
		return r
	}
	return Rect{min(r.X0, s.X0), min(r.Y0, s.Y0), max(r.X1, s.X1), max(r.Y1, s.Y1)}
}

// Intersect returns what lies in both, edges included: rectangles that touch
// have a line or a point in common.
func (r Rect) Intersect(s Rect) Rect {
	t := Rect{max(r.X0, s.X0), max(r.Y0, s.Y0), min(r.X1, s.X1), min(r.Y1, s.Y1)}
	if t.Empty() {
		return EmptyRect()
	}
	return t
}

// Grow returns the rectangle with each side moved outwards by d.
func (r Rect) Grow(d float64) Rect {
	if r.Empty() {
		return EmptyRect()
	}
	return Rect{r.X0 - d, r.Y0 - d, r.X1 + d, r.Y1 + d}
}

// Transform returns the bounds of the transformed rectangle. What has no
// bounds keeps none.
func (r Rect) Transform(m Matrix) Rect {
	switch {
	case r.Empty():
		return EmptyRect()
	case math.IsInf(r.X0, 0) || math.IsInf(r.Y0, 0) || math.IsInf(r.X1, 0) || math.IsInf(r.Y1, 0):
		return Everywhere()
	}
	return Bounds(
		m.Apply(Point{r.X0, r.Y0}), m.Apply(Point{r.X1, r.Y0}),
		m.Apply(Point{r.X1, r.Y1}), m.Apply(Point{r.X0, r.Y1}),
	)
}
