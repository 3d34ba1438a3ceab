package artwork

import (
	"fmt"
	"math"

	"github.com/sizeply/sizeply/internal/demo/draft"
)

const (
	author = "The sizeply authors"
	rights = "Copyright the sizeply authors. Licensed under the Apache License, Version 2.0."

	capHeight = 0.7 // of the type size, about
)

// lettering puts what is written for every size.
func (s *sheet) lettering() {
	s.heading()
	s.sketches()
	s.keyHead()
	for _, p := range s.pieces {
		s.pieceName(p)
	}
	s.remarks()
	s.instructions()
}

func (s *sheet) heading() {
	top := s.Height - margin
	s.lines(draft.Point{X: 45, Y: top - 18}, 22, 0, "Tollmere skirt")
	s.lines(draft.Point{X: 46, Y: top - 36}, 7, 9.5,
		"A-line skirt with darts, pockets in the side seams and a shaped waist facing, sizes "+s.span(),
		fmt.Sprintf(oneSheet, s.Width, s.Height))
}

const oneSheet = "All pieces on one sheet, %g mm wide and %g mm high"

func (s *sheet) keyHead() {
	for i, head := range []string{"Line", "Size", "Waist", "Hip"} {
		s.put(layerText, words(head, draft.Point{X: keyX + keyColumns[i], Y: keyY}, keySize, ink))
	}
	rule := draft.Polygon(draft.Point{X: keyX, Y: keyY - 2.8}, draft.Point{X: keyX + keyWide, Y: keyY - 2.8})
	s.put(layerText, Stroke{Paths: []draft.Path{rule}, Line: fine})
}

// pieceName writes the name of a piece, how often it is cut, and its sizes,
// each in the layer of that size.
func (s *sheet) pieceName(p piece) {
	s.lines(p.label, 10, 0, p.name)
	s.lines(p.label.Sub(draft.Point{Y: 9}), 5.5, 0, p.cut)
	runs := []Run{{layerText, "Sizes", ink}}
	for i, skirt := range s.skirts {
		layer := layerText
		if s.scheme.Coloured {
			layer = sizeLayer(skirt)
		}
		runs = append(runs, Run{layer, "  " + skirt.Body.Label, s.labelColour(i)})
	}
	s.put("", Text{At: p.label.Sub(draft.Point{Y: 17}), Size: 5.5, Runs: runs})
}

// remarks puts the short words beside lines.
func (s *sheet) remarks() {
	up := math.Pi / 2
	for _, r := range []struct {
		text string
		at   draft.Point
		turn float64
	}{
		{"Place on the fold", draft.Point{X: centreFront + 15, Y: hipLine - 160}, up},
		{"Centre front", draft.Point{X: centreFront + 7, Y: hipLine + 75}, up},
		{"Centre back, zip above the notch", draft.Point{X: centreBack - 4, Y: hipLine + 45}, up},
		{"Straight grain", draft.Point{X: centreBack - 48, Y: hipLine - 160}, up},
		{"Hip line", draft.Point{X: centreFront + 85, Y: hipLine + 2}, 0},
		{"Hip line", draft.Point{X: centreBack - 110, Y: hipLine + 2}, 0},
	} {
		s.put(layerText, Text{r.at, r.turn, 6, []Run{{"", r.text, ink}}})
	}
}

func (s *sheet) instructions() {
	s.lines(draft.Point{X: textX, Y: 225}, 7.5, 12,
		"Print at 100 %, not fitted to the page.",
		"Measure the test square before cutting.",
		"Make a trial garment before you cut good cloth.")
	notches := "Triangles are notches: match those of one size."
	if !s.scheme.Coloured {
		notches = "Short ticks are notches: match those of one size."
	}
	s.lines(draft.Point{X: textX, Y: 175}, 6, 9.5,
		"All lines are seam lines. Add 15 mm to every seam",
		"and 40 mm to the hem; add nothing at a fold.",
		notches,
		"Between two sizes, draw a new line from one size",
		"to the other.")
	s.lines(draft.Point{X: textX, Y: 90}, 5, 8,
		"An invented pattern of the sizeply project.",
		"Copyright the sizeply authors.",
		"Licensed under the Apache License, Version 2.0.")
}

const textX = 655.0

// lines writes text lines downwards from a base line.
func (s *sheet) lines(at draft.Point, size, step float64, texts ...string) {
	for i, text := range texts {
		if text != "" {
			s.put(layerText, words(text, at.Sub(draft.Point{Y: step * float64(i)}), size, ink))
		}
	}
}

func words(text string, at draft.Point, size float64, colour Colour) Text {
	return Text{At: at, Size: size, Runs: []Run{{"", text, colour}}}
}

// centred writes a text around the middle of its base line.
func (s *sheet) centred(text string, middle draft.Point, size float64, colour Colour) Text {
	half := draft.Point{X: s.face.Width(text) * size / 2}
	return words(text, middle.Sub(half), size, colour)
}
