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

// Scaling scales from the origin.
func Scaling(sx, sy float64) Matrix { return Matrix{A: sx, D: sy} }

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

// Invert returns the transformation back; false if there is none, because m
// takes the plane to a line or a point.
func (m Matrix) Invert() (Matrix, bool) {
	det := m.Determinant()
	if det == 0 || math.IsNaN(det) || math.IsInf(1/det, 0) {
		return Matrix{}, false
	}
	return Matrix{
		m.D / det, -m.B / det,
		-m.C / det, m.A / det,
		(float64(m.C*m.F) - float64(m.D*m.E)) / det,
		(float64(m.B*m.E) - float64(m.A*m.F)) / det,
	}, true
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
