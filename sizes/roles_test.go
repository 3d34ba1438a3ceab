package sizes

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// pickOf writes the sizes of a pick with their roles: "12 below, 14 wanted".
func pickOf(p *Pick) string {
	var parts []string
	for _, s := range p.Sizes {
		parts = append(parts, s.Label+" "+s.Role.String())
	}
	return strings.Join(parts, ", ")
}

func TestPickByBody(t *testing.T) {
	const far = "; is its unit right?"
	cases := []struct {
		body         string
		between      Between
		below, above int
		want         string
		notes        []Note
		why          string
	}{
		{"bust=92,waist=74,hip=98", BetweenNearest, 0, 0, "14 wanted", nil, "one size"},
		{"bust=92,waist=74,hip=98", BetweenNearest, 1, 1, "12 below, 14 wanted, 16 above", nil, "its neighbours"},
		{"bust=93", BetweenUp, 0, 0, "16 wanted", nil, "the larger"},
		{"bust=88,waist=74", BetweenNearest, 0, 0, "12 wanted, 14 wanted", nil, "two sizes in a row"},
		{"bust=84,waist=85", BetweenNearest, 0, 0, "10 wanted, 12 between, 14 between, 16 between, 18 wanted", nil, "sizes between, to grade through"},
		{"bust=84,hip=103,waist=74", BetweenNearest, 0, 0, "10 wanted, 12 between, 14 wanted, 16 wanted", nil, "between those that are wanted"},
		{"bust=88,waist=79", BetweenNearest, 1, 0, "10 below, 12 wanted, 14 between, 16 wanted", nil, "a neighbour below one that is also between"},
		{"bust=80", BetweenNearest, 0, 0, "10 wanted",
			[]Note{{NoteBeyondChart, "bust 80 cm is beyond the chart: 4 cm less than size 10 (84 cm), the smallest there is"}}, "below the chart"},
		{"bust=110", BetweenNearest, 0, 0, "18 wanted",
			[]Note{{NoteBeyondChart, "bust 110 cm is beyond the chart: 7 cm more than size 18 (103 cm), the largest there is"}}, "above the chart"},
		{"bust=36", BetweenNearest, 1, 0, "10 wanted", []Note{
			{NoteBeyondChart, "bust 36 cm is beyond the chart: 48 cm less than size 10 (84 cm), the smallest there is" + far},
			{NoteChartEnd, `the chart has no size below size "10", 1 asked for`},
		}, "inches without their unit"},
		{"bust=123cm", BetweenNearest, 0, 0, "18 wanted",
			[]Note{{NoteBeyondChart, "bust 123 cm is beyond the chart: 20 cm more than size 18 (103 cm), the largest there is"}}, "20 cm raise no doubt of the unit"},
		{"bust=123.1cm", BetweenNearest, 0, 0, "18 wanted",
			[]Note{{NoteBeyondChart, "bust 123.1 cm is beyond the chart: 20.1 cm more than size 18 (103 cm), the largest there is" + far}}, "more than 20 cm do"},
		{"bust=92,hip=80", BetweenNearest, 0, 0, "10 wanted, 12 between, 14 wanted",
			[]Note{{NoteBeyondChart, "hip 80 cm is beyond the chart: 10 cm less than size 10 (90 cm), the smallest there is"}}, "one of two is beyond"},
	}
	chart := fitCharts()["even"]
	match := chart.Match([]string{"10", "12", "14", "16", "18"})
	for _, c := range cases {
		body, err := ParseBody(c.body)
		if err != nil {
			t.Fatal(err)
		}
		want := Want{Body: body, Between: c.between, Below: c.below, Above: c.above}
		for how, pick := range map[string]func(Want) (*Pick, error){"without names": chart.Pick, "with names": match.Pick} {
			p, err := pick(want)
			if err != nil {
				t.Errorf("%s, %s: %v", c.body, how, err)
				continue
			}
			if got := pickOf(p); got != c.want {
				t.Errorf("%s, %s, %s:\n%s, want\n%s", c.body, c.why, how, got, c.want)
			}
			if diff := cmp.Diff(c.notes, p.Notes); diff != "" || p.Fit == nil {
				t.Errorf("%s, %s, %s: fit %v, notes:\n%s", c.body, c.why, how, p.Fit, diff)
			}
		}
	}
}

func TestPickByBodyRefuses(t *testing.T) {
	chart := fitCharts()["even"]
	match := chart.Match([]string{"10", "12", "16", "18", "Size 10 front, size 12 back"})
	bust := func(v float64) Body { return Body{{"bust", Measure{v, ""}}} }
	if _, err := match.Pick(Want{Body: Body{{"bist", Measure{92, ""}}}}); !errors.As(err, new(*UnknownMeasurementError)) {
		t.Errorf("an unknown measurement, before anything that is wrong with names: error %v", err)
	}
	if _, err := match.Pick(Want{Body: bust(92)}); !errors.As(err, new(*AmbiguousError)) {
		t.Errorf("an ambiguous name: error %v", err)
	}
	match = chart.Match([]string{"10", "12", "16", "18"})
	if _, err := match.Pick(Want{Body: bust(92)}); !errors.As(err, new(*MissingLayerError)) {
		t.Errorf("no layer for the size of the body: error %v", err)
	}
	if _, err := chart.Pick(Want{Body: bust(92), Labels: []string{"14"}}); err == nil || err.Error() != "labels and body measurements are given; choose by one of the two" {
		t.Errorf("labels and a body: error %v", err)
	}
	if _, err := chart.Pick(Want{Labels: []string{"15"}}); !errors.As(err, new(*UnknownSizeError)) {
		t.Errorf("a label that is not in the chart: error %v", err)
	}
}

// A size between without a layer is left out, with a note.
func TestPickBetweenWithoutLayer(t *testing.T) {
	p, err := fitCharts()["even"].Match([]string{"10", "14", "16"}).Pick(Want{Body: Body{{"bust", Measure{84, ""}}, {"waist", Measure{74, ""}}}})
	if err != nil {
		t.Fatal(err)
	}
	notes := []Note{{NoteMissingNeighbour, `the size between "12" has no layer in the file`}}
	if diff := cmp.Diff(notes, p.Notes); diff != "" || pickOf(p) != "10 wanted, 14 wanted" {
		t.Errorf("%s, notes:\n%s", pickOf(p), diff)
	}
}

func TestChartPickByLabel(t *testing.T) {
	p, err := fitCharts()["even"].Pick(Want{Labels: []string{"12", "16"}, Below: 1, Above: 1})
	if err != nil {
		t.Fatal(err)
	}
	if got := pickOf(p); got != "10 below, 12 wanted, 14 between, 16 wanted, 18 above" || p.Fit != nil || len(p.Positions()) > 0 {
		t.Errorf("%s, fit %v, positions %v", got, p.Fit, p.Positions())
	}
}

// Sizes that are wanted by label have no sizes between but neighbours.
func TestRoleAnd(t *testing.T) {
	cases := []struct{ r, s, want Role }{
		{0, RoleBelow, RoleBelow}, {RoleBelow, RoleBelow, RoleBelow}, {RoleAbove, RoleBelow, RoleBetween},
		{RoleBelow, RoleAbove, RoleBetween}, {RoleBelow, RoleWanted, RoleWanted}, {RoleWanted, RoleAbove, RoleWanted},
		{RoleWanted, RoleBetween, RoleWanted}, {RoleBelow, RoleBetween, RoleBetween}, {RoleBetween, RoleAbove, RoleBetween},
	}
	for _, c := range cases {
		if got := c.r.and(c.s); got != c.want {
			t.Errorf("%s and %s give %s, want %s", c.r, c.s, got, c.want)
		}
	}
}

// FuzzPickByBody holds picks to their promises: of the chart, in its order, with
// each size that a measurement falls in and all between, and more neighbours
// never drop a size.
func FuzzPickByBody(f *testing.F) {
	for _, c := range fitCases {
		f.Add(c.body, c.up, 1, 0)
	}
	charts := fitCharts()
	f.Fuzz(func(t *testing.T, text string, up bool, below, above int) {
		body, err := ParseBody(text)
		if err != nil {
			return
		}
		want := Want{Body: body, Below: below, Above: above}
		if up {
			want.Between = BetweenUp
		}
		for _, chart := range charts {
			p, err := chart.Pick(want)
			if err != nil {
				continue
			}
			got := pickedLabels(p)
			first, last := slices.Index(chart.Labels(), got[0]), slices.Index(chart.Labels(), got[len(got)-1])
			if first < 0 || last < 0 || !slices.Equal(chart.Labels()[first:last+1], got) {
				t.Errorf("%q of a chart with %q", got, chart.Labels())
			}
			for _, label := range p.Fit.Sizes {
				if i := slices.Index(got, label); i < 0 || p.Sizes[i].Role != RoleWanted {
					t.Errorf("%s: %s, without %s of the fit", text, pickOf(p), label)
				}
			}
			checkWiderPick(t, want, got, chart.Pick)
		}
	})
}

func pickedLabels(p *Pick) []string {
	var out []string
	for _, s := range p.Sizes {
		out = append(out, s.Label)
	}
	return out
}

// checkWiderPick wants more neighbours to keep all that fewer give.
func checkWiderPick(t *testing.T, want Want, got []string, pick func(Want) (*Pick, error)) {
	t.Helper()
	for _, more := range []Want{{Below: 1}, {Above: 1}, {Below: 1, Above: 2}} {
		wider := want
		wider.Below, wider.Above = min(want.Below, 1<<20)+more.Below, min(want.Above, 1<<20)+more.Above
		p, err := pick(wider)
		if err != nil {
			t.Fatalf("%+v: %v", wider, err)
		}
		for _, label := range got {
			if !slices.Contains(pickedLabels(p), label) {
				t.Errorf("%d below and %d above have %q, %d and %d have %q", want.Below, want.Above, got, wider.Below, wider.Above, pickedLabels(p))
			}
		}
	}
}
