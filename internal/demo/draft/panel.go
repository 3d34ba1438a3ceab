package draft

import "math"

// A Panel is the front or back of the skirt, from the centre to the side.
type Panel struct {
	Waist  Path   // centre to side, over the dart mouths
	Side   Path   // waist to hem: the hip curve, then the flare
	Hem    Path   // side to centre
	Centre Path   // hem to waist
	Darts  []Dart // from the centre outwards

	HipDepth float64 // waist at the centre front above the hip line
	HipWidth float64 // centre to side at the hip line
	// OpeningLengths are the ends of the pocket opening, from the waist along
	// the side seam.
	OpeningLengths [2]float64
}

// Outline gives the closed seam line with the clock: waist, side, hem, centre.
func (p Panel) Outline() Path { return p.Waist.Then(p.Side, p.Hem, p.Centre) }

// SewnWaist gives the length of the waist line once its darts are closed.
func (p Panel) SewnWaist() float64 {
	length := p.Waist.Length()
	for _, d := range p.Darts {
		length -= d.Intake
	}
	return length
}

// a quarter gathers what front and back are drafted from.
type quarter struct {
	body       Body
	hip, waist float64 // widths at the hip line, and of the sewn waist line
	drop       float64 // of the waist at the centre
	darts      []dartPlan
}

func frontPanel(b Body) Panel {
	return quarter{
		body:  b,
		hip:   b.hipQuarter() + hipShift,
		waist: b.waistQuarter() + waistShift,
		darts: []dartPlan{{b.frontDartAt(), b.frontDart(), frontDartLength}},
	}.panel()
}

// backPanel places its darts at the thirds of the sewn waist line.
func backPanel(b Body) Panel {
	waist := b.waistQuarter() - waistShift
	inner, outer := b.backDarts()
	return quarter{
		body: b, hip: b.hipQuarter() - hipShift, waist: waist, drop: backDrop,
		darts: []dartPlan{
			{waist / 3, inner, innerDartLength},
			{2*waist/3 + inner, outer, outerDartLength},
		},
	}.panel()
}

func (q quarter) panel() Panel {
	depth := q.body.hipDepth()
	p := Panel{HipDepth: depth, HipWidth: q.hip}
	p.Waist, p.Side = q.trued()
	p.Hem = q.hem()
	p.Centre = Polygon(p.Hem.End(), p.Waist.Start())
	for _, plan := range q.darts {
		p.Darts = append(p.Darts, plan.on(p.Waist, depth))
	}
	p.OpeningLengths = [2]float64{pocketStart, pocketStart + q.body.pocketOpening()}
	return p
}

// trued moves the side point of the waist until the waist line less its
// darts has exactly the length it shall have: the curve is a little longer
// than its width, and the side seam gives way.
func (q quarter) trued() (waist, side Path) {
	want := q.waist
	for _, d := range q.darts {
		want += d.intake
	}
	x := bisect(want/2, want, func(x float64) bool {
		waist, _ := q.top(x)
		return waist.Length() < want
	})
	return q.top(x)
}

// top drafts waist line and side seam for a side point at x.
func (q quarter) top(x float64) (waist, side Path) {
	depth := q.body.hipDepth()
	point, hip := Point{x, depth + q.body.sideRise()}, Point{q.hip, 0}
	flare := q.flare()
	curve := hipCurve(point, hip, flare.Unit())
	side = Path{curve, Straight(hip, hip.Add(flare))}
	return Path{waistCurve(Point{0, depth - q.drop}, point, curve.Direction(0))}, side
}

// flare is the step from the hip line to the hem along the side seam, as
// long as the centre is below the hip line.
func (q quarter) flare() Point {
	length, width := belowHip*q.body.hipDepth(), q.body.flare()
	return Point{width, -math.Sqrt(length*length - width*width)}
}

// hipCurve runs from the waist into the flare without a corner, and bends
// evenly: at the waist it turns from the chord as far as at the hip.
func hipCurve(waist, hip, flare Point) Cubic {
	chord := hip.Sub(waist)
	start := Polar(1, 2*chord.Angle()-flare.Angle())
	handle := chord.Length() / 3
	return Cubic{waist, waist.Add(start.Times(handle)), hip.Sub(flare.Times(handle)), hip}
}

// waistCurve is level at the centre and square to the side seam, and keeps
// most of its rise for the last third.
func waistCurve(centre, point, side Point) Cubic {
	width := point.X
	return Cubic{
		centre, centre.Add(Point{0.4 * width, 0}),
		point.Sub(side.Left().Times(0.16 * width)), point,
	}
}

// hem is square to the side seam and level at the centre; its handle at the
// side ends where the two directions meet, so that it never sags below the
// centre.
func (q quarter) hem() Path {
	flare := q.flare()
	length := flare.Length()
	side, centre := Point{q.hip + flare.X, flare.Y}, Point{0, -length}
	handle := length * math.Tan(math.Asin(flare.X/length)/2)
	inwards := flare.Unit().Left().Times(-handle)
	return Path{{side, side.Add(inwards), centre.Add(Point{side.X / 2, 0}), centre}}
}
