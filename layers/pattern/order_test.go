package pattern_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/layers/warning"
	"github.com/sizeply/sizeply/sizes"
)

// nestColours are the names of sizes of nests and their inks, smallest first.
var nestColours = []struct{ name, ink, hex string }{
	{"Red", "1 0 0 RG", "#ff0000"}, {"Green", "0 .5 0 RG", "#008000"}, {"Blue", "0 0 1 RG", "#0000ff"}, {"Black", "0 0 0 RG", "#000000"},
}

// A nest is a file whose sizes, named by colour, are drawn by a function, with layers
// or without.
func nest(layered bool, draw func(size int) string) []byte {
	doc := testpdf.Doc{Pages: []testpdf.Page{{Entries: "/MediaBox [0 0 600 800]"}}}
	var b strings.Builder
	for i, c := range nestColours {
		if layered {
			doc.Groups = append(doc.Groups, c.name)
			fmt.Fprintf(&b, "/OC /%s BDC %s %s EMC\n", c.name, c.ink, draw(i))
		} else {
			fmt.Fprintf(&b, "%s %s\n", c.ink, draw(i))
		}
	}
	doc.Pages[0].Content = b.String()
	return testpdf.Build(doc)
}

func nested(size int) string { return fmt.Sprintf("20 20 %d %d re S", 200+12*size, 300+9*size) }

func apart(size int) string {
	return fmt.Sprintf("%d 20 %d %d re S", 10+140*size, 110+2*size, 300+9*size)
}

// chartOf has the sizes at positions of nestColours, with their lines.
func chartOf(order ...int) *sizes.Chart {
	chart := &sizes.Chart{}
	for _, i := range order {
		c := nestColours[i]
		chart.Sizes = append(chart.Sizes, sizes.Size{Label: c.name, Line: &sizes.Line{Colour: c.hex}})
	}
	return chart
}

// Where outlines contradict the order of the chart, it is said, by layers of what is
// kept, by lines of all sizes; and nothing where they do not tell.
func TestOrderAgainstOutlines(t *testing.T) {
	for _, c := range []struct {
		name   string
		draw   func(size int) string
		chart  []int
		label  string
		layers []string // what the warnings by layers and by lines are about
		lines  []string
	}{
		{"in order", nested, []int{0, 1, 2, 3}, "Green", nil, nil},
		{"largest first", nested, []int{3, 2, 1, 0}, "Green", []string{"Blue", "Green"}, []string{"Black", "Blue"}},
		{"the largest below the smallest", nested, []int{3, 0, 1, 2}, "Red", []string{"Black", "Red"}, []string{"Black", "Red"}},
		{"swapped elsewhere", nested, []int{0, 1, 3, 2}, "Red", nil, []string{"Black", "Blue"}},
		{"laid apart", apart, []int{3, 2, 1, 0}, "Green", nil, nil},
		{"open lines", func(i int) string { return fmt.Sprintf("20 20 m %d 90 l S", 90+9*i) }, []int{3, 2, 1, 0}, "Green", nil, nil},
	} {
		want := pattern.Want{Sizes: sizes.Want{Labels: []string{c.label}, Below: 1, Above: 1}}
		for _, by := range []pattern.By{pattern.ByLayers, pattern.ByLines} {
			about := map[pattern.By][]string{pattern.ByLayers: c.layers, pattern.ByLines: c.lines}[by]
			t.Run(c.name+", by "+string(by), func(t *testing.T) {
				file := nest(by == pattern.ByLayers, c.draw)
				got, err := pattern.Isolate(t.Context(), bytes.NewReader(file), chartOf(c.chart...), want, nil)
				if err != nil {
					t.Fatal(err)
				}
				if diff := cmp.Diff(about, orderAbout(t, got.Choice.AllWarnings(got.Report))); diff != "" {
					t.Errorf("(-want +got):\n%s", diff)
				}
			})
		}
	}
}

// orderAbout is what the warnings of order are about.
func orderAbout(t *testing.T, list []warning.Warning) (about []string) {
	t.Helper()
	for _, w := range list {
		if w.Code == pattern.ChartOrder {
			about = append(about, w.About...)
			if !strings.Contains(w.Text, fmt.Sprintf("%s stands below %s", w.About[0], w.About[1])) {
				t.Errorf("%v: %s", w.About, w.Text)
			}
		}
	}
	return about
}

// One size on each page tells nothing of the others.
func TestOrderOfPages(t *testing.T) {
	doc := testpdf.Doc{}
	for i, c := range nestColours {
		doc.Groups = append(doc.Groups, c.name)
		doc.Pages = append(doc.Pages, testpdf.Page{Entries: "/MediaBox [0 0 600 800]", Content: fmt.Sprintf("/OC /%s BDC %s EMC", c.name, nested(i))})
	}
	want := pattern.Want{Sizes: sizes.Want{Labels: []string{"Green"}, Below: 1, Above: 1}}
	got, err := pattern.Isolate(t.Context(), bytes.NewReader(testpdf.Build(doc)), chartOf(3, 2, 1, 0), want, nil)
	if err != nil {
		t.Fatal(err)
	}
	if about := orderAbout(t, got.Choice.AllWarnings(got.Report)); about != nil {
		t.Error(about)
	}
}

// Numbers that contradict the chart are told of before anything is drawn.
func TestOrderAgainstNames(t *testing.T) {
	doc, err := layers.Open(t.Context(), demo(t, "tollmere-skirt.pdf"), nil)
	if err != nil {
		t.Fatal(err)
	}
	chart := &sizes.Chart{Sizes: []sizes.Size{{Label: "24"}, {Label: "6"}, {Label: "8"}, {Label: "10"}}}
	choice, err := pattern.New(doc, chart).Choose(t.Context(), of("6"))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"24", "6"}, orderAbout(t, choice.Warnings)); diff != "" {
		t.Error(diff)
	}
}
