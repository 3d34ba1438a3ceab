package artwork

import "github.com/sizeply/sizeply/internal/demo/draft"

// A Drawing is one sheet.
type Drawing struct {
	Width, Height float64 // mm
	Title         string
	Author        string
	Rights        string
	Layers        []Layer // in the order a layer panel lists them
	Symbols       []Symbol
	Marks         []Mark // painted in turn
}

// A Layer is something the reader of the file may switch.
type Layer struct {
	Name    string
	Heading string // the group it is listed under; "" for none
}

// A Symbol is artwork that stamps repeat. It is painted in the stamp's colour.
type Symbol struct {
	Name   string
	Shapes []Shape // Fill and Stroke only
}

// A Mark is a shape in a layer.
type Mark struct {
	Layer string // a Layer's name; "" for content outside all layers
	Shape Shape
}

// A Shape is a Stroke, Fill, Rectangle, Text, Stamp or Clip.
type Shape interface{ shape() }

// A Stroke is lines along paths.
type Stroke struct {
	Paths  []draft.Path
	Closed bool
	Line   Line
}

// A Fill is an area without lines, by the non-zero winding rule.
type Fill struct {
	Paths  []draft.Path
	Colour Colour
}

// A Rectangle is an upright rectangle; its sides are exact in every format.
type Rectangle struct {
	Corner        draft.Point // lower left
	Width, Height float64
	Line          Line
}

// A Text is one line of text; each run may be in a layer of its own.
type Text struct {
	At   draft.Point // start of the base line
	Turn float64     // radians against the clock
	Size float64     // type size, mm
	Runs []Run
}

// A Run is a stretch of a text.
type Run struct {
	Layer  string // "" for the layer of the mark
	Text   string
	Colour Colour
}

// A Stamp is a symbol put somewhere.
type Stamp struct {
	Symbol string
	At     draft.Point
	Turn   float64 // radians against the clock
	Line   Line
}

// A Clip is shapes that show only inside the paths.
type Clip struct {
	Paths  []draft.Path
	Shapes []Shape
}

func (Stroke) shape()    {}
func (Fill) shape()      {}
func (Rectangle) shape() {}
func (Text) shape()      {}
func (Stamp) shape()     {}
func (Clip) shape()      {}
