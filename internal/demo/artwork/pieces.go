package artwork

import "github.com/sizeply/sizeply/internal/demo/draft"

// The sheet, in millimetres, for a roll 90 cm wide.
const (
	sheetWidth  = 900.0
	sheetHeight = 1170.0
	margin      = 25.0
	hipLine     = 807.0 // height of the hip line of front and back
	centreFront = 45.0
	centreBack  = sheetWidth - 45

	frontFacingY = 264.0 // height of the smallest facings at the centre
	backFacingY  = 108.0
	pocketX      = 570.0 // upper end of the smallest pocket bag's seam
	pocketY      = 308.0
)

// a piece is one part of the garment, in all sizes.
type piece struct {
	name   string
	cut    string
	figure func(draft.Skirt) figure
	place  func(draft.Skirt) draft.Placing
	label  draft.Point // where its name is written on the sheet
}

// a figure is what one size of a piece looks like, in the draft's own place.
type figure struct {
	outline draft.Path
	inner   []draft.Path // dart legs
	notches []edge
	numbers []edge
}

// an edge is a point on a seam line, and the direction into the piece.
type edge struct{ at, inward draft.Point }

// pieces lays the pieces out. Front and back nest at the hip line and the
// centre. Facings nest at the centre and pocket bags at their upper corner,
// both with a step from size to size that keeps the lines apart.
func pieces(skirts []draft.Skirt) []piece {
	still := func(p draft.Placing) func(draft.Skirt) draft.Placing {
		return func(draft.Skirt) draft.Placing { return p }
	}
	facing := func(y float64) func(draft.Skirt) draft.Placing {
		least := skirts[0].Front.HipDepth
		return func(s draft.Skirt) draft.Placing {
			fan := facingFan*(s.Front.HipDepth-least) - s.Front.HipDepth
			return draft.Placing{Step: draft.Point{X: centreFront, Y: y + fan}}
		}
	}
	return []piece{
		{"1  Front", "Cut 1 on the fold", frontFigure,
			still(draft.Placing{Step: draft.Point{X: centreFront, Y: hipLine}}), draft.Point{X: 110, Y: hipLine - 82}},
		{"2  Back", "Cut 2", backFigure,
			still(draft.Placing{Mirror: true, Step: draft.Point{X: centreBack, Y: hipLine}}),
			draft.Point{X: 640, Y: hipLine - 82}},
		{"3  Front facing", "Cut 1 on the fold, and 1 of interfacing", frontFacingFigure,
			facing(frontFacingY), draft.Point{X: 50, Y: frontFacingY + 81}},
		{"4  Back facing", "Cut 2, and 2 of interfacing", backFacingFigure,
			facing(backFacingY), draft.Point{X: 50, Y: backFacingY + 72}},
		{"5  Pocket bag", "Cut 4", pocketFigure, pocketPlace(skirts[0]), draft.Point{X: 455, Y: pocketY - 85}},
	}
}

// Steps from size to size, as shares of what the size gains.
const (
	facingFan = 1.45 // of the hip depth, upwards
	pocketFan = 0.4  // of the bag's width and height, outwards
)

func pocketPlace(least draft.Skirt) func(draft.Skirt) draft.Placing {
	first := draft.Bounds(least.Pocket.Outline()).Size()
	return func(s draft.Skirt) draft.Placing {
		grown := draft.Bounds(s.Pocket.Outline()).Size().Sub(first)
		corner := draft.Point{X: pocketX, Y: pocketY}.Add(grown.Times(pocketFan))
		return draft.Placing{Step: corner.Sub(s.Pocket.Side.Start())}
	}
}

func frontFigure(s draft.Skirt) figure { return panelFigure(s.Front) }
func backFigure(s draft.Skirt) figure  { return panelFigure(s.Back) }

// panelFigure has notches at the hip line and at the ends of the pocket
// opening, and its number twice on the side seam and twice on the hem.
func panelFigure(p draft.Panel) figure {
	f := figure{outline: p.Outline()}
	for _, d := range p.Darts {
		f.inner = append(f.inner, d.Legs())
	}
	hip := p.Side[0].Length()
	for _, length := range append(p.OpeningLengths[:], hip) {
		f.notches = append(f.notches, edgeAt(p.Side, length))
	}
	for _, length := range []float64{hip - 18, hip + 250} {
		f.numbers = append(f.numbers, edgeAt(p.Side, length))
	}
	for _, share := range []float64{0.25, 0.75} {
		f.numbers = append(f.numbers, edgeAt(p.Hem, share*p.Hem.Length()))
	}
	return f
}

func frontFacingFigure(s draft.Skirt) figure { return facingFigure(s.FrontFacing) }
func backFacingFigure(s draft.Skirt) figure  { return facingFigure(s.BackFacing) }

func facingFigure(f draft.Facing) figure {
	return figure{
		outline: f.Outline(),
		notches: []edge{edgeAt(f.Upper, f.Upper.Length()/2)},
		numbers: []edge{edgeAt(f.End, 12), edgeAt(f.End, 48)},
	}
}

func pocketFigure(s draft.Skirt) figure {
	p := s.Pocket
	f := figure{outline: p.Outline()}
	// below the bag the lines lie so close that the numbers stand in a slanting row
	slant := p.OpeningLengths[1] - p.OpeningLengths[0]
	f.numbers = append(f.numbers, edgeAt(p.Bag, p.Bag[0].Length()-130+slant))
	for _, length := range p.OpeningLengths {
		f.notches = append(f.notches, edgeAt(p.Side, length))
	}
	return f
}

// edgeAt gives the edge at a length along a path that runs with the clock.
func edgeAt(p draft.Path, length float64) edge {
	at, along := p.At(length)
	return edge{at, along.Left().Times(-1)}
}

// placed gives the figure where it lies on the sheet.
func (f figure) placed(pl draft.Placing) figure {
	g := figure{outline: pl.Path(f.outline)}
	for _, p := range f.inner {
		g.inner = append(g.inner, pl.Path(p))
	}
	edges := func(from []edge) (to []edge) {
		for _, e := range from {
			to = append(to, edge{pl.Point(e.at), pl.Direction(e.inward)})
		}
		return to
	}
	g.notches, g.numbers = edges(f.notches), edges(f.numbers)
	return g
}

func (p piece) on(s draft.Skirt) figure { return p.figure(s).placed(p.place(s)) }
