package layers

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// largePage has room for nests.
const largePage = "/MediaBox [0 0 600 800]"

// nestInks are the colours of the sizes of nests, smallest first.
var nestInks = []string{"1 0 0 RG", "0 .6 0 RG", "0 0 1 RG", "0 0 0 RG", "1 .5 0 RG"}

// grade is where the edge of a size lies, in points from that of the smallest.
func grade(size int) float64 { return 6 * float64(size) }

// sleeve is a closed piece with curves that grows to the right and upwards.
func sleeve(size int) string {
	g := grade(size)
	return fmt.Sprintf("20 20 m %g 20 l %g %g l %g %g 60 %g 20 %g c h S\n", 120+g, 120+g, 100+g, 90+g, 130+g, 130+g, 100+g)
}

// nestOfSizes draws each size in its colour.
func nestOfSizes(count int, draw func(size int) string) string {
	var b strings.Builder
	for i := range count {
		fmt.Fprintf(&b, "%s %s", nestInks[i], draw(i))
	}
	return b.String()
}

// Each row draws sizes in another way; want has the positions of the sizes by the
// number of the others that lie within them, "" where nothing is told of two.
func TestNest(t *testing.T) {
	for _, c := range []struct{ name, content, want string }{
		{"closed paths", nestOfSizes(4, sleeve), "0 1 2 3"},
		{"rectangles on one corner", nestOfSizes(4, func(i int) string { return fmt.Sprintf("20 20 %g %g re S\n", 90+grade(i), 60+grade(i)) }), "0 1 2 3"},
		{"from a middle", nestOfSizes(4, func(i int) string {
			return fmt.Sprintf("%g %g %g %g re S\n", 90-grade(i), 90-grade(i), 40+2*grade(i), 60+2*grade(i))
		}), "0 1 2 3"},
		{"largest first", nestOfSizes(4, func(i int) string { return sleeve(3 - i) }), "3 2 1 0"},
		{"in no order", nestOfSizes(4, func(i int) string { return sleeve([]int{2, 0, 3, 1}[i]) }), "1 3 0 2"},
		{"each side a path", nestOfSizes(3, func(i int) string {
			g := grade(i)
			return fmt.Sprintf("20 20 m %g 20 l S %[1]g 20 m %[1]g %g l S %[1]g %[2]g m 60 %[2]g 60 %[2]g 20 %[2]g c S 20 %[2]g m 20 20 l S\n", 120+g, 100+g)
		}), "0 1 2"},
		{"sides in no order, some the other way round", nestOfSizes(3, func(i int) string {
			g := grade(i)
			return fmt.Sprintf("%g %g m %[1]g 20 l S 20 20 m 20 %[2]g l S 20 20 m %[1]g 20 l S %[1]g %[2]g m 20 %[2]g l S\n", 120+g, 100+g)
		}), "0 1 2"},
		{"two pieces in one path", nestOfSizes(3, func(i int) string {
			return fmt.Sprintf("20 20 %g 60 re 200 20 30 %g re S\n", 90+grade(i), 60+grade(i))
		}), "0 1 2"},
		{"with allowances wider than the grading", nestOfSizes(3, func(i int) string {
			return fmt.Sprintf("20 20 %g %g re S 28 28 %g %g re S\n", 90+grade(i), 90+grade(i), 74+grade(i), 74+grade(i))
		}), "0 1 2"},
		{"one with a frame, a square and a grainline", nestOfSizes(3, sleeve) + "0 0 1 RG 5 5 590 780 re S 300 300 72 72 re S 60 30 m 60 90 l S\n", "0 1 2"},
		{"the smallest with a frame", "1 0 0 RG 5 5 590 780 re S\n" + nestOfSizes(3, sleeve), "0 1 2"},
		{"filled as thin as a line", nestOfSizes(3, func(i int) string {
			g := grade(i)
			return strings.ToLower(nestInks[i]) + fmt.Sprintf(" 20 20 %g %g re 21 21 %g %g re f*\n", 120+g, 100+g, 118+g, 98+g)
		}), "0 1 2"},

		{"laid apart", nestOfSizes(3, func(i int) string {
			return fmt.Sprintf("%d 20 %g %g re S\n", 20+180*i, 90+grade(i), 60+grade(i))
		}), ""},
		{"packed so that boxes overlap", nestOfSizes(2, func(i int) string {
			return fmt.Sprintf("%d 20 %g %g re S\n", 20+60*i, 90+grade(i), 60+grade(i))
		}), ""},
		{"all alike", nestOfSizes(3, func(int) string { return sleeve(1) }), ""},
		{"one grows, the other shrinks", nestOfSizes(2, func(i int) string {
			return fmt.Sprintf("20 20 %g 60 re S 200 20 %g 60 re S\n", 90+grade(i), 90-grade(i))
		}), ""},
		{"wider and lower", nestOfSizes(2, func(i int) string { return fmt.Sprintf("20 20 %g %g re S\n", 90+grade(i), 90-grade(i)) }), ""},
		{"open lines", nestOfSizes(2, func(i int) string { return fmt.Sprintf("20 20 m %g 60 l S\n", 90+grade(i)) }), ""},
		{"smaller than a pattern piece", nestOfSizes(2, func(i int) string { return fmt.Sprintf("20 20 %d 9 re S\n", 9+3*i) }), ""},
		{"clipped away", "q 300 300 9 9 re W n " + nestOfSizes(2, sleeve) + "Q", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			styles := foundLines(t, c.content, largePage)
			var outlines []Outlines
			for i := range styles {
				if styles[i].Kind != FilledShape {
					outlines = append(outlines, OutlinesOf(styles[i:i+1], nil))
				}
			}
			if got := nestOrder(Nest(outlines), len(outlines)); got != c.want {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}

// Sizes that are drawn outside of a layer lie on what is in it; what all sizes share
// does not.
func TestNestBeside(t *testing.T) {
	size := func(i int) string { return fmt.Sprintf("20 20 %g %g re S\n", 90+grade(i), 60+grade(i)) }
	nest := size(0) + size(1) + size(2)
	in := func(content string) string { return "/OC /A BDC " + content + "EMC " }
	for _, c := range []struct {
		name, content string
		want          int
	}{
		{"a size alone", in(size(0)), 0},
		{"frames and a square", in(size(0)) + "5 5 590 780 re S 6 6 588 778 re S 300 300 72 72 re S\n", 0},
		{"sizes in no layer", in(size(0)) + nest, 3},
		{"sizes in another layer", in(size(0)) + "/OC /B BDC " + nest + "EMC", 3},
		{"a size twice", in(size(0)) + nest + nest, 3},
		{"sizes in the layer", in(nest) + size(3), 1},
		{"a nest away from the piece", in(size(0)) + "1 0 0 1 300 300 cm " + nest, 0},
		{"the layer draws no outline", in("20 20 m 60 60 l S ") + nest, 3},
	} {
		d := testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: c.content, Entries: largePage,
			Resources: "<</Properties <</A 5 0 R /B 6 0 R>>>>"}}}
		found, err := open(t, testpdf.Build(d)).Lines(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if got := NestBeside(found.Styles, []int{testpdf.GroupObject}); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

// nestOrder are the positions of sizes from small to large, "" unless all is told.
func nestOrder(n *Nesting, count int) string {
	order := make([]string, count)
	for i := range count {
		within := 0
		for k := range count {
			if n.Inside(k, i) {
				within++
			}
			if i != k && n.Inside(k, i) == n.Inside(i, k) {
				return ""
			}
		}
		order[within] = fmt.Sprint(i)
	}
	return strings.Join(order, " ")
}

// Outlines are those of a layer where that is asked for.
func TestOutlinesOfLayers(t *testing.T) {
	styles := foundLines(t, "/OC /B BDC "+sleeve(0)+" EMC /OC /A BDC "+sleeve(1)+" EMC "+sleeve(2), largePage)
	of := func(layers ...int) Outlines { return OutlinesOf(styles, layers) }
	n := Nest([]Outlines{of(5), of(6), of(5, 6), of(7)})
	if !n.Inside(1, 0) || n.Inside(0, 1) || n.Inside(0, 2) || n.Inside(2, 0) || n.Inside(0, 3) || n.Inside(3, 0) || n.Inside(0, 0) {
		t.Errorf("%+v", n)
	}
}

// proposedColours are the colours of proposed lines, smallest first.
func proposedColours(styles []LineStyle) string {
	var list []string
	for _, p := range ProposeLines(styles) {
		list = append(list, p.Spec.Colour)
	}
	return strings.Join(list, " ")
}

// What is proposed goes by how outlines lie in each other, not by what else is drawn
// in the colour of a size.
func TestProposeLinesByNest(t *testing.T) {
	const colours = "#ff0000 #009900 #0000ff #000000"
	frame := "0 0 0 RG 5 5 590 780 re S\n"
	for _, c := range []struct{ name, content, want string }{
		{"small to large", nestOfSizes(4, sleeve), colours},
		{"drawn from large to small", func() string {
			parts := strings.SplitAfter(strings.TrimSuffix(nestOfSizes(4, sleeve), "\n"), "\n")
			slices.Reverse(parts)
			return strings.Join(parts, "\n")
		}(), colours},
		{"the smallest drawn most", nestOfSizes(4, sleeve) + strings.Repeat("1 0 0 RG 30 30 m 90 80 l S\n", 3), colours},
		{"black has frames, grainlines and squares", nestOfSizes(4, sleeve) + frame + "300 300 72 72 re S\n" +
			strings.Repeat("60 30 m 60 90 l S\n", 9), colours},
		{"a shared line follows all sizes", nestOfSizes(3, sleeve) + ".5 G " + nestOfSizesInOne(3), "#ff0000 #009900 #0000ff"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := proposedColours(foundLines(t, c.content, largePage)); got != c.want {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}

// nestOfSizesInOne draws an allowance around each size in the colour that is set.
func nestOfSizesInOne(count int) string {
	var b strings.Builder
	for i := range count {
		fmt.Fprintf(&b, "1 0 0 1 -2 -2 cm %s 1 0 0 1 2 2 cm\n", sleeve(i))
	}
	return b.String()
}

// Black is told from frames and grainlines by its width.
func TestProposeLinesWidth(t *testing.T) {
	content := "2 w " + nestOfSizes(4, sleeve) + ".5 w 5 5 590 780 re S 60 30 m 60 90 l S\n"
	got := ProposeLines(foundLines(t, content, largePage))
	var specs []LineSpec
	for _, p := range got {
		specs = append(specs, p.Spec)
		if !p.Nested || len(p.Also) > 0 {
			t.Errorf("%+v", p)
		}
	}
	want := []LineSpec{{Colour: "#ff0000"}, {Colour: "#009900"}, {Colour: "#0000ff"}, {Colour: "#000000", Width: 0.706}}
	if diff := cmp.Diff(want, specs); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
