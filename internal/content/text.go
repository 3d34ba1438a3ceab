package content

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

// applyTextObject executes BT and ET (Table 107). The text state outlives
// both (9.3.1). Glyphs shown in a clipping mode make the clip smaller at ET,
// not its bounds.
func (m *Machine) applyTextObject(op *Operation) {
	m.InText = op.Op == OpBeginText
	if m.InText {
		m.setTextMatrix(Identity())
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
// Tm. The start of the line stays.
func (m *Machine) Advance(tx, ty float64) {
	m.TextMatrix = Translation(tx, ty).Multiply(m.TextMatrix).bounded()
}

func (m *Machine) setTextMatrix(n Matrix) {
	m.TextMatrix = n.bounded()
	m.LineMatrix = m.TextMatrix
}

// EachString goes through what a show operator shows: its strings and, for TJ,
// the numbers between them in thousandths of text space (9.4.3). A slice is
// valid during the call.
func (o *Operation) EachString(show func([]byte), adjust func(float64)) {
	switch o.Op {
	case OpShowText, OpNextLineShow:
		if s, ok := o.Bytes(0); ok {
			show(s)
		}
	case OpNextLineShowSpaced:
		if s, ok := o.Bytes(2); ok {
			show(s)
		}
	case OpShowSpaced:
		o.Elements(0, func(e Operand) bool {
			if n, ok := o.FloatOf(e); ok {
				adjust(n)
			} else if s, ok := o.BytesOf(e); ok {
				show(s)
			}
			return true
		})
	}
}
