package layers

import (
	"context"
	"errors"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
)

// Lines are the line styles of a file.
type Lines struct {
	// Styles come by kind, each in the order in which the pages first show
	// them.
	Styles []LineStyle `json:"styles"`
	// Incomplete says that a page could not be read to its end, so that there
	// may be other styles; the warnings tell why.
	Incomplete bool      `json:"incomplete,omitempty"`
	Warnings   []Warning `json:"warnings"`
}

// Lines reads every page and tells in which styles its lines, fills and texts
// are painted. What is drawn in a tiling pattern, a soft mask, a glyph or an
// annotation does not count. Pages are read on all cores; the result is the same
// on any number of them.
func (d *Document) Lines(ctx context.Context) (*Lines, error) {
	all := newLineFinder(d.file.PDF)
	s := newSurvey(ctx, d.file, aims{lines: true})
	warnings, err := s.pages(func(f *findings) error { return all.join(f.lines, f.page) })
	if err != nil {
		return nil, err
	}
	return &Lines{
		Styles: append([]LineStyle{}, all.styles()...), Warnings: warnings,
		Incomplete: len(warnings) > len(d.Warnings()),
	}, nil
}

// A lineFinder counts marks by their styles.
type lineFinder struct {
	painter *paint.Painter
	found   map[paint.Style]*lineTally
	order   []*lineTally
}

func newLineFinder(src pdf.Objects) *lineFinder {
	return &lineFinder{painter: paint.New(src), found: map[paint.Style]*lineTally{}}
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

// join adds what was found on a page.
func (f *lineFinder) join(g *lineFinder, page int) error {
	if g == nil {
		return nil
	}
	for _, u := range g.order {
		for i := range u.uses {
			u.uses[i].Page = page
		}
		f.tally(u.style).join(u)
	}
	return f.full()
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
}

// maxStyles bounds the styles that are told apart before merging.
const maxStyles = 20_000

// errStyles says that maxStyles was reached.
var errStyles = errors.New("the pages are painted in more styles than can be told apart")

// full tells whether there are too many styles.
func (f *lineFinder) full() error {
	if f != nil && len(f.order) > maxStyles {
		return errStyles
	}
	return nil
}

// maxWritten bounds the ways to write one colour that are told.
const maxWritten = 8

// tally counts a mark of a style, with its length in points.
func (d *drawing) tally(style paint.Style, c *content.Colour, bounds content.Rect, length float64) *lineTally {
	f := d.lines
	t := f.tally(style)
	t.marks++
	t.length += length
	if len(t.written) < maxWritten && (t.marks == 1 || t.last != *c) {
		t.last = *c
		if w := f.painter.Written(c); !slices.Contains(t.written, w) {
			t.written = append(t.written, w)
		}
	}
	if len(t.uses) == 0 {
		t.uses = []LineUse{{Page: d.page, Bounds: optional.EmptyRect()}}
	}
	u := &t.uses[0]
	u.Marks++
	u.Bounds = optional.Union(u.Bounds, optional.RectOf(bounds))
	if len(d.open) == 0 {
		t.layers[0] += length
	}
	for i, ref := range d.open {
		if !slices.Contains(d.open[:i], ref) {
			t.layers[ref] += length
		}
	}
	return t
}

// linePath counts a painted path, its stroke and its fill each.
func (d *drawing) linePath(op content.Op, bounds content.Rect) {
	s, o := &d.m.State, &d.outline
	fill, stroke := d.lines.painter.PathStyles(op, s, o)
	if fill.Kind != 0 {
		length := 0.0
		if fill.Kind == paint.Thin {
			length = o.Length / 2
		}
		d.tally(fill, &s.Fill, bounds, length)
	}
	if stroke.Kind != 0 {
		t := d.tally(stroke, &s.Stroke, bounds, o.Length)
		t.rows.add(o.Single())
		t.notePhase(s.Dash.Phase * paint.Scale(s.CTM) / paint.UnitsPerMillimetre)
	}
}

// notePhase notes where in its pattern a line begins.
func (t *lineTally) notePhase(mm float64) {
	switch {
	case t.style.Dash == "":
	case t.marks == 1:
		t.phase, t.low, t.high = mm, mm, mm
	default:
		t.low, t.high = min(t.low, mm), max(t.high, mm)
	}
}

// phaseVaries tells whether lines begin elsewhere than the first, by more than
// rounding.
func (t *lineTally) phaseVaries() bool { return t.high-t.phase > 0.02 || t.phase-t.low > 0.02 }

// lineText counts shown text.
func (d *drawing) lineText(bounds content.Rect) {
	s := &d.m.State
	for i, style := range d.lines.painter.TextStyles(s) {
		c := &s.Fill
		if i == 1 || s.Text.Render%4 == 1 {
			c = &s.Stroke
		}
		d.tally(style, c, bounds, 0)
	}
}
