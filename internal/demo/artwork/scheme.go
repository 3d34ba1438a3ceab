package artwork

import (
	"fmt"
	"slices"
)

// A Scheme is how the lines of a drawing tell its sizes apart.
type Scheme struct {
	// Lines are those of the sizes, from the smallest up.
	Lines []Line
	// Coloured labels and notches have the colour of their size. Others are
	// in ink: labels belong to every size, notches are ticks in the size's line.
	Coloured bool
}

// ByColourAndDash has a colour and a dash for each size.
func ByColourAndDash() Scheme { return Scheme{slices.Clone(sizeLines[:]), true} }

// ByColour has a colour for each size, and solid lines.
func ByColour() Scheme {
	s := ByColourAndDash()
	for i := range s.Lines {
		s.Lines[i].Dash = nil
	}
	return s
}

// ByDash has ink alone, and a dash for each size.
func ByDash() Scheme {
	s := Scheme{Lines: slices.Clone(sizeLines[:])}
	for i := range s.Lines {
		s.Lines[i].Colour = ink
	}
	s.Lines[0].Dash = []float64{24, 2} // solid lines are for what is no size
	return s
}

// ByPairs has a colour for two sizes each, the smaller solid, the larger dashed:
// only colour and dash together tell a size.
func ByPairs() Scheme {
	s := Scheme{Lines: slices.Clone(sizeLines[:])}
	for i := range s.Lines {
		s.Lines[i] = Line{Colour: pairColours[i/2], Width: sizeWidth}
		if i%2 == 1 {
			s.Lines[i].Dash = []float64{6, 2}
		}
	}
	return s
}

var pairColours = [...]Colour{sizeLines[0].Colour, sizeLines[1].Colour, sizeLines[2].Colour, sizeLines[3].Colour, sizeLines[5].Colour}

// WithoutLayers gives the drawing with all its marks and no layers.
func (d Drawing) WithoutLayers() Drawing {
	d.Layers = nil
	d.Marks = slices.Clone(d.Marks)
	for i, m := range d.Marks {
		m.Layer = ""
		if text, ok := m.Shape.(Text); ok {
			text.Runs = slices.Clone(text.Runs)
			for j := range text.Runs {
				text.Runs[j].Layer = ""
			}
			m.Shape = text
		}
		d.Marks[i] = m
	}
	return d
}

// InPages gives the drawing as home printers get it: without the tint and the grid
// behind the pieces, with a layer for the frames of the pages, and saying that it
// comes in pages of that paper.
func (d Drawing) InPages(paper string) Drawing {
	d.Layers = slices.DeleteFunc(slices.Clone(d.Layers), func(l Layer) bool { return l.Name == layerBackground })
	d.Layers = append(d.Layers, Layer{Name: PageFrames})
	d.Marks = slices.DeleteFunc(slices.Clone(d.Marks), func(m Mark) bool { return m.Layer == layerBackground })
	sheet := fmt.Sprintf(oneSheet, d.Width, d.Height)
	for i, m := range d.Marks {
		if text, ok := m.Shape.(Text); ok && len(text.Runs) == 1 && text.Runs[0].Text == sheet {
			text.Runs = []Run{text.Runs[0]}
			text.Runs[0].Text = "In pages of " + paper + ": join them at their frames, A1 at the top left"
			d.Marks[i].Shape = text
		}
	}
	return d
}
