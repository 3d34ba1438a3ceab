package draft

import "math"

// A Path is a run of curves, each starting where the last one ended.
type Path []Cubic

// Polygon gives the straight lines through the points in turn.
func Polygon(points ...Point) Path {
	var p Path
	for i := 1; i < len(points); i++ {
		p = append(p, Straight(points[i-1], points[i]))
	}
	return p
}

// Start gives the first point of a path that is not empty.
func (p Path) Start() Point { return p[0][0] }

// End gives the last point of a path that is not empty.
func (p Path) End() Point { return p[len(p)-1][3] }

// Then gives the path with the others appended.
func (p Path) Then(others ...Path) Path {
	joined := append(Path{}, p...)
	for _, q := range others {
		joined = append(joined, q...)
	}
	return joined
}

// Reverse gives the path run from its end to its start.
func (p Path) Reverse() Path {
	back := make(Path, 0, len(p))
	for i := len(p) - 1; i >= 0; i-- {
		c := p[i]
		back = append(back, Cubic{c[3], c[2], c[1], c[0]})
	}
	return back
}

// Length gives the length along the path.
func (p Path) Length() float64 {
	sum := 0.0
	for _, c := range p {
		sum += c.Length()
	}
	return sum
}

// At gives the point and the direction at a length from the start, which is
// held within the path.
func (p Path) At(length float64) (Point, Point) {
	i, t := p.locate(length)
	return p[i].At(t), p[i].Direction(t)
}

func (p Path) locate(length float64) (int, float64) {
	for i, c := range p {
		own := c.Length()
		if length <= own || i == len(p)-1 {
			return i, c.parameterAt(length)
		}
		length -= own
	}
	return 0, 0
}

// Between gives the part of the path between two lengths from its start.
func (p Path) Between(from, to float64) Path {
	i, t := p.locate(from)
	j, u := p.locate(to)
	if i == j {
		_, right := p[i].Split(t)
		left, _ := right.Split((u - t) / (1 - t))
		return Path{left}
	}
	_, first := p[i].Split(t)
	last, _ := p[j].Split(u)
	return Path{first}.Then(p[i+1:j], Path{last})
}

// Crossing finds the point at height y of a path whose height changes in one
// direction only and spans y.
func (p Path) Crossing(y float64) Point {
	rising := p.End().Y > p.Start().Y
	length := bisect(0, p.Length(), func(l float64) bool {
		at, _ := p.At(l)
		return (at.Y < y) == rising
	})
	at, _ := p.At(length)
	return at
}

// Flatten gives n chords for each curve as the points along the path.
func (p Path) Flatten(n int) []Point {
	points := []Point{p.Start()}
	for _, c := range p {
		for i := 1; i <= n; i++ {
			points = append(points, c.At(float64(i)/float64(n)))
		}
	}
	return points
}

// Arc gives the part of a circle from one angle to another (radians) as
// curves of at most a quarter of a right angle each, true to a millionth of
// the radius.
func Arc(centre Point, radius, from, to float64) Path {
	n := int(math.Ceil(math.Abs(to-from) / (math.Pi / 8)))
	step := (to - from) / float64(n)
	handle := radius * 4 / 3 * math.Tan(step/4)
	var p Path
	for i := range n {
		a, b := from+step*float64(i), from+step*float64(i+1)
		start, end := centre.Add(Polar(radius, a)), centre.Add(Polar(radius, b))
		p = append(p, Cubic{
			start, start.Add(Polar(handle, a).Left()),
			end.Sub(Polar(handle, b).Left()), end,
		})
	}
	return p
}
