package pattern_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"os"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// chosen is size 14 with a neighbour on both sides, in a file of the demo pattern.
func chosen(name, chartName string) *pattern.Choice {
	doc, chart := open(name, chartName)
	choice, err := pattern.New(doc, chart).Choose(context.Background(), pattern.Want{
		Sizes: sizes.Want{Labels: []string{"14"}, Below: 1, Above: 1},
	})
	if err != nil {
		log.Fatal(err)
	}
	return choice
}

func byLayers() *pattern.Choice { return chosen("tollmere-skirt.pdf", "tollmere.yaml") }

func byLines() *pattern.Choice { return chosen("tollmere-skirt-both.pdf", "tollmere-both.yaml") }

// A print service, from a file that a customer sends to one that is checked.
func ExampleIsolate() {
	in, err := os.Open("../../testdata/tollmere-skirt.pdf")
	if err != nil {
		log.Fatal(err)
	}
	defer in.Close()
	_, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	result, err := pattern.Isolate(context.Background(), in, chart, pattern.Want{
		Sizes: sizes.Want{Labels: []string{"14"}, Above: 1},
	}, nil)
	if errors.Is(err, layers.ErrBadRequest) {
		log.Fatal("ask otherwise: ", err)
	} else if err != nil {
		log.Fatal(err)
	}
	fmt.Println("a PDF:", string(result.Data[:5]), "by", result.Choice.By)
	for _, l := range result.Report.Kept {
		fmt.Println("kept", l.Name)
	}
	// Output:
	// a PDF: %PDF- by layers
	// kept Size 14
	// kept Size 16
	// kept Text
	// kept Grainline
	// kept Notches
	// kept Test squares
}

// Without a chart the names of the layers have to tell the sizes.
func ExampleNew() {
	doc, _ := open("tollmere-skirt.pdf", "tollmere.yaml")
	choice, err := pattern.New(doc, nil).Choose(context.Background(), pattern.Want{
		Sizes: sizes.Want{Labels: []string{"10"}},
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(choice.Chart.Labels())
	fmt.Println(choice.Why)
	// Output:
	// [6 8 10 12 14 16 18 20 22 24]
	// no chart was given, and the layer names leave no size in doubt
}

// A size that the chart does not have is told with the nearest one.
func ExamplePattern_Choose() {
	doc, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	_, err := pattern.New(doc, chart).Choose(context.Background(), pattern.Want{
		Sizes: sizes.Want{Labels: []string{"26"}},
	})
	var unknown *sizes.UnknownSizeError
	if errors.As(err, &unknown) {
		fmt.Println("no size", unknown.Want, "but", unknown.Nearest)
	}
	// Output:
	// no size 26 but 24
}

// Layers by name where somebody knows better than a chart.
func ExamplePattern_Choose_layers() {
	doc, _ := open("tollmere-skirt.pdf", "tollmere.yaml")
	choice, err := pattern.New(doc, nil).Choose(context.Background(), pattern.Want{
		Layers: []string{"Size 8", "Grainline"},
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(choice.Layers(), choice.Selection().Layers)
	// Output:
	// [Size 8 Grainline] [1 11]
}

// One copy for each size that the file has.
func ExamplePattern_Sizes() {
	doc, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	labels, err := pattern.New(doc, chart).Sizes(context.Background(), sizes.Want{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(labels)
	labels, err = pattern.New(doc, chart).Sizes(context.Background(), sizes.Want{Labels: []string{"10..14"}, Above: 1})
	fmt.Println(labels, err)
	// Output:
	// [6 8 10 12 14 16 18 20 22 24]
	// [10 12 14] <nil>
}

// What of a pick was asked for, and is no neighbour.
func ExampleWanted() {
	fmt.Println(pattern.Wanted(byLayers().Pick))
	// Output:
	// [14]
}

// What Isolate is told: by layers what is kept, by lines what is removed.
func ExampleChoice_Selection() {
	layered, lined := byLayers().Selection(), byLines().Selection()
	fmt.Println("by layers:", layered.Layers, "of 15 are kept,", len(layered.Lines), "lines removed")
	fmt.Println("by lines:", lined.Layers, "are kept,", len(lined.Lines), "lines removed")
	// Output:
	// by layers: [3 4 5 10 11 12 13] of 15 are kept, 0 lines removed
	// by lines: [] are kept, 14 lines removed
}

// Which line on the paper is whose.
func ExampleChoice_Sizes() {
	for _, size := range byLines().Sizes(nil) {
		fmt.Printf("%s (%s): %s\n", size.Label, size.Role, pattern.LineWords(&size.Lines[0]))
	}
	// Output:
	// 12 (below): royal blue (#0b5fa5), dashed 6 2 mm, 0.45 mm wide
	// 14 (wanted): green (#1e7d32), solid, 0.45 mm wide
	// 16 (above): green (#1e7d32), dashed 6 2 mm, 0.45 mm wide
}

// Whether a size of the chart is in the print.
func ExampleChoice_Keeps() {
	choice := byLayers()
	for _, label := range choice.Chart.Labels() {
		if choice.Keeps(label) {
			fmt.Println("size", label)
		}
	}
	// Output:
	// size 12
	// size 14
	// size 16
}

// What is in the print whatever the size.
func ExampleChoice_Layers() {
	fmt.Println(byLayers().Layers())
	// Output:
	// [Text Grainline Notches Test squares]
}

// Layers that stay since the chart says nothing about them.
func ExampleChoice_Knows() {
	doc, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	chart.Drop = nil
	choice, err := pattern.New(doc, chart).Choose(context.Background(), pattern.Want{
		Sizes: sizes.Want{Labels: []string{"14"}},
	})
	if err != nil {
		log.Fatal(err)
	}
	for _, l := range doc.Layers() {
		if !choice.Knows(l.Object) {
			fmt.Println("the chart does not know", l.Name)
		}
	}
	// Output:
	// the chart does not know Background
}

// Sizes of the chart that this file has nothing of.
func ExampleChoice_Absent() {
	doc, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	chart.Sizes = append(chart.Sizes, sizes.Size{Label: "26"})
	choice, err := pattern.New(doc, chart).Choose(context.Background(), pattern.Want{
		Sizes: sizes.Want{Labels: []string{"24"}},
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(choice.Absent())
	// Output:
	// [26]
}

// Whose lines are not in the print.
func ExampleChoice_RemovedLines() {
	fmt.Println(byLines().RemovedLines())
	// Output:
	// [6 8 10 18 20 22 24]
}

// What to say before anybody prints: a chart that lists two sizes the wrong way round.
func ExampleChoice_AllWarnings() {
	ctx := context.Background()
	doc, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	chart.Sizes[3].Layers, chart.Sizes[4].Layers = []string{"Size 14"}, []string{"Size 12"}
	choice, err := pattern.New(doc, chart).Choose(ctx, pattern.Want{
		Sizes: sizes.Want{Labels: []string{"12"}, Above: 1},
	})
	if err != nil {
		log.Fatal(err)
	}
	report, err := doc.Isolate(ctx, io.Discard, choice.Selection(), &layers.IsolateOptions{KeptLines: choice.Compares()})
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range choice.AllWarnings(report) {
		fmt.Println(w.Code, w.About)
	}
	// Output:
	// chart-order [12 14]
}

// Whether the lines of what is kept are of use: there is a size to compare with.
func ExampleChoice_Compares() {
	fmt.Println(byLayers().Compares(), byLines().Compares())
	// Output:
	// true false
}
