package sheet

import (
	"strings"

	"github.com/sizeply/sizeply/internal/demo/artwork"
)

// state is the part of the graphics state that the writer uses, as operators;
// an operator is written only where it changes something.
type state struct{ stroke, fill, width, dash string }

// start is the state at the start of a page (8.4.1, table 52).
var start = state{"0 0 0 RG", "0 0 0 rg", "1 w", "[] 0 d"}

func (c *content) line(l artwork.Line) {
	c.change(&c.state.stroke, c.document.stroke(l.Colour))
	c.change(&c.state.width, number(l.Width)+" w")
	c.change(&c.state.dash, dash(l.Dash))
}

func (c *content) fill(colour artwork.Colour) {
	c.change(&c.state.fill, c.paint(colour))
}

func (c *content) change(now *string, want string) {
	if *now != want {
		c.op("%s", want)
		*now = want
	}
}

// dash writes a dash pattern (8.4.3.6).
func dash(mm []float64) string {
	var parts []string
	for _, v := range mm {
		parts = append(parts, number(v))
	}
	return "[" + strings.Join(parts, " ") + "] 0 d"
}

func rgb(c artwork.Colour) string {
	part := func(v uint8) string { return decimal(float64(v) / 255) }
	return part(c.R) + " " + part(c.G) + " " + part(c.B)
}
