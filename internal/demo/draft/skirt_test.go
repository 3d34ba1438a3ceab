package draft

import (
	"fmt"
	"math"
	"testing"
)

// bodies covers small and large sizes, straight and curvy, in millimetres.
func bodies() []Body {
	var all []Body
	for waist := 560.0; waist <= 1200; waist += 80 {
		for drop := 170.0; drop <= 330; drop += 40 {
			all = append(all, Body{fmt.Sprintf("%g+%g", waist, drop), waist, waist + drop})
		}
	}
	return all
}

func eachSkirt(t *testing.T, check func(*testing.T, Skirt)) {
	t.Helper()
	for _, b := range bodies() {
		t.Run(b.Label, func(t *testing.T) {
			s, err := New(b)
			if err != nil {
				t.Fatal(err)
			}
			check(t, s)
		})
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.4f mm, want %.4f", what, got, want)
	}
}

// The eases, 10 mm at the waist and 40 mm at the hip, are common practice,
// no source.
func TestGirths(t *testing.T) {
	eachSkirt(t, func(t *testing.T, s Skirt) {
		waist := 2 * (openWaist(s.Front) + openWaist(s.Back))
		near(t, "waist line less the darts", waist, s.Body.Waist+10, 0.1)
		hip := 2 * (s.Front.Side.Crossing(0).X + s.Back.Side.Crossing(0).X)
		near(t, "width at the hip line", hip, s.Body.Hip+40, 0.1)
	})
}

// openWaist measures the waist line between the darts in short chords.
func openWaist(p Panel) float64 {
	sum, points := 0.0, p.Waist.Flatten(20000)
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if !inDart(p.Darts, a.Towards(b, 0.5)) {
			sum += b.Sub(a).Length()
		}
	}
	return sum
}

func inDart(darts []Dart, p Point) bool {
	for _, d := range darts {
		if p.X > d.Mouth[0].X && p.X < d.Mouth[1].X {
			return true
		}
	}
	return false
}

// What is sewn together is equally long: common practice, no source.
func TestSeamsMatch(t *testing.T) {
	eachSkirt(t, func(t *testing.T, s Skirt) {
		near(t, "back side seam", s.Back.Side.Length(), s.Front.Side.Length(), 0.5)
		near(t, "front facing", s.FrontFacing.Upper.Length(), s.Front.SewnWaist(), 0.1)
		near(t, "back facing", s.BackFacing.Upper.Length(), s.Back.SewnWaist(), 0.1)
		near(t, "end of the back facing", s.BackFacing.End.Length(), s.FrontFacing.End.Length(), 1e-6)
		from := s.Front.OpeningLengths[0] - s.Pocket.OpeningLengths[0]
		for along := 0.0; along <= s.Pocket.Side.Length(); along += 10 {
			bag, _ := s.Pocket.Side.At(along)
			seam, _ := s.Front.Side.At(from + along)
			near(t, "pocket bag beside the seam", bag.Sub(seam).Length(), 0, 0.01)
		}
		for _, d := range append(append([]Dart{}, s.Front.Darts...), s.Back.Darts...) {
			near(t, "outer dart leg", d.Mouth[1].Sub(d.Point).Length(), d.Mouth[0].Sub(d.Point).Length(), 1e-6)
		}
	})
}

// Where two pieces meet at a seam the edge must run on without a corner, so
// it is square to the seam: common practice, no source.
func TestSquareCorners(t *testing.T) {
	eachSkirt(t, func(t *testing.T, s Skirt) {
		for _, p := range []Panel{s.Front, s.Back} {
			waist, top := p.Waist[0].Direction(1), p.Side[0].Direction(0)
			near(t, "waist against side seam", dot(waist, top), 0, 1e-9)
			bottom, hem := p.Side[1].Direction(1), p.Hem[0].Direction(0)
			near(t, "side seam against hem", dot(bottom, hem), 0, 1e-9)
			near(t, "turn in the side seam at the hip line", p.Side[0].Direction(1).Sub(p.Side[1].Direction(0)).Length(), 0, 1e-6)
			near(t, "hem at the centre", p.Hem[0].Direction(1).Y, 0, 1e-9)
			near(t, "side seam below the hip line", p.Side[1].Length(), -p.Hem.End().Y, 0.01)
		}
	})
}

func dot(a, b Point) float64 { return a.X*b.X + a.Y*b.Y }

// Outlines must close and, drawn with the clock, have their inside on the
// right, where notches and numbers go.
func TestOutlines(t *testing.T) {
	eachSkirt(t, func(t *testing.T, s Skirt) {
		for name, p := range map[string]Path{
			"front": s.Front.Outline(), "back": s.Back.Outline(), "pocket": s.Pocket.Outline(),
			"front facing": s.FrontFacing.Outline(), "back facing": s.BackFacing.Outline(),
		} {
			at := p.End()
			for _, c := range p {
				near(t, "gap in the outline of "+name, c[0].Sub(at).Length(), 0, 1e-6)
				at = c[3]
			}
			if area := signedArea(p.Flatten(16)); area >= 0 {
				t.Errorf("the outline of %s runs against the clock", name)
			}
		}
	})
}

func signedArea(points []Point) float64 {
	sum := 0.0
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += p.X*q.Y - q.X*p.Y
	}
	return sum / 2
}

// A larger size is no enlargement: parts that scaling would keep in one
// proportion do not stay in it.
func TestNotScaled(t *testing.T) {
	small, err := New(Body{"6", 600, 840})
	if err != nil {
		t.Fatal(err)
	}
	large, err := New(Body{"24", 1040, 1260})
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name    string
		measure func(Skirt) float64
	}{
		{"hip depth", func(s Skirt) float64 { return s.Front.HipDepth }},
		{"front dart intake", func(s Skirt) float64 { return s.Front.Darts[0].Intake }},
		{"pocket opening", func(s Skirt) float64 { return s.Front.OpeningLengths[1] - s.Front.OpeningLengths[0] }},
		{"length", func(s Skirt) float64 { return s.Front.Centre.Length() }},
		{"bend of the hip curve", func(s Skirt) float64 {
			return s.Front.Side[0].Direction(0).Sub(s.Front.Side[0].Direction(1)).Length() * s.Front.HipWidth
		}},
	} {
		a, b := tc.measure(small)/small.Front.HipWidth, tc.measure(large)/large.Front.HipWidth
		if !(math.Abs(a-b) > 0.05*a) {
			t.Errorf("%s is %.3f of the hip width in both sizes", tc.name, a)
		}
	}
}

func TestNewRefuses(t *testing.T) {
	for _, tc := range []struct {
		name       string
		waist, hip float64
	}{
		{"no waist", 0, 900},
		{"negative waist", -600, 900},
		{"hip no larger than waist", 900, 900},
		{"too little for darts", 900, 980},
		{"too much for darts", 600, 1100},
		{"waist in centimetres", 60, 84},
		{"hip beyond bodies", 1800, 2100},
		{"not a number", math.NaN(), 900},
		{"hip not a number", 700, math.NaN()},
		{"endless", 700, math.Inf(1)},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if _, err := New(Body{"x", tc.waist, tc.hip}); err == nil {
				t.Errorf("waist %g and hip %g were drafted", tc.waist, tc.hip)
			}
		})
	}
}
