// Command onesize prints one size of a pattern: the shortest program that
// embeds the libraries.
//
//	onesize pattern.pdf chart.yaml 14 mine.pdf
package main

import (
	"context"
	"log"
	"os"

	"github.com/sizeply/sizeply/layers/pattern"
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

func onesize(ctx context.Context, name, chartName, size, out string) error {
	in, err := os.Open(name)
	if err != nil {
		return err
	}
	defer in.Close()
	table, err := os.Open(chartName)
	if err != nil {
		return err
	}
	defer table.Close()

	chart, err := sizes.Read(table, chartName)
	if err != nil {
		return err
	}
	want := pattern.Want{Sizes: sizes.Want{Labels: []string{size}}}
	result, err := pattern.Isolate(ctx, in, chart, want, nil)
	if err != nil {
		return err
	}
	return os.WriteFile(out, result.Data, 0o666)
}
