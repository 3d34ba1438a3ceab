package sizes

import (
	"math"
	"testing"
)

// 1 in is 25.4 mm (BIPM, The International System of Units; also check values
// of paper sizes: 8.5 in is 215.9 mm).
func TestMillimetres(t *testing.T) {
	cases := []struct {
		unit  Unit
		value float64
		want  float64
	}{{Centimetre, 62.5, 625}, {Millimetre, 625, 625}, {Inch, 8.5, 215.9}, {"", 3, 0}, {"ell", 3, 0}}
	for _, c := range cases {
		if got := c.unit.Millimetres(c.value); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v %s are %v mm, want %v", c.value, c.unit, got, c.want)
		}
	}
}

func TestUnitOf(t *testing.T) {
	cases := []struct {
		in   string
		want Unit
		ok   bool
	}{
		{"cm", Centimetre, true}, {"CM", Centimetre, true}, {"centimeters", Centimetre, true},
		{"mm", Millimetre, true}, {"inches", Inch, true}, {"in.", Inch, true},
		{"feet", "", false}, {"", "", false},
	}
	for _, c := range cases {
		if got, ok := unitOf(c.in); got != c.want || ok != c.ok {
			t.Errorf("unitOf(%q) = %q, %v, want %q, %v", c.in, got, ok, c.want, c.ok)
		}
	}
}
