package draft

import "math"

// A Placing moves points onto a sheet: first the mirror, then the step. The
// zero value moves nothing.
type Placing struct {
	Mirror bool // x becomes -x
	Step   Point
}

// Point gives p after the placing.
func (pl Placing) Point(p Point) Point { return pl.Direction(p).Add(pl.Step) }

// Direction gives a direction after the placing, which leaves the step out.
func (pl Placing) Direction(p Point) Point {
	if pl.Mirror {
		p.X = -p.X
	}
	return p
}

// Path gives p after the placing.
func (pl Placing) Path(p Path) Path {
	placed := make(Path, len(p))
	for i, c := range p {
		for j, q := range c {
			placed[i][j] = pl.Point(q)
		}
	}
	return placed
}

// A Box is an upright rectangle.
type Box struct{ Min, Max Point }

// Bounds gives the box around the paths, taken over 32 chords a curve; at
// least one path must be given.
func Bounds(paths ...Path) Box {
	box := Box{Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}}
	for _, p := range paths {
		for _, q := range p.Flatten(32) {
			box.Min = Point{min(box.Min.X, q.X), min(box.Min.Y, q.Y)}
			box.Max = Point{max(box.Max.X, q.X), max(box.Max.Y, q.Y)}
		}
	}
	return box
}

// Centre gives the middle of the box.
func (b Box) Centre() Point { return b.Min.Towards(b.Max, 0.5) }

// Size gives width and height of the box.
func (b Box) Size() Point { return b.Max.Sub(b.Min) }
