package content

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestCurveBounds(t *testing.T) {
	cases := []struct {
		name string
		p    [4]Point
		want Rect
	}{
		// y = 3t(1-t), greatest at t = 1/2.
		{"arch", [4]Point{{0, 0}, {0, 1}, {1, 1}, {1, 0}}, Rect{0, 0, 1, 0.75}},
		// x = -12t(1-t), least at t = 1/2; y falls all the way.
		{"bulge to the left", [4]Point{{0, 1}, {-4, 1}, {-4, -1}, {0, -1}}, Rect{-3, -1, 0, 1}},
		// y = 3t(1-t)(1-2t): extrema at t = (3±√3)/6, ±√3/6.
		{"wave", [4]Point{{0, 0}, {1, 1}, {2, -1}, {3, 0}}, Rect{0, -math.Sqrt(3) / 6, 3, math.Sqrt(3) / 6}},
		{"quarter circle within its ends", [4]Point{{1, 0}, {1, 0.5523}, {0.5523, 1}, {0, 1}}, Rect{0, 0, 1, 1}},
		{"straight", [4]Point{{0, 0}, {1, 2}, {2, 4}, {3, 6}}, Rect{0, 0, 3, 6}},
		{"point", [4]Point{{2, 3}, {2, 3}, {2, 3}, {2, 3}}, Rect{2, 3, 2, 3}},
		// x = 3t(1-t): the quadratic case, a = 0.
		{"parabola", [4]Point{{0, 0}, {1, 0}, {1, 0}, {0, 0}}, Rect{0, 0, 0.75, 0}},
		// x = 6t²(1-t), greatest at t = 2/3.
		{"one control point at the end", [4]Point{{0, 0}, {0, 0}, {2, 0}, {0, 0}}, Rect{0, 0, 8.0 / 9, 0}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := CurveBounds(c.p[0], c.p[1], c.p[2], c.p[3])
			if diff := cmp.Diff(c.want, got, near); diff != "" {
				t.Errorf("bounds (-want +got):\n%s", diff)
			}
		})
	}
}

// The bounds hold every point of the curve, and dense sampling comes close to
// them on each side.
func TestCurveBoundsAgainstSampling(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	point := func() Point {
		if random.IntN(8) == 0 {
			return Point{float64(random.IntN(3)), float64(random.IntN(3))} // degenerate cases
		}
		return Point{random.NormFloat64() * 100, random.NormFloat64() * 100}
	}
	const steps = 2000
	for range 500 {
		p := [4]Point{point(), point(), point(), point()}
		got, sampled := CurveBounds(p[0], p[1], p[2], p[3]), EmptyRect()
		for i := range steps + 1 {
			sampled = sampled.Include(bernstein(p, float64(i)/steps))
		}
		if got.Grow(1e-9).Union(sampled) != got.Grow(1e-9) {
			t.Fatalf("%v: bounds %v do not hold %v", p, got, sampled)
		}
		// Between samples a curve leaves its chord by no more than the
		// greatest second derivative times the square of the step, over 8.
		second := 6 * (Bounds(p[:]...).Width() + Bounds(p[:]...).Height()) * 4
		if sampled.Grow(second/steps/steps/8+1e-9).Union(got) != sampled.Grow(second/steps/steps/8+1e-9) {
			t.Fatalf("%v: bounds %v are wider than %v", p, got, sampled)
		}
	}
}

// bernstein evaluates the curve by the formula of ISO 32000-1, 8.5.2.2.
func bernstein(p [4]Point, t float64) Point {
	u := 1 - t
	w := [4]float64{u * u * u, 3 * t * u * u, 3 * t * t * u, t * t * t}
	var sum Point
	for i, q := range p {
		sum.X += w[i] * q.X
		sum.Y += w[i] * q.Y
	}
	return sum
}
