package survey

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/draw"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/warning"
)

// Lines are the line styles of a file.
type Lines struct {
	// Styles come by kind, each in the order in which the pages first show
	// them.
	Styles []LineStyle `json:"styles"`
	// Incomplete says that a page could not be read to its end, so that there
	// may be other styles; the warnings tell why.
	Incomplete bool              `json:"incomplete,omitempty"`
	Warnings   []warning.Warning `json:"warnings"`
}

// FindLines reads every page and tells in which styles its lines, fills and texts
// are painted. What is drawn in a tiling pattern, a soft mask, a glyph or an
// annotation does not count. The result is the same on any number of cores. The
// error is the context's.
func FindLines(ctx context.Context, doc *optional.Document) (*Lines, error) {
	all := newLineFinder(maxOutlines, maxStrings)
	pages := newReader(ctx, doc, aims{lines: true, texts: true})
	warnings, err := pages.all(maxOperations, func(f *findings) error { return all.join(f.lines, f.page) })
	if err != nil {
		return nil, err
	}
	mark, err := doc.Mark(ctx)
	if err != nil {
		return nil, err
	}
	styles := append([]LineStyle{}, all.styles()...)
	for i := range styles {
		styles[i].mark = mark
	}
	return &Lines{
		Styles: styles, Warnings: warnings,
		Incomplete: len(warnings) > len(doc.Warnings()),
	}, nil
}

// What is told apart at most.
const (
	maxStyles  = 20_000 // before merging
	maxWritten = 8      // ways to write one colour
	maxRounded = 16     // lengths of dash patterns that may differ by rounding
)

// errStyles says that maxStyles was reached.
var errStyles = errors.New("the pages are painted in more styles than can be told apart")

// A lineFinder counts marks by their styles.
type lineFinder struct {
	found map[paint.Style]*lineTally
	order []*lineTally
	trace tracing
	texts int // how many texts there may still be
}

// lineTally is what has been found of one style.
type lineTally struct {
	style     paint.Style
	written   []string
	last      content.Colour // the one that was written last
	phase     float64        // mm, of the first
	low, high float64        // the least and the greatest phase
	marks     int
	length    float64 // points
	uses      []LineUse
	layers    map[pdf.Ref]float64 // points of length in each; 0 is no layer
	rows      rows
	tracer    tracer
	writing   writing
	texts     []LineText
	lengths   []float64 // of the style, once styles are merged
}

// newLineFinder makes one that remembers so many outlines and texts at most.
func newLineFinder(outlines, texts int) *lineFinder {
	return &lineFinder{found: map[paint.Style]*lineTally{}, trace: tracing{left: outlines}, texts: texts}
}

// finish ends a page.
func (f *lineFinder) finish(page int) {
	for _, t := range f.order {
		t.tracer.finish(&f.trace)
		for _, l := range t.writing.lines() {
			t.texts = append(t.texts, LineText{Page: page, Text: l.text, Bounds: optional.RectOf(l.box)})
		}
		t.writing = writing{}
	}
}

// tally gives what has been found of a style.
func (f *lineFinder) tally(style paint.Style) *lineTally {
	t := f.found[style]
	if t == nil {
		t = &lineTally{style: style, layers: map[pdf.Ref]float64{}}
		f.found[style] = t
		f.order = append(f.order, t)
	}
	return t
}

// add counts a mark: of a path its stroke and its fill each. It gives an error where
// there are too many styles.
func (f *lineFinder) add(m *draw.Mark) error {
	s := m.State
	switch m.Kind {
	case draw.PaintedPath:
		fill, stroke := m.Painter.PathStyles(m.Op, s, m.Path)
		if fill.Kind != 0 {
			length := 0.0
			if fill.Kind == paint.Thin {
				length = m.Path.Length() / 2
			}
			t := f.tally(fill)
			t.add(m, &s.Fill, length)
			if fill.Kind == paint.Thin {
				t.tracer.add(&f.trace, m, true)
			}
		}
		if stroke.Kind != 0 {
			t := f.tally(stroke)
			t.add(m, &s.Stroke, m.Path.Length())
			t.rows.add(m.Path.Subpaths())
			t.tracer.add(&f.trace, m, false)
			t.addPhase(s.Dash.Phase * paint.Scale(s.CTM) / paint.UnitsPerMillimetre)
		}
	case draw.ShownText:
		for i, style := range m.Painter.TextStyles(s) {
			c := &s.Fill
			if i == 1 || s.Text.Render%4 == 1 {
				c = &s.Stroke
			}
			t := f.tally(style)
			t.add(m, c, 0)
			n := len(t.writing.strings)
			t.writing.add(m, n+f.texts)
			f.texts -= len(t.writing.strings) - n
		}
	}
	return f.full()
}

// full gives an error where there are too many styles.
func (f *lineFinder) full() error {
	if len(f.order) > maxStyles {
		return errStyles
	}
	return nil
}

// add counts a mark, with its length in points.
func (t *lineTally) add(m *draw.Mark, c *content.Colour, length float64) {
	t.marks++
	t.length += length
	if len(t.written) < maxWritten && (t.marks == 1 || t.last != *c) {
		t.last = *c
		if w := m.Painter.Written(c); !slices.Contains(t.written, w) {
			t.written = append(t.written, w)
		}
	}
	if len(t.uses) == 0 {
		t.uses = []LineUse{{Page: m.Page, Bounds: optional.EmptyRect()}}
	}
	u := &t.uses[0]
	u.Marks++
	u.Bounds = optional.Union(u.Bounds, optional.RectOf(m.Clipped()))
	groups := m.Groups
	if len(groups) == 0 {
		groups = noGroup
	}
	for _, ref := range groups {
		t.layers[ref] += length
	}
}

// addPhase notes where in its pattern a line begins.
func (t *lineTally) addPhase(mm float64) {
	switch {
	case t.style.Dash == "":
	case t.marks == 1:
		t.phase, t.low, t.high = mm, mm, mm
	default:
		t.low, t.high = min(t.low, mm), max(t.high, mm)
	}
}

// join adds what was found on a page. It gives an error where there are too many
// styles.
func (f *lineFinder) join(g *lineFinder, page int) error {
	if g == nil {
		return nil
	}
	for _, u := range g.order {
		for i := range u.uses {
			u.uses[i].Page = page
		}
		t := f.tally(u.style)
		t.join(u)
		f.keep(t, u, page)
	}
	return f.full()
}

// keep adds the outlines, open lines and texts of a page to those of a style, as many
// as there may be.
func (f *lineFinder) keep(t, u *lineTally, page int) {
	of := func(list []outline) []outline {
		list = list[:min(len(list), f.trace.left)]
		f.trace.left -= len(list)
		for i := range list {
			list[i].page = page
		}
		return list
	}
	t.tracer.outlines = append(t.tracer.outlines, of(u.tracer.outlines)...)
	t.tracer.loose = append(t.tracer.loose, of(u.tracer.loose)...)
	texts := u.texts[:min(len(u.texts), f.texts)]
	f.texts -= len(texts)
	for _, x := range texts {
		x.Page = page
		t.texts = append(t.texts, x)
	}
}

// join adds what was found of a style that is the same, but for what keep adds.
func (t *lineTally) join(u *lineTally) {
	if t.marks == 0 {
		t.phase, t.low, t.high = u.phase, u.low, u.high
	}
	t.low, t.high = min(t.low, u.low), max(t.high, u.high)
	t.marks += u.marks
	t.length += u.length
	for _, w := range u.written {
		if len(t.written) < maxWritten && !slices.Contains(t.written, w) {
			t.written = append(t.written, w)
		}
	}
	for _, use := range u.uses {
		i, found := slices.BinarySearchFunc(t.uses, use.Page, func(x LineUse, n int) int { return x.Page - n })
		if !found {
			t.uses = slices.Insert(t.uses, i, use)
			continue
		}
		x := &t.uses[i]
		x.Marks += use.Marks
		x.Bounds = optional.Union(x.Bounds, use.Bounds)
	}
	for ref, length := range u.layers {
		t.layers[ref] += length
	}
	t.rows.join(&u.rows)
}

// styles are the tallies as line styles. What differs only by rounding from one
// that was found before joins it.
func (f *lineFinder) styles() []LineStyle {
	var merged []*lineTally
	members := map[*lineTally][]paint.Style{}
	for _, t := range f.order {
		t.lengths = t.style.Lengths()
		i := slices.IndexFunc(merged, t.sameStyle)
		if i < 0 {
			merged = append(merged, t)
			members[t] = []paint.Style{t.style}
			continue
		}
		merged[i].join(t)
		merged[i].tracer.outlines = append(merged[i].tracer.outlines, t.tracer.outlines...)
		merged[i].tracer.loose = append(merged[i].tracer.loose, t.tracer.loose...)
		merged[i].texts = append(merged[i].texts, t.texts...)
		members[merged[i]] = append(members[merged[i]], t.style)
	}
	slices.SortStableFunc(merged, func(a, b *lineTally) int { return cmp.Compare(a.style.Kind, b.style.Kind) })
	list := make([]LineStyle, len(merged))
	names := map[paint.Colour]string{}
	for i, t := range merged {
		c := t.style.Colour
		if _, known := names[c]; !known {
			names[c] = colourName(c)
		}
		list[i] = t.lineStyle(names[c])
		list[i].members = members[t]
	}
	return list
}

// sameStyle reports whether styles differ only by rounding.
func (t *lineTally) sameStyle(u *lineTally) bool {
	a, b := t.style, u.style
	step := func(x, y uint8) bool { return max(x, y)-min(x, y) <= 1 }
	ca, cb := a.Colour, b.Colour
	if a.Kind != b.Kind || a.Cap != b.Cap || ca.Known != cb.Known || !step(a.Opacity, b.Opacity) ||
		!step(ca.R, cb.R) || !step(ca.G, cb.G) || !step(ca.B, cb.B) {
		return false
	}
	if len(t.lengths) > maxRounded {
		return a == b
	}
	return rounded(float64(a.Width)/1000, float64(b.Width)/1000) && slices.EqualFunc(t.lengths, u.lengths, rounded)
}

// rounded reports whether lengths in mm differ only by rounding. The thinnest line
// of the device is unlike any other.
func rounded(a, b float64) bool {
	return a == b || a > 0 && b > 0 && math.Abs(a-b) <= max(0.02, 0.02*max(a, b))
}

// lineStyle is the tally for people and programs.
func (t *lineTally) lineStyle(name string) LineStyle {
	s := LineStyle{
		Kind: kindNames[t.style.Kind], Name: name, Written: t.written,
		Opacity: float64(t.style.Opacity) / 100, Width: float64(t.style.Width) / 1000,
		Dash: append([]float64{}, t.lengths...), Phase: math.Round(t.phase*1000) / 1000,
		PhaseVaries: t.high-t.phase > 0.02 || t.phase-t.low > 0.02, // by more than rounding
		Pieces:      t.rows.pieces(t.style),
		Marks:       t.marks, Length: metres(t.length), Uses: t.uses, Layers: []int{}, LayerLengths: []float64{},
		outlines: t.tracer.outlines, loose: t.tracer.loose, texts: t.texts,
	}
	if c := t.style.Colour; c.Known {
		s.Colour = fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
	}
	if s.Kind == StrokedLine && int(t.style.Cap) < len(capNames) {
		s.Cap = capNames[t.style.Cap]
	}
	for _, ref := range slices.Sorted(maps.Keys(t.layers)) {
		s.Layers = append(s.Layers, int(ref))
		s.LayerLengths = append(s.LayerLengths, metres(t.layers[ref]))
	}
	return s
}

// metres makes metres of points.
func metres(points float64) float64 { return points / paint.UnitsPerMillimetre / 1000 }

// What a row of pieces that stand for dashes is like (common practice, no
// source). Lengths in points.
const (
	rowPiece   = 25 * paint.UnitsPerMillimetre  // a piece at most
	rowGap     = 15 * paint.UnitsPerMillimetre  // a gap at most
	rowTouch   = 0.1 * paint.UnitsPerMillimetre // a gap at least
	rowTurn    = 0.9                            // cosine of the angle between neighbours at least
	rowCount   = 8                              // pieces at least, of all rows
	maxRowSize = 20_000                         // lengths that are remembered
)

// rows finds short pieces that follow each other with gaps.
type rows struct {
	all, inRow   int // pieces so far, and those that follow another
	dashes, gaps []float64
	last         content.Ends
	any          bool
}

// add takes the subpaths of a path, which are pieces where each is one line or curve.
func (r *rows) add(pieces []content.Subpath) {
	longer := func(p content.Subpath) bool { return p.Segments > 1 }
	if len(pieces) == 0 || slices.ContainsFunc(pieces, longer) {
		r.all++
		r.any = false
		return
	}
	for i := range pieces {
		p := pieces[i].Ends
		r.all++
		if gap, ok := r.follows(p); ok {
			r.inRow++
			if len(r.gaps) < maxRowSize {
				r.gaps, r.dashes = append(r.gaps, gap), append(r.dashes, distance(p.From, p.To))
			}
		}
		r.last, r.any = p, true
	}
}

// follows reports whether a piece goes on where the last one ended, behind a gap.
func (r *rows) follows(p content.Ends) (gap float64, ok bool) {
	last := r.last
	gap = distance(last.To, p.From)
	a, b := distance(last.From, last.To), distance(p.From, p.To)
	if !r.any || a > rowPiece || b > rowPiece || a == 0 || b == 0 || gap < rowTouch || gap > rowGap {
		return 0, false
	}
	return gap, cosine(last.From, last.To, last.To, p.From) >= rowTurn &&
		cosine(last.To, p.From, p.From, p.To) >= rowTurn
}

// distance is that of two points.
func distance(a, b content.Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }

// cosine is that of the angle between two steps.
func cosine(a, b, c, d content.Point) float64 {
	return ((b.X-a.X)*(d.X-c.X) + (b.Y-a.Y)*(d.Y-c.Y)) / (distance(a, b) * distance(c, d))
}

// join adds rows of the same style.
func (r *rows) join(u *rows) {
	r.all, r.inRow = r.all+u.all, r.inRow+u.inRow
	if len(r.gaps)+len(u.gaps) <= maxRowSize {
		r.gaps, r.dashes = append(r.gaps, u.gaps...), append(r.dashes, u.dashes...)
	}
}

// pieces tells of the rows where most of a solid style is drawn in them.
func (r *rows) pieces(s paint.Style) *DashPieces {
	if s.Dash != "" || r.inRow < rowCount || 2*r.inRow < r.all {
		return nil
	}
	return &DashPieces{Dash: median(r.dashes), Gap: median(r.gaps), Count: r.inRow}
}

// median is the middle of lengths in points, in mm with two decimals.
func median(list []float64) float64 {
	list = slices.Sorted(slices.Values(list))
	return math.Round(list[len(list)/2]/paint.UnitsPerMillimetre*100) / 100
}
