package artwork

import "github.com/sizeply/sizeply/internal/demo/draft"

const sketchScale = 0.1

// sketches shows the finished skirt from the front and from the back, drawn
// from the middle size.
func (s *sheet) sketches() {
	skirt := s.skirts[len(s.skirts)/2]
	s.put(layerText,
		s.centred("Front", draft.Point{X: 720, Y: sheetHeight - 104}, 5, ink),
		s.centred("Back", draft.Point{X: 819, Y: sheetHeight - 104}, 5, ink))
	s.sketch(draft.Point{X: 720, Y: sheetHeight - 54}, skirt.Front, false)
	s.sketch(draft.Point{X: 815, Y: sheetHeight - 54}, skirt.Back, true)
}

func (s *sheet) sketch(hip draft.Point, p draft.Panel, seam bool) {
	var thick, thin []draft.Path
	for _, mirror := range []bool{false, true} {
		small := func(p draft.Path) draft.Path {
			return shrink(draft.Placing{Mirror: mirror}.Path(p), hip)
		}
		thick = append(thick, small(p.Waist.Then(p.Side, p.Hem)))
		for _, d := range p.Darts {
			thin = append(thin, small(d.Legs()))
		}
		opening := p.Side.Between(p.OpeningLengths[0], p.OpeningLengths[1])
		thin = append(thin, small(draft.Placing{Step: draft.Point{X: -8}}.Path(opening)))
	}
	if seam {
		thin = append(thin, shrink(p.Centre, hip))
	}
	s.put(layerText,
		Stroke{Paths: thick, Line: plain},
		Stroke{Paths: thin, Line: Line{Colour: grey, Width: 0.25}})
}

// shrink scales a path to the sketch, around the origin, and puts it in place.
func shrink(p draft.Path, at draft.Point) draft.Path {
	small := make(draft.Path, len(p))
	for i, c := range p {
		for j, q := range c {
			small[i][j] = at.Add(q.Times(sketchScale))
		}
	}
	return small
}
