package artwork

// A Colour is an sRGB colour.
type Colour struct{ R, G, B uint8 }

// A Line is how a stroke looks.
type Line struct {
	Colour Colour
	Width  float64   // mm
	Dash   []float64 // mm, on and off in turn; empty for solid
}

var (
	ink    = Colour{0x1a, 0x1a, 0x1a}
	grey   = Colour{0x6b, 0x6b, 0x6b}
	grid   = Colour{0xdc, 0xe3, 0xe6}
	tint   = Colour{0xf7, 0xf4, 0xec}
	fine   = Line{Colour: ink, Width: 0.25}
	plain  = Line{Colour: ink, Width: 0.4}
	broken = Line{Colour: ink, Width: 0.25, Dash: []float64{6, 2, 1, 2}}
)

// sizeLines tells the sizes apart, from the smallest up: by colour on a
// colour printer, by dash on any other. Dark colours, since light ones
// vanish in print. Invented for this pattern.
var sizeLines = [...]Line{
	{Colour{0xc1, 0x12, 0x1f}, sizeWidth, nil},
	{Colour{0x0b, 0x5f, 0xa5}, sizeWidth, []float64{6, 2}},
	{Colour{0x1e, 0x7d, 0x32}, sizeWidth, []float64{2, 1.2}},
	{Colour{0x8e, 0x24, 0xaa}, sizeWidth, []float64{9, 1.5, 1, 1.5}},
	{Colour{0xd3, 0x54, 0x00}, sizeWidth, []float64{12, 3}},
	{Colour{0x00, 0x83, 0x8f}, sizeWidth, []float64{9, 1.5, 1, 1.5, 1, 1.5}},
	{Colour{0xd8, 0x1b, 0x7a}, sizeWidth, []float64{0.8, 1.2}},
	{Colour{0x6d, 0x42, 0x2f}, sizeWidth, []float64{5, 1.5, 2, 1.5}},
	{Colour{0x2f, 0x3e, 0x75}, sizeWidth, []float64{3.5, 3.5}},
	{Colour{0x7a, 0x6a, 0x00}, sizeWidth, []float64{18, 1.5, 4, 1.5}},
}

const sizeWidth = 0.45 // mm
