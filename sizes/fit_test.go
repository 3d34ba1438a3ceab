package sizes

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// fitCharts are invented charts, one for each kind of trouble.
func fitCharts() map[string]*Chart {
	texts := map[string]string{
		// waists do not step as busts do; the arm is the same in two sizes each
		"even": "label,bust (cm),waist (cm),hip (cm),arm (cm)\n" +
			"10,84,66,90,28\n12,88,70,94,28\n14,92,74,98,30\n16,97,79,103,30\n18,103,85,108.5,33\n",
		"inches": "label,bust (in),waist (in)\n10,33,25\n12,34 1/2,26 1/2\n14,36,28\n",
		"ranges": "label,bust (cm),hip (cm)\nS,82-90,90-97\nM,90-98,98-105\nL,98-107,105-113\n",
		// neighbours share a good part
		"overlap": "label,bust (cm)\nS,82-92\nM,88-98\nL,94-104\n",
		"inside":  "label,bust (cm)\nslim,88-90\nwide,84-94\n",
		// bust in cups: the values of the second measurement come back
		"cups": "label,waist (cm),bust (cm)\n38B,70,88\n38C,70,91\n40B,74,92\n40C,74,95\n42B,78,96\n42C,78,99\n",
		// the middle does not grow: two sizes differ in length alone
		"lengths": "label,hip (cm),leg (cm)\n38 short,94,74\n38,94,79\n38 tall,94,84\n",
		"gaps":    "label,bust (cm),hip (cm)\n10,84,\n12,,94\n14,92,98\n16,97,\n",
		// sizes stand by length first, so busts fall in between
		"jumble": "label,bust (cm),height (cm)\n84 short,84,158\n92 short,92,158\n84 tall,84,172\n92 tall,92,172\n",
		"start":  "label,bust (cm),hip (cm)\na,82-94,88\nb,82-90,92\n",
		"one":    "label,bust (cm)\n14,92\n",
	}
	charts := map[string]*Chart{}
	for name, text := range texts {
		chart, err := Read(strings.NewReader(text), name+".csv")
		if err != nil {
			panic(err)
		}
		charts[name] = chart
	}
	return charts
}

// fitCases are bodies with the sizes they fall in, joined by a space. The number
// is that of the rule of Chart.Fit without which the case fails.
var fitCases = []struct {
	chart, body string
	up          bool
	want        string // one size for each measurement
	sizes       string // in chart order
	why         string
}{
	{"even", "bust=92", false, "14", "14", "1: the value of a size"},
	{"even", "bust=93", false, "14", "14", "1: nearer the smaller"},
	{"even", "bust=95", false, "16", "16", "1: nearer the larger"},
	{"even", "bust=90", false, "14", "14", "1: half-way is the larger"},
	{"even", "bust=94.5", false, "16", "16", "1: half-way is the larger, in unequal steps"},
	{"even", "bust=94.4999", false, "14", "14", "1: just below half-way"},
	{"even", "bust=36.2204724409in", false, "14", "14", "1: 92 cm in inches"},
	{"even", "bust=945mm", false, "16", "16", "1: half-way in millimetres"},
	{"inches", "bust=34.5", false, "12", "12", "1: a number is in the chart's unit"},
	{"inches", "bust=87.63cm", false, "12", "12", "1: 34 1/2 in are 87.63 cm"},
	{"inches", "bust=85.725cm", false, "12", "12", "1: 33 3/4 in are 85.725 cm, half-way, without an error of rounding"},
	{"inches", "bust=33 3/4", false, "12", "12", "1: the same in inches"},
	{"inches", "bust=85.724cm", false, "10", "10", "1: just below half-way"},
	{"even", "bust=93,waist=80,hip=104", false, "14 16 16", "14 16", "each measurement by itself"},
	{"even", "hip=104,bust=88", false, "16 12", "12 16", "in the order of the body; sizes in that of the chart"},
	{"even", "BUST=93", false, "14", "14", "names are folded"},

	{"ranges", "bust=82", false, "S", "S", "2: the lower end"},
	{"ranges", "bust=89.9", false, "S", "S", "2: within, although 94 is nearer than 82"},
	{"ranges", "bust=90", false, "M", "M", "2: an edge is the larger"},
	{"ranges", "bust=107", false, "L", "L", "2: the upper end"},
	{"ranges", "hip=97.5", false, "M", "M", "1: half-way in a gap between ranges"},
	{"ranges", "hip=97.4", false, "S", "S", "1: nearer the range below"},
	{"overlap", "bust=90", false, "M", "M", "2: what ranges have in common is the larger"},
	{"overlap", "bust=95", false, "L", "L", "2: what ranges have in common is the larger"},
	{"overlap", "bust=93", false, "M", "M", "2: in one alone"},
	{"inside", "bust=89", false, "slim", "slim", "2: of two with the same middle, the one that begins higher"},

	{"start", "bust=85", false, "a", "a", "2: ranges that begin alike are two"},
	{"even", "bust=93", true, "16", "16", "3: the larger, although 14 is nearer"},
	{"even", "bust=92", true, "14", "14", "3: the value of a size is not between"},
	{"even", "bust=92.0001", true, "16", "16", "3: a hair more"},
	{"even", "bust=80", true, "10", "10", "3: below the chart"},
	{"even", "bust=110", true, "18", "18", "3: none is larger"},
	{"ranges", "hip=97.1", true, "M", "M", "3: in a gap between ranges"},
	{"ranges", "bust=89.9", true, "S", "S", "3: within a range is not between"},
	{"ranges", "bust=90", true, "M", "M", "3: an edge is the larger, as in 2"},
	{"inches", "bust=87.63cm", true, "12", "12", "3: 34 1/2 in are 87.63 cm, not more"},

	{"even", "bust=80", false, "10", "10", "4: below"},
	{"even", "bust=300", false, "18", "18", "4: above"},
	{"jumble", "bust=300", false, "92 tall", "92 tall", "4 and 5: above, where two sizes have the largest"},

	{"even", "arm=28,bust=84", false, "10 10", "10", "5: the arm goes with the bust"},
	{"even", "arm=28,bust=88", false, "12 12", "12", "5: the arm goes with the bust"},
	{"even", "arm=28", false, "12", "12", "5: alone, the largest"},
	{"even", "arm=28,bust=103", false, "12 18", "12 18", "5: nearest to the bust, from below"},
	{"even", "arm=30,bust=84", false, "14 10", "10 14", "5: nearest to the bust, from above"},
	{"cups", "waist=74,bust=92", false, "40B 40B", "40B", "5: the waist goes with the bust"},
	{"cups", "waist=74,bust=95", false, "40C 40C", "40C", "5: the waist goes with the bust"},
	{"cups", "waist=74,bust=91", false, "40B 38C", "38C 40B", "5: nearest to the bust"},
	{"lengths", "hip=94,leg=79", false, "38 38", "38", "5: the leg decides"},
	{"lengths", "hip=90,leg=79", false, "38 38", "38", "5: all sizes have the same hip, which is not the body's"},
	{"jumble", "bust=92,height=158", false, "92 short 92 short", "92 short", "5: both in common"},
	{"jumble", "bust=84,height=172", false, "84 tall 84 tall", "84 tall", "5: values, not the order of sizes"},
	{"jumble", "bust=84,height=158", false, "84 short 84 short", "84 short", "5: both in common"},

	{"gaps", "bust=88", false, "14", "14", "a size without the measurement is passed over"},
	{"gaps", "bust=88,hip=94", false, "14 12", "12 14", "a size may have one of the two"},
	{"one", "bust=95", false, "14", "14", "a chart of one size"},
}

func TestFit(t *testing.T) {
	charts := fitCharts()
	for _, c := range fitCases {
		t.Run(c.chart+"/"+c.body+"/"+c.why, func(t *testing.T) {
			between := BetweenNearest
			if c.up {
				between = BetweenUp
			}
			f := mustFit(t, charts[c.chart], c.body, between)
			var got []string
			for _, m := range f.Measurements {
				got = append(got, m.Size)
			}
			if s := strings.Join(got, " "); s != c.want || strings.Join(f.Sizes, " ") != c.sizes {
				t.Errorf("sizes %q, together %q; want %q, together %q", s, f.Sizes, c.want, c.sizes)
			}
		})
	}
}

func mustFit(t *testing.T, chart *Chart, body string, between Between) *Fit {
	t.Helper()
	b, err := ParseBody(body)
	if err != nil {
		t.Fatal(err)
	}
	f, err := chart.Fit(b, between)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestFitRefuses(t *testing.T) {
	charts := fitCharts()
	charts["none"] = &Chart{Unit: Centimetre, Sizes: []Size{{Label: "8"}}}
	charts["two"] = &Chart{Unit: Centimetre, Sizes: []Size{{Label: "S", Body: map[string]float64{"hip": 94}}, {Label: "M", Body: map[string]float64{"hip": 94}}}}
	charts["no unit"] = &Chart{Sizes: []Size{{Label: "8", Body: map[string]float64{"bust": 80}}}}
	cases := []struct {
		chart string
		body  Body
		want  string
	}{
		{"even", nil, "no measurement is given; write them as in bust=92cm,waist=29in"},
		{"even", Body{{"bist", Measure{92, ""}}}, `the chart has no measurement "bist"; did you mean "bust"?; it has "bust", "waist", "hip" and "arm"`},
		{"even", Body{{"collar", Measure{40, ""}}}, `the chart has no measurement "collar"; it has "bust", "waist", "hip" and "arm"`},
		{"even", Body{{"bust", Measure{92, ""}}, {"Bust", Measure{93, ""}}}, "bust is given twice"},
		{"even", Body{{"bust", Measure{0.5, ""}}}, `bust: "0.5 cm" is no measurement of a body: 0.5 cm is less than 1 cm; is the unit right?`},
		{"even", Body{{"bust", Measure{92, "ell"}}}, `bust: "92 ell" is no measurement of a body: its unit is none of cm, mm and in`},
		{"none", Body{{"bust", Measure{92, ""}}}, "the chart has no body measurements; choose by the label of a size"},
		{"no unit", Body{{"bust", Measure{92, ""}}}, "the chart has no body measurements; choose by the label of a size"},
		{"two", Body{{"hip", Measure{94, ""}}}, "all sizes of the chart have the same hip; give a measurement that tells them apart"},
		{"lengths", Body{{"hip", Measure{94, ""}}}, "all sizes of the chart have the same hip; give a measurement that tells them apart"},
	}
	for _, c := range cases {
		f, err := charts[c.chart].Fit(c.body, BetweenNearest)
		if err == nil || err.Error() != c.want || f != nil {
			t.Errorf("%s, %v: fit %v with error\n%v\nwant\n%s", c.chart, c.body, f, err, c.want)
		}
	}
	_, err := charts["even"].Fit(Body{{"bist", Measure{92, ""}}}, BetweenNearest)
	var e *UnknownMeasurementError
	want := &UnknownMeasurementError{Want: "bist", Have: []string{"bust", "waist", "hip", "arm"}, Nearest: "bust"}
	if !errors.As(err, &e) || cmp.Diff(want, e) != "" {
		t.Errorf("error %#v, want %#v", err, want)
	}
}

// A caller's body stays as it was.
func TestFitKeepsTheBody(t *testing.T) {
	b := Body{{"bust", Measure{92, ""}}}
	if _, err := fitCharts()["even"].Fit(b, BetweenNearest); err != nil || b[0].Measure.Unit != "" {
		t.Errorf("the body became %v, error %v", b, err)
	}
}

// FuzzFit holds the fit of any body to the rules by a count of its own: no size
// of the chart is nearer than the one that a measurement falls in.
func FuzzFit(f *testing.F) {
	for _, c := range fitCases {
		f.Add(c.body, c.up)
	}
	f.Add("bust=92cm,waist=29in,hip=1040mm", false)
	f.Add("bust=92.0000007", true)
	charts := fitCharts()
	f.Fuzz(func(t *testing.T, text string, up bool) {
		body, err := ParseBody(text)
		if err != nil {
			return
		}
		for name, chart := range charts {
			between := BetweenNearest
			if up {
				between = BetweenUp
			}
			fit, err := chart.Fit(body, between)
			if err != nil {
				continue
			}
			for i, m := range fit.Measurements {
				measure := body[i].Measure
				if measure.Unit == "" {
					measure.Unit = chart.Unit
				}
				checkMeasurementFit(t, name, chart, measure.In(chart.Unit), m, up)
			}
			checkFitSizes(t, chart, fit)
		}
	})
}

// checkMeasurementFit wants no other size to be nearer, and with up none of
// those that are not smaller than the body. Lengths are whole nanometres, as
// Fit promises.
func checkMeasurementFit(t *testing.T, name string, chart *Chart, body Measure, m MeasurementFit, up bool) {
	t.Helper()
	whole := func(v float64) int64 { return int64(math.Round(chart.Unit.Millimetres(v) * 1e6)) }
	length := whole(body.Value)
	off := func(s Size) (distance, top int64, ok bool) {
		low, ok := s.Body[m.Name]
		high := low
		if r, is := s.Ranges[m.Name]; is {
			low, high, ok = r.From, r.To, true
		}
		top = whole(high)
		return max(whole(low)-length, length-top, 0), top, ok
	}
	var chosen, highest int64
	least := int64(math.MaxInt64)
	for _, s := range chart.Sizes {
		d, top, ok := off(s)
		if s.Label == m.Size {
			chosen = d
		}
		if ok {
			highest = max(highest, top)
			if !up || top >= length {
				least = min(least, d)
			}
		}
	}
	if up && highest < length {
		least = length - highest
	}
	if chosen > least {
		t.Errorf("%s: %s %v falls in %s, which is %d nm off; another is %d nm off", name, m.Name, body, m.Size, chosen, least)
	}
	if m.Position < 0 || m.Position > 1 || m.Beyond != (m.Below == "" || m.Above == "") || m.String() == "" {
		t.Errorf("%s: %+v", name, m)
	}
}

// checkFitSizes wants the sizes of a fit to be those of its measurements, in
// chart order, and words for grading where there are several.
func checkFitSizes(t *testing.T, chart *Chart, fit *Fit) {
	t.Helper()
	has := map[string]bool{}
	for _, m := range fit.Measurements {
		has[m.Size] = true
	}
	var want []string
	for _, label := range chart.Labels() {
		if has[label] {
			want = append(want, label)
		}
	}
	if diff := cmp.Diff(want, fit.Sizes); diff != "" || (len(want) > 1) != (fit.Grade != "") {
		t.Errorf("sizes, grade %q:\n%s", fit.Grade, diff)
	}
}

func TestPlaceInWords(t *testing.T) {
	cases := []struct {
		chart, body string
		up          bool
		want, why   string
	}{
		{"even", "bust=92", false, "size 14", "the value of a size"},
		{"even", "bust=93", false, "between 14 and 16, nearer 14: 1 cm more than size 14 (92 cm)", "nearer the smaller"},
		{"even", "bust=96", false, "between 14 and 16, nearer 16: 1 cm less than size 16 (97 cm)", "nearer the larger"},
		{"even", "bust=90", false, "half-way between 12 and 14, taken as 14: 2 cm less than size 14 (92 cm)", "half-way"},
		{"even", "bust=93", true, "between 14 and 16, nearer 14 but taken as 16: 4 cm less than size 16 (97 cm)", "upwards"},
		{"even", "bust=36 1/2 in", false, "between 14 and 16, nearer 14: 1/4 in more than size 14 (36 1/4 in)", "in the unit of the body, as a tape shows it"},
		{"even", "bust=930mm", false, "between 14 and 16, nearer 14: 10 mm more than size 14 (920 mm)", "in millimetres"},
		{"inches", "bust=88cm", false, "between 12 and 14, nearer 12: 0.4 cm more than size 12 (87.6 cm)", "a chart in inches"},
		{"even", "bust=92.01", false, "between 14 and 16, nearer 14: less than 0.1 cm more than size 14 (92 cm)", "less than a tape shows"},
		{"even", "bust=36.23in", false, "between 14 and 16, nearer 14: less than 1/8 in more than size 14 (36 1/4 in)", "less than a tape shows"},
		{"even", "bust=80", false, "smaller than the chart, whose smallest is 10: 4 cm less than size 10 (84 cm)", "below the chart"},
		{"even", "bust=110.5", false, "larger than the chart, whose largest is 18: 7.5 cm more than size 18 (103 cm)", "above the chart"},
		{"ranges", "bust=90", false, "size M", "on the edge of two ranges"},
		{"ranges", "hip=97.5", false, "half-way between S and M, taken as M: 0.5 cm less than size M (98 to 105 cm)", "in a gap between ranges"},
		{"ranges", "hip=97.2", false, "between S and M, nearer S: 0.2 cm more than size S (90 to 97 cm)", "in a gap between ranges"},
		{"ranges", "hip=30in", false, "smaller than the chart, whose smallest is S: 5 3/8 in less than size S (35 3/8 to 38 1/4 in)", "a range in inches"},
		{"even", "arm=28", false, "size 12, like 10", "two sizes have the same"},
		{"jumble", "height=172", false, "size 92 tall, like 84 tall", "two sizes have the same"},
		{"jumble", "height=165", false, "half-way between 92 short and 92 tall, taken as 92 tall, like 84 tall: 7 cm less than size 92 tall (172 cm)", "and none is the body's"},
		{"one", "bust=95", false, "larger than the chart, whose largest is 14: 3 cm more than size 14 (92 cm)", "a chart of one size"},
	}
	charts := fitCharts()
	for _, c := range cases {
		between := BetweenNearest
		if c.up {
			between = BetweenUp
		}
		m := mustFit(t, charts[c.chart], c.body, between).Measurements[0]
		if diff := cmp.Diff(c.want, m.String()); diff != "" {
			t.Errorf("%s, %s, %s:\n%s", c.chart, c.body, c.why, diff)
		}
	}
}

func TestPlaceInNumbers(t *testing.T) {
	cm := func(v float64) Measure { return Measure{v, Centimetre} }
	in := func(v float64) Measure { return Measure{v, Inch} }
	cases := []struct {
		chart, body string
		up          bool
		want        MeasurementFit
	}{
		{"even", "bust=92", false, MeasurementFit{Name: "bust", Body: cm(92), Size: "14", From: cm(92), To: cm(92), Over: cm(0), Below: "14", Above: "14"}},
		{"even", "bust=93", false, MeasurementFit{Name: "bust", Body: cm(93), Size: "14", From: cm(92), To: cm(92), Over: cm(1), Below: "14", Above: "16", Position: 0.2}},
		{"even", "bust=96", false, MeasurementFit{Name: "bust", Body: cm(96), Size: "16", From: cm(97), To: cm(97), Over: cm(-1), Below: "14", Above: "16", Position: 0.8}},
		{"even", "bust=93", true, MeasurementFit{Name: "bust", Body: cm(93), Size: "16", From: cm(97), To: cm(97), Over: cm(-4), Below: "14", Above: "16", Position: 0.2}},
		{"inches", "bust=33.75in", false, MeasurementFit{Name: "bust", Body: in(33.75), Size: "12", From: in(34.5), To: in(34.5), Over: in(-0.75), Below: "10", Above: "12", Position: 0.5}},
		{"even", "bust=80", false, MeasurementFit{Name: "bust", Body: cm(80), Size: "10", From: cm(84), To: cm(84), Over: cm(-4), Above: "10", Beyond: true}},
		{"even", "bust=110", false, MeasurementFit{Name: "bust", Body: cm(110), Size: "18", From: cm(103), To: cm(103), Over: cm(7), Below: "18", Beyond: true}},
		{"ranges", "bust=89", false, MeasurementFit{Name: "bust", Body: cm(89), Size: "S", From: cm(82), To: cm(90), Over: cm(0), Below: "S", Above: "S"}},
		{"ranges", "hip=97.25", false, MeasurementFit{Name: "hip", Body: cm(97.25), Size: "S", From: cm(90), To: cm(97), Over: cm(0.25), Below: "S", Above: "M", Position: 0.25}},
		{"overlap", "bust=90", false, MeasurementFit{Name: "bust", Body: cm(90), Size: "M", From: cm(88), To: cm(98), Over: cm(0), Below: "M", Above: "M"}},
		{"even", "arm=29,bust=84", false, MeasurementFit{Name: "arm", Body: cm(29), Size: "14", Alike: []string{"16"}, From: cm(30), To: cm(30), Over: cm(-1), Below: "12", Above: "14", Position: 0.5}},
	}
	charts := fitCharts()
	for _, c := range cases {
		between := BetweenNearest
		if c.up {
			between = BetweenUp
		}
		got := mustFit(t, charts[c.chart], c.body, between).Measurements[0]
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s, %s:\n%s", c.chart, c.body, diff)
		}
	}
}

func TestGrade(t *testing.T) {
	cases := []struct{ body, want, why string }{
		{"bust=92,waist=74,hip=98", "", "one size"},
		{"bust=88,waist=70,hip=98", "bust 12, waist 12, hip 14: grade from 12 at the waist to 14 at the hip", "where it begins"},
		{"bust=88,waist=74,hip=98", "bust 12, waist 14, hip 14: grade from 12 at the bust to 14 at the waist", "where it ends"},
		{"bust=88,waist=74,hip=103", "bust 12, waist 14, hip 16: grade from 12 at the bust to 16 at the hip", "all the way"},
		{"bust=103,waist=79,hip=98", "bust 18, waist 16, hip 14: grade from 18 at the bust to 14 at the hip", "downwards"},
		{"bust=97,waist=70,hip=98", "bust 16, waist 12, hip 14: grade from 16 at the bust to 12 at the waist, then to 14 at the hip", "there and back"},
		{"waist=70,bust=97", "waist 12, bust 16: grade from 12 at the waist to 16 at the bust", "in the order of the body"},
		{"bust=88,hip=98", "bust 12, hip 14: grade from 12 at the bust to 14 at the hip", "two measurements"},
		{"bust=88,waist=74,hip=98,arm=33", "bust 12, waist 14, hip 14, arm 18: grade from 12 at the bust to 18 at the arm", "one that stands still on the way"},
		{"bust=97,waist=70,hip=94,arm=33", "bust 16, waist 12, hip 12, arm 18: grade from 16 at the bust to 12 at the waist, from 12 at the hip to 18 at the arm", "a turn that stands still"},
	}
	chart := fitCharts()["even"]
	for _, c := range cases {
		f := mustFit(t, chart, c.body, BetweenNearest)
		if diff := cmp.Diff(c.want, f.Grade); diff != "" {
			t.Errorf("%s, %s:\n%s", c.body, c.why, diff)
		}
	}
}
