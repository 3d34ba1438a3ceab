package sizes

import (
	"testing"
)

// quantityCases are cells of a chart: a value or a range.
var quantityCases = []struct {
	text, why string
	from, to  Measure
}{
	{"80", "a value", Measure{80, ""}, Measure{80, ""}},
	{"36 1/2 in", "a value with a unit", Measure{36.5, Inch}, Measure{36.5, Inch}},
	{"82-90", "a range", Measure{82, ""}, Measure{90, ""}},
	{"82 – 90 cm", "en dash, and one unit for both", Measure{82, Centimetre}, Measure{90, Centimetre}},
	{"82cm-90cm", "a unit each", Measure{82, Centimetre}, Measure{90, Centimetre}},
	{"82..90", "dots", Measure{82, ""}, Measure{90, ""}},
	{"82 … 90", "ellipsis", Measure{82, ""}, Measure{90, ""}},
	{"82 to 90", "word", Measure{82, ""}, Measure{90, ""}},
	{"82 bis 90", "word, German", Measure{82, ""}, Measure{90, ""}},
	{"82~90", "tilde", Measure{82, ""}, Measure{90, ""}},
	{"82〜90", "wave dash, Japanese", Measure{82, ""}, Measure{90, ""}},
	{"82,5-90,5", "decimal commas", Measure{82.5, ""}, Measure{90.5, ""}},
	{"36-1/2", "a hyphen before a fraction is no range", Measure{36.5, ""}, Measure{36.5, ""}},
	{"36-37", "a hyphen before a number is one", Measure{36, ""}, Measure{37, ""}},
	{"36-1/2-38 in", "a fraction, then a range", Measure{36.5, Inch}, Measure{38, Inch}},
	{"36 1/2-38 1/2\"", "fractions at both ends", Measure{36.5, Inch}, Measure{38.5, Inch}},
	{"36½–38½", "fractions in one character", Measure{36.5, ""}, Measure{38.5, ""}},
	{"90-82", "backwards: Check refuses it", Measure{90, ""}, Measure{82, ""}},
}

func TestReadQuantity(t *testing.T) {
	for _, c := range quantityCases {
		q, ok := readQuantity(c.text)
		if !ok || q.from != c.from || q.to != c.to {
			t.Errorf("%q, %s: %v to %v (read: %t), want %v to %v", c.text, c.why, q.from, q.to, ok, c.from, c.to)
		}
	}
	for _, text := range []string{"", "-", "82-", "-90", "82-90-98", "82 cm-32 in", "82 90", "82-90 ft", "-5-80", "to 90"} {
		if q, ok := readQuantity(text); ok && q.from.Value > 0 {
			t.Errorf("%q is read as %v to %v", text, q.from, q.to)
		}
	}
}

// A chart without a unit takes that of its measurements where each has one.
func TestSettle(t *testing.T) {
	in := func(size int, value float64, unit Unit) quantity {
		m := Measure{value, unit}
		return quantity{size: size, name: "bust", from: m, to: m}
	}
	cases := []struct {
		name string
		unit Unit // of the chart
		all  []quantity
		want Unit
		bust []float64
	}{
		{"the chart's unit for numbers alone", Centimetre, []quantity{in(0, 80, ""), in(1, 84, "")}, Centimetre, []float64{80, 84}},
		{"converted to the chart's", Centimetre, []quantity{in(0, 32, Inch), in(1, 850, Millimetre)}, Centimetre, []float64{81.28, 85}},
		{"that of the first", "", []quantity{in(0, 32, Inch), in(1, 86.36, Centimetre)}, Inch, []float64{32, 34}},
		{"none where one has none", "", []quantity{in(0, 32, Inch), in(1, 34, "")}, "", []float64{32, 34}},
	}
	for _, c := range cases {
		chart := &Chart{Unit: c.unit, Sizes: make([]Size, 2)}
		chart.settle(c.all)
		for i, want := range c.bust {
			if got := chart.Sizes[i].Body["bust"]; got != want || chart.Unit != c.want {
				t.Errorf("%s: bust %v in %q, want %v in %q", c.name, got, chart.Unit, want, c.want)
			}
		}
	}
}
