package sizes

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestNeighbours(t *testing.T) {
	numbers := testCharts()["numbers"]
	cases := []struct {
		name, label  string
		below, above int
		want         []string
	}{
		{"none", "14", 0, 0, []string{"14"}},
		{"one on each side", "14", 1, 1, []string{"12", "14", "16"}},
		{"uneven", "14", 0, 2, []string{"14", "16", "18"}},
		{"fewer at the lower end", "8", 3, 1, []string{"6", "8", "10"}},
		{"fewer at the upper end", "24", 1, 2, []string{"22", "24"}},
		{"more than there are", "14", 1 << 40, 1 << 40, numbers.Labels()},
		{"a negative number is none", "14", -1, -1, []string{"14"}},
		{"another spelling", "Size 08", 1, 0, []string{"6", "8"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := numbers.Neighbours(c.label, c.below, c.above)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestNeighboursRefuses(t *testing.T) {
	numbers := testCharts()["numbers"]
	if _, err := numbers.Neighbours("13", 1, 1); !errors.As(err, new(*UnknownSizeError)) {
		t.Errorf("13: error %v, want an UnknownSizeError", err)
	}
	if _, err := numbers.Neighbours("10-14", 1, 1); !errors.As(err, new(*AmbiguousSizeError)) {
		t.Errorf("10-14: error %v, want an AmbiguousSizeError", err)
	}
}

// A chart's order is its own: values of labels do not count.
func TestNeighboursFollowTheChart(t *testing.T) {
	c := &Chart{Sizes: []Size{{Label: "20"}, {Label: "3"}, {Label: "green"}, {Label: "1"}}}
	got, err := c.Neighbours("3", 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"20", "3", "green"}, got); diff != "" {
		t.Error(diff)
	}
}

const acceptingChart = `sizes: [{label: "8"}]
accepted:
  - {finding: layer-empty, layer: "Logo*", file: "*-a4.pdf", reason: "no room on A4"}
  - finding: content-outside
    reason: "the frame: of the page"
`

func TestReadAccepted(t *testing.T) {
	text := acceptingChart
	c, err := Read(strings.NewReader(text), "chart.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want := []Acceptance{
		{Finding: "layer-empty", Layer: "Logo*", File: "*-a4.pdf", Reason: "no room on A4"},
		{Finding: "content-outside", Reason: "the frame: of the page"},
	}
	if diff := cmp.Diff(want, c.Accepted); diff != "" {
		t.Error(diff)
	}
	var b bytes.Buffer
	if err := c.Write(&b); err != nil {
		t.Fatal(err)
	}
	back, err := Read(&b, "chart.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, back.Accepted); diff != "" {
		t.Errorf("read back:\n%s", diff)
	}
	if why := readSchema(t).violation(t, text); why != "" {
		t.Errorf("the schema says %s", why)
	}
}

func TestReadAcceptedErrors(t *testing.T) {
	cases := []struct {
		name, accepted, message string
		schema                  bool // the schema refuses it too
	}{
		{"no reason", "[{finding: layer-empty}]", "2:12: an accepted finding needs a reason", true},
		{"no finding", "[{reason: later}]", "2:12: an accepted finding needs a finding", true},
		{"blank reason", "[{finding: layer-empty, reason: ' '}]", "2:43: the reason is empty", true},
		{"broken glob", "[{finding: a, layer: '[', reason: b}]", `2:32: "[" is no glob`, false},
		{"unknown key", "[{finding: a, reason: b, page: 1}]", `an accepted finding has nothing called "page"`, true},
		{"a text", "layer-empty", "accepted is a list in square brackets", true},
	}
	schema := readSchema(t)
	for _, c := range cases {
		text := "sizes: [{label: 8}]\naccepted: " + c.accepted + "\n"
		_, err := Read(strings.NewReader(text), "chart.yaml")
		if err == nil || !strings.Contains(err.Error(), c.message) {
			t.Errorf("%s: %v, want %q", c.name, err, c.message)
		}
		if why := schema.violation(t, text); (why != "") != c.schema {
			t.Errorf("%s: the schema says %q", c.name, why)
		}
	}
}

func TestCovers(t *testing.T) {
	cases := []struct {
		a                    Acceptance
		finding, file, layer string
		want                 bool
		why                  string
	}{
		{Acceptance{Finding: "x"}, "x", "a.pdf", "Logo", true, "any layer of any file"},
		{Acceptance{Finding: "x"}, "y", "a.pdf", "Logo", false, "another finding"},
		{Acceptance{Finding: "x", Layer: "logo"}, "x", "a.pdf", " Logo ", true, "names are folded"},
		{Acceptance{Finding: "x", Layer: "Logo*"}, "x", "a.pdf", "Logo 2", true, "a glob"},
		{Acceptance{Finding: "x", Layer: "Logo*"}, "x", "a.pdf", "", false, "a finding of no layer"},
		{Acceptance{Finding: "x", File: "*-a4.pdf"}, "x", "skirt-a4.pdf", "", true, "a glob for the file"},
		{Acceptance{Finding: "x", File: "*-a4.pdf"}, "x", "skirt.pdf", "", false, "another file"},
		{Acceptance{Finding: "x", Layer: "["}, "x", "a", "[", true, "a broken glob finds the name it spells out"},
	}
	for _, c := range cases {
		if got := c.a.Covers(c.finding, c.file, c.layer); got != c.want {
			t.Errorf("%s: %+v covers %q %q %q: %t", c.why, c.a, c.finding, c.file, c.layer, got)
		}
	}
}

// What Read finds too is in readErrors; here is what a file cannot say.
func TestCheck(t *testing.T) {
	one := []Size{{Label: "8"}}
	cases := []struct {
		name  string
		chart Chart
		want  string // "" for no error
	}{
		{"one size", Chart{Sizes: one}, ""},
		{"no sizes", Chart{}, "chart: sizes: the chart has no sizes"},
		{"unknown unit", Chart{Unit: "CM", Sizes: one}, "chart: unit: "},
		{"measurement is not a number", Chart{Unit: "cm", Sizes: []Size{{Label: "8", Body: map[string]float64{"hip": math.NaN()}}}},
			"chart: sizes[0].body.hip: hip is NaN"},
		{"measurement is infinite", Chart{Unit: "cm", Sizes: []Size{{Label: "8", Body: map[string]float64{"hip": math.Inf(1)}}}},
			"chart: sizes[0].body.hip: hip is +Inf"},
		{"colour in upper case", Chart{Sizes: []Size{{Label: "8", Line: &Line{Colour: "#ABCDEF"}}}},
			"chart: sizes[0].line.colour: "},
		{"dash is not a number", Chart{Sizes: []Size{{Label: "8", Line: &Line{Dash: []float64{1, math.NaN()}}}}},
			"chart: sizes[0].line.dash[1]: "},
		{"too many dashes", Chart{Sizes: []Size{{Label: "8", Line: &Line{Dash: make([]float64, 33)}}}},
			"chart: sizes[0].line.dash: 33 lengths"},
		{"the second label", Chart{Sizes: []Size{{Label: "8"}, {Label: "Ⅷ"}, {Label: "viii"}}},
			"chart: sizes[2].label: "},
		{"measurements that fall and rise", Chart{Unit: "cm", Sizes: []Size{
			{Label: "short", Body: map[string]float64{"hip": 90, "inside leg": 70}},
			{Label: "tall", Body: map[string]float64{"hip": 88, "inside leg": 80}},
		}}, ""},
		{"nothing in common", Chart{Unit: "cm", Sizes: []Size{
			{Label: "a", Body: map[string]float64{"hip": 90}},
			{Label: "b", Body: map[string]float64{"bust": 80}},
		}}, ""},
		{"one layer name for two sizes", Chart{Sizes: []Size{
			{Label: "8", Layers: []string{"Both"}}, {Label: "10", Layers: []string{"both"}},
		}}, ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			err := c.chart.Check()
			if c.want == "" && err != nil {
				t.Errorf("error %v, want none", err)
			}
			if c.want != "" && (err == nil || !strings.HasPrefix(err.Error(), c.want)) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
}
