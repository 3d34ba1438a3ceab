package witness_test

import (
	"bytes"
	"context"
	"fmt"
	"log"
	"os"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/witness"
)

// open opens a file for the package layers.
func open(data []byte) *layers.Document {
	doc, err := layers.Open(context.Background(), bytes.NewReader(data), nil)
	if err != nil {
		log.Fatal(err)
	}
	return doc
}

// A copy with one size, as a second reader sees it; then held against the original,
// which it is not.
func ExampleCompare() {
	ctx := context.Background()
	skirt, err := os.ReadFile("../../testdata/tollmere-skirt.pdf")
	if err != nil {
		log.Fatal(err)
	}
	var out bytes.Buffer
	if _, err := open(skirt).Isolate(ctx, &out, layers.Selection{Layers: []int{4}}, nil); err != nil {
		log.Fatal(err)
	}
	for _, doc := range []*layers.Document{open(out.Bytes()), open(skirt)} {
		found, err := witness.Compare(ctx, bytes.NewReader(out.Bytes()), doc, nil)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println("disagreements:", len(found))
		if len(found) > 0 {
			fmt.Println(found[0])
		}
	}
	// Output:
	// disagreements: 0
	// disagreements: 16
	// pdfcpu on the number of layers: 1, here it is 15
}
