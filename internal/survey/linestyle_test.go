package survey

import (
	"math"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"github.com/sizeply/sizeply/internal/paint"
)

// sharma are the pairs of Sharma, Wu and Dalal, "The CIEDE2000 color-difference
// formula: implementation notes, supplementary test data, and mathematical
// observations", Color Research and Application 30 (2005), Table 1: two colours
// in CIELAB and their difference.
var sharma = []struct {
	a, b [3]float64
	want float64
}{
	{[3]float64{50, 2.6772, -79.7751}, [3]float64{50, 0, -82.7485}, 2.0425},
	{[3]float64{50, 3.1571, -77.2803}, [3]float64{50, 0, -82.7485}, 2.8615},
	{[3]float64{50, 2.8361, -74.02}, [3]float64{50, 0, -82.7485}, 3.4412},
	{[3]float64{50, -1.3802, -84.2814}, [3]float64{50, 0, -82.7485}, 1.0000},
	{[3]float64{50, -1.1848, -84.8006}, [3]float64{50, 0, -82.7485}, 1.0000},
	{[3]float64{50, -0.9009, -85.5211}, [3]float64{50, 0, -82.7485}, 1.0000},
	{[3]float64{50, 0, 0}, [3]float64{50, -1, 2}, 2.3669},
	{[3]float64{50, -1, 2}, [3]float64{50, 0, 0}, 2.3669},
	{[3]float64{50, 2.49, -0.001}, [3]float64{50, -2.49, 0.0009}, 7.1792},
	{[3]float64{50, 2.49, -0.001}, [3]float64{50, -2.49, 0.001}, 7.1792},
	{[3]float64{50, 2.49, -0.001}, [3]float64{50, -2.49, 0.0011}, 7.2195},
	{[3]float64{50, 2.49, -0.001}, [3]float64{50, -2.49, 0.0012}, 7.2195},
	{[3]float64{50, -0.001, 2.49}, [3]float64{50, 0.0009, -2.49}, 4.8045},
	{[3]float64{50, -0.001, 2.49}, [3]float64{50, 0.001, -2.49}, 4.8045},
	{[3]float64{50, -0.001, 2.49}, [3]float64{50, 0.0011, -2.49}, 4.7461},
	{[3]float64{50, 2.5, 0}, [3]float64{50, 0, -2.5}, 4.3065},
	{[3]float64{50, 2.5, 0}, [3]float64{73, 25, -18}, 27.1492},
	{[3]float64{50, 2.5, 0}, [3]float64{61, -5, 29}, 22.8977},
	{[3]float64{50, 2.5, 0}, [3]float64{56, -27, -3}, 31.9030},
	{[3]float64{50, 2.5, 0}, [3]float64{58, 24, 15}, 19.4535},
	{[3]float64{50, 2.5, 0}, [3]float64{50, 3.1736, 0.5854}, 1.0000},
	{[3]float64{50, 2.5, 0}, [3]float64{50, 3.2972, 0}, 1.0000},
	{[3]float64{50, 2.5, 0}, [3]float64{50, 1.8634, 0.5757}, 1.0000},
	{[3]float64{50, 2.5, 0}, [3]float64{50, 3.2592, 0.335}, 1.0000},
	{[3]float64{60.2574, -34.0099, 36.2677}, [3]float64{60.4626, -34.1751, 39.4387}, 1.2644},
	{[3]float64{63.0109, -31.0961, -5.8663}, [3]float64{62.8187, -29.7946, -4.0864}, 1.2630},
	{[3]float64{61.2901, 3.7196, -5.3901}, [3]float64{61.4292, 2.248, -4.962}, 1.8731},
	{[3]float64{35.0831, -44.1164, 3.7933}, [3]float64{35.0232, -40.0716, 1.5901}, 1.8645},
	{[3]float64{22.7233, 20.0904, -46.694}, [3]float64{23.0331, 14.973, -42.5619}, 2.0373},
	{[3]float64{36.4612, 47.858, 18.3852}, [3]float64{36.2715, 50.5065, 21.2231}, 1.4146},
	{[3]float64{90.8027, -2.0831, 1.441}, [3]float64{91.1528, -1.6435, 0.0447}, 1.4441},
	{[3]float64{90.9257, -0.5406, -0.9208}, [3]float64{88.6381, -0.8985, -0.7239}, 1.5381},
	{[3]float64{6.7747, -0.2908, -2.4247}, [3]float64{5.8714, -0.0985, -2.2286}, 0.6377},
	{[3]float64{2.0776, 0.0795, -1.135}, [3]float64{0.9033, -0.0636, -0.5514}, 0.9082},
}

func lab(v [3]float64) colorful.Color { return colorful.Lab(v[0]/100, v[1]/100, v[2]/100) }

// The differences are published with four decimals. In pair 10 the hues are
// opposite to the last digit, where the formula has a step: a colour that has been
// through sRGB, as all of the library's are, may stand on the other side of it,
// where pair 11 is.
func TestColourDifference(t *testing.T) {
	for i, c := range sharma {
		for _, got := range []float64{colourDifference(lab(c.a), lab(c.b)), colourDifference(lab(c.b), lab(c.a))} {
			if i == 9 && math.Abs(got-sharma[10].want) <= 0.00005 {
				continue
			}
			if math.Abs(got-c.want) > 0.00005 {
				t.Errorf("pair %d: %.5f, want %.4f", i+1, got, c.want)
			}
		}
	}
}

// Names of CSS Color Module Level 4, 6.1: gray is darker than darkgray, green is
// not lime.
func TestColourName(t *testing.T) {
	for _, c := range []struct {
		r, g, b uint8
		want    string
	}{
		{0, 0, 0, "black"}, {255, 255, 255, "white"}, {255, 0, 0, "red"}, {0, 128, 0, "green"}, {0, 255, 0, "lime"},
		{128, 128, 128, "grey"}, {169, 169, 169, "darkgrey"}, {105, 105, 105, "dimgrey"}, {0, 255, 255, "aqua"},
		{255, 0, 255, "fuchsia"}, {254, 1, 1, "red"}, {254, 100, 72, "tomato"},
	} {
		if got := colourName(paint.Colour{R: c.r, G: c.g, B: c.b, Known: true}); got != c.want {
			t.Errorf("#%02x%02x%02x is %s, want %s", c.r, c.g, c.b, got, c.want)
		}
	}
	if got := colourName(paint.Colour{}); got != "" {
		t.Errorf("an unknown colour is %s", got)
	}
}
