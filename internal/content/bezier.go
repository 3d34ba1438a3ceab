package content

import "math"

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
