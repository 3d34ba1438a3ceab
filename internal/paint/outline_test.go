package paint_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// kappa makes four curves of a circle that are off by at most 0.027 % of the
// radius (common practice, no source).
const kappa = 0.5522847498307936

// ellipse draws an ellipse around the origin.
func ellipse(a, b float64) string {
	return fmt.Sprintf("%[1]f 0 m %[1]f %[4]f %[3]f %[2]f 0 %[2]f c -%[3]f %[2]f -%[1]f %[4]f -%[1]f 0 c "+
		"-%[1]f -%[4]f -%[3]f -%[2]f 0 -%[2]f c %[3]f -%[2]f %[1]f -%[4]f %[1]f 0 c h", a, b, a*kappa, b*kappa)
}

// perimeter is that of an ellipse by the series of Ivory and Bessel,
// π(a+b) Σ C(½,n)² hⁿ with h = ((a-b)/(a+b))² (from memory; for a = b and for
// b = 0 it gives 2πa and 4a).
func perimeter(a, b float64) float64 {
	h := math.Pow((a-b)/(a+b), 2)
	sum, c, power := 0.0, 1.0, 1.0
	for n := range 200 {
		sum += c * c * power
		c *= (0.5 - float64(n)) / float64(n+1)
		power *= h
	}
	return math.Pi * (a + b) * sum
}

func TestLength(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		want          float64
	}{
		{"line", "0 0 m 30 40 l", 50},
		{"closed triangle", "0 0 m 30 0 l 30 40 l h", 120},
		{"closed where it ends", "0 0 m 3 0 l 0 0 l h h", 6},
		{"rectangle", "1 2 30 40 re", 140},
		{"rectangle and a line from its corner", "0 0 30 40 re 3 4 l", 145},
		{"line without a start", "3 4 l 5 6 l", 0},
		{"straight curve", "0 0 m 10 0 20 0 30 0 c", 30},
		{"curve that turns back", "0 0 m 20 0 20 0 0 0 c", 30}, // to t = ½: 60·¼
		{"v and y", "0 0 m 10 0 20 0 v 30 0 40 0 y", 40},
		{"circle", ellipse(100, 100), 2 * math.Pi * 100},
		{"ellipse of 2 to 1", ellipse(100, 50), perimeter(100, 50)},
		{"ellipse of 10 to 1", ellipse(100, 10), perimeter(100, 10)},
		{"turned by 30 degrees", ".8660254 .5 -.5 .8660254 7 8 cm " + ellipse(100, 50), perimeter(100, 50)},
		{"scaled", "2.5 0 0 2.5 0 0 cm " + ellipse(100, 50), perimeter(250, 125)},
		{"a circle scaled to an ellipse", "3 0 0 1 0 0 cm " + ellipse(50, 50), perimeter(150, 50)},
		{"skewed line", "1 0 1 1 0 0 cm 0 0 m 0 10 l", 10 * math.Sqrt2},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, _, o := stroked(t, tc.content+" S", "")
			if off := math.Abs(o.Length - tc.want); off > 0.001*tc.want {
				t.Errorf("length %v, want %v within 0.1 %%", o.Length, tc.want)
			}
		})
	}
}

// The series itself, against the two ends that are known.
func TestPerimeter(t *testing.T) {
	if got := perimeter(1, 1); math.Abs(got-2*math.Pi) > 1e-12 {
		t.Errorf("circle %v, want %v", got, 2*math.Pi)
	}
	if got := perimeter(1, 0); math.Abs(got-4) > 1e-2 { // it converges slowly there
		t.Errorf("a line there and back %v, want 4", got)
	}
}

// Lengths in points: 1.5 mm are 4.25, 15 mm are 42.5.
func TestThin(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		evenOdd       bool
		want          bool
		width         float64
	}{
		{"narrow rectangle", "0 0 100 1 re", false, true, 0.99},
		{"as wide as long", "0 0 100 100 re", false, false, 50},
		{"too short, like a letter", "0 0 20 1 re", false, false, 0.95},
		{"ring, the inside the other way round", "0 0 m 100 0 l 100 100 l 0 100 l h 1 1 m 1 99 l 99 99 l 99 1 l h", false, true, 1},
		{"ring by the even-odd rule", "0 0 100 100 re 1 1 98 98 re", true, true, 1},
		{"the same without that rule is full", "0 0 100 100 re 1 1 98 98 re", false, false, 49.5},
		{"many letters", strings.Repeat("0 0 20 1 re 9 9 1 20 re ", 50), false, false, 0.95},
		{"of no area", "0 0 m 100 0 l", false, true, 0},
		{"nothing", "", false, false, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, _, o := stroked(t, tc.content+" f", "")
			width, thin := o.Thin(tc.evenOdd)
			if thin != tc.want || math.Abs(width-tc.width) > 0.01 {
				t.Errorf("thin: %t, width %v; want %t, %v", thin, width, tc.want, tc.width)
			}
		})
	}
}

func TestSingle(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		want          int
	}{
		{"one line", "0 0 m 9 9 l", 1}, {"three lines", "0 0 m 9 9 l 10 10 m 12 12 l 13 13 m 14 14 l", 3},
		{"bent", "0 0 m 9 9 l 10 0 l", 0}, {"one of them bent", "0 0 m 9 9 l 0 0 m 1 0 l 1 1 l", 0},
		{"curve", "0 0 m 1 1 2 2 3 3 c", 1}, {"rectangle", "0 0 9 9 re", 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, _, o := stroked(t, tc.content+" S", "")
			if got := len(o.Single()); got != tc.want {
				t.Errorf("%d pieces, want %d", got, tc.want)
			}
		})
	}
}
