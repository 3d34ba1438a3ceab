package artwork

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/demo/draft"
)

// size puts everything that belongs to one size alone.
func (s *sheet) size(i int) {
	skirt, line := s.skirts[i], s.scheme.Lines[i]
	layer := sizeLayer(skirt)
	notch := notchMark().Name
	if !s.scheme.Coloured {
		notch = tick().Name
	}
	for _, p := range s.pieces {
		f := p.on(skirt)
		s.put(layer, Stroke{Paths: []draft.Path{f.outline}, Closed: true, Line: line})
		if len(f.inner) > 0 {
			s.put(layer, Stroke{Paths: f.inner, Line: line.thinner()})
		}
		for _, e := range f.notches {
			s.put(layer, Stamp{notch, e.at, e.inward.Angle(), line})
		}
		for _, e := range f.numbers {
			s.label(i, s.number(skirt.Body.Label, e, s.labelColour(i)))
		}
	}
	s.keyRow(i)
}

// label puts what is written for one size: in its layer where it has its colour.
func (s *sheet) label(i int, t Text) {
	layer := layerText
	if s.scheme.Coloured {
		layer = sizeLayer(s.skirts[i])
	}
	s.put(layer, t)
}

func (s *sheet) labelColour(i int) Colour {
	if s.scheme.Coloured {
		return s.scheme.Lines[i].Colour
	}
	return ink
}

func (l Line) thinner() Line {
	l.Width *= 0.7
	return l
}

const numberSize = 3.2 // mm

// number writes a size number upright beside its line, inside the piece.
func (s *sheet) number(label string, e edge, colour Colour) Text {
	half := draft.Point{X: s.face.Width(label) / 2, Y: capHeight / 2}.Times(numberSize)
	away := 1 + half.X*abs(e.inward.X) + half.Y*abs(e.inward.Y)
	middle := e.at.Add(e.inward.Times(away))
	return Text{At: middle.Sub(half), Size: numberSize, Runs: []Run{{"", label, colour}}}
}

func abs(x float64) float64 { return max(x, -x) }

// The key, between front and back.
const (
	keyX    = 382.0
	keyY    = hipLine + 208
	keyStep = 10.0
	keySize = 5.5
	keyWide = 148.0
)

var keyColumns = [...]float64{0, 36, 76, 114} // sample, size, waist, hip

// keyRow shows the line of a size, and whom the size is for.
func (s *sheet) keyRow(i int) {
	skirt, line := s.skirts[i], s.scheme.Lines[i]
	layer, y := sizeLayer(skirt), keyY-keyStep*float64(i+1)
	sample := draft.Polygon(draft.Point{X: keyX, Y: y + 1.9}, draft.Point{X: keyX + 30, Y: y + 1.9})
	s.put(layer, Stroke{Paths: []draft.Path{sample}, Line: line})
	cells := []string{"Size " + skirt.Body.Label, centimetres(skirt.Body.Waist), centimetres(skirt.Body.Hip)}
	for j, cell := range cells {
		s.label(i, words(cell, draft.Point{X: keyX + keyColumns[j+1], Y: y}, keySize, s.labelColour(i)))
	}
}

func centimetres(mm float64) string { return fmt.Sprintf("%g cm", mm/10) }
