package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/draw"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/warning"
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
	Bounds optional.Rect `json:"bounds"`
}

// squareSlack is how far a scale may be off before it counts: half a per cent,
// 5 mm on a metre. Whole points in place of exact sides make up to 0.2 %.
const squareSlack = 0.005

// True reports whether the square has the size it says, in both directions,
// within half a per cent.
func (s TestSquare) True() bool {
	return math.Abs(s.Width/s.Nominal-1) <= squareSlack && math.Abs(s.Height/s.Nominal-1) <= squareSlack
}

// Warning says what is wrong with a square that is not true.
func (s TestSquare) Warning() warning.Warning {
	name := fmt.Sprintf("labelled %q", s.Label)
	if s.Label == "" {
		name = "without a label"
	}
	nominal := fmt.Sprintf("%.4g cm", s.Nominal/10)
	if in := s.Nominal / 25.4; math.Abs(in-math.Round(in)) < 1e-6 {
		nominal = fmt.Sprintf("%.0f in", in)
	}
	w := warning.New(warning.SquareNotTrue, nil, "the test square %s measures %.2f x %.2f mm, "+
		"which is %.1f %% of %s: the drawing is not of true size, so ask who made the file before you cut",
		name, s.Width, s.Height, 100*s.Scale, nominal)
	w.Page = s.Page
	return w
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

// shapes collects what may be test squares of one page, and what is written there.
type shapes struct {
	squares []square
	sides   []side
	writing writing
	layers  layersOf
}

// square is a square, or a rectangle that is nearly one.
type square struct {
	width, height float64 // mm, along its sides
	bounds        content.Rect
	layers        []int
	stroked       bool
}

// side is a line that stands alone, or in an open path of few.
type side struct {
	a, b   content.Point
	layers []int
}

// What is collected of a page at most, so that a page of many marks costs no
// more than it holds.
const (
	maxSquares = 2000
	maxSides   = 4000
	maxStrings = 20_000
)

// Sides of what is collected, in mm.
const (
	minSide = 8
	maxSide = 300
)

// millimetres are those between two points of the page.
func millimetres(a, b content.Point) float64 { return distance(a, b) / 72 * 25.4 }

// add takes a mark.
func (s *shapes) add(m *draw.Mark) {
	switch m.Kind {
	case draw.ShownText:
		s.writing.add(m, maxStrings)
	case draw.PaintedPath:
		stroked := m.Op != content.OpFill && m.Op != content.OpFillCompat && m.Op != content.OpFillEvenOdd
		for _, l := range m.Path.Polylines(m.Op) {
			if c, ok := l.Corners(); ok {
				if q, ok := newSquare(c); ok && shows(m.State.Clip, q.bounds) {
					q.layers, q.stroked = s.layers.mark(m), stroked
					s.addSquare(q)
				}
			} else if p := l.Points(); !l.Closed() && stroked && len(p) <= 4 {
				s.addSides(p, m)
			}
		}
	}
}

// layersOf has the object numbers of the layers of the mark that was looked at last.
type layersOf []int

// mark gives those of a mark. Marks in the same layers share them.
func (l *layersOf) mark(m *draw.Mark) []int {
	same := func(object int, ref pdf.Ref) bool { return object == int(ref) }
	if *l == nil || !slices.EqualFunc(*l, m.Groups, same) {
		*l = make([]int, len(m.Groups))
		for i, ref := range m.Groups {
			(*l)[i] = int(ref)
		}
	}
	return *l
}

// newSquare measures four corners. ok is false where they are not nearly a
// square of a size in question.
func newSquare(c [4]content.Point) (q square, ok bool) {
	a, b := (millimetres(c[0], c[1])+millimetres(c[2], c[3]))/2, (millimetres(c[1], c[2])+millimetres(c[3], c[0]))/2
	d, e := millimetres(c[0], c[2]), millimetres(c[1], c[3])
	level := math.Abs(c[1].X-c[0].X) >= math.Abs(c[1].Y-c[0].Y)
	if !level {
		a, b = b, a
	}
	q = square{width: a, height: b, bounds: content.Bounds(c[:]...)}
	ratio := max(a/b, b/a)
	right := math.Abs(d-e) <= 0.003*d && math.Abs(d-math.Hypot(a, b)) <= 0.003*d
	return q, min(a, b) >= minSide && max(a, b) <= maxSide && ratio <= 1.15 && right
}

// shows reports whether a clip shows all of something, but for half a point.
func shows(clip, bounds content.Rect) bool { return bounds.Intersect(clip.Grow(0.5)) == bounds }

// addSquare adds a square unless it came just before, as one that is filled and
// then stroked.
func (s *shapes) addSquare(q square) {
	n := len(s.squares)
	if n > 0 && sameBounds(q.bounds, s.squares[n-1].bounds) {
		s.squares[n-1].stroked = s.squares[n-1].stroked || q.stroked
	} else if n < maxSquares {
		s.squares = append(s.squares, q)
	}
}

func sameBounds(a, b content.Rect) bool {
	const slack = 0.15 // points: 0.05 mm
	return math.Abs(a.X0-b.X0) < slack && math.Abs(a.Y0-b.Y0) < slack &&
		math.Abs(a.X1-b.X1) < slack && math.Abs(a.Y1-b.Y1) < slack
}

// addSides adds the lines of an open subpath.
func (s *shapes) addSides(points []content.Point, m *draw.Mark) {
	for i := 1; i < len(points) && len(s.sides) < maxSides; i++ {
		a, b := points[i-1], points[i]
		if mm := millimetres(a, b); mm >= minSide && mm <= maxSide && shows(m.State.Clip, content.Bounds(a, b)) {
			s.sides = append(s.sides, side{a, b, s.layers.mark(m)})
		}
	}
}

// testSquares chooses the test squares among what a page draws. They come from the
// top of the page down.
func (s *shapes) testSquares(page int) []TestSquare {
	squares := s.allSquares()
	labels := labelsOf(squares, s.writing.lines())
	var list []TestSquare
	unlabelled := map[float64]int{} // by nominal side
	for i, q := range squares {
		t := TestSquare{
			Page: page, Layers: q.layers, Width: q.width, Height: q.height, Side: (q.width + q.height) / 2,
			Bounds: optional.RectOf(q.bounds),
		}
		l := labels[i]
		plain := q.stroked && l.silent() && !nested(squares, i)
		if l.read(&t) || (plain || l.named()) && t.unlabelled(l.named()) {
			t.Scale = t.Side / t.Nominal
			list = append(list, t)
			if t.Label == "" {
				unlabelled[t.Nominal]++
			}
		}
	}
	// Of one side, more than a few without a label are a grid or a pattern.
	const most = 4
	list = slices.DeleteFunc(list, func(s TestSquare) bool { return s.Label == "" && unlabelled[s.Nominal] > most })
	slices.SortStableFunc(list, func(a, b TestSquare) int {
		return cmp.Or(cmp.Compare(b.Bounds.Top, a.Bounds.Top), cmp.Compare(a.Bounds.Left, b.Bounds.Left))
	})
	return list
}

// unlabelled takes a square for what its side is. One that is called a test square,
// though not of which side, may be off by more.
func (s *TestSquare) unlabelled(named bool) bool {
	most := 0.0025
	if named {
		most = 0.06
	}
	var off float64
	s.Nominal, off = nominalSide(s.Side)
	return off <= most && math.Abs(s.Width-s.Height) <= squareSlack*s.Side
}

// nested reports whether a square lies in or around another of about its size
// that is no test square, as the sizes of a pocket do.
func nested(squares []square, i int) bool {
	q := squares[i]
	for j, r := range squares {
		ratio := max(r.width/q.width, q.width/r.width)
		if _, off := nominalSide(r.width); j == i || ratio < 1.01 || ratio > 1.5 || off < 0.0025 {
			continue
		}
		inner := q.bounds.Intersect(r.bounds)
		if inner == q.bounds || inner == r.bounds || inner.Width() > 0.8*q.bounds.Width() {
			return true
		}
	}
	return false
}

// allSquares are the squares drawn as one path, and those of lines of their own,
// but for those that lie upon an earlier one.
func (s *shapes) allSquares() []square {
	e := &ends{s.sides, map[[2]int][]int{}}
	for i, l := range s.sides {
		for _, p := range []content.Point{l.a, l.b} {
			c := gridCell(p)
			e.at[c] = append(e.at[c], i)
		}
	}
	for i, l := range s.sides {
		c, ok := e.walk(i, l.a, l.b)
		if !ok {
			c, ok = e.walk(i, l.b, l.a)
		}
		if q, right := newSquare(c); ok && right {
			q.layers, q.stroked = l.layers, true
			s.addSquare(q)
		}
	}
	var list []square
	for _, q := range s.squares {
		if !slices.ContainsFunc(list, func(r square) bool { return sameBounds(q.bounds, r.bounds) }) {
			list = append(list, q)
		}
	}
	return list
}

// endSlack is how far ends of lines that meet may be apart, in points: 0.2 mm.
const endSlack = 0.2 / 25.4 * 72

// ends finds lines by where they end.
type ends struct {
	list []side
	at   map[[2]int][]int // by the cell of a grid
}

// gridCell is the square of the plane that a point is in, endSlack wide.
func gridCell(p content.Point) [2]int {
	return [2]int{int(math.Floor(p.X / endSlack)), int(math.Floor(p.Y / endSlack))}
}

// walk goes round a square to the left from a line in one direction and comes back
// to its start. The lines are of one layer.
func (e *ends) walk(first int, from, to content.Point) (c [4]content.Point, ok bool) {
	c[0], c[1] = from, to
	last := first
	for i := 2; i < 4; i++ {
		if last, c[i], ok = e.turn(c[i-2], c[i-1], last); !ok {
			return c, false
		}
	}
	_, end, ok := e.turn(c[2], c[3], last)
	return c, ok && distance(end, c[0]) < 2*endSlack
}

// turn finds the line of about equal length that goes on to the left from one
// between two points.
func (e *ends) turn(from, at content.Point, index int) (next int, to content.Point, ok bool) {
	mid := gridCell(at)
	u := content.Point{X: at.X - from.X, Y: at.Y - from.Y}
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for n, j := range e.at[[2]int{mid[0] + dx, mid[1] + dy}] {
				if n == 16 { // a bundle of lines, such as a star
					break
				}
				to, meets := e.list[j].other(at)
				if !meets || j == index || !slices.Equal(e.list[j].layers, e.list[index].layers) {
					continue
				}
				if leftTurn(u, content.Point{X: to.X - at.X, Y: to.Y - at.Y}) {
					return j, to, true
				}
			}
		}
	}
	return 0, to, false
}

// other is the other end of a line that ends at a point.
func (s side) other(p content.Point) (end content.Point, ok bool) {
	if distance(s.a, p) < endSlack {
		return s.b, true
	}
	return s.a, distance(s.b, p) < endSlack
}

// leftTurn reports whether v is about as long as u and turned by 90 degrees.
func leftTurn(u, v content.Point) bool {
	lu, lv := math.Hypot(u.X, u.Y), math.Hypot(v.X, v.Y)
	return math.Abs(u.X*v.X+u.Y*v.Y) < 0.005*lu*lv && u.X*v.Y-u.Y*v.X > 0 && max(lu/lv, lv/lu) < 1.15
}
