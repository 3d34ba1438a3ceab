package content

// maxStates bounds the stack of saved states. Deeper q are counted, so that
// their Q restore nothing. ISO 32000-1, Table C.1, asks for 28.
const maxStates = 10_000

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

// Reset begins another content stream.
func (m *Machine) Reset(ctm Matrix, clip Rect) {
	*m = Machine{State: NewState(ctm, clip), TextMatrix: Identity(), LineMatrix: Identity(), saved: m.saved[:0]}
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
		m.applyTextObject(op)
	case ClassTextState:
		m.State.Text.apply(op)
	case ClassTextPosition:
		m.applyTextPosition(op)
	case ClassTextShow:
		m.beforeShow(op)
	}
}

// Depth returns how many states are saved.
func (m *Machine) Depth() int { return len(m.saved) + m.skipped }

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
