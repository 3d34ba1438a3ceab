package content

import "math"

// State is the part of the graphics state that needs no resources
// (ISO 32000-1, 8.4.1, Table 52; 9.3.1, Table 104). A copy is independent:
// what it points to is never changed.
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
	// Intent is the rendering intent, initially RelativeColorimetric.
	Intent string
	// Flatness is in device pixels, 0 for the device's default.
	Flatness float64

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
		Intent:     "RelativeColorimetric",
		Stroke:     initialColour,
		Fill:       initialColour,
		Text:       TextState{Scale: 1},

		StrokeAlpha: 1,
		FillAlpha:   1,
	}
}

// ClipsText tells whether shown glyphs join the clipping path (Tr 4 to 7).
func (t TextState) ClipsText() bool { return t.Render >= 4 }

// Solid tells whether a line is drawn without gaps: the array is empty or has
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
