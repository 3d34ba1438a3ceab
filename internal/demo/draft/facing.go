package draft

import "math"

// A Facing is the shaped strip that finishes the waist of a panel on the
// inside: a part of a ring, as the panel is with its darts closed.
type Facing struct {
	Upper  Path // centre to side, as long as the sewn waist line
	End    Path // the side seam, downwards
	Lower  Path // side to centre
	Centre Path // upwards
}

// Outline gives the closed seam line with the clock.
func (f Facing) Outline() Path { return f.Upper.Then(f.End, f.Lower, f.Centre) }

// facingOf develops the ring from three lengths: the sewn waist line, the
// panel's width with closed darts at the depth of the facing, and that depth.
// Geometry of the truncated cone. It lies on the panel's waist at the centre.
func facingOf(p Panel) Facing {
	upper := p.SewnWaist()
	turn := p.widening(facingDepth) / facingDepth // of the ring, radians
	radius := upper / turn
	middle := p.Waist.Start().Add(Point{0, radius})
	const down = -math.Pi / 2
	f := Facing{
		Upper: Arc(middle, radius, down, down+turn),
		Lower: Arc(middle, radius+facingDepth, down+turn, down),
	}
	f.End = Polygon(f.Upper.End(), f.Lower.Start())
	f.Centre = Polygon(f.Lower.End(), f.Upper.Start())
	return f
}

// widening gives how much wider the panel is at a depth than at the waist:
// what the side seam gains, and what the darts no longer take.
func (p Panel) widening(depth float64) float64 {
	at, _ := p.Side.At(depth)
	wider := at.X - p.Side.Start().X
	for _, d := range p.Darts {
		wider += d.Intake - d.closedAt(depth)
	}
	return wider
}
