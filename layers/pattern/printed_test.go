package pattern_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// key is a sample of each line with a text in ink beside it, right of it or left.
func key(texts []string, left bool) string {
	var b strings.Builder
	for i, text := range texts {
		y, x := 700-20*i, 140
		if left {
			x = 20
		}
		fmt.Fprintf(&b, "%s 60 %d m 130 %[2]d l S %s", nestColours[i].ink, y, texted(text, ".2 g", x, y-3))
	}
	return b.String()
}

// inColours writes a text in the colour of each line.
func inColours(texts ...string) string {
	fills := []string{"1 0 0 rg", "0 .5 0 rg", "0 0 1 rg", "0 0 0 rg"}
	var b strings.Builder
	for i, text := range texts {
		b.WriteString(texted(text, fills[i], 60, 60+20*i))
	}
	return b.String()
}

// Sizes of lines are called what is printed in their colours or beside them, where each
// has a name of its own.
func TestPrintedLabels(t *testing.T) {
	numbers, unnamed := []string{"34", "36", "38", "40"}, []string{"line 1", "line 2", "line 3", "line 4"}
	for _, c := range []struct {
		name, besides string
		want          []string
	}{
		{"nothing printed", "", unnamed},
		{"in their colours", inColours("34", "36", "38", "40"), numbers},
		{"with a word", inColours("Size 34", "Size 36", "Size 38", "Size 40"), numbers},
		{"and other texts", inColours("34", "36", "38", "40") + inColours("34", "36", "38", "40") + inColours("90", "94", "98", "102"), numbers},
		{"in a key", key(numbers, false), numbers},
		{"in a key, before the lines", key(numbers, true), numbers},
		{"letters", inColours("S", "M", "L", "XL"), []string{"S", "M", "L", "XL"}},
		{"one has none", inColours("34", "36", "38"), unnamed},
		{"two have one", inColours("34", "36", "36", "40"), unnamed},
		{"in ink, beside nothing", texted("34", ".2 g", 300, 700), unnamed},
		{"no sizes", inColours("front", "back", "sleeve", "collar"), unnamed},
	} {
		t.Run(c.name, func(t *testing.T) {
			drafted := pattern.Draft()
			pattern.AddLines(drafted, found(t, habit{width: "1 w", besides: c.besides}.file()))
			if diff := cmp.Diff(c.want, drafted.Chart.Labels()); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// Where the names of layers tell the sizes, what is printed says which line is whose.
func TestPrintedLines(t *testing.T) {
	var b strings.Builder
	for i, c := range nestColours {
		fmt.Fprintf(&b, "%s %s\n", c.ink, apart(i))
	}
	file := testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{
		Entries: "/MediaBox [0 0 600 800]", Resources: "<</Font <</F 29 0 R>>>>", Content: b.String() + inColours("38", "34", "40", "36"),
	}}})
	drafted := sizes.Draft([]string{"34", "36", "38", "40"})
	pattern.AddLines(drafted, found(t, file))
	var colours []string
	for _, s := range drafted.Chart.Sizes {
		colours = append(colours, s.Line.Colour)
	}
	if diff := cmp.Diff([]string{"#008000", "#000000", "#ff0000", "#0000ff"}, colours); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
