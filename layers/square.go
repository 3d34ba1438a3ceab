package layers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// A TestSquare is a square that is there to be measured after printing. It is
// found by its drawing: a closed square, drawn as a rectangle, by lines, or by
// four lines of their own.
//
// One with a label is found where its side is up to five times off what the
// label says, or up to a third where the label is no more than one length. One
// without is reported only where its side is nominal (1, 2, 3, 4 in or 2, 3, 5,
// 10 cm; common practice, no source), and nothing speaks for a pattern piece.
type TestSquare struct {
	Page int `json:"page"` // from 1
	// Layers are the object numbers of the layers that it is in; none where
	// it is in no layer.
	Layers []int `json:"layers"`
	// Side is what a side measures on paper printed at 100 %, in mm with
	// UserUnit and all transformations applied: the mean of Width and Height.
	Side   float64 `json:"side"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	// Nominal is what the side should measure, in mm: by Label, or the nominal
	// side that it has where there is no label.
	Nominal float64 `json:"nominal"`
	// Label is the text that says so, "" where there is none.
	Label string `json:"label"`
	// Scale is Side divided by Nominal: 1 for a drawing of true size.
	Scale float64 `json:"scale"`
	// Bounds are in points as those of a Use.
	Bounds Rect `json:"bounds"`
}

// squareSlack is how far a scale may be off before it counts: half a per cent,
// 5 mm on a metre. Whole points in place of exact sides make up to 0.2 %.
const squareSlack = 0.005

// True tells whether the square has the size it says, in both directions,
// within half a per cent.
func (s TestSquare) True() bool {
	return math.Abs(s.Width/s.Nominal-1) <= squareSlack && math.Abs(s.Height/s.Nominal-1) <= squareSlack
}

// Warning says what is wrong with a square that is not true.
func (s TestSquare) Warning() Warning {
	name := fmt.Sprintf("labelled %q", s.Label)
	if s.Label == "" {
		name = "without a label"
	}
	return Warning{Page: s.Page, Text: fmt.Sprintf(
		"the test square %s measures %.2f x %.2f mm, which is %.1f %% of %s: the drawing is not of true size, so ask who made the file before you cut",
		name, s.Width, s.Height, 100*s.Scale, length(s.Nominal))}
}

// length writes millimetres as a label does.
func length(mm float64) string {
	if in := mm / 25.4; math.Abs(in-math.Round(in)) < 1e-6 {
		return fmt.Sprintf("%.0f in", in)
	}
	return fmt.Sprintf("%.4g cm", mm/10)
}

// nominalSides are the sides of test squares that are usual, in mm (common
// practice, no source).
var nominalSides = [...]float64{20, 25.4, 30, 50, 50.8, 76.2, 100, 101.6}

// nominalSide is the nominal side nearest to one, and how far that is off as a
// part of it.
func nominalSide(mm float64) (nominal, off float64) {
	off = math.Inf(1)
	for _, n := range nominalSides {
		if d := math.Abs(mm/n - 1); d < off {
			nominal, off = n, d
		}
	}
	return nominal, off
}

// testSquares chooses the test squares among what a page draws.
func (p *pageShapes) testSquares(page int) []TestSquare {
	quads := p.quads()
	lines := p.lines()
	inside, near := assign(quads, lines)
	var list []TestSquare
	for i, q := range quads {
		t := TestSquare{Page: page, Layers: q.layers, Width: q.width, Height: q.height, Side: (q.width + q.height) / 2, Bounds: rectOf(q.bounds)}
		text := labelling{inside: inside[i], near: near[i]}
		plain := q.stroked && text.silent() && !nested(quads, i)
		if text.read(&t) || (plain || text.named()) && t.unlabelled(text) {
			t.Scale = t.Side / t.Nominal
			list = append(list, t)
		}
	}
	return tidy(list)
}

// unlabelled takes a square for what its side is.
func (s *TestSquare) unlabelled(text labelling) bool {
	most := 0.0025
	if text.named() { // it says that it is a test square, but not of which side
		most = 0.06
	}
	var off float64
	s.Nominal, off = nominalSide(s.Side)
	return off <= most && math.Abs(s.Width-s.Height) <= squareSlack*s.Side
}

// nested tells whether a square lies in or around another of about its size
// that is no test square, as the sizes of a pocket do.
func nested(quads []quad, i int) bool {
	q := quads[i]
	for j, r := range quads {
		ratio := max(r.width/q.width, q.width/r.width)
		if _, off := nominalSide(r.width); j == i || ratio < 1.01 || ratio > 1.5 || off < 0.0025 {
			continue
		}
		if inner := q.bounds.Intersect(r.bounds); inner == q.bounds || inner == r.bounds || inner.Width() > 0.8*q.bounds.Width() {
			return true
		}
	}
	return false
}

// maxAlike is how many squares of one side without a label a page may have
// before they are taken for a grid or a pattern.
const maxAlike = 4

// tidy leaves out squares that come in crowds, and sorts the others from the
// top of the page down.
func tidy(list []TestSquare) []TestSquare {
	count := map[float64]int{}
	for _, s := range list {
		if s.Label == "" {
			count[s.Nominal]++
		}
	}
	list = slices.DeleteFunc(list, func(s TestSquare) bool { return s.Label == "" && count[s.Nominal] > maxAlike })
	slices.SortStableFunc(list, func(a, b TestSquare) int {
		return cmp.Or(cmp.Compare(b.Bounds.Top, a.Bounds.Top), cmp.Compare(a.Bounds.Left, b.Bounds.Left))
	})
	return list
}
