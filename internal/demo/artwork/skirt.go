package artwork

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/demo/draft"
	"github.com/sizeply/sizeply/internal/demo/typeface"
)

// The layers that all sizes share.
const (
	layerText       = "Text"
	layerGrainline  = "Grainline"
	layerNotches    = "Notches"
	layerSquares    = "Test squares"
	layerBackground = "Background"
)

// PageFrames is the layer of what only pages of a sheet have: their frames and
// numbers.
const PageFrames = "Page frames"

// SizesHeading is the heading that the layers of the sizes are listed under.
const SizesHeading = "Sizes"

// a sheet is a drawing in the making.
type sheet struct {
	Drawing
	face   *typeface.Face
	skirts []draft.Skirt // smallest first
	pieces []piece
	scheme Scheme
}

// Skirt draws all pieces of the skirt in all sizes, nested, on one sheet for
// a roll printer, each size in a layer. Bodies come smallest first, as many as
// the scheme has lines or fewer.
func Skirt(bodies []draft.Body, scheme Scheme) (Drawing, error) {
	if len(bodies) == 0 || len(bodies) > len(scheme.Lines) {
		return Drawing{}, fmt.Errorf("%d sizes: the sheet has lines for 1 to %d", len(bodies), len(scheme.Lines))
	}
	face, err := typeface.Regular()
	if err != nil {
		return Drawing{}, err
	}
	s := &sheet{face: face, scheme: scheme}
	for _, b := range bodies {
		skirt, err := draft.New(b)
		if err != nil {
			return Drawing{}, err
		}
		s.skirts = append(s.skirts, skirt)
	}
	s.pieces = pieces(s.skirts)
	s.describe()
	s.paint()
	return s.Drawing, nil
}

func (s *sheet) describe() {
	s.Width, s.Height = sheetWidth, sheetHeight
	s.Title = "Tollmere skirt, sizes " + s.span()
	s.Author = author
	s.Rights = rights
	for _, skirt := range s.skirts {
		s.Layers = append(s.Layers, Layer{sizeLayer(skirt), SizesHeading})
	}
	for _, name := range []string{layerText, layerGrainline, layerNotches, layerSquares, layerBackground} {
		s.Layers = append(s.Layers, Layer{Name: name})
	}
	s.Symbols = []Symbol{arrowhead(), notchMark()}
	if !s.scheme.Coloured {
		s.Symbols = append(s.Symbols, tick())
	}
}

// paint puts the background lowest and the smallest size above it, whose line
// is solid: where sizes share a line, the dashes of the others stay visible.
func (s *sheet) paint() {
	s.background()
	for i := range s.skirts {
		s.size(i)
	}
	s.grainlines()
	s.sharedNotches()
	s.testSquares()
	s.lettering()
}

func (s *sheet) put(layer string, shapes ...Shape) {
	for _, shape := range shapes {
		s.Marks = append(s.Marks, Mark{layer, shape})
	}
}

func sizeLayer(skirt draft.Skirt) string { return "Size " + skirt.Body.Label }

// span names the smallest and the largest size.
func (s *sheet) span() string {
	return s.skirts[0].Body.Label + "–" + s.skirts[len(s.skirts)-1].Body.Label
}
