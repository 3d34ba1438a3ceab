package sizes

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// pickNames are the layers of an invented file: 0 to 9 one a size but for 20,
// then a second layer of 14, a span, and the rest.
var pickNames = []string{
	"Size 6", "Size 8", "Size 10", "Size 12", "Size 14", "Size 16", "Size 18", "Size 22", "Size 24",
	"Size 14 copy", "Size 16-18 pocket", "Text", "Background", "Doodles", "Text",
}

func pickChart() *Chart {
	c := testCharts()["numbers"]
	c.Keep, c.Drop = []string{"Text"}, []string{"Background"}
	return c
}

func TestPick(t *testing.T) {
	cases := []struct {
		name      string
		want      Want
		sizes     []PickedSize
		positions []int
		dropped   []int
		notes     []Note
	}{
		{
			name:      "one size",
			want:      Want{Labels: []string{"14"}},
			sizes:     []PickedSize{{"14", RoleWanted, []int{4, 9}}},
			positions: []int{4, 9, 11, 14},
			dropped:   []int{0, 1, 2, 3, 5, 6, 7, 8, 10, 12},
		},
		{
			name: "one neighbour on each side, one of them in a shared layer",
			want: Want{Labels: []string{"14"}, Below: 1, Above: 1},
			sizes: []PickedSize{
				{"12", RoleBelow, []int{3}}, {"14", RoleWanted, []int{4, 9}}, {"16", RoleAbove, []int{5, 10}},
			},
			positions: []int{3, 4, 5, 9, 10, 11, 14},
			dropped:   []int{0, 1, 2, 6, 7, 8, 12},
			notes:     []Note{{Kind: NoteSharedLayer, Text: `layer "Size 16-18 pocket" draws size "18" as well`}},
		},
		{
			name: "two sizes with a gap, and a size between",
			want: Want{Labels: []string{"8", "12", "24"}, Below: 1, Above: 1},
			sizes: []PickedSize{
				{"6", RoleBelow, []int{0}}, {"8", RoleWanted, []int{1}}, {"10", RoleBetween, []int{2}},
				{"12", RoleWanted, []int{3}}, {"14", RoleAbove, []int{4, 9}},
				{"22", RoleBelow, []int{7}}, {"24", RoleWanted, []int{8}},
			},
			positions: []int{0, 1, 2, 3, 4, 7, 8, 9, 11, 14},
			dropped:   []int{5, 6, 10, 12},
			notes:     []Note{{Kind: NoteChartEnd, Text: `the chart has no size above size "24", 1 asked for`}},
		},
		{
			name:      "a wanted size is not a neighbour",
			want:      Want{Labels: []string{"8..10"}, Above: 1},
			sizes:     []PickedSize{{"8", RoleWanted, []int{1}}, {"10", RoleWanted, []int{2}}, {"12", RoleAbove, []int{3}}},
			positions: []int{1, 2, 3, 11, 14},
			dropped:   []int{0, 4, 5, 6, 7, 8, 9, 10, 12},
		},
		{
			name:      "a neighbour without a layer",
			want:      Want{Labels: []string{"22"}, Below: 1},
			sizes:     []PickedSize{{"22", RoleWanted, []int{7}}},
			positions: []int{7, 11, 14},
			dropped:   []int{0, 1, 2, 3, 4, 5, 6, 8, 9, 10, 12},
			notes:     []Note{{Kind: NoteMissingNeighbour, Text: `the neighbour "20" has no layer in the file`}},
		},
		{
			name:      "fewer neighbours at the lower end",
			want:      Want{Labels: []string{"Size 08"}, Below: 3},
			sizes:     []PickedSize{{"6", RoleBelow, []int{0}}, {"8", RoleWanted, []int{1}}},
			positions: []int{0, 1, 11, 14},
			dropped:   []int{2, 3, 4, 5, 6, 7, 8, 9, 10, 12},
			notes:     []Note{{Kind: NoteChartEnd, Text: `the chart has 1 size below size "8", 3 asked for`}},
		},
	}
	match := pickChart().Match(pickNames)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p, err := match.Pick(c.want)
			if err != nil {
				t.Fatal(err)
			}
			for _, diff := range []string{
				cmp.Diff(c.sizes, p.Sizes), cmp.Diff(c.positions, p.Positions()), cmp.Diff(c.dropped, p.Dropped()),
				cmp.Diff([]int{13}, p.Unknown()), cmp.Diff([]int{11, 14}, p.Kept()), cmp.Diff(c.notes, p.Notes),
			} {
				if diff != "" {
					t.Error(diff)
				}
			}
		})
	}
}

func TestPickRefuses(t *testing.T) {
	const noLayer = `no layer for size "20"; the file has layers for sizes "6", "8", "10", "12", "14", "16", "18", "22" and "24"`
	cases := []struct {
		name  string
		names []string
		want  Want
		is    any // the type of the error, nil for any
		text  string
	}{
		{"no size", pickNames, Want{}, nil, "no size is wanted; give at least one label of the chart, or body measurements"},
		{"neighbours of no size", pickNames, Want{Below: 1}, nil, "no size is wanted; give at least one label of the chart, or body measurements"},
		{"negative", pickNames, Want{Labels: []string{"8"}, Below: -1}, nil, "-1 below and 0 above: the number of neighbours cannot be negative"},
		{"unknown size", pickNames, Want{Labels: []string{"8", "9"}}, new(*UnknownSizeError),
			`size "9" is not in the chart; the nearest is "10"; the chart has "6", "8", "10", "12", "14", "16", "18", "20", "22" and "24"`},
		{"no layer", pickNames, Want{Labels: []string{"20"}}, new(*MissingLayerError), noLayer},
		{"no layer for one of several", pickNames, Want{Labels: []string{"18..22"}}, new(*MissingLayerError), noLayer},
		{"ambiguous name", append([]string{"Size 8 front, size 10 back"}, pickNames...), Want{Labels: []string{"24"}}, new(*AmbiguousError),
			`layer "Size 8 front, size 10 back" says "size 8": size "8", but also says "size 10": size "10"; name it in the layers of the size it belongs to, or under keep or drop`},
		{"nothing fits", []string{"Text", "Layer 1"}, Want{Labels: []string{"8"}}, new(*NoMatchError),
			`no layer fits a size of the chart: the file has "Text" and "Layer 1"; the chart expects names such as "6" for its sizes "6", "8", "10", "12", "14", "16", "18", "20", "22" and "24"`},
		{"no names", nil, Want{Labels: []string{"8"}}, new(*NoMatchError),
			`no layer fits a size of the chart: the file has no layers at all; the chart expects names such as "6" for its sizes "6", "8", "10", "12", "14", "16", "18", "20", "22" and "24"`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p, err := pickChart().Match(c.names).Pick(c.want)
			if err == nil || p != nil {
				t.Fatalf("pick %v without an error", p)
			}
			if c.is != nil && !errors.As(err, c.is) {
				t.Errorf("error of type %T, want %T", err, c.is)
			}
			if diff := cmp.Diff(c.text, err.Error()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// NoMatchError shows a name as the chart says they are formed.
func TestNoMatchErrorExample(t *testing.T) {
	cases := []struct {
		name  string
		chart Chart
		want  string
	}{
		{"a layer of the first size", Chart{Sizes: []Size{{Label: "8", Layers: []string{"Eight*"}}}, Names: "Size {label}"}, "Eight*"},
		{"the form of names", Chart{Sizes: []Size{{Label: "8"}}, Names: "Size {label}"}, "Size 8"},
		{"the label", Chart{Sizes: []Size{{Label: "8"}}}, "8"},
	}
	for _, c := range cases {
		_, err := c.chart.Match([]string{"x"}).Pick(Want{Labels: []string{"8"}})
		var e *NoMatchError
		if !errors.As(err, &e) || e.Example != c.want {
			t.Errorf("%s: error %v, want one with the example %q", c.name, err, c.want)
		}
	}
}

// A Match that Chart.Match did not make, as one read from JSON, has no chart.
func TestPickWithoutChart(t *testing.T) {
	m := &Match{Answers: []Answer{{Kind: KindSize, Sizes: []string{"8"}}}}
	if _, err := m.Pick(Want{Labels: []string{"8"}}); !errors.As(err, new(*UnknownSizeError)) {
		t.Errorf("error %v, want an UnknownSizeError", err)
	}
}

func TestPickKeepsItsLists(t *testing.T) {
	p, err := pickChart().Match(pickNames).Pick(Want{Labels: []string{"8"}})
	if err != nil {
		t.Fatal(err)
	}
	p.Positions()[0] = 99
	p.Dropped()[0] = 99
	if p.Positions()[0] == 99 || p.Dropped()[0] == 99 {
		t.Error("a caller can change the lists of a pick")
	}
}

func TestPickJSON(t *testing.T) {
	p, err := pickChart().Match([]string{"Size 8", "Size 10", "Text", "x"}).Pick(Want{Labels: []string{"8"}, Above: 1})
	if err != nil {
		t.Fatal(err)
	}
	got, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	want := `{"sizes":[{"label":"8","role":"wanted","positions":[0]},{"label":"10","role":"above","positions":[1]}],` +
		`"positions":[0,1,2],"kept":[2],"unknown":[3],"dropped":[],"notes":[]}`
	if diff := cmp.Diff(want, string(got)); diff != "" {
		t.Error(diff)
	}
}

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
			[]Note{{Kind: NoteBeyondChart, Text: "bust 80 cm is beyond the chart: 4 cm less than size 10 (84 cm), the smallest there is"}}, "below the chart"},
		{"bust=110", BetweenNearest, 0, 0, "18 wanted",
			[]Note{{Kind: NoteBeyondChart, Text: "bust 110 cm is beyond the chart: 7 cm more than size 18 (103 cm), the largest there is"}}, "above the chart"},
		{"bust=36", BetweenNearest, 1, 0, "10 wanted", []Note{
			{Kind: NoteBeyondChart, Text: "bust 36 cm is beyond the chart: 48 cm less than size 10 (84 cm), the smallest there is" + far},
			{Kind: NoteChartEnd, Text: `the chart has no size below size "10", 1 asked for`},
		}, "inches without their unit"},
		{"bust=123cm", BetweenNearest, 0, 0, "18 wanted",
			[]Note{{Kind: NoteBeyondChart, Text: "bust 123 cm is beyond the chart: 20 cm more than size 18 (103 cm), the largest there is"}}, "20 cm raise no doubt of the unit"},
		{"bust=123.1cm", BetweenNearest, 0, 0, "18 wanted",
			[]Note{{Kind: NoteBeyondChart, Text: "bust 123.1 cm is beyond the chart: 20.1 cm more than size 18 (103 cm), the largest there is" + far}}, "more than 20 cm do"},
		{"bust=92,hip=80", BetweenNearest, 0, 0, "10 wanted, 12 between, 14 wanted",
			[]Note{{Kind: NoteBeyondChart, Text: "hip 80 cm is beyond the chart: 10 cm less than size 10 (90 cm), the smallest there is"}}, "one of two is beyond"},
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
	notes := []Note{{Kind: NoteMissingNeighbour, Text: `the size between "12" has no layer in the file`}}
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

// TestPickThroughJSON: a pick is the same after a way through JSON, positions and all.
func TestPickThroughJSON(t *testing.T) {
	chart, err := Read(strings.NewReader("sizes:\n  - {label: \"8\", body: {bust: 80}}\n  - {label: \"10\", body: {bust: 84}}\nkeep: [Text]\nunit: cm\n"), "chart.yaml")
	if err != nil {
		t.Fatal(err)
	}
	match := chart.Match([]string{"Size 8", "Size 10", "Text", "Frame"})
	for _, want := range []Want{
		{Labels: []string{"8"}}, {Labels: []string{"10"}, Below: 1, Above: 1},
		{Body: Body{{Name: "bust", Measure: Measure{82, Centimetre}}}},
	} {
		pick, err := match.Pick(want)
		if err != nil {
			t.Fatal(err)
		}
		data, err := json.Marshal(pick)
		if err != nil {
			t.Fatal(err)
		}
		var back Pick
		if err := json.Unmarshal(data, &back); err != nil {
			t.Fatalf("%v\n%s", err, data)
		}
		again, err := json.Marshal(&back)
		if err != nil || !bytes.Equal(again, data) {
			t.Errorf("%s\nbecame, with error %v,\n%s", data, err, again)
		}
		for _, list := range [][2][]int{
			{pick.Positions(), back.Positions()}, {pick.Kept(), back.Kept()}, {pick.Unknown(), back.Unknown()}, {pick.Dropped(), back.Dropped()},
		} {
			if !slices.Equal(list[0], list[1]) {
				t.Errorf("positions %v became %v", list[0], list[1])
			}
		}
	}
}
