package sizes

import (
	"encoding/json"
	"errors"
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
			notes:     []Note{{NoteSharedLayer, `layer "Size 16-18 pocket" draws size "18" as well`}},
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
			notes:     []Note{{NoteChartEnd, `the chart has no size above size "24", 1 asked for`}},
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
			notes:     []Note{{NoteMissingNeighbour, `the neighbour "20" has no layer in the file`}},
		},
		{
			name:      "fewer neighbours at the lower end",
			want:      Want{Labels: []string{"Size 08"}, Below: 3},
			sizes:     []PickedSize{{"6", RoleBelow, []int{0}}, {"8", RoleWanted, []int{1}}},
			positions: []int{0, 1, 11, 14},
			dropped:   []int{2, 3, 4, 5, 6, 7, 8, 9, 10, 12},
			notes:     []Note{{NoteChartEnd, `the chart has 1 size below size "8", 3 asked for`}},
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
