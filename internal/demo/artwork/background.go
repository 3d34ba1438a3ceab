package artwork

import "github.com/sizeply/sizeply/internal/demo/draft"

// background tints the pieces, all sizes together, and lays a grid of 5 cm
// over the tint that helps to line tiles up.
func (s *sheet) background() {
	var areas []draft.Path
	for _, p := range s.pieces {
		for _, skirt := range s.skirts {
			areas = append(areas, p.on(skirt).outline)
		}
	}
	s.put(layerBackground,
		Fill{Paths: areas, Colour: tint},
		Clip{Paths: areas, Shapes: []Shape{
			Stroke{Paths: s.gridLines(50), Line: Line{Colour: grid, Width: 0.25}},
		}})
}

func (s *sheet) gridLines(step float64) []draft.Path {
	var lines []draft.Path
	for x := step; x < s.Width; x += step {
		lines = append(lines, draft.Polygon(draft.Point{X: x}, draft.Point{X: x, Y: s.Height}))
	}
	for y := step; y < s.Height; y += step {
		lines = append(lines, draft.Polygon(draft.Point{Y: y}, draft.Point{X: s.Width, Y: y}))
	}
	return lines
}
