package pattern_test

import (
	"bytes"
	"context"
	"fmt"
	"log"
	"os"
	"strings"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// lines are the line styles of a file of the demo pattern, with its chart.
func lines(name, chartName string) ([]layers.LineStyle, *sizes.Chart) {
	doc, chart := open(name, chartName)
	found, err := doc.Lines(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	return found.Styles, chart
}

// Which lines of a file draw a size.
func ExampleMatchLines() {
	styles, chart := lines("tollmere-skirt-both.pdf", "tollmere-both.yaml")
	match, err := pattern.MatchLines(styles, chart)
	if err != nil {
		log.Fatal(err)
	}
	for _, i := range match.Of("16") {
		fmt.Println(pattern.LineWords(&styles[i]))
	}
	// Output:
	// green (#1e7d32), dashed 6 2 mm, 0.45 mm wide
	// green (#1e7d32), dashed 6 2 mm, 0.32 mm wide
}

// What a chart says of the lines, as [layers.MatchLines] takes it.
func ExampleLineSpecs() {
	_, chart := open("tollmere-skirt-both.pdf", "tollmere-both.yaml")
	specs, labels := pattern.LineSpecs(chart)
	for i := range specs[:3] {
		fmt.Println("size", labels[i], specs[i].Colour, specs[i].Dash)
	}
	// Output:
	// size 6 #c1121f []
	// size 8 #c1121f [6 2]
	// size 10 #0b5fa5 []
}

// Whether a chart can tell sizes apart by line at all.
func ExampleStatesLines() {
	for _, written := range []string{`sizes: [{label: "8"}]`, `sizes: [{label: "8", line: {dash: [6, 2]}}]`} {
		chart, err := sizes.Read(strings.NewReader(written), "")
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(pattern.StatesLines(chart))
	}
	// Output:
	// false
	// true
}

// Black beside colours: the layer with the test square is no size.
func ExampleKeepShared() {
	ctx := context.Background()
	nest := testpdf.Nest{Layers: []testpdf.NestLayer{
		{Name: "Blue", Outlines: []int{0}}, {Name: "Red", Outlines: []int{1}}, {Name: "Black", Shared: true},
	}}
	doc, err := layers.Open(ctx, bytes.NewReader(nest.PDF()), nil)
	if err != nil {
		log.Fatal(err)
	}
	drafted := pattern.Draft(doc.Layers())
	fmt.Println(drafted.Chart.Labels())
	if err := pattern.KeepShared(ctx, drafted, doc); err != nil {
		log.Fatal(err)
	}
	fmt.Println(drafted.Chart.Labels(), drafted.Chart.Keep)
	// Output:
	// [Blue Red Black]
	// [Blue Red] [Black]
}

// A line as a person looks for it on the paper.
func ExampleLineWords() {
	fmt.Println(pattern.LineWords(&layers.LineStyle{
		Kind: layers.StrokedLine, Colour: "#d35400", Name: "chocolate", Dash: []float64{12, 3}, Width: 0.45,
	}))
	// Output:
	// chocolate (#d35400), dashed 12 3 mm, 0.45 mm wide
}

// The colour alone, as a heading over several lines.
func ExampleColourWords() {
	fmt.Println(pattern.ColourWords(&layers.LineStyle{Colour: "#d35400", Name: "chocolate"}))
	fmt.Println(pattern.ColourWords(&layers.LineStyle{})) // a pattern, say
	// Output:
	// chocolate (#d35400)
	// colour unknown
}

// Lengths without digits that nobody measures.
func ExampleMillimetres() {
	fmt.Println(pattern.Millimetres(12, 3.5, 0.449))
	// Output:
	// 12 3.5 0.45
}

// A first chart for a pattern of two files.
func ExampleDraft() {
	file := func(names ...string) (list []layers.Layer) {
		for _, name := range names {
			list = append(list, layers.Layer{Name: name})
		}
		return list
	}
	drafted := pattern.Draft(file("Size 8", "Size 10", "Text"), file("Size 8", "Size 12", "Sketch"))
	fmt.Println(drafted.Chart.Labels(), "and always", drafted.Chart.Keep)
	for _, d := range drafted.Doubts {
		fmt.Println(pattern.DoubtWords(d))
	}
	// Output:
	// [8 10 12] and always [Text]
	// layer "Sketch" says no size, and has no word for what every print needs
}

// What a designer has to decide before a draft is a chart.
func ExampleDoubtWords() {
	fmt.Println(pattern.DoubtWords(sizes.Doubt{Position: 5, Name: "Sketch", Reason: "says no size"}))
	fmt.Println(pattern.DoubtWords(sizes.Doubt{Position: -1, Reason: "The order of the colours is not known."}))
	// Output:
	// layer "Sketch" says no size
	// The order of the colours is not known.
}

// A first chart of a file without layers: the drawing tells how many sizes there
// are, and what their lines look like.
func ExampleDoubtsWords() {
	fmt.Println(pattern.DoubtsWords([]sizes.Doubt{
		{Position: 0, Name: "Size 8 A", Reason: `says size "8", but what is "A"?`},
		{Position: 1, Name: "Size 8 B", Reason: `says size "8", but what is "B"?`},
	}))
	// Output: layer "Size 8 A" says size "8", but what is "A"? (in doubt too: "Size 8 B")
}

func ExampleAddLines() {
	styles, _ := lines("tollmere-skirt-both.pdf", "tollmere-both.yaml")
	drafted := pattern.Draft() // of no layers
	pattern.AddLines(drafted, styles)
	drafted.Chart.Sizes = drafted.Chart.Sizes[:2]
	if err := drafted.Write(os.Stdout); err != nil {
		log.Fatal(err)
	}
	// Output:
	// # To decide: The lines are called what is printed in their colours or beside
	// #   them; compare it with the pattern.
	// # To decide: The lines are guessed: smallest first, since their outlines lie one
	// #   within the next; compare them with the pattern.
	// sizes:
	//   - label: "6"
	//     line: {colour: "#c1121f", dash: []}
	//   - label: "8"
	//     line: {colour: "#c1121f", dash: [6, 2]}
}

// Layers as viewers list them, with those that they do not list at the end.
func ExampleShownOrder() {
	list := []layers.Layer{{Name: "Grid"}, {Name: "Size 10", Place: 2}, {Name: "Size 8", Place: 1}}
	for _, i := range pattern.ShownOrder(list) {
		fmt.Println(list[i].Name)
	}
	// Output:
	// Size 8
	// Size 10
	// Grid
}

// What lies within what, held against the order of a chart.
func ExampleLines_Outlines() {
	styles, chart := lines("tollmere-skirt-both.pdf", "tollmere-both.yaml")
	chart.Sizes[1].Line, chart.Sizes[2].Line = chart.Sizes[2].Line, chart.Sizes[1].Line
	match, err := pattern.MatchLines(styles, chart)
	if err != nil {
		log.Fatal(err)
	}
	labels, outlines := match.Outlines(chart)
	fmt.Println(pattern.AgainstOutlines(labels, outlines))
	// Output:
	// [[8 10]]
}

// Two sizes of a chart, of which the first stands below the second and is the larger.
func ExampleAgainstOutlines() {
	styles, _ := lines("tollmere-skirt-both.pdf", "tollmere-both.yaml")
	var outlines []layers.Outlines
	for _, p := range layers.ProposeLines(styles)[:2] {
		outlines = append(outlines, layers.OutlinesOf([]layers.LineStyle{styles[p.Styles[0]]}, nil))
	}
	fmt.Println(pattern.AgainstOutlines([]string{"small", "large"}, outlines))
	fmt.Println(pattern.AgainstOutlines([]string{"large", "small"}, []layers.Outlines{outlines[1], outlines[0]}))
	// Output:
	// []
	// [[large small]]
}

// What to say of a chart.
func ExampleOrderWords() {
	fmt.Println(pattern.OrderWords([][2]string{{"46", "34"}}, pattern.OutlinesSay))
	fmt.Println(pattern.OrderWords([][2]string{{"L", "M"}, {"M", "S"}}, pattern.NamesSay))
	// Output:
	// in your chart 46 stands below 34; the outlines say otherwise
	// in your chart L stands below M (and so with 1 more pair); the names of the sizes say otherwise
}
