package pattern_test

import (
	"bytes"
	"context"
	"fmt"
	"log"
	"os"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// open opens a file of the demo pattern with its chart.
func open(name, chartName string) (*layers.Document, *sizes.Chart) {
	in, err := os.Open("../../testdata/" + name)
	if err != nil {
		log.Fatal(err)
	}
	defer in.Close()
	doc, err := layers.Open(context.Background(), in, nil)
	if err != nil {
		log.Fatal(err)
	}
	table, err := os.Open("../../testdata/charts/" + chartName)
	if err != nil {
		log.Fatal(err)
	}
	defer table.Close()
	chart, err := sizes.Read(table, chartName)
	if err != nil {
		log.Fatal(err)
	}
	return doc, chart
}

// A print service writes a size with its neighbours, and tells which line is
// whose.
func Example_byLayers() {
	ctx := context.Background()
	doc, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	choice, err := pattern.New(doc, chart).Choose(ctx, pattern.Want{
		Sizes: sizes.Want{Labels: []string{"14"}, Below: 1, Above: 1},
	})
	if err != nil {
		log.Fatal(err)
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, choice.Selection(), &layers.IsolateOptions{KeptLines: true})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("by %s: %s\n", choice.By, choice.Why)
	for _, size := range choice.Sizes(report) {
		fmt.Printf("%s, %s: layer %s, line %s\n", size.Label, size.Role, size.Layers[0].Name, pattern.LineWords(&size.Lines[0]))
	}
	fmt.Println("every size:", choice.Layers())
	// Output:
	// by layers: the chart finds its sizes among the layers
	// 12, below: layer Size 12, line dark magenta (#8e24aa), dashed 9 1.5 1 1.5 mm, 0.45 mm wide
	// 14, wanted: layer Size 14, line chocolate (#d35400), dashed 12 3 mm, 0.45 mm wide
	// 16, above: layer Size 16, line teal (#00838f), dashed 9 1.5 1 1.5 1 1.5 mm, 0.45 mm wide
	// every size: [Text Grainline Notches Test squares]
}

// Of a file without layers the lines tell the sizes apart.
func Example_byLines() {
	ctx := context.Background()
	doc, chart := open("tollmere-skirt-dash.pdf", "tollmere-dash.yaml")
	choice, err := pattern.New(doc, chart).Choose(ctx, pattern.Want{
		Sizes: sizes.Want{Labels: []string{"24"}, Below: 1, Above: 1},
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("by %s: %s\n", choice.By, choice.Why)
	for _, size := range choice.Sizes(nil) {
		fmt.Printf("%s, %s: line %s\n", size.Label, size.Role, pattern.LineWords(&size.Lines[0]))
	}
	for _, n := range choice.Pick.Notes {
		fmt.Println(n.Text)
	}
	fmt.Println("removed:", len(choice.RemovedLines()), "sizes")
	// Output:
	// by lines: the file has no layers
	// 22, below: line black (#1a1a1a), dashed 3.5 3.5 mm, 0.45 mm wide
	// 24, wanted: line black (#1a1a1a), dashed 18 1.5 4 1.5 mm, 0.45 mm wide
	// the chart has no size above size "24", 1 asked for
	// removed: 8 sizes
}
