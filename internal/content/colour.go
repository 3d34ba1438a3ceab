package content

// maxComponents is the largest number of colour components (ISO 32000-1,
// Table C.1, DeviceN).
const maxComponents = 32

// Colour is a current colour as the content set it (8.6.8). Colours are equal
// if and only if they compare equal with ==.
type Colour struct {
	// Op is the operator that set the colour or its space; OpUnknown for
	// the initial one.
	Op Op
	// Space is DeviceGray, DeviceRGB, DeviceCMYK, Pattern or the resource
	// name of a colour space.
	Space string
	// Values has the components in its first N elements. N is 0 after cs or
	// CS with a resource name: the colour is then the initial one of that
	// space (Table 74).
	Values [maxComponents]float64
	N      int
	// Pattern is the resource name of a pattern, "" for none. The
	// components are then those of an uncoloured pattern (8.7.3.3).
	Pattern string
}

// initialColour is black in DeviceGray (Table 52).
var initialColour = Colour{Space: "DeviceGray", N: 1}

// Components returns the components. They are the colour's own, not to be
// changed.
func (c *Colour) Components() []float64 { return c.Values[:c.N] }

// applyColour executes an operator of Table 74. Operators with missing or
// wrong operands do nothing.
func (s *State) applyColour(op *Operation) {
	switch op.Op {
	case OpStrokeSpace, OpStrokeColour, OpStrokeColourN, OpStrokeGrey, OpStrokeRGB, OpStrokeCMYK:
		s.Stroke.apply(op)
	default:
		s.Fill.apply(op)
	}
}

func (c *Colour) apply(op *Operation) {
	switch op.Op {
	case OpStrokeSpace, OpFillSpace:
		if name, ok := op.Name(0); ok {
			*c = spaceColour(name)
			c.Op = op.Op
		}
	case OpStrokeGrey, OpFillGrey:
		c.setDevice(op, "DeviceGray", 1)
	case OpStrokeRGB, OpFillRGB:
		c.setDevice(op, "DeviceRGB", 3)
	case OpStrokeCMYK, OpFillCMYK:
		c.setDevice(op, "DeviceCMYK", 4)
	default:
		c.setComponents(op)
	}
}

// spaceColour returns the initial colour of a space (Table 74, CS). Of a named
// one the number of components is not known here.
func spaceColour(space string) Colour {
	c := Colour{Space: space}
	switch space {
	case "DeviceGray":
		c.N = 1
	case "DeviceRGB":
		c.N = 3
	case "DeviceCMYK":
		c.N, c.Values[3] = 4, 1
	}
	return c
}

func (c *Colour) setDevice(op *Operation, space string, n int) {
	next := Colour{Op: op.Op, Space: space, N: n}
	if op.Floats(next.Values[:n]) {
		*c = next
	}
}

// setComponents executes SC, SCN, sc and scn: numbers, a pattern's name, or
// both.
func (c *Colour) setComponents(op *Operation) {
	next := Colour{Op: op.Op, Space: c.Space}
	for i := range op.Count() {
		if v, ok := op.Float(i); ok && next.N < maxComponents {
			next.Values[next.N] = v
			next.N++
		}
		if name, ok := op.Name(i); ok {
			next.Pattern = name
		}
	}
	if next.N > 0 || next.Pattern != "" {
		*c = next
	}
}
