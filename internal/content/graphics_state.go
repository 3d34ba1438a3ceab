package content

import "slices"

// applyState executes an operator of ISO 32000-1, Table 57. gs is left to the
// caller.
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
		m.applyDash(op)
	case OpIntent:
		if name, ok := op.Name(0); ok {
			m.State.Intent = name
		}
	default:
		if v, ok := op.Float(0); ok {
			m.State.setNumber(op.Op, v)
		}
	}
}

// The following setters are for the entries of an ExtGState dictionary
// (Table 58); the operators of the same meaning do the same.

// SetLineWidth is w or LW, in user units.
func (m *Machine) SetLineWidth(v float64) { m.State.LineWidth = v }

// SetLineCap is J or LC. Values other than 0, 1, 2 do nothing.
func (m *Machine) SetLineCap(v int) { m.State.setNumber(OpLineCap, float64(v)) }

// SetLineJoin is j or LJ. Values other than 0, 1, 2 do nothing.
func (m *Machine) SetLineJoin(v int) { m.State.setNumber(OpLineJoin, float64(v)) }

// SetMiterLimit is M or ML.
func (m *Machine) SetMiterLimit(v float64) { m.State.MiterLimit = v }

// SetDash is d or D. The array is copied.
func (m *Machine) SetDash(array []float64, phase float64) {
	m.State.Dash = Dash{slices.Clone(array), phase}
}

// SetIntent is ri or RI.
func (m *Machine) SetIntent(name string) { m.State.Intent = name }

// SetFlatness is i or FL.
func (m *Machine) SetFlatness(v float64) { m.State.Flatness = v }

// SetStrokeAlpha is CA, cut to 0 to 1.
func (m *Machine) SetStrokeAlpha(v float64) { m.State.StrokeAlpha = min(max(v, 0), 1) }

// SetFillAlpha is ca, cut to 0 to 1.
func (m *Machine) SetFillAlpha(v float64) { m.State.FillAlpha = min(max(v, 0), 1) }

// SetFont is Tf or Font, whose dictionary entry is a reference in place of a
// name: the caller chooses a name for it.
func (m *Machine) SetFont(name string, size float64) {
	m.State.Text.Font, m.State.Text.Size = name, size
}

func (s *State) setNumber(op Op, v float64) {
	switch op {
	case OpLineWidth:
		s.LineWidth = v
	case OpLineCap:
		setStyle(&s.LineCap, v)
	case OpLineJoin:
		setStyle(&s.LineJoin, v)
	case OpMiterLimit:
		s.MiterLimit = v
	case OpFlatness:
		s.Flatness = v
	}
}

func setStyle(style *int, v float64) {
	if v == 0 || v == 1 || v == 2 {
		*style = int(v)
	}
}

// applyDash executes d. Elements that are no numbers are passed over.
func (m *Machine) applyDash(op *Operation) {
	array, _ := op.Operand(0)
	phase, ok := op.Float(1)
	if !ok || array.Kind != Array {
		return
	}
	var lengths []float64
	op.ElementsOf(array, func(e Operand) bool {
		if v, ok := op.FloatOf(e); ok {
			lengths = append(lengths, v)
		}
		return true
	})
	m.State.Dash = Dash{lengths, phase}
}

// matrix returns six number operands.
func (o *Operation) matrix() (Matrix, bool) {
	var v [6]float64
	if !o.Floats(v[:]) {
		return Matrix{}, false
	}
	return Matrix{v[0], v[1], v[2], v[3], v[4], v[5]}, true
}
