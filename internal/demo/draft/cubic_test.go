package draft

import (
	"math"
	"testing"
)

var curves = []struct {
	name  string
	curve Cubic
}{
	{"straight", Straight(Point{3, 4}, Point{303, 404})},
	{"hip curve", Cubic{{210, 213}, {230, 140}, {261, 60}, {270, 0}}},
	{"sharp at one end", Cubic{{0, 0}, {120, 0}, {280, 3}, {300, 14}}},
	{"turning both ways", Cubic{{0, 0}, {100, 80}, {50, -80}, {160, 10}}},
}

// The yardstick is the definition: the limit of the lengths of chords.
func TestCubicLength(t *testing.T) {
	for _, tc := range curves {
		t.Run(tc.name, func(t *testing.T) {
			want := chords(Path{tc.curve}.Flatten(20000))
			if got := tc.curve.Length(); math.Abs(got-want) > 1e-3 {
				t.Errorf("length %.6f, chords add up to %.6f", got, want)
			}
		})
	}
}

func TestCubicParameterAt(t *testing.T) {
	for _, tc := range curves {
		for _, share := range []float64{0, 0.1, 0.5, 0.9, 1} {
			want := share * tc.curve.Length()
			left, right := tc.curve.Split(tc.curve.parameterAt(want))
			if got := left.Length(); math.Abs(got-want) > 1e-3 {
				t.Errorf("%s: cut at %.4f is %.4f long", tc.name, want, got)
			}
			if left[3] != right[0] {
				t.Errorf("%s: the parts do not meet: %v, %v", tc.name, left[3], right[0])
			}
		}
	}
}

func TestCubicIsStraight(t *testing.T) {
	for i, tc := range curves {
		if got, want := tc.curve.IsStraight(), i == 0; got != want {
			t.Errorf("%s: straight is %v, want %v", tc.name, got, want)
		}
	}
}

func chords(points []Point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += points[i].Sub(points[i-1]).Length()
	}
	return sum
}
