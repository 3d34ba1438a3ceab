package sheet

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/draft"
	"github.com/sizeply/sizeply/internal/demo/typeface"
)

// A4 paper (ISO 216) with a margin that home printers can do, in millimetres.
const (
	a4Width, a4Height = 210.0, 297.0
	tileMargin        = 10.0
	tileWidth         = a4Width - 2*tileMargin
	tileHeight        = a4Height - 2*tileMargin
)

// a tile is a part of the sheet that is a page.
type tile struct {
	corner draft.Point // lower left, on the sheet
	name   string
}

// tiles cuts a sheet, row by row from the top.
func tiles(width, height float64) []tile {
	var list []tile
	row := 0
	for y := height - tileHeight; y > -tileHeight; y -= tileHeight {
		row++
		column := 'A'
		for x := 0.0; x < width; x += tileWidth {
			list = append(list, tile{draft.Point{X: x, Y: y}, fmt.Sprintf("%c%d", column, row)})
			column++
		}
	}
	return list
}

// tileMarks are the frame of a tile and its name, on the page.
func tileMarks(t tile) []artwork.Mark {
	grey := artwork.Colour{R: 0x6b, G: 0x6b, B: 0x6b}
	return []artwork.Mark{
		{Shape: artwork.Rectangle{Corner: draft.Point{X: tileMargin, Y: tileMargin}, Width: tileWidth, Height: tileHeight, Line: artwork.Line{Colour: grey, Width: 0.2}}},
		{Shape: artwork.Text{At: draft.Point{X: tileMargin + 4, Y: tileMargin + 4}, Size: 7, Runs: []artwork.Run{{Text: t.name, Colour: grey}}}},
	}
}

// tileContent writes the marks that a tile may show, cut to it, and its frame.
func (d *document) tileContent(t tile, face *typeface.Face) ([]byte, error) {
	var shown []artwork.Mark
	for _, m := range d.drawing.Marks {
		if meets(bounds(m.Shape, face), t.corner) {
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
	head := fmt.Sprintf("q\n%s %s %s re W n\n1 0 0 1 %s cm\n", pair(at), number(tileWidth), number(tileHeight), pair(at.Sub(t.corner)))
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
func meets(b draft.Box, corner draft.Point) bool {
	const room = 10
	return b.Max.X > corner.X-room && b.Min.X < corner.X+tileWidth+room &&
		b.Max.Y > corner.Y-room && b.Min.Y < corner.Y+tileHeight+room
}
