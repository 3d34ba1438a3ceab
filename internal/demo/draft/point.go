package draft

import "math"

// A Point is a place, or a step from one place to another, in millimetres.
type Point struct{ X, Y float64 }

// Add gives p moved by q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub gives the step from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Times gives the step p, k times as long.
func (p Point) Times(k float64) Point { return Point{p.X * k, p.Y * k} }

// Length gives the length of the step p.
func (p Point) Length() float64 { return math.Hypot(p.X, p.Y) }

// Unit gives the step of length 1 in the direction of p.
func (p Point) Unit() Point { return p.Times(1 / p.Length()) }

// Left gives p turned by a quarter turn against the clock.
func (p Point) Left() Point { return Point{-p.Y, p.X} }

// Angle gives the direction of p in radians, against the clock from the x axis.
func (p Point) Angle() float64 { return math.Atan2(p.Y, p.X) }

// Towards gives the point a share of the way from p to q.
func (p Point) Towards(q Point, share float64) Point {
	return p.Add(q.Sub(p).Times(share))
}

// Polar gives the step of the given length and direction.
func Polar(length, angle float64) Point {
	return Point{length * math.Cos(angle), length * math.Sin(angle)}
}
