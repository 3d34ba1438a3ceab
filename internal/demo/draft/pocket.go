package draft

// A Pocket is the bag of a pocket in the side seam.
type Pocket struct {
	Side Path // the stretch of the front's side seam it joins, downwards
	Bag  Path // round the bag, from the lower end of Side to the upper
	// OpeningLengths are the ends of the opening, from the start of Side.
	OpeningLengths [2]float64
}

// Outline gives the closed seam line with the clock.
func (p Pocket) Outline() Path { return p.Side.Then(p.Bag) }

// pocketOf cuts the side out of the front's side seam, so that both sew
// together, and rounds a bag of a hand's depth below and behind it.
func pocketOf(b Body, front Panel) Pocket {
	opening := b.pocketOpening()
	p := Pocket{
		Side: front.Side.Between(pocketAbove, pocketStart+opening+pocketBelow),
	}
	for i, length := range front.OpeningLengths {
		p.OpeningLengths[i] = length - pocketAbove
	}
	top, low := p.Side.Start(), p.Side.End()
	_, down := p.Side.At(p.Side.Length())
	across := down.Left().Times(-1) // from the side seam into the piece
	floor := Point{low.X - 0.52*opening, low.Y - 0.28*opening}
	inner := Point{top.X - 0.95*opening, low.Y + 0.30*opening}
	crown := Point{top.X - 0.42*opening, top.Y - 2}
	p.Bag = Path{
		{low, low.Add(across.Times(0.22 * opening)), floor.Add(Point{0.22 * opening, 0}), floor},
		{floor, floor.Sub(Point{0.28 * opening, 0}), inner.Sub(Point{0, 0.30 * opening}), inner},
		{inner, inner.Add(Point{0, 0.42 * opening}), crown.Sub(Point{0.30 * opening, 0}), crown},
		Straight(crown, top),
	}
	return p
}
