package bench

import (
	"bytes"
	"context"
	"io"
	"os"
	"testing"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// BenchmarkOutlines isolates a size with its neighbours: alone, with the lines of what
// is kept, and with its outlines held against the order of the sizes.
func BenchmarkOutlines(b *testing.B) {
	demo, err := os.ReadFile("../../testdata/tollmere-skirt.pdf")
	if err != nil {
		b.Fatal(err)
	}
	var forty bytes.Buffer
	if err := (Workload{"forty", 40, OnPages}).Write(&forty, nil); err != nil {
		b.Fatal(err)
	}
	for _, f := range []struct {
		name string
		data []byte
	}{{"demo", demo}, {"forty", forty.Bytes()}} {
		doc, err := layers.Open(context.Background(), bytes.NewReader(f.data), nil)
		if err != nil {
			b.Fatal(err)
		}
		choice, err := pattern.New(doc, sizeChart()).Choose(context.Background(), pattern.Want{
			Sizes: sizes.Want{Labels: []string{"14"}, Below: 1, Above: 1},
		})
		if err != nil {
			b.Fatal(err)
		}
		for _, how := range []string{"alone", "lines", "order"} {
			b.Run(f.name+"/"+how, func(b *testing.B) {
				for b.Loop() {
					opt := layers.IsolateOptions{KeptLines: how != "alone"}
					report, err := doc.Isolate(context.Background(), io.Discard, choice.Selection(), &opt)
					if err != nil {
						b.Fatal(err)
					}
					if how == "order" && len(choice.AllWarnings(report)) > 0 {
						b.Fatal("the order is wrong")
					}
				}
			})
		}
	}
}

// sizeChart has the sizes that the demo and the workloads share.
func sizeChart() *sizes.Chart {
	return &sizes.Chart{Sizes: []sizes.Size{{Label: "12"}, {Label: "14"}, {Label: "16"}}}
}
