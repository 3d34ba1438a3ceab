package rewrite

import (
	"math"
	"strconv"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
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
	// paint is the rest of the graphics state of the caller, where marks may be
	// removed for how they are painted.
	paint *paintState
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

// clips reports whether glyphs are added to the clipping path (9.3.6, Table
// 106).
func (t textState) clips() bool { return t.mode >= 4 && t.mode <= 7 }

// maxStates bounds the graphics state stack that is followed; deeper q are
// kept but not followed. Annex C, Table C.1 names 28 as a limit that readers
// should reach.
const maxStates = 1 << 16

// follow follows an operation that changes state. It is kept in the output, so
// the names in it are used.
func (s *streamFilter) follow(op *content.Operation) {
	t := &s.text
	switch op.Op {
	case content.OpSave:
		if len(s.stack) < maxStates {
			s.stack = append(s.stack, s.text)
		}
	case content.OpRestore:
		if n := len(s.stack); n > 0 {
			s.text, s.stack = s.stack[n-1], s.stack[:n-1]
		}
	case content.OpBeginText, content.OpEndText, content.OpTextMove, content.OpTextMoveSet,
		content.OpTextMatrix, content.OpNextLine:
		s.pending = len(s.moves) // the position is set anew
	case content.OpFont:
		name, _ := op.Name(0)
		size, _ := op.Float(1)
		t.setFont(s.fontOf(s.scope.Lookup(resources.Font, pdf.Name(name))), size, s.operand(op, 0))
		s.name(op, 0, resources.Font)
	case content.OpCharSpacing:
		t.char, _ = op.Float(0)
		t.own |= charPart
	case content.OpWordSpacing:
		t.word, _ = op.Float(0)
		t.own |= wordPart
	case content.OpHorizontalScale:
		scale, _ := op.Float(0)
		t.scale = scale / 100
		t.own |= scalePart
	case content.OpRender:
		mode, _ := op.Float(0)
		t.mode = int(mode)
		t.own |= modePart
	case content.OpGraphicsState: // sets a font at most, of all that moves text (8.4.5, Table 58)
		s.name(op, 0, resources.ExtGState)
		name, _ := op.Name(0)
		gs := pdf.AsDict(s.edit, s.scope.Lookup(resources.ExtGState, pdf.Name(name)))
		if f := pdf.AsArray(s.edit, gs["Font"]); len(f) >= 2 {
			size, _ := pdf.AsNumber(s.edit, f[1])
			t.setFont(s.fontOf(f[0]), size, "")
		}
	case content.OpFillSpace, content.OpStrokeSpace:
		s.name(op, 0, resources.ColorSpace)
	case content.OpFillColour, content.OpFillColourN, content.OpStrokeColour, content.OpStrokeColourN:
		s.name(op, op.Count()-1, resources.Pattern)
	}
}

func (t *textState) setFont(f *font.Font, size float64, operand string) {
	t.font, t.size, t.fontOperand = f, size, operand
	t.own |= fontPart
}

// fontOf loads a font once.
func (w *rewriter) fontOf(o pdf.Object) *font.Font {
	ref, ok := o.(pdf.Ref)
	if !ok {
		if pdf.AsDict(w.edit, o) == nil {
			return nil
		}
		return w.library.Load(o)
	}
	f, ok := w.fonts[ref]
	if !ok && pdf.AsDict(w.edit, ref) != nil {
		f = w.library.Load(ref)
		w.fonts[ref] = f
	}
	return f
}

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
	op.EachString(func(s []byte) {
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
			spacing := t.char
			if g.Space {
				spacing += t.word
			}
			d.value -= float64(spacing*1000) / t.unit()
			return true
		})
	}, func(n float64) {
		if t.size != 0 {
			d.value += n
		}
	})
	return d
}

// unit is the size in which displacements are written: 1 where the size is 0,
// since nothing can be expressed in it.
func (t textState) unit() float64 {
	if t.size == 0 {
		return 1
	}
	return t.size
}

// nothing reports whether the text position does not move.
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
