package sheet

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/draft"
	"github.com/sizeply/sizeply/internal/demo/typeface"
)

// A Paper is one that home printers take, in millimetres.
type Paper struct {
	Name          string
	Width, Height float64
}

// A4 is that of ISO 216.
func A4() Paper { return Paper{"A4", 210, 297} }

// Letter is 8.5 by 11 inches (ANSI A).
func Letter() Paper { return Paper{"Letter", 215.9, 279.4} }

// tileMargin is one that home printers can do, in millimetres.
const tileMargin = 10.0

// inner is what a tile shows of the sheet.
func (p Paper) inner() (width, height float64) {
	return p.Width - 2*tileMargin, p.Height - 2*tileMargin
}

// a tile is a part of the sheet that is a page.
type tile struct {
	corner draft.Point // lower left, on the sheet
	name   string
	layer  string // of its marks, "" for none
	paper  Paper
}

// tiles cuts a drawing, row by row from the top.
func tiles(d artwork.Drawing, paper Paper) []tile {
	layer := ""
	if len(d.Layers) > 0 {
		layer = artwork.PageFrames
	}
	var list []tile
	tileWidth, tileHeight := paper.inner()
	row := 0
	for y := d.Height - tileHeight; y > -tileHeight; y -= tileHeight {
		row++
		column := 'A'
		for x := 0.0; x < d.Width; x += tileWidth {
			list = append(list, tile{draft.Point{X: x, Y: y}, fmt.Sprintf("%c%d", column, row), layer, paper})
			column++
		}
	}
	return list
}

// tileMarks are the frame of a tile and its name, on the page.
func tileMarks(t tile) []artwork.Mark {
	grey := artwork.Colour{R: 0x6b, G: 0x6b, B: 0x6b}
	width, height := t.paper.inner()
	return []artwork.Mark{
		{Layer: t.layer, Shape: artwork.Rectangle{Corner: draft.Point{X: tileMargin, Y: tileMargin}, Width: width, Height: height, Line: artwork.Line{Colour: grey, Width: 0.2}}},
		{Layer: t.layer, Shape: artwork.Text{At: draft.Point{X: tileMargin + 4, Y: tileMargin + 4}, Size: 7, Runs: []artwork.Run{{Text: t.name, Colour: grey}}}},
	}
}

// tileContent writes the marks that a tile may show, cut to it, and its frame.
func (d *document) tileContent(t tile, face *typeface.Face) ([]byte, error) {
	var shown []artwork.Mark
	for _, m := range d.drawing.Marks {
		if t.meets(bounds(m.Shape, face)) {
			shown = append(shown, m)
		}
	}
	inner, err := d.content(shown)
	if err != nil {
		return nil, err
	}
	frame, err := d.content(tileMarks(t))
	if err != nil {
		return nil, err
	}
	at := draft.Point{X: tileMargin, Y: tileMargin}
	width, height := t.paper.inner()
	head := fmt.Sprintf("q\n%s %s %s re W n\n1 0 0 1 %s cm\n", pair(at), number(width), number(height), pair(at.Sub(t.corner)))
	return append(append([]byte(head), inner...), append([]byte("Q\n"), frame...)...), nil
}

// bounds is a box around a shape with room for lines and letters.
func bounds(s artwork.Shape, face *typeface.Face) draft.Box {
	around := func(paths ...draft.Path) draft.Box { return draft.Bounds(paths...) }
	switch s := s.(type) {
	case artwork.Stroke:
		return around(s.Paths...)
	case artwork.Fill:
		return around(s.Paths...)
	case artwork.Clip:
		return around(s.Paths...)
	case artwork.Rectangle:
		return around(draft.Polygon(s.Corner, s.Corner.Add(draft.Point{X: s.Width, Y: s.Height})))
	case artwork.Text:
		width := 0.0
		for _, r := range s.Runs {
			width += face.Width(r.Text) * s.Size
		}
		return around(draft.Polygon(s.At, s.At.Add(draft.Polar(width, s.Turn))))
	case artwork.Stamp:
		return around(draft.Polygon(s.At, s.At.Add(draft.Polar(5, s.Turn))))
	}
	return draft.Box{Max: draft.Point{X: 1e4, Y: 1e4}} // unknown: content refuses it
}

// meets tells whether a box, with room for lines and letters, is on a tile.
func (t tile) meets(b draft.Box) bool {
	const room = 10
	width, height := t.paper.inner()
	return b.Max.X > t.corner.X-room && b.Min.X < t.corner.X+width+room &&
		b.Max.Y > t.corner.Y-room && b.Min.Y < t.corner.Y+height+room
}
