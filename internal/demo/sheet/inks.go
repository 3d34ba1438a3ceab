package sheet

import (
	"fmt"
	"strings"

	"github.com/sizeply/sizeply/internal/demo/artwork"
)

// A Spot is a colour that is printed with an ink of its own.
type Spot struct {
	Name   string // of the ink, letters and digits
	Colour artwork.Colour
}

// process are the colours of print: CMYK, and one spot colour.
type process struct{ spot Spot }

// stroke sets the stroking colour, in RGB unless the document is for print.
func (d *document) stroke(c artwork.Colour) string {
	switch p := d.process; {
	case p == nil:
		return rgb(c) + " RG"
	case c == p.spot.Colour:
		return "/Spot CS 1 SCN"
	}
	return cmyk(c) + " K"
}

// paint sets the colour of fills and text.
func (d *document) paint(c artwork.Colour) string {
	switch p := d.process; {
	case p == nil:
		return rgb(c) + " rg"
	case c == p.spot.Colour:
		return "/Spot cs 1 scn"
	}
	return cmyk(c) + " k"
}

// spotSpace is the colour space of the spot colour (8.6.6.4): its tint goes from
// no ink to what it looks like in CMYK.
func (p *process) spotSpace() string {
	return fmt.Sprintf("/ColorSpace<</Spot[/Separation/%s/DeviceCMYK<</FunctionType 2/Domain[0 1]/C0[0 0 0 0]/C1[%s]/N 1>>]>>",
		p.spot.Name, cmyk(p.spot.Colour))
}

// cmyk writes a colour with as much black as there is in all three inks (10.3.4).
func cmyk(c artwork.Colour) string {
	ink := [3]float64{1 - float64(c.R)/255, 1 - float64(c.G)/255, 1 - float64(c.B)/255}
	black := min(ink[0], ink[1], ink[2])
	var parts []string
	for _, v := range ink {
		parts = append(parts, decimal(v-black))
	}
	return strings.Join(append(parts, decimal(black)), " ")
}
