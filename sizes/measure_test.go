package sizes

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// measureCases are measurements as people write them. An inch is 25.4 mm
// (international yard and pound agreement of 1959); the ways to write one are
// common practice, no source.
var measureCases = []struct {
	text, why string
	want      Measure
}{
	{"92", "a number alone is in the unit of the chart", Measure{92, ""}},
	{"92.5", "decimal point", Measure{92.5, ""}},
	{"92,5", "decimal comma", Measure{92.5, ""}},
	{"92.", "a point without decimals", Measure{92, ""}},
	{"092", "padded", Measure{92, ""}},
	{"+92", "a plus", Measure{92, ""}},
	{"92cm", "attached", Measure{92, Centimetre}},
	{" 92  cm ", "spaced", Measure{92, Centimetre}},
	{"92,5 cm", "decimal comma with a unit", Measure{92.5, Centimetre}},
	{"92 CM.", "upper case, full stop", Measure{92, Centimetre}},
	{"92 ㎝", "the unit in one character", Measure{92, Centimetre}},
	{"９２．５ｃｍ", "full width", Measure{92.5, Centimetre}},
	{"٩٢ cm", "Arabic-Indic digits", Measure{92, Centimetre}},
	{"925mm", "millimetres", Measure{925, Millimetre}},
	{"36in", "inches", Measure{36, Inch}},
	{"36 inches", "inches in full", Measure{36, Inch}},
	{"36 Zoll", "inches, German", Measure{36, Inch}},
	{"36\"", "inches, with a quote", Measure{36, Inch}},
	{"36”", "inches, with a curly quote", Measure{36, Inch}},
	{"36''", "inches, with two apostrophes", Measure{36, Inch}},
	{"36″", "inches, with a double prime", Measure{36, Inch}},
	{"36.5 in", "inches with decimals", Measure{36.5, Inch}},
	{"36 1/2 in", "inches with a fraction", Measure{36.5, Inch}},
	{"36 1/2\"", "a fraction and a quote", Measure{36.5, Inch}},
	{"36-1/2 in", "a fraction behind a hyphen", Measure{36.5, Inch}},
	{"36½\"", "a fraction in one character", Measure{36.5, Inch}},
	{"36½", "the same without a unit", Measure{36.5, ""}},
	{"36 ⅜ in", "an eighth in one character, apart", Measure{36.375, Inch}},
	{"36 1⁄2 in", "a fraction with the fraction slash", Measure{36.5, Inch}},
	{"36 5/64 in", "sixty-fourths", Measure{36.078125, Inch}},
	{"3/4 in", "a fraction alone", Measure{0.75, Inch}},
	{"73/2 in", "an improper fraction", Measure{36.5, Inch}},
}

func TestParseMeasure(t *testing.T) {
	for _, c := range measureCases {
		got, err := ParseMeasure(c.text)
		if diff := cmp.Diff(c.want, got); diff != "" || err != nil {
			t.Errorf("%q, %s: error %v\n%s", c.text, c.why, err, diff)
		}
	}
}

func TestParseMeasureRefuses(t *testing.T) {
	const unread = `; write a number and cm, mm or in, as in 92.5cm or "36 1/2 in"`
	cases := []struct{ text, want, why string }{
		{"", `"" is no measurement` + unread, "nothing"},
		{"wide", `"wide" is no measurement` + unread, "a word"},
		{"cm", `"cm" is no measurement` + unread, "a unit alone"},
		{"92 ft", `"92 ft" is no measurement` + unread, "a fourth unit"},
		{"0.92 m", `"0.92 m" is no measurement` + unread, "metres"},
		{"5'6\"", `"5'6\"" is no measurement` + unread, "feet and inches"},
		{"36 in 2", `"36 in 2" is no measurement` + unread, "a number behind the unit"},
		{"92.5.1", `"92.5.1" is no measurement` + unread, "two points"},
		{"1.016,5", `"1.016,5" is no measurement` + unread, "a point for thousands"},
		{"36 1/0 in", `"36 1/0 in" is no measurement` + unread, "division by nought"},
		{"0/0", `"0/0" is no measurement` + unread, "nought by nought"},
		{"36.5 1/2", `"36.5 1/2" is no measurement` + unread, "decimals and a fraction"},
		{"9 2 cm", `"9 2 cm" is no measurement` + unread, "two numbers"},
		{"1e2", `"1e2" is no measurement` + unread, "an exponent"},
		{"NaN", `"NaN" is no measurement` + unread, "not a number"},
		{"82-90", `"82-90" is no measurement` + unread, "a range: a body has one value"},
		{"0", `"0" is no measurement of a body: it must be more than 0`, "nought"},
		{"-92cm", `"-92cm" is no measurement of a body: it must be more than 0`, "less than nought"},
		{"1,016 mm", `"1,016 mm" is no measurement of a body: 1.016 mm is less than 1 cm; is the unit right?`, "a comma for thousands"},
		{"920 cm", `"920 cm" is no measurement of a body: 920 cm is more than 5 m; is the unit right?`, "millimetres called centimetres"},
		{strings.Repeat("9", 500), `"` + strings.Repeat("9", maxQuote-1) + `…" is no measurement` + unread, "too many digits"},
		{"92\x1b[31m", `"92�[31m" is no measurement` + unread, "nothing that moves a cursor is quoted"},
	}
	for _, c := range cases {
		m, err := ParseMeasure(c.text)
		if err == nil || err.Error() != c.want || m != (Measure{}) {
			t.Errorf("%.40q, %s: %v with error\n%v\nwant\n%s", c.text, c.why, m, err, c.want)
		}
	}
}

func TestMeasureString(t *testing.T) {
	cases := []struct {
		m    Measure
		want string
	}{
		{Measure{92, ""}, "92"},
		{Measure{92.5, Centimetre}, "92.5 cm"},
		{Measure{36.5, Inch}, "36 1/2 in"},
		{Measure{36, Inch}, "36 in"},
		{Measure{0.75, Inch}, "3/4 in"},
		{Measure{36.03125, Inch}, "36 1/32 in"},
		{Measure{36.015625, Inch}, "36.015625 in"}, // a sixty-fourth: no tape shows one
		{Measure{-1.5, Inch}, "-1 1/2 in"},
		{Measure{36.2, Inch}, "36.2 in"},
		{Measure{36.5, Millimetre}, "36.5 mm"},
	}
	for _, c := range cases {
		if got := c.m.String(); got != c.want {
			t.Errorf("%#v is written %q, want %q", c.m, got, c.want)
		}
	}
}

func TestMeasureIn(t *testing.T) {
	cases := []struct {
		m    Measure
		unit Unit
		want Measure
	}{
		{Measure{36.5, Inch}, Centimetre, Measure{92.71, Centimetre}},
		{Measure{92.71, Centimetre}, Inch, Measure{36.5, Inch}},
		{Measure{31.125, Inch}, Millimetre, Measure{790.575, Millimetre}},
		{Measure{925, Millimetre}, Centimetre, Measure{92.5, Centimetre}},
		{Measure{92.5, Centimetre}, Centimetre, Measure{92.5, Centimetre}},
		{Measure{92.5, ""}, Centimetre, Measure{92.5, Centimetre}},
		{Measure{92.5, Centimetre}, "", Measure{92.5, ""}},
	}
	for _, c := range cases {
		if got := c.m.In(c.unit); got != c.want {
			t.Errorf("%v in %q is %v, want %v", c.m, c.unit, got, c.want)
		}
	}
}

// Sixty-fourths of an inch come back from centimetres as they were.
func TestMeasureInIsExact(t *testing.T) {
	for n := 64; n <= 64*80; n++ {
		inches := Measure{float64(n) / 64, Inch}
		if back := inches.In(Centimetre).In(Inch); back != inches {
			t.Fatalf("%v came back as %v", inches, back)
		}
	}
}

func TestMeasureRounded(t *testing.T) {
	cases := []struct{ m, want Measure }{
		{Measure{36.3, Inch}, Measure{36.25, Inch}},
		{Measure{36.32, Inch}, Measure{36.375, Inch}},
		{Measure{92.5499, Centimetre}, Measure{92.5, Centimetre}},
		{Measure{925.4, Millimetre}, Measure{925, Millimetre}},
		{Measure{-1.06, Centimetre}, Measure{-1.1, Centimetre}},
	}
	for _, c := range cases {
		if got := c.m.Rounded(); got != c.want {
			t.Errorf("%v is rounded to %v, want %v", c.m, got, c.want)
		}
	}
}

// FuzzMeasure wants what was read to be the same when written and read again,
// and a plausible number.
func FuzzMeasure(f *testing.F) {
	for _, c := range measureCases {
		f.Add(c.text)
	}
	f.Add("99999999999999999999 in")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ParseMeasure(text)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\x1b") {
				t.Errorf("%q: error %q", text, err)
			}
			return
		}
		again, err := ParseMeasure(m.String())
		if err != nil || again != m {
			t.Errorf("%q reads %#v, written %q, read again %#v with error %v", text, m, m, again, err)
		}
		if !(m.Value > 0) || math.IsInf(m.Value, 0) {
			t.Errorf("%q reads %#v", text, m)
		}
	})
}

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

var bodyCases = []struct {
	text, why string
	want      Body
}{
	{"bust=92cm", "one", Body{{"bust", Measure{92, Centimetre}}}},
	{"bust=92cm,waist=29in,hip=104", "three, one without a unit",
		Body{{"bust", Measure{92, Centimetre}}, {"waist", Measure{29, Inch}}, {"hip", Measure{104, ""}}}},
	{" bust = 92 cm , waist = 29 in ", "spaced", Body{{"bust", Measure{92, Centimetre}}, {"waist", Measure{29, Inch}}}},
	{"bust=92,5cm,waist=74,5", "decimal commas", Body{{"bust", Measure{92.5, Centimetre}}, {"waist", Measure{74.5, ""}}}},
	{"bust=92;waist=74", "semicolons", Body{{"bust", Measure{92, ""}}, {"waist", Measure{74, ""}}}},
	{"bust=92\nwaist=74\n", "lines", Body{{"bust", Measure{92, ""}}, {"waist", Measure{74, ""}}}},
	{"full hip=36 1/2 in", "a name of two words, a fraction", Body{{"full hip", Measure{36.5, Inch}}}},
	{"Brustumfang=92", "in any language", Body{{"Brustumfang", Measure{92, ""}}}},
	{"bust=92,", "a comma at the end", Body{{"bust", Measure{92, ""}}}},
	{"hip=104,bust=92", "in the order given", Body{{"hip", Measure{104, ""}}, {"bust", Measure{92, ""}}}},
}

func TestParseBody(t *testing.T) {
	for _, c := range bodyCases {
		got, err := ParseBody(c.text)
		if diff := cmp.Diff(c.want, got); diff != "" || err != nil {
			t.Errorf("%q, %s: error %v\n%s", c.text, c.why, err, diff)
		}
	}
}

func TestParseBodyRefuses(t *testing.T) {
	const unread = `; write a number and cm, mm or in, as in 92.5cm or "36 1/2 in"`
	cases := []struct{ text, want, why string }{
		{"", "no measurement is given; write them as in bust=92cm,waist=29in", "nothing"},
		{" , ;", "no measurement is given; write them as in bust=92cm,waist=29in", "separators alone"},
		{"92cm", `"92cm" is no measurement with its name; write it as in bust=92cm`, "no name"},
		{"bust 92cm", `"bust 92cm" is no measurement with its name; write it as in bust=92cm`, "no equals sign"},
		{"=92cm", `"=92cm" is no measurement with its name; write it as in bust=92cm`, "an empty name"},
		{"bust=", `bust: "" is no measurement` + unread, "no value"},
		{"bust=92cm,waist", `bust: "92cm,waist" is no measurement` + unread, "a name without a value"},
		{"bust=92cm=waist=74", `bust: "92cm=waist=74" is no measurement` + unread, "an equals sign for a comma"},
		{"bust=92,waist=0", `waist: "0" is no measurement of a body: it must be more than 0`, "nought"},
	}
	for _, c := range cases {
		body, err := ParseBody(c.text)
		if err == nil || err.Error() != c.want || body != nil {
			t.Errorf("%q, %s: %v with error\n%v\nwant\n%s", c.text, c.why, body, err, c.want)
		}
	}
}

// FuzzBody wants a body to be the same when written and read again.
func FuzzBody(f *testing.F) {
	for _, c := range bodyCases {
		f.Add(c.text)
	}
	f.Add("bust=92cm,waist")
	f.Fuzz(func(t *testing.T, text string) {
		body, err := ParseBody(text)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\x1b") {
				t.Errorf("%q: error %q", text, err)
			}
			return
		}
		again, err := ParseBody(body.String())
		if diff := cmp.Diff(body, again); diff != "" || err != nil {
			t.Errorf("%q, written %q: error %v\n%s", text, body, err, diff)
		}
	})
}
