package layers_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log"
	"os"
	"strings"
	"sync"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// skirt is the demo pattern: ten sizes, each in a layer of its own.
var skirt = sync.OnceValue(func() *layers.Document { return open("tollmere-skirt.pdf") })

// open opens a file of the demo pattern.
func open(name string) *layers.Document {
	f, err := os.Open("../testdata/" + name)
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	doc, err := layers.Open(context.Background(), f, nil)
	if err != nil {
		log.Fatal(err)
	}
	return doc
}

// The whole way of a print: a size with its neighbours by the chart, isolated,
// checked, and told about.
func Example() {
	ctx := context.Background()
	in, err := os.Open("../testdata/tollmere-skirt.pdf")
	if err != nil {
		log.Fatal(err)
	}
	defer in.Close()
	table, err := os.Open("../testdata/charts/tollmere.yaml")
	if err != nil {
		log.Fatal(err)
	}
	defer table.Close()

	doc, err := layers.Open(ctx, in, nil)
	if err != nil {
		log.Fatal(err)
	}
	chart, err := sizes.Read(table, "tollmere.yaml")
	if err != nil {
		log.Fatal(err)
	}
	pick, err := chart.Match(layers.Names(doc.Layers())).Pick(sizes.Want{Labels: []string{"14"}, Below: 1, Above: 1})
	if err != nil {
		log.Fatal(err)
	}
	sel := layers.Selection{Layers: pick.Positions(), Unchanged: pick.Unknown()}

	var out bytes.Buffer // in memory until it is checked
	report, err := doc.Isolate(ctx, &out, sel, nil)
	if err != nil {
		log.Fatal(err)
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		log.Fatal(err)
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
