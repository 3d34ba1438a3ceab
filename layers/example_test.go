package layers_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// skirt opens the demo pattern: ten sizes, each in a layer of its own.
func skirt() *layers.Document {
	f, err := os.Open("../testdata/tollmere-skirt.pdf")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	doc, err := layers.Open(context.Background(), f, nil)
	if err != nil {
		panic(err)
	}
	return doc
}

// The whole way of a print: a size with its neighbours by the chart, isolated,
// checked, and told about.
func Example() {
	ctx := context.Background()
	in, err := os.Open("../testdata/tollmere-skirt.pdf")
	if err != nil {
		panic(err)
	}
	defer in.Close()
	table, err := os.Open("../testdata/charts/tollmere.yaml")
	if err != nil {
		panic(err)
	}
	defer table.Close()

	doc, err := layers.Open(ctx, in, nil)
	if err != nil {
		panic(err)
	}
	chart, err := sizes.Read(table, "tollmere.yaml")
	if err != nil {
		panic(err)
	}
	pick, err := chart.Match(layers.Names(doc.Layers())).Pick(sizes.Want{Labels: []string{"14"}, Below: 1, Above: 1})
	if err != nil {
		panic(err)
	}
	sel := layers.Selection{Layers: pick.Positions(), Unchanged: pick.Unknown()}

	var out bytes.Buffer // in memory until it is checked
	report, err := doc.Isolate(ctx, &out, sel, nil)
	if err != nil {
		panic(err)
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		panic(err)
	}
	for _, l := range report.Kept {
		fmt.Println("kept", l.Name)
	}
	for _, s := range report.Squares {
		fmt.Printf("page %d: %s is drawn %.2f mm wide, true to size: %v\n", s.Page, s.Label, s.Width, s.True())
	}
	for _, w := range report.Warnings {
		fmt.Println("warning", w.Text)
	}
	// Output:
	// kept Size 12
	// kept Size 14
	// kept Size 16
	// kept Text
	// kept Grainline
	// kept Notches
	// kept Test squares
	// page 1: 2 in × 2 in is drawn 50.80 mm wide, true to size: true
	// page 1: 5 cm × 5 cm is drawn 50.00 mm wide, true to size: true
}

// The layers of a file with the labels that viewers show above them.
func ExampleDocument_Layers() {
	for _, l := range skirt().Layers() {
		fmt.Printf("%d %s %v\n", l.Object, l.Name, l.Parents)
	}
	// Output:
	// 3 Size 6 [Sizes]
	// 4 Size 8 [Sizes]
	// 5 Size 10 [Sizes]
	// 6 Size 12 [Sizes]
	// 7 Size 14 [Sizes]
	// 8 Size 16 [Sizes]
	// 9 Size 18 [Sizes]
	// 10 Size 20 [Sizes]
	// 11 Size 22 [Sizes]
	// 12 Size 24 [Sizes]
	// 13 Text []
	// 14 Grainline []
	// 15 Notches []
	// 16 Test squares []
	// 17 Background []
}

// One size between its neighbours, with everything that all sizes share.
func ExampleDocument_Isolate() {
	ctx := context.Background()
	doc := skirt()
	var keep layers.Selection
	for i, l := range doc.Layers() {
		switch l.Name {
		case "Size 12", "Size 14", "Size 16", "Text", "Grainline", "Notches", "Test squares":
			keep.Layers = append(keep.Layers, i)
		}
	}

	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, keep, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d layers kept, %d removed\n", len(report.Kept), len(report.Removed))
	for _, p := range report.Pages {
		fmt.Printf("page %d: %d marks kept, %d removed\n", p.Page, p.Kept, p.Removed)
	}

	// Hold the result against the original before anybody prints it.
	fmt.Println("verified:", layers.Verify(ctx, bytes.NewReader(out.Bytes()), doc, keep, nil) == nil)
	// Output:
	// 7 layers kept, 8 removed
	// page 1: 189 marks kept, 275 removed
	// verified: true
}

// What each layer holds, and where: to tell a size from a mere label.
func ExampleDocument_Inspect() {
	in, err := skirt().Inspect(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	const mm = 25.4 / 72
	for _, l := range in.Layers[8:14] {
		for _, u := range l.Uses {
			b := u.Bounds
			fmt.Printf("%s, page %d: %d paths, %d texts, %.0f by %.0f mm\n",
				l.Name, u.Page, u.Paths, u.Texts, (b.Right-b.Left)*mm, (b.Top-b.Bottom)*mm)
		}
	}
	// Output:
	// Size 22, page 1: 18 paths, 21 texts, 810 by 996 mm
	// Size 24, page 1: 18 paths, 21 texts, 810 by 1005 mm
	// Text, page 1: 5 paths, 41 texts, 807 by 1075 mm
	// Grainline, page 1: 15 paths, 0 texts, 767 by 774 mm
	// Notches, page 1: 5 paths, 0 texts, 810 by 23 mm
	// Test squares, page 1: 2 paths, 4 texts, 126 by 51 mm
}

// What a customer may send, told apart so that a program can say what helps.
func ExampleOpen() {
	for _, sent := range []string{"<html>", "", "%PDF-1.7 and no more", "%PDF-1.7 and much more"} {
		// io.NewSectionReader makes an io.ReadSeeker of any io.ReaderAt.
		in := io.NewSectionReader(strings.NewReader(sent), 0, int64(len(sent)))
		_, err := layers.Open(context.Background(), in, &layers.OpenOptions{MaxFileBytes: 21})
		var broken *layers.FormatError
		var limit *layers.LimitError
		switch {
		case errors.Is(err, layers.ErrNotPDF), errors.Is(err, layers.ErrEmpty):
			fmt.Println("send the PDF file:", err)
		case errors.Is(err, layers.ErrPassword):
			fmt.Println("send the password too:", err)
		case errors.As(err, &limit):
			fmt.Println("too large:", limit.Limit, "beyond", limit.Bound)
		case errors.As(err, &broken):
			fmt.Println("broken:", broken.Reason)
		}
	}
	// Output:
	// send the PDF file: the file is not a PDF: its first 1024 bytes hold no %PDF- header
	// send the PDF file: the file is empty; copy or download it again
	// broken: it has no catalog; it may be cut short, so download or copy it again
	// too large: bytes of the file beyond 21
}

// Sizes that are told apart by line: the styles of the file, held against what the
// size looks like. What goes is every size but the second.
func ExampleDocument_Lines() {
	ctx := context.Background()
	f, err := os.Open("../testdata/tollmere-skirt-both.pdf")
	if err != nil {
		panic(err)
	}
	defer f.Close()
	doc, err := layers.Open(ctx, f, nil)
	if err != nil {
		panic(err)
	}
	found, err := doc.Lines(ctx)
	if err != nil {
		panic(err)
	}
	solid, dashed := []float64{}, []float64{6, 2} // mm
	match, err := layers.MatchLines(found.Styles, []layers.LineSpec{
		{Colour: "#1e7d32", Dash: solid}, {Colour: "#1e7d32", Dash: dashed}, {Colour: "#8e24aa", Dash: solid},
	})
	if err != nil {
		panic(err)
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
