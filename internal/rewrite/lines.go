package rewrite

import (
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
)

// inherited is the graphics state in which a content stream begins, where marks
// may go for how they are painted. Streams without one, such as the cells of
// patterns, lose no mark for that.
type inherited struct {
	state content.State
	likes likeness
}

// maxWays bounds the inherited states in which one form is filtered: forms within
// each other may have any number of them.
const maxWays = 4096

// likeness is what of a state decides on the styles of marks: a form is filtered
// once for each.
type likeness struct {
	stroke, fill       content.Colour
	strokeAlpha, alpha float64
	width              float64
	lineCap, render    int
	scale, widest      float64 // of the matrix, rounded
}

// inherit notes a state.
func inherit(s content.State) *inherited {
	return &inherited{s, likeness{
		stroke: s.Stroke, fill: s.Fill, strokeAlpha: s.StrokeAlpha, alpha: s.FillAlpha,
		width: s.LineWidth, lineCap: s.LineCap, render: s.Text.Render,
		scale: fourDigits(paint.Scale(s.CTM)), widest: fourDigits(s.CTM.MaxScale()),
	}}
}

// alike tells whether marks have the same styles in both states.
func (i *inherited) alike(j *inherited) bool {
	if i == nil || j == nil {
		return i == j
	}
	return i.likes == j.likes && slices.Equal(i.state.Dash.Array, j.state.Dash.Array)
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

// A follower knows how the marks of a content stream are painted.
type follower struct {
	*content.Machine
	painter *paint.Painter
	gone    func(paint.Style) bool
}

// follow begins a content stream; nil where no mark goes for how it is painted.
func (w *walker) follow(from *inherited) *follower {
	if from == nil || w.gone == nil {
		return nil
	}
	m := content.NewMachine(from.state.CTM, from.state.Clip)
	m.State, m.Path.Measured = from.state, true
	return &follower{Machine: m, painter: w.painter, gone: w.gone}
}

// step follows an operation, after the decision on it.
func (f *follower) step(op *content.Operation, sc *scope) {
	switch op.Op.Class() {
	case content.ClassPath:
		f.Path.Append(op, f.State.CTM)
		return
	case content.ClassPaint:
		f.Path.Reset()
		return
	case content.ClassState, content.ClassColour:
		f.Apply(op)
		f.painter.Follow(f.Machine, op, sc)
	case content.ClassTextState:
		f.Apply(op)
	}
}

// rest gives the painter that paints what stays of a path: the operator itself
// where nothing goes, n where all goes (8.5.3, Table 60).
func (f *follower) rest(op content.Op) content.Op {
	if f == nil {
		return op
	}
	fill, stroke := f.painter.PathStyles(op, &f.State, &f.Path)
	fills, strokes := fill.Kind != 0, stroke.Kind != 0
	goneFill, goneStroke := fills && f.gone(fill), strokes && f.gone(stroke)
	switch {
	case fills == goneFill && strokes == goneStroke:
		return content.OpEndPath
	case goneStroke:
		return withoutStroke[op]
	case goneFill:
		return withoutFill[op]
	}
	return op
}

// withoutStroke and withoutFill are the painters of one half of what others
// paint (8.5.3, Table 60). Filling closes what is open.
var (
	withoutStroke = map[content.Op]content.Op{
		content.OpFillStroke: content.OpFill, content.OpFillStrokeEvenOdd: content.OpFillEvenOdd,
		content.OpCloseFillStroke: content.OpFill, content.OpCloseFillStrokeEvenOdd: content.OpFillEvenOdd,
	}
	withoutFill = map[content.Op]content.Op{
		content.OpFillStroke: content.OpStroke, content.OpFillStrokeEvenOdd: content.OpStroke,
		content.OpCloseFillStroke: content.OpCloseStroke, content.OpCloseFillStrokeEvenOdd: content.OpCloseStroke,
	}
)

// goneText tells whether shown text goes: all that it paints does.
func (f *follower) goneText() bool {
	if f == nil {
		return false
	}
	styles := f.painter.TextStyles(&f.State)
	return len(styles) > 0 && !slices.ContainsFunc(styles, func(s paint.Style) bool { return !f.gone(s) })
}

// caller is the text state that a form inherits, with the state for marks that
// may go for how they are painted.
func (s *stripper) caller() textState {
	text := s.text
	if s.follow != nil {
		text.paint = inherit(s.follow.State)
	}
	return text
}

// within puts the matrix of a form before the state that it inherits (8.10.1).
func (i *inherited) within(src pdf.Objects, o pdf.Object) *inherited {
	a := pdf.AsArray(src, o)
	if i == nil || len(a) < 6 {
		return i
	}
	var v [6]float64
	for k := range v {
		v[k], _ = pdf.AsNumber(src, a[k])
	}
	m := content.NewMachine(i.state.CTM, i.state.Clip)
	m.Concat(content.Matrix{A: v[0], B: v[1], C: v[2], D: v[3], E: v[4], F: v[5]})
	j := *i
	j.state.CTM = m.State.CTM
	return &j
}

// begin is the state at the beginning of a page, in points.
func (w *walker) begin(p pdf.Page) *inherited {
	if w.gone == nil {
		return nil
	}
	return inherit(content.NewState(paint.PageMatrix(p), content.Everywhere()))
}
