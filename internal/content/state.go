package content

import "math"

// State is the part of the graphics state that needs no resources
// (ISO 32000-1, 8.4.1, Table 52; 9.3.1, Table 104), without the rendering intent
// and the flatness. A copy is independent: what it points to is never changed.
type State struct {
	// CTM takes user space to the space that the Machine was given.
	CTM Matrix
	// Clip holds the clipping region: the intersection of the bounds of all
	// clipping paths, in the same space as CTM's results. The region itself
	// may be smaller.
	Clip Rect

	// LineWidth is in user units; 0 is the thinnest line of the device
	// (8.4.3.2). Initially 1.
	LineWidth float64
	// LineCap is 0 butt, 1 round, 2 projecting square (Table 54).
	LineCap int
	// LineJoin is 0 miter, 1 round, 2 bevel (Table 55).
	LineJoin int
	// MiterLimit is initially 10 (8.4.3.5).
	MiterLimit float64
	Dash       Dash

	Stroke, Fill Colour
	// StrokeAlpha and FillAlpha are the alpha constants (11.6.4.4), initially
	// 1. Only gs sets them.
	StrokeAlpha, FillAlpha float64
	Text                   TextState
}

// Dash is a dash pattern in user units (8.4.3.6). An empty array is a solid
// line.
type Dash struct {
	Array []float64
	Phase float64
}

// TextState holds the text state parameters (9.3.1, Table 104). Lengths are in
// unscaled text space units.
type TextState struct {
	CharSpacing float64 // Tc
	WordSpacing float64 // Tw
	// Scale is the horizontal scaling Th as a factor: 1 for 100 Tz.
	Scale   float64
	Leading float64 // TL
	Font    string  // resource name, "" while none is set
	Size    float64 // Tfs
	Render  int     // Tr, 0 to 7 (Table 106)
	Rise    float64 // Ts
}

// NewState returns the state at the beginning of a page (Table 52) with the
// given matrix and clipping region.
func NewState(ctm Matrix, clip Rect) State {
	return State{
		CTM:        ctm.bounded(),
		Clip:       clip,
		LineWidth:  1,
		MiterLimit: 10,
		Stroke:     initialColour,
		Fill:       initialColour,
		Text:       TextState{Scale: 1},

		StrokeAlpha: 1,
		FillAlpha:   1,
	}
}

// Solid reports whether a line is drawn without gaps: the array is empty or has
// nothing but zeros, or a negative length. The last two are not allowed
// (8.4.3.6); to read them as solid is our choice.
func (d Dash) Solid() bool {
	sum := 0.0
	for _, v := range d.Array {
		if v < 0 {
			return true
		}
		sum += v
	}
	return sum == 0
}

// StrokeReach returns how far a stroke can reach beyond its path, in the space
// of CTM's results: half the width, times the miter limit for miter joins or
// √2 for projecting caps, scaled. Width 0 gives 0.
func (s *State) StrokeReach() float64 {
	factor := 1.0
	if s.LineCap == 2 {
		factor = math.Sqrt2
	}
	if s.LineJoin == 0 {
		factor = max(factor, s.MiterLimit)
	}
	return math.Abs(s.LineWidth) / 2 * factor * s.CTM.MaxScale()
}

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
	c := &s.Fill
	switch op.Op {
	case OpStrokeSpace, OpStrokeColour, OpStrokeColourN, OpStrokeGrey, OpStrokeRGB, OpStrokeCMYK:
		c = &s.Stroke
	}
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
