package rewrite

import (
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
)

// paintState is the graphics state in which a content stream begins, where marks
// may be removed for how they are painted. Streams without one, such as the cells
// of patterns, lose no mark for that.
type paintState struct {
	state content.State
	key   styleKey
}

// styleKey is what of a state, with its dash pattern, decides on the styles of
// marks: a form is filtered once for each.
type styleKey struct {
	stroke, fill       content.Colour
	strokeAlpha, alpha float64
	width              float64
	lineCap, render    int
	scale, widest      float64 // of the matrix, rounded
}

func newPaintState(s content.State) *paintState {
	return &paintState{s, styleKey{
		stroke: s.Stroke, fill: s.Fill, strokeAlpha: s.StrokeAlpha, alpha: s.FillAlpha,
		width: s.LineWidth, lineCap: s.LineCap, render: s.Text.Render,
		scale: fourDigits(paint.Scale(s.CTM)), widest: fourDigits(s.CTM.MaxScale()),
	}}
}

// fourDigits rounds a number, so that turning a matrix by numbers of five decimals
// does not change it. Styles are less exact.
func fourDigits(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(v))-3)
	return math.Round(v/unit) * unit
}

// alike reports whether marks have the same styles in both states.
func (p *paintState) alike(q *paintState) bool {
	if p == nil || q == nil {
		return p == q
	}
	return p.key == q.key && slices.Equal(p.state.Dash.Array, q.state.Dash.Array)
}

// size is how many bytes of content count as much as comparing the dash pattern, or
// writing a style with it.
func (p *paintState) size() int {
	if p == nil {
		return 0
	}
	return 8 * len(p.state.Dash.Array)
}

// within puts the matrix of a form before the state that it inherits (8.10.1).
func (p *paintState) within(src pdf.Objects, o pdf.Object) *paintState {
	a := pdf.AsArray(src, o)
	if p == nil || len(a) < 6 {
		return p
	}
	var v [6]float64
	for k := range v {
		v[k], _ = pdf.AsNumber(src, a[k])
	}
	m := content.NewMachine(p.state.CTM, p.state.Clip)
	m.Concat(content.Matrix{A: v[0], B: v[1], C: v[2], D: v[3], E: v[4], F: v[5]})
	q := *p
	q.state.CTM = m.State.CTM
	return &q
}

// pageState is the state at the beginning of a page, in points.
func (w *rewriter) pageState(p pdf.Page) *paintState {
	if w.removed == nil {
		return nil
	}
	return newPaintState(content.NewState(paint.PageMatrix(p), content.Everywhere()))
}

// A styleFilter knows how the marks of a content stream are painted.
type styleFilter struct {
	*content.Machine
	painter *paint.Painter
	removed func(paint.Style) bool
}

// newStyleFilter begins a content stream; nil where no mark is removed for how it
// is painted.
func (w *rewriter) newStyleFilter(from *paintState) *styleFilter {
	if from == nil || w.removed == nil {
		return nil
	}
	m := content.NewMachine(from.state.CTM, from.state.Clip)
	m.State, m.Path.Measured = from.state, true
	return &styleFilter{Machine: m, painter: w.painter, removed: w.removed}
}

// step follows an operation, after the decision on it.
func (f *styleFilter) step(op *content.Operation, sc *scope) {
	switch op.Op.Class() {
	case content.ClassPath:
		f.Path.Append(op, f.State.CTM)
	case content.ClassPaint:
		f.Path.Reset()
	case content.ClassState, content.ClassColour:
		f.Apply(op)
		f.painter.Follow(f.Machine, op, sc)
	case content.ClassTextState:
		f.Apply(op)
	}
}

// halves are the painters of one half of what others paint (8.5.3, Table 60).
// Filling closes what is open.
var halves = map[content.Op]struct{ fill, stroke content.Op }{
	content.OpFillStroke:             {content.OpFill, content.OpStroke},
	content.OpFillStrokeEvenOdd:      {content.OpFillEvenOdd, content.OpStroke},
	content.OpCloseFillStroke:        {content.OpFill, content.OpCloseStroke},
	content.OpCloseFillStrokeEvenOdd: {content.OpFillEvenOdd, content.OpCloseStroke},
}

// rest gives the painter that paints what is kept of a path: the operator itself
// where nothing is removed, n where all is (8.5.3, Table 60).
func (f *styleFilter) rest(op content.Op) content.Op {
	if f == nil {
		return op
	}
	fill, stroke := f.painter.PathStyles(op, &f.State, &f.Path)
	fills, strokes := fill.Kind != 0, stroke.Kind != 0
	noFill, noStroke := fills && f.removed(fill), strokes && f.removed(stroke)
	switch {
	case fills == noFill && strokes == noStroke:
		return content.OpEndPath
	case noStroke:
		return halves[op].fill
	case noFill:
		return halves[op].stroke
	}
	return op
}

// removesText reports whether shown text is removed: all that it paints is.
func (f *styleFilter) removesText() bool {
	if f == nil {
		return false
	}
	styles := f.painter.TextStyles(&f.State)
	return len(styles) > 0 && !slices.ContainsFunc(styles, func(s paint.Style) bool { return !f.removed(s) })
}

// caller is the text state that a form inherits, with the state for marks that
// may be removed for how they are painted.
func (s *streamFilter) caller() textState {
	text := s.text
	if s.styles != nil {
		text.paint = newPaintState(s.styles.State)
	}
	return text
}
