// Package demo makes the Tollmere patterns: invented sewing patterns that
// show and test what the project does, without anybody's property in them.
//
// Start with [Bodies], which takes the sizes from a chart, and [Files].
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

// A File is the Tollmere skirt, all sizes nested, in one of the ways in which
// patterns tell their sizes apart.
type File struct {
	Name    string // in testdata
	Chart   string // in testdata/charts: how the sizes are told apart
	Layered bool   // each size has a layer
	Scheme  artwork.Scheme

	options sheet.Options
}

// Files are the demo files.
func Files() []File {
	a4 := sheet.A4()
	orange := sheet.Spot{Name: "Orange", Colour: artwork.ByColour().Lines[4].Colour}
	return []File{
		{"tollmere-skirt.pdf", "tollmere.yaml", true, artwork.ByColourAndDash(), sheet.Options{}},
		{"tollmere-skirt-a4.pdf", "tollmere.yaml", true, artwork.ByColourAndDash(), sheet.Options{Paper: &a4}},
		{"tollmere-skirt-colour.pdf", "tollmere-colour.yaml", false, artwork.ByColour(), sheet.Options{}},
		{"tollmere-skirt-dash.pdf", "tollmere-dash.yaml", false, artwork.ByDash(), sheet.Options{}},
		{"tollmere-skirt-both.pdf", "tollmere-both.yaml", false, artwork.ByPairs(), sheet.Options{}},
		{"tollmere-skirt-print.pdf", "tollmere-colour.yaml", false, artwork.ByColour(), sheet.Options{Print: &orange}},
	}
}

// Letter is the layered skirt in pages of Letter, for tests: testdata does not
// hold it.
func Letter() File {
	letter := sheet.Letter()
	return File{"tollmere-skirt-letter.pdf", "tollmere.yaml", true, artwork.ByColourAndDash(), sheet.Options{Paper: &letter}}
}

// Write writes the file.
func (f File) Write(w io.Writer, bodies []draft.Body) error { return f.write(w, bodies, f.Layered) }

// WriteLayered writes the same artwork with each size in a layer of its own,
// whether the file has layers or not.
func (f File) WriteLayered(w io.Writer, bodies []draft.Body) error { return f.write(w, bodies, true) }

func (f File) write(w io.Writer, bodies []draft.Body, layered bool) error {
	drawing, err := artwork.Skirt(bodies, f.Scheme)
	if err != nil {
		return fmt.Errorf("draw the skirt: %w", err)
	}
	if f.options.Paper != nil {
		drawing = drawing.InPages(f.options.Paper.Name)
	}
	if !layered {
		drawing = drawing.WithoutLayers()
	}
	return sheet.Write(w, drawing, f.options)
}
