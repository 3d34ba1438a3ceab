package survey

import (
	"cmp"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/draw"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
)

// An outline is a closed line, such as the edge of a pattern piece.
type outline struct {
	page   int
	box    content.Rect // points
	layers []int        // object numbers, outermost first; none outside of layers
}

// What is collected at most.
const (
	outlineSide     = 10 * paint.UnitsPerMillimetre // an outline is at least as wide and as high
	maxPageOutlines = 10_000                        // of a page
	maxOutlines     = 100_000                       // of a file
	maxChains       = 500                           // of a style on a page
)

// A chain is an open line, of the subpaths that were drawn one behind the other.
type chain struct {
	ends   content.Ends
	box    content.Rect
	layers []int
	seen   bool // something of it lies within the clip
}

// A tracer finds the outlines of one style on a page: subpaths that close, and
// open ones that close together.
type tracer struct {
	outlines []outline
	loose    []outline // what does not close
	chains   []chain
}

// tracing is what the tracers of a page share.
type tracing struct {
	left   int // how many outlines there may still be
	layers layersOf
}

// add takes the subpaths of a mark, of which filling closes all and some operators
// that stroke the last (8.5.3).
func (t *tracer) add(s *tracing, m *draw.Mark, fills bool) {
	subpaths := m.Path.Subpaths()
	for i := range subpaths {
		p := &subpaths[i]
		last := i == len(subpaths)-1 && m.Op == content.OpCloseStroke
		c := chain{p.Ends, p.Extent, s.layers.mark(m), !p.Extent.Intersect(m.State.Clip).Empty()}
		if fills || last || p.Segments > 1 && p.Closes() {
			t.close(s, c)
		} else {
			t.extend(s, c)
		}
	}
}

// close notes an outline that is large enough, and can be seen.
func (t *tracer) close(s *tracing, c chain) {
	if s.left > 0 && c.seen && c.box.Width() >= outlineSide && c.box.Height() >= outlineSide {
		s.left--
		t.outlines = append(t.outlines, outline{box: c.box, layers: c.layers})
	}
}

// extend adds an open subpath, to the last one where it goes on from there.
func (t *tracer) extend(s *tracing, c chain) {
	n := len(t.chains)
	if n == 0 || !t.chains[n-1].goesOn(c) {
		if n < maxChains {
			t.chains = append(t.chains, c)
		}
		return
	}
	if last := &t.chains[n-1]; last.join(c) {
		t.close(s, *last)
		t.chains = t.chains[:n-1]
	}
}

// goesOn reports whether a line goes on where this one ends.
func (c *chain) goesOn(next chain) bool {
	return distance(c.ends.To, next.ends.From) < endSlack && slices.Equal(c.layers, next.layers)
}

// join adds a line that goes on, and reports whether it closes the chain.
func (c *chain) join(next chain) bool {
	c.ends.To, c.box, c.seen = next.ends.To, c.box.Union(next.box), c.seen || next.seen
	return distance(c.ends.From, c.ends.To) < endSlack
}

// finish joins, at the end of a page, open lines whose ends meet.
func (t *tracer) finish(s *tracing) {
	left := t.chains
	for len(left) > 0 {
		c := left[0]
		left = left[1:]
		closed := false
		for !closed && len(t.chains) < maxChains { // else there may be more
			i, turned := c.next(left)
			if i < 0 {
				break
			}
			next := left[i]
			if turned {
				next.ends = content.Ends{From: next.ends.To, To: next.ends.From}
			}
			left = slices.Delete(left, i, i+1)
			closed = c.join(next)
		}
		if closed {
			t.close(s, c)
		} else if s.left > 0 && c.seen {
			s.left--
			t.loose = append(t.loose, outline{box: c.box, layers: c.layers})
		}
	}
	t.chains = nil
}

// next finds the line that goes on from the end of a chain, -1 if none; turned where
// its own end meets that.
func (c *chain) next(list []chain) (at int, turned bool) {
	for i, d := range list {
		if c.goesOn(d) {
			return i, false
		}
		if d.ends = (content.Ends{From: d.ends.To, To: d.ends.From}); c.goesOn(d) {
			return i, true
		}
	}
	return -1, false
}

// Outlines are the closed lines that one size draws.
type Outlines struct {
	pages map[int][]content.Rect
	depth int // how many of them lie one within another
}

// OutlinesOf gives those of styles: of what is in layers, by object number; of all
// where that is nil. Lines that lie within another one as an allowance does, or a
// facing, are left out.
func OutlinesOf(styles []LineStyle, layers []int) Outlines {
	o := Outlines{pages: map[int][]content.Rect{}}
	in := func(object int) bool { return slices.Contains(layers, object) }
	for i := range styles {
		for _, l := range styles[i].outlines {
			if layers == nil || slices.ContainsFunc(l.layers, in) {
				o.pages[l.page] = append(o.pages[l.page], l.box)
			}
		}
	}
	for page, list := range o.pages {
		o.pages[page], o.depth = outermost(list, o.depth)
	}
	return o
}

// NestBeside is the most outlines, each of another size, that lie on one another in none of some layers,
// given by object number, and on an outline that these layers draw where they draw any. What all sizes
// share has one or two, such as frames; where sizes are drawn outside of their layers there are more.
func NestBeside(styles []LineStyle, layers []int) (most int) {
	within, beside := map[int][]content.Rect{}, map[int][]content.Rect{}
	for i := range styles {
		for _, l := range styles[i].outlines {
			list := beside
			if slices.ContainsFunc(l.layers, func(object int) bool { return slices.Contains(layers, object) }) {
				list = within
			}
			list[l.page] = append(list[l.page], l.box)
		}
	}
	if len(within) == 0 {
		within = beside
	}
	left := maxComparisons
	for page, list := range within {
		others := beside[page]
		slices.SortFunc(others, func(a, b content.Rect) int { return cmp.Compare(area(a), area(b)) })
		for _, box := range list {
			if left -= len(others); left < 0 {
				return most
			}
			var nest []content.Rect
			for _, other := range others {
				n := len(nest)
				if lieTogether(box, other) && (n == 0 || compareBoxes(nest[n-1], other) < 0) {
					nest = append(nest, other)
				}
			}
			most = max(most, len(nest))
		}
	}
	return most
}

// maxCompared bounds the outlines of a size on one page that are compared, the
// largest of them, and the comparisons of all sizes.
const (
	maxCompared    = 300
	maxComparisons = 50_000_000
)

// outermost leaves out what lies within another line. depth is the most lines, so
// far, of which each lies within the one before.
func outermost(list []content.Rect, depth int) ([]content.Rect, int) {
	slices.SortStableFunc(list, func(a, b content.Rect) int {
		switch x, y := area(a), area(b); {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	var outer []content.Rect
	var within []int // how many lie within each
	for _, box := range list {
		i := slices.IndexFunc(outer, func(around content.Rect) bool { return lieTogether(box, around) })
		switch {
		case i < 0 && len(outer) < maxCompared:
			outer, within = append(outer, box), append(within, 1)
			depth = max(depth, 1)
		case i >= 0 && compareBoxes(box, outer[i]) != 0: // else it is the same line again
			within[i]++
			depth = max(depth, within[i])
		}
	}
	return outer, depth
}

// Nesting says which sizes lie within which others.
type Nesting struct{ inside [][]bool }

// Nest holds the outlines of sizes against each other. One size lies within another
// where outlines of both lie on each other on a page and the one is the smaller, or
// where it lies within a third that does. Nothing is said where outlines lie apart,
// or some one way and some the other.
func Nest(list []Outlines) *Nesting {
	n := &Nesting{make([][]bool, len(list))}
	for i := range list {
		n.inside[i] = make([]bool, len(list))
	}
	left := maxComparisons
	for i, a := range list {
		for k := range i {
			smaller, larger := a.votes(list[k], &left)
			n.inside[i][k], n.inside[k][i] = outweigh(smaller, larger), outweigh(larger, smaller)
		}
	}
	if left < 0 {
		return &Nesting{make([][]bool, len(list))}
	}
	for by := range list {
		for i := range list {
			for k := range list {
				if n.inside[i][by] && n.inside[by][k] {
					n.inside[i][k] = true
				}
			}
		}
	}
	return n
}

// Inside reports whether one size, by position, lies within another.
func (n *Nesting) Inside(i, k int) bool {
	return i != k && len(n.inside[i]) > k && n.inside[i][k] && !n.inside[k][i]
}

// outweigh reports whether some outlines are clearly more than others.
func outweigh(these, others int) bool { return these > 0 && these >= 4*others }

// votes counts the outlines that are smaller, and those that are larger, than those
// of another size that they lie on.
func (o Outlines) votes(other Outlines, left *int) (smaller, larger int) {
	for page, list := range o.pages {
		others := other.pages[page]
		if *left -= 2 * len(list) * len(others); *left < 0 {
			return 0, 0
		}
		for i, box := range list {
			k := mostAlike(box, others)
			if k < 0 || mostAlike(others[k], list) != i {
				continue
			}
			switch compareBoxes(box, others[k]) {
			case -1:
				smaller++
			case 1:
				larger++
			}
		}
	}
	return smaller, larger
}

// mostAlike is the position of the box that one shares most with, of those that lie
// on it; -1 if none.
func mostAlike(box content.Rect, list []content.Rect) int {
	best, most := -1, 0.0
	for i, other := range list {
		if share := shared(box, other); share > most && lieTogether(box, other) {
			best, most = i, share
		}
	}
	return best
}

// What the outlines of two sizes of one piece are like (common practice, no source):
// they share so much of the area of both, and the smaller has so much of its own
// within the larger. What differs by less than outlineStep is no smaller.
const (
	sharedLeast = 0.4
	withinLeast = 0.9
	outlineStep = 0.5 * paint.UnitsPerMillimetre // of width and height together
	boxSlack    = 0.3 * paint.UnitsPerMillimetre
)

func area(r content.Rect) float64 { return r.Width() * r.Height() }

// shared is the part of the area of both that two boxes share.
func shared(a, b content.Rect) float64 {
	common := area(a.Intersect(b))
	return common / (area(a) + area(b) - common)
}

// lieTogether reports whether two boxes lie on each other as sizes of one piece do.
func lieTogether(a, b content.Rect) bool {
	return shared(a, b) >= sharedLeast && area(a.Intersect(b)) >= withinLeast*min(area(a), area(b))
}

// compareBoxes is -1 where the first box is the smaller, 1 where it is the larger,
// else 0.
func compareBoxes(a, b content.Rect) int {
	w, h := b.Width()-a.Width(), b.Height()-a.Height()
	switch {
	case w > -boxSlack && h > -boxSlack && w+h >= outlineStep:
		return -1
	case w < boxSlack && h < boxSlack && w+h <= -outlineStep:
		return 1
	}
	return 0
}

// DrawSquare reports whether one of some styles draws a test square.
func DrawSquare(styles []LineStyle, q TestSquare) bool {
	return slices.ContainsFunc(styles, func(s LineStyle) bool {
		return slices.ContainsFunc(s.outlines, func(l outline) bool {
			return l.page == q.Page && sameBounds(l.box, rectOf(q.Bounds))
		})
	})
}

// rectOf gives a rectangle as contents have it.
func rectOf(r optional.Rect) content.Rect {
	return content.Rect{X0: r.Left, Y0: r.Bottom, X1: r.Right, Y1: r.Top}
}
