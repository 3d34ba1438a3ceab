package content

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// near allows for rounding of sines and cosines.
var near = cmpopts.EquateApprox(0, 1e-12)

// The forms of ISO 32000-1, 8.3.3, and what they do to (10, 0) and (0, 10).
func TestMatrixForms(t *testing.T) {
	sin, cos := math.Sincos(math.Pi / 6)
	cases := []struct {
		name string
		m    Matrix
		x, y Point
	}{
		{"translation [1 0 0 1 tx ty]", Translation(3, 4), Point{13, 4}, Point{3, 14}},
		{"scaling [sx 0 0 sy 0 0]", Scaling(2, 3), Point{20, 0}, Point{0, 30}},
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
			inverse, ok := c.m.Invert()
			if diff := cmp.Diff(Identity(), c.m.Multiply(inverse), near); !ok || diff != "" {
				t.Errorf("m x inverse (-want +got):\n%s", diff)
			}
		})
	}
}

// 8.3.3: the order in which transformations are done matters.
func TestMultiplyOrder(t *testing.T) {
	scaleThenMove := Scaling(2, 2).Multiply(Translation(10, 0))
	if got := scaleThenMove.Apply(Point{1, 1}); got != (Point{12, 2}) {
		t.Errorf("scaled, then moved: %v, want (12, 2)", got)
	}
	moveThenScale := Translation(10, 0).Multiply(Scaling(2, 2))
	if got := moveThenScale.Apply(Point{1, 1}); got != (Point{22, 2}) {
		t.Errorf("moved, then scaled: %v, want (22, 2)", got)
	}
	m, n := Matrix{1, 2, 3, 4, 5, 6}, Matrix{7, 8, 9, 10, 11, 12}
	want := Matrix{25, 28, 57, 64, 100, 112} // by hand, rows times columns
	if got := m.Multiply(n); got != want {
		t.Errorf("product %v, want %v", got, want)
	}
}

func TestInvertSingular(t *testing.T) {
	for _, m := range []Matrix{{}, {1, 2, 2, 4, 0, 0}, {A: 1e-200, D: 1e-200}, {A: math.NaN(), D: 1}} {
		if _, ok := m.Invert(); ok {
			t.Errorf("%v has an inverse", m)
		}
	}
}

func TestMaxScale(t *testing.T) {
	cases := []struct {
		m    Matrix
		want float64
	}{
		{Identity(), 1},
		{Scaling(-3, 2), 3},
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
