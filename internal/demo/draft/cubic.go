package draft

// A Cubic is a cubic Bézier curve: start, two control points, end.
type Cubic [4]Point

// Straight gives the line from a to b as a curve of even speed.
func Straight(a, b Point) Cubic {
	return Cubic{a, a.Towards(b, 1.0/3), a.Towards(b, 2.0/3), b}
}

// IsStraight reports whether all four points lie on one line.
func (c Cubic) IsStraight() bool {
	along := c[3].Sub(c[0])
	return offLine(along, c[1].Sub(c[0])) && offLine(along, c[2].Sub(c[0]))
}

func offLine(along, p Point) bool {
	area := along.X*p.Y - along.Y*p.X
	return area*area < 1e-12*(1+along.X*along.X+along.Y*along.Y)
}

// At gives the point at parameter t from 0 to 1.
func (c Cubic) At(t float64) Point {
	left, _ := c.Split(t)
	return left[3]
}

// Direction gives the unit tangent at parameter t. Both handles of the curve
// must have a length.
func (c Cubic) Direction(t float64) Point { return c.speed(t).Unit() }

func (c Cubic) speed(t float64) Point {
	u := 1 - t
	a := c[1].Sub(c[0]).Times(3 * u * u)
	b := c[2].Sub(c[1]).Times(6 * u * t)
	return a.Add(b).Add(c[3].Sub(c[2]).Times(3 * t * t))
}

// Split cuts the curve at parameter t by de Casteljau's construction.
func (c Cubic) Split(t float64) (left, right Cubic) {
	a, b, d := c[0].Towards(c[1], t), c[1].Towards(c[2], t), c[2].Towards(c[3], t)
	e, f := a.Towards(b, t), b.Towards(d, t)
	g := e.Towards(f, t)
	return Cubic{c[0], a, e, g}, Cubic{g, f, d, c[3]}
}

// Length gives the length of the curve, by Gauss-Legendre quadrature with
// five nodes on each of eight parts; for the curves of a pattern it is good
// to better than a thousandth of a millimetre.
func (c Cubic) Length() float64 {
	const parts = 8
	sum := 0.0
	for i := range parts {
		for _, g := range gauss {
			t := (float64(i) + (g.node+1)/2) / parts
			sum += g.weight * c.speed(t).Length()
		}
	}
	return sum / (2 * parts)
}

// gauss holds the nodes and weights on [-1, 1] for five points (Abramowitz
// and Stegun, table 25.4; from memory, checked by the test of Length).
var gauss = [5]struct{ node, weight float64 }{
	{0, 0.5688888888888889},
	{-0.5384693101056831, 0.4786286704993665},
	{0.5384693101056831, 0.4786286704993665},
	{-0.9061798459386640, 0.2369268850561891},
	{0.9061798459386640, 0.2369268850561891},
}

// parameterAt finds the parameter at an arc length from the start.
func (c Cubic) parameterAt(length float64) float64 {
	return bisect(0, 1, func(t float64) bool {
		left, _ := c.Split(t)
		return left.Length() < length
	})
}

// bisect finds where a predicate that holds at low stops holding before high.
func bisect(low, high float64, below func(float64) bool) float64 {
	for range 48 {
		mid := (low + high) / 2
		if below(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
