package survey

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/lucasb-eyer/go-colorful"
	"golang.org/x/image/colornames"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
)

// LineKind says what kind of mark a LineStyle is for.
type LineKind string

// The kinds of line styles.
const (
	StrokedLine LineKind = "line"      // stroked paths
	ThinShape   LineKind = "thin fill" // filled paths as narrow as a line and at least 15 mm long
	FilledShape LineKind = "fill"      // all other filled paths
	ShownText   LineKind = "text"      // text
)

// A LineStyle is a way in which marks of a file are painted, with the marks that
// are. Lengths are those on the page, whatever matrices and UserUnit are in
// force; where a matrix scales the two directions unequally, a width or dash is
// multiplied by the root of the factor by which areas grow. What differs only by
// rounding is one style: colours by a step of 8 bits, lengths by 2 % or 0.02 mm.
// Fills and text have a colour and an opacity alone, thin fills also a width.
type LineStyle struct {
	Kind LineKind `json:"kind"`
	// Colour is "#rrggbb" in sRGB; "" where it cannot be told, as for a
	// pattern.
	Colour string `json:"colour"`
	// Name is the nearest colour name of CSS, by CIEDE2000.
	Name string `json:"name,omitempty"`
	// Written is how the colour was set, each way once, such as
	// "CMYK 0 1 0.5 0".
	Written []string `json:"written"`
	// Opacity is the alpha constant, 0 to 1.
	Opacity float64 `json:"opacity"`
	Width   float64 `json:"width"` // mm; 0 is the thinnest line of the device (8.4.3.2)
	Cap     string  `json:"cap"`   // "butt", "round" or "square"; "" for fills and text
	// Dash has the lengths of dashes and gaps in turn, in mm, an even number
	// of them; empty for a solid line (8.4.3.6).
	Dash []float64 `json:"dash"`
	// Phase is where in the pattern the lines begin, in mm: those found first,
	// where PhaseVaries says that there are others.
	Phase       float64 `json:"phase"`
	PhaseVaries bool    `json:"phaseVaries,omitempty"`
	// Pieces is not nil where most of the marks are short straight pieces in
	// rows, which stand for the dashes of a line.
	Pieces *DashPieces `json:"pieces,omitempty"`

	// Marks is the number of painted paths, or of show operators for text.
	Marks int `json:"marks"`
	// Length is that of the painted paths in metres, gaps of dashes and what
	// is clipped included; the outline of a thin fill counts half, those of
	// fills and text not at all.
	Length float64 `json:"length"`
	// Uses tells where the marks are, one entry for each page.
	Uses []LineUse `json:"uses"`
	// Layers are the object numbers of the layers that the marks are in,
	// ascending; 0 stands for no layer.
	Layers []int `json:"layers"`
	// LayerLengths are the parts of Length that are in each of Layers.
	LayerLengths []float64 `json:"layerLengths"`

	members  []paint.Style // what counts as this style
	outlines []outline     // its closed lines
	loose    []outline     // its open ones, as far as they do not close together
	texts    []LineText
	// The document that it was found in: its mark, or, where it was saved in
	// between, its fingerprint.
	mark        optional.Mark
	fingerprint string
}

// LineUse is what one page has of a line style.
type LineUse struct {
	Page  int `json:"page"` // from 1
	Marks int `json:"marks"`
	// Bounds is as in Use.
	Bounds optional.Rect `json:"bounds"`
}

// DashPieces are rows of short straight pieces.
type DashPieces struct {
	// Dash and Gap are the usual lengths of a piece and of the gap behind it,
	// in mm.
	Dash float64 `json:"dash"`
	Gap  float64 `json:"gap"`
	// Count is the number of pieces that stand in rows.
	Count int `json:"count"`
}

// A LineText is a text that is written in a style.
type LineText struct {
	Page int // from 1
	// Text is one line of it, as the file has it: text where the codes of its font are
	// those of ASCII, or the font says what they mean.
	Text string
	// Bounds are in points as those of a Use.
	Bounds optional.Rect
}

// Texts are what is written in the style, page by page: the first of them, where there
// are very many, and none of a style that was not found in a file.
func (s *LineStyle) Texts() []LineText { return slices.Clone(s.texts) }

// Samples are the places, in points, of the open lines in the style on a page, such as
// those of a key; none of a style that was not found in a file.
func (s *LineStyle) Samples(page int) (list []optional.Rect) {
	for _, l := range s.loose {
		if l.page == page {
			list = append(list, optional.RectOf(l.box))
		}
	}
	return list
}

// kindNames are the kinds of line styles by those of marks.
var kindNames = map[paint.Kind]LineKind{
	paint.Stroke: StrokedLine, paint.Thin: ThinShape, paint.Fill: FilledShape, paint.Text: ShownText,
}

// capNames are the caps of Table 54.
var capNames = [...]string{"butt", "round", "square"}

// A ForeignLineError says that a line style was not found in the document that it
// is to be removed from: it was found in another one, made by hand, or read from
// JSON by itself.
type ForeignLineError struct{ Style LineStyle }

// Is reports whether target is layers.ErrBadRequest.
func (*ForeignLineError) Is(target error) bool { return target == fault.ErrBadRequest }

func (e *ForeignLineError) Error() string {
	what := string(e.Style.Kind)
	if e.Style.Colour != "" {
		what += " " + e.Style.Colour
	}
	return fmt.Sprintf("the line style %q was not found in this file, so nobody knows what removing it removes: "+
		"take the styles that finding the lines of this very file gives", what)
}

// Painted are the styles of marks that count as any of a list of styles found in a
// document; nil where there are none. It gives a *[ForeignLineError] for a style
// that was not found there, and the error of ctx.
func Painted(ctx context.Context, doc *optional.Document, list []LineStyle) (set map[paint.Style]bool, err error) {
	for i := range list {
		found, err := list[i].foundIn(ctx, doc)
		if err != nil {
			return nil, err
		}
		if len(list[i].members) == 0 || !found {
			return nil, &ForeignLineError{list[i]}
		}
		for _, style := range list[i].members {
			if set == nil {
				set = map[paint.Style]bool{}
			}
			set[style] = true
		}
	}
	return set, nil
}

// foundIn reports whether a style was found in a document.
func (s *LineStyle) foundIn(ctx context.Context, doc *optional.Document) (bool, error) {
	if s.fingerprint != "" {
		fingerprint, err := doc.Fingerprint(ctx)
		return s.fingerprint == fingerprint, err
	}
	mark, err := doc.Mark(ctx)
	return s.mark == mark, err
}

// A SavedStyle is a line style as a saved selection has it: with what counts as it.
type SavedStyle struct {
	LineStyle
	Members []paint.Style `json:"members"`
}

// Save makes a style ready to be written.
func (s LineStyle) Save() SavedStyle { return SavedStyle{s, s.members} }

// Restore is the style as it was found in the document with a fingerprint.
func (s SavedStyle) Restore(fingerprint string) LineStyle {
	s.LineStyle.members, s.LineStyle.fingerprint = s.Members, fingerprint
	return s.LineStyle
}

// colourDifference is the CIEDE2000 difference of two colours (Sharma, Wu, Dalal
// 2005), where 1 is about what an eye just tells apart.
func colourDifference(a, b colorful.Color) float64 { return 100 * a.DistanceCIEDE2000(b) }

// colourful is a colour as the colour library has it.
func colourful(c paint.Colour) colorful.Color {
	return colorful.Color{R: float64(c.R) / 255, G: float64(c.G) / 255, B: float64(c.B) / 255}
}

// colourName is the nearest colour name of CSS; "" where the colour is unknown.
// Of two names for one colour it is the first in the alphabet, and grey for
// gray.
func colourName(c paint.Colour) string {
	if !c.Known {
		return ""
	}
	best, name := -1.0, ""
	for _, n := range colornames.Names {
		is := colornames.Map[n]
		d := colourDifference(colourful(c), colourful(paint.Colour{R: is.R, G: is.G, B: is.B}))
		if best < 0 || d < best {
			best, name = d, n
		}
	}
	return strings.Replace(name, "gray", "grey", 1)
}
