package draw

import (
	"math"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
)

// Kind says what kind of thing a mark is.
type Kind uint8

// The kinds of marks.
const (
	// Unknown is something of which nothing can be told but that it may be drawn:
	// a form, image or font that is not there, an annotation without appearance.
	Unknown Kind = iota
	PaintedPath
	ShownText
	Shading
	Image
)

// A Mark is one thing that is painted. It is valid until the function that it was
// given to returns, with all that it leads to.
type Mark struct {
	Kind Kind
	Page int // from 1
	// Groups are those of the optional content around it, outermost first, each
	// once.
	Groups []pdf.Ref
	// State is the graphics state, whose matrix leads to the page and whose clip is
	// there.
	State *content.State
	// Bounds are those on the page: exact for curves, without the width of lines and
	// whatever clips them. Text reaches from its font's descent to its ascent.
	Bounds content.Rect
	// Of a PaintedPath, Op is what paints it. It is measured where styles are followed.
	Op   content.Op
	Path *content.Path
	Text *Text // of ShownText
	// Painter tells the styles that it is painted in, where they are followed.
	Painter *paint.Painter
}

// Text is what one operator shows.
type Text struct {
	Font    *font.Font
	Decoder *font.Decoder
	Codes   []byte // of all strings
	Strings []String
}

// A String is one of the strings that an operator shows.
type String struct {
	Codes []byte
	// Matrix leads from unscaled text space, whose origin is where the string
	// begins, to the page.
	Matrix content.Matrix
	// Width is the displacement along the line in that space, 0 for vertical
	// writing.
	Width  float64
	Bounds content.Rect
}

// MayShow reports whether anything of the mark may be seen: whether what is within
// the clip is not empty, counting the width of lines, and letters that are larger
// than their font says.
func (m *Mark) MayShow() bool {
	bounds := m.Bounds
	switch m.Kind {
	case Unknown:
		return true
	case PaintedPath:
		bounds = bounds.Grow(m.State.StrokeReach())
	case ShownText:
		// Letters may reach beyond their box, by no more than their size; those of a
		// Type 3 font, and of unknown width, anywhere.
		known := !m.Text.Font.Type3
		m.Text.Font.Glyphs(m.Text.Codes, func(g font.Glyph) bool {
			known = known && g.Known
			return known
		})
		if !known {
			bounds = content.Everywhere()
		}
		t, last := &m.State.Text, &m.Text.Strings[len(m.Text.Strings)-1]
		bounds = bounds.Grow(math.Abs(t.Size) * max(1, math.Abs(t.Scale)) * last.Matrix.MaxScale())
	}
	return !bounds.Intersect(m.State.Clip).Empty()
}

// Clipped are the bounds within the clip.
func (m *Mark) Clipped() content.Rect { return m.Bounds.Intersect(m.State.Clip) }
