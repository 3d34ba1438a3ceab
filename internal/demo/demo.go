// Package demo makes the Tollmere patterns: invented sewing patterns that
// show and test what the project does, without anybody's property in them.
//
// Start with [Bodies], which takes the sizes from a chart, and [WriteSkirt].
// Package draft has the drafting, package artwork the drawing, package sheet
// the PDF file. `go generate ./internal/demo` rebuilds the files in testdata
// byte for byte.
package demo

import (
	"fmt"
	"io"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/draft"
	"github.com/sizeply/sizeply/internal/demo/sheet"
	"github.com/sizeply/sizeply/sizes"
)

//go:generate go run ./generate ../../testdata

// Bodies gives the sizes of a chart with their measurements in millimetres,
// in the chart's order. Each size must state waist and hip.
func Bodies(chart *sizes.Chart) ([]draft.Body, error) {
	var bodies []draft.Body
	for _, size := range chart.Sizes {
		for _, name := range []string{"waist", "hip"} {
			if _, ok := size.Body[name]; !ok {
				return nil, fmt.Errorf("size %q of chart %q states no %s", size.Label, chart.Name, name)
			}
		}
		bodies = append(bodies, draft.Body{
			Label: size.Label,
			Waist: chart.Unit.Millimetres(size.Body["waist"]),
			Hip:   chart.Unit.Millimetres(size.Body["hip"]),
		})
	}
	return bodies, nil
}

// WriteSkirt writes the Tollmere skirt as a PDF file: all sizes nested on one
// sheet for a roll printer, each size in a layer of its own.
func WriteSkirt(w io.Writer, bodies []draft.Body) error {
	drawing, err := artwork.Skirt(bodies)
	if err != nil {
		return fmt.Errorf("draw the skirt: %w", err)
	}
	return sheet.Write(w, drawing)
}
