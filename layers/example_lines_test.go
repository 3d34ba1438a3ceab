package layers_test

import (
	"context"
	"fmt"
	"log"

	"github.com/sizeply/sizeply/layers"
)

// Sizes that are told apart by line: the styles of the file, held against what the
// size looks like. What goes is every size but the second.
func ExampleDocument_Lines() {
	ctx := context.Background()
	found, err := open("tollmere-skirt-both.pdf").Lines(ctx)
	if err != nil {
		log.Fatal(err)
	}
	solid, dashed := []float64{}, []float64{6, 2} // mm
	match, err := layers.MatchLines(found.Styles, []layers.LineSpec{
		{Colour: "#1e7d32", Dash: solid}, {Colour: "#1e7d32", Dash: dashed}, {Colour: "#8e24aa", Dash: solid},
	})
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range match.Without([]int{1}) {
		fmt.Printf("%s %s %v, %.2f mm, %.1f m\n", s.Kind, s.Name, s.Dash, s.Width, s.Length)
	}
	// Output:
	// line green [], 0.45 mm, 5.4 m
	// line green [], 0.32 mm, 0.7 m
	// line darkviolet [], 0.45 mm, 5.7 m
	// line darkviolet [], 0.32 mm, 0.8 m
}

// Which line of a file is whose, and which size has none. What is no size's is in
// every print.
func ExampleMatchLines() {
	found := []layers.LineStyle{
		{Kind: layers.StrokedLine, Colour: "#c1121f", Width: 0.5},
		{Kind: layers.StrokedLine, Colour: "#0b5fa5", Dash: []float64{6, 2}, Width: 0.5},
		{Kind: layers.StrokedLine, Colour: "#1a1a1a", Width: 0.5},
	}
	match, err := layers.MatchLines(found, []layers.LineSpec{
		{Colour: "#c00f1c"},                          // size 8: red, whatever its dash
		{Colour: "#0b5fa5", Dash: []float64{6.3, 2}}, // size 10: blue, dashed
		{Colour: "#0b5fa5", Dash: []float64{}},       // size 12: blue, solid
	})
	if err != nil {
		log.Fatal(err)
	}
	for i, a := range match.Answers {
		fmt.Println(found[i].Colour, "draws the sizes at", a.Specs)
	}
	fmt.Println("the lines of size 12:", match.Serves(2))
	// Output:
	// #c1121f draws the sizes at [0]
	// #0b5fa5 draws the sizes at [1]
	// #1a1a1a draws the sizes at []
	// the lines of size 12: []
}

// Where no chart says what the lines of the sizes look like, the drawing may.
func ExampleProposeLines() {
	found, err := open("tollmere-skirt-both.pdf").Lines(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	for i, p := range layers.ProposeLines(found.Styles) {
		fmt.Printf("size %d: %s, dash %v\n", i+1, p.Spec.Colour, p.Spec.Dash)
	}
	// Output:
	// size 1: #c1121f, dash []
	// size 2: #c1121f, dash [6 2]
	// size 3: #0b5fa5, dash []
	// size 4: #0b5fa5, dash [6 2]
	// size 5: #1e7d32, dash []
	// size 6: #1e7d32, dash [6 2]
	// size 7: #8e24aa, dash []
	// size 8: #8e24aa, dash [6 2]
	// size 9: #00838f, dash []
	// size 10: #00838f, dash [6 2]
}

// Lines that a designer should not give to two sizes.
func ExampleHardToTell() {
	solid, dashed := []float64{}, []float64{6, 2} // mm
	alike, err := layers.HardToTell([]layers.LineSpec{
		{Colour: "#c1121f", Dash: solid}, {Colour: "#b3142b", Dash: solid},
		{Colour: "#3f6e2a", Dash: solid}, {Colour: "#c1121f", Dash: dashed},
	})
	if err != nil {
		log.Fatal(err)
	}
	for _, a := range alike {
		fmt.Printf("%d and %d differ by %.1f in colour, %.1f in grey; only without colour: %v\n",
			a.A, a.B, a.Colour, a.Grey, a.OnlyGrey)
	}
	// Output:
	// 0 and 1 differ by 5.0 in colour, 2.4 in grey; only without colour: false
	// 0 and 2 differ by 58.2 in colour, 0.7 in grey; only without colour: true
	// 1 and 2 differ by 58.5 in colour, 3.1 in grey; only without colour: true
}

// Which of two lines is that of the larger size.
func ExampleNest() {
	found, err := open("tollmere-skirt-both.pdf").Lines(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	proposed := layers.ProposeLines(found.Styles)[:3]
	var outlines []layers.Outlines
	for _, p := range proposed {
		outlines = append(outlines, layers.OutlinesOf([]layers.LineStyle{found.Styles[p.Styles[0]]}, nil))
	}
	nest := layers.Nest(outlines)
	for i := range proposed {
		for k := range proposed {
			if nest.Inside(i, k) {
				fmt.Printf("%s %v lies within %s %v\n", proposed[i].Spec.Colour, proposed[i].Spec.Dash,
					proposed[k].Spec.Colour, proposed[k].Spec.Dash)
			}
		}
	}
	// Output:
	// #c1121f [] lies within #c1121f [6 2]
	// #c1121f [] lies within #0b5fa5 []
	// #c1121f [6 2] lies within #0b5fa5 []
}

// The outlines of one layer.
func ExampleOutlinesOf() {
	doc := open("tollmere-skirt.pdf")
	found, err := doc.Lines(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	all := doc.Layers()
	small := layers.OutlinesOf(found.Styles, []int{all[3].Object})
	large := layers.OutlinesOf(found.Styles, []int{all[4].Object})
	nest := layers.Nest([]layers.Outlines{small, large})
	fmt.Printf("%s lies within %s: %v\n", all[3].Name, all[4].Name, nest.Inside(0, 1))
	// Output:
	// Size 12 lies within Size 14: true
}

// How many sizes are drawn outside of the layers that a person chose.
func ExampleNestBeside() {
	doc := open("tollmere-skirt.pdf")
	found, err := doc.Lines(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	var all []int
	for _, l := range doc.Layers() {
		all = append(all, l.Object)
	}
	fmt.Println(layers.NestBeside(found.Styles, all), layers.NestBeside(found.Styles, all[3:4]))
	// Output:
	// 0 9
}

// What a size draws besides the outlines of its pieces: darts, notches and the sample
// of its line.
func ExampleFindStrays() {
	found, err := open("tollmere-skirt-both.pdf").Lines(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	var sizes [][]layers.LineStyle
	for _, p := range layers.ProposeLines(found.Styles)[:2] {
		sizes = append(sizes, []layers.LineStyle{found.Styles[p.Styles[0]], found.Styles[p.Styles[1]]})
	}
	for _, s := range layers.FindStrays(sizes) {
		fmt.Printf("%d within the pieces, %d outside\n", s.Inside, s.Outside)
	}
	// Output:
	// 13 within the pieces, 1 outside
	// 13 within the pieces, 1 outside
}
