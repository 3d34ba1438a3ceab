package content

import "math"

// Point is a place in some coordinate space; which one, the context says.
type Point struct{ X, Y float64 }

// Matrix is a transformation as PDF writes it: [A B C D E F] takes (x, y) to
// (A*x + C*y + E, B*x + D*y + F) (ISO 32000-1, 8.3.3).
type Matrix struct{ A, B, C, D, E, F float64 }

// Identity leaves points where they are.
func Identity() Matrix { return Matrix{A: 1, D: 1} }

// Translation moves points.
func Translation(tx, ty float64) Matrix { return Matrix{1, 0, 0, 1, tx, ty} }

// Multiply returns m x n: the transformation that does m first and n then
// (8.3.4). The new matrix of cm is operand.Multiply(ctm).
func (m Matrix) Multiply(n Matrix) Matrix {
	return Matrix{
		dot(m.A, n.A, m.B, n.C),
		dot(m.A, n.B, m.B, n.D),
		dot(m.C, n.A, m.D, n.C),
		dot(m.C, n.B, m.D, n.D),
		dot(m.E, n.A, m.F, n.C) + n.E,
		dot(m.E, n.B, m.F, n.D) + n.F,
	}
}

// Apply transforms a point.
func (m Matrix) Apply(p Point) Point {
	return Point{dot(m.A, p.X, m.C, p.Y) + m.E, dot(m.B, p.X, m.D, p.Y) + m.F}
}

// Determinant is the factor by which areas change, negative if they are
// mirrored.
func (m Matrix) Determinant() float64 {
	return float64(m.A*m.D) - float64(m.B*m.C)
}

// MaxScale returns by how much lengths grow at most: the larger singular value
// of the matrix.
func (m Matrix) MaxScale() float64 {
	sum := dot(m.A, m.A, m.B, m.B) + dot(m.C, m.C, m.D, m.D)
	det := 2 * m.Determinant()
	root := math.Sqrt(max(0, float64((sum-det)*(sum+det))))
	return math.Sqrt((sum + root) / 2)
}

// matrixLimit bounds the entries of a matrix, so that malformed content cannot
// push coordinates beyond what a float64 holds. Pages end at 14,400 units.
const matrixLimit = 1e30

// bounded cuts the entries to matrixLimit.
func (m Matrix) bounded() Matrix {
	for _, v := range [...]*float64{&m.A, &m.B, &m.C, &m.D, &m.E, &m.F} {
		*v = min(max(*v, -matrixLimit), matrixLimit)
	}
	return m
}

// dot returns a*b + c*d. The conversions keep the compiler from fusing a
// product with the sum (Go specification, "Floating-point operators"), which
// gives other bits on some processors.
func dot(a, b, c, d float64) float64 {
	return float64(a*b) + float64(c*d)
}

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

// Empty reports whether the rectangle holds no point.
func (r Rect) Empty() bool { return r.X0 > r.X1 || r.Y0 > r.Y1 }

// Width is 0 for an empty rectangle.
func (r Rect) Width() float64 { return max(0, r.X1-r.X0) }

// Height is 0 for an empty rectangle.
func (r Rect) Height() float64 { return max(0, r.Y1-r.Y0) }

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

// CurveBounds returns the exact bounds of a cubic Bézier curve
// (ISO 32000-1, 8.5.2.2): of the curve itself, not of its control points.
func CurveBounds(p0, p1, p2, p3 Point) Rect {
	x0, x1 := curveRange(p0.X, p1.X, p2.X, p3.X)
	y0, y1 := curveRange(p0.Y, p1.Y, p2.Y, p3.Y)
	return Rect{x0, y0, x1, y1}
}

// curveRange returns the least and the greatest value of one coordinate. They
// are at the ends or where the derivative is zero:
// (p3-3p2+3p1-p0)t² + 2(p2-2p1+p0)t + (p1-p0) = 0.
func curveRange(p0, p1, p2, p3 float64) (low, high float64) {
	low, high = min(p0, p3), max(p0, p3)
	if within(p1, low, high) && within(p2, low, high) {
		return low, high // the curve stays within its control points
	}
	a := (p3 - p0) + float64(3*(p1-p2))
	b := (p2 - p1) + (p0 - p1)
	c := p1 - p0
	for _, t := range quadraticRoots(a, b, c) {
		if t > 0 && t < 1 { // false for NaN
			v := curveAt(t, p0, p1, p2, p3)
			low, high = min(low, v), max(high, v)
		}
	}
	return low, high
}

func within(v, low, high float64) bool { return low <= v && v <= high }

// quadraticRoots solves a*t² + 2b*t + c = 0 without cancellation. A root that
// there is not comes as NaN or as an infinity.
func quadraticRoots(a, b, c float64) [2]float64 {
	d := float64(b*b) - float64(a*c)
	if d < 0 {
		return [2]float64{math.NaN(), math.NaN()}
	}
	q := -(b + math.Copysign(math.Sqrt(d), b))
	return [2]float64{q / a, c / q}
}

// curveAt evaluates one coordinate by de Casteljau's construction, whose steps
// all lie between control points.
func curveAt(t, p0, p1, p2, p3 float64) float64 {
	a, b, c := between(t, p0, p1), between(t, p1, p2), between(t, p2, p3)
	return between(t, between(t, a, b), between(t, b, c))
}

func between(t, p, q float64) float64 { return dot(1-t, p, t, q) }
