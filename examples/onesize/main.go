// Command onesize prints one size of a pattern: the shortest program that
// embeds the libraries.
//
//	onesize pattern.pdf chart.yaml 14 mine.pdf
package main

import (
	"bytes"
	"context"
	"log"
	"os"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

func main() {
	if len(os.Args) != 5 {
		log.Fatal("usage: onesize PATTERN.pdf CHART.yaml SIZE OUT.pdf")
	}
	if err := onesize(context.Background(), os.Args[1], os.Args[2], os.Args[3], os.Args[4]); err != nil {
		log.Fatal(err)
	}
}

func onesize(ctx context.Context, pattern, chartName, size, out string) error {
	in, err := os.Open(pattern)
	if err != nil {
		return err
	}
	defer in.Close()
	table, err := os.Open(chartName)
	if err != nil {
		return err
	}
	defer table.Close()

	doc, err := layers.Open(ctx, in, nil)
	if err != nil {
		return err
	}
	chart, err := sizes.Read(table, chartName)
	if err != nil {
		return err
	}
	match := chart.Match(layers.Names(doc.Layers()))
	pick, err := match.Pick(sizes.Want{Labels: []string{size}})
	if err != nil {
		return err
	}
	sel := layers.Selection{Layers: pick.Positions(), Unchanged: pick.Unknown()}
	var result bytes.Buffer
	if _, err := doc.Isolate(ctx, &result, sel, nil); err != nil {
		return err
	}
	if err := layers.Verify(ctx, bytes.NewReader(result.Bytes()), doc, sel, nil); err != nil {
		return err
	}
	return os.WriteFile(out, result.Bytes(), 0o666)
}
