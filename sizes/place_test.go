package sizes

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

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
