package rewrite

import (
	"math"
	"strconv"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
)

// textParts are parts of the text state.
type textParts uint8

const (
	fontPart  textParts = 1 << iota // font and size
	charPart                        // Tc
	wordPart                        // Tw
	modePart                        // Tr
	scalePart                       // Tz

	movingParts = fontPart | charPart | wordPart | scalePart
	allParts    = movingParts | modePart
)

// initialText is the text state at the beginning of a page (9.3.1, Table 104).
var initialText = textState{scale: 1, own: allParts}

// textState is the part of the text state (9.3) that moves text.
type textState struct {
	fontOperand string // the font's operand as written, "" where gs set it
	font        *font.Font
	size        float64
	char, word  float64 // Tc, Tw
	scale       float64 // Tz / 100
	mode        int     // Tr
	// own are the parts that this stream has set itself; the others are its
	// caller's.
	own textParts
	// paint is the rest of the graphics state of the caller, where marks may
	// go for how they are painted.
	paint *inherited
}

// equal compares parts of two states.
func (t textState) equal(u textState, parts textParts) bool {
	return (parts&fontPart == 0 || t.font == u.font && t.size == u.size) &&
		(parts&charPart == 0 || t.char == u.char) &&
		(parts&wordPart == 0 || t.word == u.word) &&
		(parts&modePart == 0 || t.mode == u.mode) &&
		(parts&scalePart == 0 || t.scale == u.scale) &&
		t.paint.alike(u.paint)
}

// clips is true in the rendering modes that add glyphs to the clipping path
// (9.3.6, Table 106).
func (t textState) clips() bool { return t.mode >= 4 && t.mode <= 7 }

// A displacement stands for hidden text: the number for a TJ array that moves
// as far as the text did, in the font and size of that text (9.4.4).
type displacement struct {
	state textState
	value float64
	known bool
	live  bool // a visible string follows before the position is set anew
}

// measure gives the displacement of one show operator's strings and numbers.
func (t textState) measure(op *content.Operation) displacement {
	d := displacement{state: t, known: true}
	show := func(s []byte) {
		if len(s) == 0 {
			return
		}
		if t.font == nil {
			d.known = false
			return
		}
		t.font.Glyphs(s, func(g font.Glyph) bool {
			d.known = d.known && g.Known
			if t.size != 0 {
				d.value -= float64(g.Advance * 1000)
			}
			d.value -= t.spacing(g.Space)
			return true
		})
	}
	op.EachString(show, func(n float64) {
		if t.size != 0 {
			d.value += n
		}
	})
	return d
}

// spacing is what Tc and Tw add to a glyph, in thousandths of the size.
func (t textState) spacing(space bool) float64 {
	sum := t.char
	if space {
		sum += t.word
	}
	return float64(sum*1000) / t.unit()
}

// unit is the size in which displacements are written: 1 where the size is 0,
// since nothing can be expressed in it.
func (t textState) unit() float64 {
	if t.size == 0 {
		return 1
	}
	return t.size
}

// nothing is true where the text position does not move.
func (d displacement) nothing() bool { return d.known && d.value == 0 }

// sum adds displacements up as a number in the font and size of t. ok is false
// where that cannot express them.
func (t textState) sum(list []displacement) (sum float64, ok bool) {
	if t.font == nil || t.size == 0 || t.scale == 0 {
		return 0, len(list) == 0
	}
	for _, d := range list {
		u := d.state
		if d.nothing() {
			continue
		}
		if u.font == nil || u.font.Vertical != t.font.Vertical {
			return 0, false
		}
		value := d.value
		if u.size != t.size {
			value = value * u.unit() / t.size
		}
		if u.scale != t.scale && !t.font.Vertical {
			value = value * u.scale / t.scale
		}
		sum += value
	}
	return sum, true
}

// unknown says why the displacement cannot be written, "" where it can.
func (d displacement) unknown() string {
	switch {
	case !d.known && d.state.font == nil:
		return "no font is set"
	case !d.known:
		return d.state.font.Reason()
	case d.state.size == 0 && (d.state.fontOperand == "" || d.state.own&fontPart == 0):
		return "its size is 0 and it has no name here"
	}
	return ""
}

// operator writes the displacement; "" where there is none.
func (d displacement) operator() string {
	n := number(d.value)
	if n == "0" {
		return ""
	}
	show := "[" + n + "] TJ"
	if d.state.size != 0 {
		return show
	}
	f := d.state.fontOperand
	return f + " 1 Tf " + show + " " + f + " 0 Tf"
}

// number writes a real with at most four decimals and no exponent.
func number(v float64) string {
	r := math.Round(v*1e4) / 1e4
	if r == 0 {
		return "0" // also -0
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}
