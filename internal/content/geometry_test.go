package content

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// near allows for rounding of sines and cosines.
var near = cmpopts.EquateApprox(0, 1e-12)

// scaling scales from the origin.
func scaling(sx, sy float64) Matrix { return Matrix{A: sx, D: sy} }

// The forms of ISO 32000-1, 8.3.3, and what they do to (10, 0) and (0, 10).
func TestMatrixForms(t *testing.T) {
	sin, cos := math.Sincos(math.Pi / 6)
	cases := []struct {
		name string
		m    Matrix
		x, y Point
	}{
		{"translation [1 0 0 1 tx ty]", Translation(3, 4), Point{13, 4}, Point{3, 14}},
		{"scaling [sx 0 0 sy 0 0]", scaling(2, 3), Point{20, 0}, Point{0, 30}},
		{"rotation [cos sin -sin cos 0 0]", Matrix{cos, sin, -sin, cos, 0, 0}, Point{5 * math.Sqrt(3), 5}, Point{-5, 5 * math.Sqrt(3)}},
		{"skew [1 tan a tan b 1 0 0], a = 45°, b = 0", Matrix{1, 1, 0, 1, 0, 0}, Point{10, 10}, Point{0, 10}},
		{"identity", Identity(), Point{10, 0}, Point{0, 10}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := []Point{c.m.Apply(Point{10, 0}), c.m.Apply(Point{0, 10})}
			if diff := cmp.Diff([]Point{c.x, c.y}, got, near); diff != "" {
				t.Errorf("points (-want +got):\n%s", diff)
			}
		})
	}
}

// 8.3.3: the order in which transformations are done matters.
func TestMultiplyOrder(t *testing.T) {
	scaleThenMove := scaling(2, 2).Multiply(Translation(10, 0))
	if got := scaleThenMove.Apply(Point{1, 1}); got != (Point{12, 2}) {
		t.Errorf("scaled, then moved: %v, want (12, 2)", got)
	}
	moveThenScale := Translation(10, 0).Multiply(scaling(2, 2))
	if got := moveThenScale.Apply(Point{1, 1}); got != (Point{22, 2}) {
		t.Errorf("moved, then scaled: %v, want (22, 2)", got)
	}
	m, n := Matrix{1, 2, 3, 4, 5, 6}, Matrix{7, 8, 9, 10, 11, 12}
	want := Matrix{25, 28, 57, 64, 100, 112} // by hand, rows times columns
	if got := m.Multiply(n); got != want {
		t.Errorf("product %v, want %v", got, want)
	}
}

func TestMaxScale(t *testing.T) {
	cases := []struct {
		m    Matrix
		want float64
	}{
		{Identity(), 1},
		{scaling(-3, 2), 3},
		{Matrix{0, 5, -4, 0, 9, 9}, 5},
		{Matrix{1, 0, 1, 1, 0, 0}, (1 + math.Sqrt(5)) / 2}, // shear by 1: the golden ratio
		{Matrix{}, 0},
	}
	for _, c := range cases {
		if diff := cmp.Diff(c.want, c.m.MaxScale(), near); diff != "" {
			t.Errorf("%v (-want +got):\n%s", c.m, diff)
		}
	}
}

// Where a fused multiply-add would be used, the result has other bits: the
// square of 1+2^-30 minus its rounded value is 2^-60, not 0.
func TestProductsAreRounded(t *testing.T) {
	a := 1 + math.Pow(2, -30)
	square := a * a
	if got := (Matrix{A: a, C: -1}).Apply(Point{a, square}).X; got != 0 {
		t.Errorf("a*a - round(a*a) = %v, want 0", got)
	}
}

func TestRectEmpty(t *testing.T) {
	e, r := EmptyRect(), Rect{1, 2, 3, 4}
	switch {
	case !e.Empty() || r.Empty() || (Rect{1, 1, 1, 1}).Empty() || !(Rect{2, 0, 1, 9}).Empty():
		t.Error("wrong rectangles are empty")
	case e.Union(r) != r || r.Union(e) != r || !e.Union(e).Empty():
		t.Error("the empty rectangle adds to a union")
	case !e.Intersect(r).Empty() || !r.Intersect(Rect{5, 5, 6, 6}).Empty():
		t.Error("an intersection is not empty")
	case !e.Transform(scaling(-1, -1)).Empty() || !e.Grow(9).Empty():
		t.Error("the empty rectangle grows")
	case e.Width() != 0 || e.Height() != 0:
		t.Error("the empty rectangle has a size")
	case e.Include(Point{7, 8}) != Rect{7, 8, 7, 8}:
		t.Error("the first point does not make the rectangle")
	}
}

func TestRect(t *testing.T) {
	r := NewRect(3, 4, 1, 2)
	cases := []struct {
		name      string
		got, want Rect
	}{
		{"corners in order, 7.9.5", r, Rect{1, 2, 3, 4}},
		{"union", r.Union(Rect{0, 3, 2, 9}), Rect{0, 2, 3, 9}},
		{"intersection", r.Intersect(Rect{0, 3, 2, 9}), Rect{1, 3, 2, 4}},
		{"common edge", r.Intersect(Rect{3, 0, 9, 9}), Rect{3, 2, 3, 4}},
		{"everywhere", r.Intersect(Everywhere()), r},
		{"quarter turn", r.Transform(Matrix{0, 1, -1, 0, 0, 0}), Rect{-4, 1, -2, 3}},
		{"mirrored", r.Transform(scaling(-1, 2)), Rect{-3, 4, -1, 8}},
		{"bounds of an eighth turn", (Rect{0, 0, 1, 1}).Transform(Matrix{1, 1, -1, 1, 0, 0}), Rect{-1, 0, 1, 2}},
		{"everywhere transformed", Everywhere().Transform(Matrix{}), Everywhere()},
		{"grown", r.Grow(1), Rect{0, 1, 4, 5}},
		{"bounds", Bounds(Point{5, 1}, Point{2, 7}), Rect{2, 1, 5, 7}},
	}
	for _, c := range cases {
		if c.got != c.want {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	if r.Width() != 2 || r.Height() != 2 || math.IsNaN(Everywhere().Width()) {
		t.Error("wrong size")
	}
}

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
