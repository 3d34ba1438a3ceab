package layers_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log"
	"slices"

	"github.com/sizeply/sizeply/layers"
)

// named selects layers of a file by their names.
func named(doc *layers.Document, names ...string) (sel layers.Selection) {
	for i, l := range doc.Layers() {
		if slices.Contains(names, l.Name) {
			sel.Layers = append(sel.Layers, i)
		}
	}
	return sel
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
		log.Fatal(err)
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

// A selection that waits in a queue, and is refused for any other file.
func ExampleDocument_Bind() {
	ctx := context.Background()
	bound, err := skirt().Bind(named(skirt(), "Size 14", "Text"))
	if err != nil {
		log.Fatal(err)
	}
	queued, err := json.Marshal(bound)
	if err != nil {
		log.Fatal(err)
	}

	var sel layers.Selection
	if err := json.Unmarshal(queued, &sel); err != nil {
		log.Fatal(err)
	}
	report, err := skirt().Isolate(ctx, io.Discard, sel, nil)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("kept:", report.Kept[0].Name, "and", report.Kept[1].Name)
	_, err = open("tollmere-skirt-a4.pdf").Isolate(ctx, io.Discard, sel, nil)
	var wrong *layers.WrongDocumentError
	fmt.Println("for another file:", errors.As(err, &wrong))
	// Output:
	// kept: Size 14 and Text
	// for another file: true
}

// A cache of results: the same print, asked for in another order, has the same key.
func ExampleDocument_Key() {
	made := map[string]bool{}
	for _, sel := range []layers.Selection{{Layers: []int{4, 10}}, {Layers: []int{10, 4}}, {Layers: []int{5, 10}}} {
		key, err := skirt().Key(sel, nil)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(sel.Layers, "is there:", made[key])
		made[key] = true
	}
	// Output:
	// [4 10] is there: false
	// [10 4] is there: true
	// [5 10] is there: false
}

// The whole pattern, opening with one size switched on.
func ExampleDocument_Switch() {
	ctx := context.Background()
	var out bytes.Buffer
	if err := skirt().Switch(ctx, &out, named(skirt(), "Size 14", "Text")); err != nil {
		log.Fatal(err)
	}
	switched, err := layers.Open(ctx, bytes.NewReader(out.Bytes()), nil)
	if err != nil {
		log.Fatal(err)
	}
	list := switched.Layers()
	fmt.Println(len(list), "layers")
	for _, l := range list {
		if l.On {
			fmt.Println("on:", l.Name)
		}
	}
	// Output:
	// 15 layers
	// on: Size 14
	// on: Text
}

// A copy that somebody sends back, held against the file that it should be of.
func ExampleVerify() {
	ctx := context.Background()
	var out bytes.Buffer
	if _, err := skirt().Isolate(ctx, &out, named(skirt(), "Size 14", "Text"), nil); err != nil {
		log.Fatal(err)
	}
	copied := bytes.NewReader(out.Bytes())
	fmt.Println("14:", layers.Verify(ctx, copied, skirt(), named(skirt(), "Size 14", "Text"), nil))
	fmt.Println("16:", layers.Verify(ctx, copied, skirt(), named(skirt(), "Size 16", "Text"), nil))
	// Output:
	// 14: <nil>
	// 16: the layers are ["Size 14", on: true "Text", on: true], not ["Size 16", on: true "Text", on: true]
}

// What was written is checked before anybody gets it.
func ExampleReport_Check() {
	ctx := context.Background()
	var out bytes.Buffer
	report, err := skirt().Isolate(ctx, &out, named(skirt(), "Size 14", "Text"), nil)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("as written:", report.Check(ctx, bytes.NewReader(out.Bytes())))
	out.Bytes()[out.Len()/2]++ // a fault of the disk, say
	fmt.Println("a byte off:", report.Check(ctx, bytes.NewReader(out.Bytes())))
	// Output:
	// as written: <nil>
	// a byte off: the bytes of the result are not those that were written
}

// Sheets that need no printing, since the size has nothing on them.
func ExampleReport_EmptyPages() {
	tiles := open("tollmere-skirt-a4.pdf")
	report, err := tiles.Isolate(context.Background(), io.Discard, named(tiles, "Size 6"), nil)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("of", len(report.Pages), "pages nothing is left on", report.EmptyPages())
	// Output:
	// of 25 pages nothing is left on [8 13 20 23 24 25]
}
