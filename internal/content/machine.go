package content

import "slices"

// maxStates bounds the stack of saved states. Deeper q are counted, so that
// their Q restore nothing. ISO 32000-1, Table C.1, asks for 28.
const maxStates = 10_000

// maxDash bounds the lengths of a dash pattern that are followed: nobody sees more.
const maxDash = 1 << 20

// Machine executes operations on a graphics state, as far as this needs no
// resources. The caller keeps for itself
//
//   - gs: it looks the dictionary up and calls the setters;
//   - Tj, TJ, ' and ": it measures the glyphs and calls Advance, after Apply
//     has done the line move and the spacing of ' and ";
//   - Do, sh and inline images, which leave the state alone.
//
// A caller that wants to know what an operator paints looks at State and Path
// before it calls Apply.
type Machine struct {
	State State
	// Path is the path under construction. It is no part of the graphics
	// state: q and Q leave it alone.
	Path Path
	// PendingClip is OpClip or OpClipEvenOdd from that operator up to the
	// one that ends the path, else OpUnknown (8.5.4).
	PendingClip Op

	// InText is true between BT and ET.
	InText bool
	// TextMatrix and LineMatrix are Tm and Tlm (9.4.1), without CTM.
	TextMatrix, LineMatrix Matrix

	saved   []State
	skipped int // q beyond maxStates
}

// NewMachine begins a page, or any other content stream, with the initial
// state. The matrix and the clip say in which space the caller wants paths;
// Identity and the media box give default user space.
func NewMachine(ctm Matrix, clip Rect) *Machine {
	m := &Machine{}
	m.Reset(ctm, clip)
	return m
}

// Reset begins another content stream. What the path is asked for stays.
func (m *Machine) Reset(ctm Matrix, clip Rect) {
	m.Path.Reset()
	*m = Machine{
		State: NewState(ctm, clip), Path: m.Path, TextMatrix: Identity(), LineMatrix: Identity(), saved: m.saved[:0],
	}
}

// Apply executes an operation. Operators with missing or wrong operands do
// nothing; those that need resources, mark or show are left to the caller, see
// Machine.
func (m *Machine) Apply(op *Operation) {
	switch op.Op.Class() {
	case ClassPath:
		m.Path.Append(op, m.State.CTM)
	case ClassPaint:
		m.endPath()
	case ClassClip:
		m.PendingClip = op.Op
	case ClassState:
		m.applyState(op)
	case ClassColour:
		m.State.applyColour(op)
	case ClassTextObject:
		// The text state outlives BT and ET (9.3.1). Glyphs shown in a clipping
		// mode make the clip smaller at ET, not its bounds.
		if m.InText = op.Op == OpBeginText; m.InText {
			m.setTextMatrix(Identity())
		}
	case ClassTextState:
		m.State.Text.apply(op)
	case ClassTextPosition:
		m.applyTextPosition(op)
	case ClassTextShow:
		m.beforeShow(op)
	}
}

// Save is q.
func (m *Machine) Save() {
	if len(m.saved) == maxStates {
		m.skipped++
		return
	}
	m.saved = append(m.saved, m.State)
}

// Restore is Q. Without a saved state it does nothing and returns false.
func (m *Machine) Restore() bool {
	if m.skipped > 0 {
		m.skipped--
		return true
	}
	last := len(m.saved) - 1
	if last < 0 {
		return false
	}
	m.State = m.saved[last]
	m.saved = m.saved[:last]
	return true
}

// Concat is cm: CTM becomes n x CTM (8.4.4).
func (m *Machine) Concat(n Matrix) {
	m.State.CTM = n.Multiply(m.State.CTM).bounded()
}

// endPath ends the path and, with W or W* before, clips to it. An empty path
// leaves the bounds of the clip alone.
func (m *Machine) endPath() {
	if m.PendingClip != OpUnknown && m.Path.Segments() > 0 {
		m.State.Clip = m.State.Clip.Intersect(m.Path.Extent())
	}
	m.PendingClip = OpUnknown
	m.Path.Reset()
}

// applyState executes an operator of ISO 32000-1, Table 57. gs is left to the
// caller; ri and i are not followed, as they change nothing that is looked at.
func (m *Machine) applyState(op *Operation) {
	switch op.Op {
	case OpSave:
		m.Save()
	case OpRestore:
		m.Restore()
	case OpConcat:
		if n, ok := op.matrix(); ok {
			m.Concat(n)
		}
	case OpDash:
		array, _ := op.Operand(0)
		phase, ok := op.Float(1)
		if !ok || array.Kind != Array {
			return
		}
		var lengths []float64
		op.ElementsOf(array, func(e Operand) bool {
			if v, ok := op.FloatOf(e); ok { // what is no number is passed over
				lengths = append(lengths, v)
			}
			return len(lengths) < maxDash
		})
		m.State.Dash = Dash{lengths, phase}
	case OpLineWidth, OpLineCap, OpLineJoin, OpMiterLimit:
		v, ok := op.Float(0)
		switch {
		case !ok:
		case op.Op == OpLineWidth:
			m.State.LineWidth = v
		case op.Op == OpLineCap:
			setStyle(&m.State.LineCap, v)
		case op.Op == OpLineJoin:
			setStyle(&m.State.LineJoin, v)
		case op.Op == OpMiterLimit:
			m.State.MiterLimit = v
		}
	}
}

// The following setters are for the entries of an ExtGState dictionary
// (Table 58); the operators of the same meaning do the same.

// SetLineWidth is w or LW, in user units.
func (m *Machine) SetLineWidth(v float64) { m.State.LineWidth = v }

// SetLineCap is J or LC. Values other than 0, 1, 2 do nothing.
func (m *Machine) SetLineCap(v int) { setStyle(&m.State.LineCap, float64(v)) }

// SetLineJoin is j or LJ. Values other than 0, 1, 2 do nothing.
func (m *Machine) SetLineJoin(v int) { setStyle(&m.State.LineJoin, float64(v)) }

// SetMiterLimit is M or ML.
func (m *Machine) SetMiterLimit(v float64) { m.State.MiterLimit = v }

// SetDash is d or D. The array is copied.
func (m *Machine) SetDash(array []float64, phase float64) {
	m.State.Dash = Dash{slices.Clone(array[:min(len(array), maxDash)]), phase}
}

// SetStrokeAlpha is CA, cut to 0 to 1.
func (m *Machine) SetStrokeAlpha(v float64) { m.State.StrokeAlpha = min(max(v, 0), 1) }

// SetFillAlpha is ca, cut to 0 to 1.
func (m *Machine) SetFillAlpha(v float64) { m.State.FillAlpha = min(max(v, 0), 1) }

// SetFont is Tf or Font, whose dictionary entry is a reference in place of a
// name: the caller chooses a name for it.
func (m *Machine) SetFont(name string, size float64) {
	m.State.Text.Font, m.State.Text.Size = name, size
}

// setStyle sets a line cap or a line join, where there is one of that number.
func setStyle(style *int, v float64) {
	if v == 0 || v == 1 || v == 2 {
		*style = int(v)
	}
}

// matrix returns six number operands.
func (o *Operation) matrix() (Matrix, bool) {
	var v [6]float64
	if !o.Floats(v[:]) {
		return Matrix{}, false
	}
	return Matrix{v[0], v[1], v[2], v[3], v[4], v[5]}, true
}

// apply executes an operator of ISO 32000-1, Table 105.
func (t *TextState) apply(op *Operation) {
	if op.Op == OpFont {
		name, isName := op.Name(0)
		if size, ok := op.Float(1); ok && isName {
			t.Font, t.Size = name, size
		}
		return
	}
	v, ok := op.Float(0)
	if !ok {
		return
	}
	switch op.Op {
	case OpCharSpacing:
		t.CharSpacing = v
	case OpWordSpacing:
		t.WordSpacing = v
	case OpHorizontalScale:
		t.Scale = v / 100
	case OpLeading:
		t.Leading = v
	case OpRender:
		if v >= 0 && v <= 7 {
			t.Render = int(v)
		}
	case OpRise:
		t.Rise = v
	}
}

// applyTextPosition executes an operator of Table 108, inside a text object
// or, as malformed content has it, outside.
func (m *Machine) applyTextPosition(op *Operation) {
	switch op.Op {
	case OpTextMove, OpTextMoveSet:
		var t [2]float64
		if !op.Floats(t[:]) {
			return
		}
		if op.Op == OpTextMoveSet {
			m.State.Text.Leading = -t[1]
		}
		m.MoveLine(t[0], t[1])
	case OpTextMatrix:
		if n, ok := op.matrix(); ok {
			m.setTextMatrix(n)
		}
	case OpNextLine:
		m.NextLine()
	}
}

// beforeShow does what ' and " do before they show (Table 109): T*, and for "
// first Tw and Tc.
func (m *Machine) beforeShow(op *Operation) {
	switch op.Op {
	case OpNextLineShow:
		m.NextLine()
	case OpNextLineShowSpaced:
		var spacing [2]float64
		if op.Floats(spacing[:]) {
			m.State.Text.WordSpacing, m.State.Text.CharSpacing = spacing[0], spacing[1]
		}
		m.NextLine()
	}
}

// MoveLine is Td: the next line starts at (tx, ty) from the start of this one,
// in unscaled text space.
func (m *Machine) MoveLine(tx, ty float64) {
	m.setTextMatrix(Translation(tx, ty).Multiply(m.LineMatrix))
}

// NextLine is T*: MoveLine down by the leading.
func (m *Machine) NextLine() { m.MoveLine(0, -m.State.Text.Leading) }

// Advance moves the text position by the displacement of shown glyphs or of a
// number of TJ, in unscaled text space (9.4.4): Tm becomes the translation x
// Tm. The start of the line is left as it is.
func (m *Machine) Advance(tx, ty float64) {
	m.TextMatrix = Translation(tx, ty).Multiply(m.TextMatrix).bounded()
}

func (m *Machine) setTextMatrix(n Matrix) {
	m.TextMatrix = n.bounded()
	m.LineMatrix = m.TextMatrix
}
