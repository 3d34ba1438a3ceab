package paint

import (
	"encoding/hex"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// Kind says what kind of mark has a style.
type Kind uint8

// The kinds of styles. The zero value is none of them.
const (
	Stroke Kind = iota + 1 // a stroked path
	Thin                   // a filled path that looks like a line
	Fill                   // any other filled path
	Text                   // shown text
)

// Colour is an sRGB colour. Known is false where it cannot be told, as for a
// pattern; the colour is then black.
type Colour struct {
	R, G, B uint8
	Known   bool
}

// Style is how a mark is painted, rounded: what has equal styles looks alike.
// Fills and text have a colour and an opacity alone, thin fills a width too.
type Style struct {
	Kind    Kind   `json:"kind"`
	Colour  Colour `json:"colour"`
	Opacity uint8  `json:"opacity"` // percent, of the alpha constant
	Cap     uint8  `json:"cap"`     // Table 54
	Width   int32  `json:"width"`   // micrometres on the page
	// Dash has the lengths of dashes and gaps in turn, in micrometres with
	// spaces between; "" for a solid line. The number of lengths is even.
	Dash string `json:"dash"`
}

// kindWords are the kinds as saved styles name them.
var kindWords = [...]string{Stroke: "stroke", Thin: "thin", Fill: "fill", Text: "text"}

// MarshalText writes a kind as a word. The zero kind is an error.
func (k Kind) MarshalText() ([]byte, error) {
	if k < Stroke || k > Text {
		return nil, fmt.Errorf("%d is no kind of style", k)
	}
	return []byte(kindWords[k]), nil
}

// UnmarshalText reads the word that MarshalText writes.
func (k *Kind) UnmarshalText(text []byte) error {
	i := slices.Index(kindWords[:], string(text))
	if i < int(Stroke) {
		return fmt.Errorf("%q is no kind of style", text)
	}
	*k = Kind(i)
	return nil
}

// MarshalText writes a colour as "#rrggbb", and nothing for one that cannot be told.
func (c Colour) MarshalText() ([]byte, error) {
	if !c.Known {
		return nil, nil
	}
	return fmt.Appendf(nil, "#%02x%02x%02x", c.R, c.G, c.B), nil
}

// UnmarshalText reads what MarshalText writes.
func (c *Colour) UnmarshalText(text []byte) error {
	*c = Colour{}
	if len(text) == 0 {
		return nil
	}
	rgb, err := hex.DecodeString(strings.TrimPrefix(string(text), "#"))
	if err != nil || len(rgb) != 3 || text[0] != '#' {
		return fmt.Errorf("%q is no colour of the form #rrggbb", text)
	}
	*c = Colour{rgb[0], rgb[1], rgb[2], true}
	return nil
}

// UnitsPerMillimetre is the number of points, of 1/72 inch, in a millimetre
// (8.3.2.3).
const UnitsPerMillimetre = 72 / 25.4

// Lengths are the dashes and gaps of a style in millimetres, nil for a solid
// line.
func (s Style) Lengths() []float64 {
	var list []float64
	for _, word := range strings.Fields(s.Dash) {
		v, _ := strconv.Atoi(word)
		list = append(list, float64(v)/1000)
	}
	return list
}

// Resources finds what a name in a content stream stands for; nil where nobody
// has it.
type Resources interface {
	Lookup(category, name pdf.Name) pdf.Object
}

// A Painter knows the colour spaces of a document. It remembers those that it
// has met, so it is for one goroutine at a time.
type Painter struct {
	src    pdf.Objects
	spaces []space
	names  map[string]string // how a space is written to the name it has here

	functions int // read so far for the space at hand

	last   content.Colour // the one that was converted last
	lastIs Colour

	dashed   []float64 // the dash pattern that was written last, as scaled
	scaled   float64
	dashedAs string
}

// New makes a Painter for a document.
func New(src pdf.Objects) *Painter {
	return &Painter{src: src, names: map[string]string{}}
}

// Follow does what an operation does to the graphics state by way of resources:
// it comes after the machine's own Apply. Colour spaces get names that mean the
// same in every stream, so that a form inherits colours; gs sets what Table 58
// says, but for the font.
func (p *Painter) Follow(m *content.Machine, op *content.Operation, res Resources) {
	switch op.Op {
	case content.OpStrokeSpace:
		p.rename(&m.State.Stroke, op, res)
	case content.OpFillSpace:
		p.rename(&m.State.Fill, op, res)
	case content.OpGraphicsState:
		name, _ := op.Name(0)
		p.set(m, pdf.AsDict(p.src, res.Lookup("ExtGState", pdf.Name(name))))
	}
}

// rename replaces the resource name of the space that was just set.
func (p *Painter) rename(c *content.Colour, op *content.Operation, res Resources) {
	name, ok := op.Name(0)
	if !ok || deviceSpace(name) != nil || name == "Pattern" {
		return
	}
	c.Space = "?"
	if o := res.Lookup("ColorSpace", pdf.Name(name)); o != nil {
		c.Space = p.intern(o)
	}
}

// set takes the entries of an ExtGState dictionary (8.4.5, Table 58).
func (p *Painter) set(m *content.Machine, gs pdf.Dict) {
	number := func(key pdf.Name, set func(float64)) {
		if v, ok := pdf.AsNumber(p.src, gs[key]); ok {
			set(v)
		}
	}
	number("LW", m.SetLineWidth)
	number("LC", func(v float64) { m.SetLineCap(int(v)) })
	number("LJ", func(v float64) { m.SetLineJoin(int(v)) })
	number("ML", m.SetMiterLimit)
	number("CA", m.SetStrokeAlpha)
	number("ca", m.SetFillAlpha)
	if d := pdf.AsArray(p.src, gs["D"]); len(d) == 2 {
		phase, ok := pdf.AsNumber(p.src, d[1])
		if array, isArray := pdf.Resolve(p.src, d[0]).(pdf.Array); ok && isArray {
			m.SetDash(p.list(array), phase)
		}
	}
}

// PathStyles are the styles of the fill and of the stroke that a path painter
// paints in the state; the zero value where it paints none. The path is to be
// measured; s, b and b* close it.
func (p *Painter) PathStyles(op content.Op, s *content.State, path *content.Path) (fill, stroke Style) {
	fills, strokes, evenOdd := true, true, false
	switch op { // 8.5.3, Table 60
	case content.OpStroke, content.OpCloseStroke:
		fills = false
	case content.OpFill, content.OpFillCompat:
		strokes = false
	case content.OpFillEvenOdd:
		strokes, evenOdd = false, true
	case content.OpFillStroke, content.OpCloseFillStroke:
	case content.OpFillStrokeEvenOdd, content.OpCloseFillStrokeEvenOdd:
		evenOdd = true
	default:
		return fill, stroke
	}
	switch op {
	case content.OpCloseStroke, content.OpCloseFillStroke, content.OpCloseFillStrokeEvenOdd:
		path.Close()
	}
	if fills {
		fill = Style{Kind: Fill, Colour: p.Colour(&s.Fill), Opacity: percent(s.FillAlpha)}
		if width, thin := thin(path, evenOdd); thin {
			fill.Kind, fill.Width = Thin, micrometres(width, 1)
		}
	}
	if strokes {
		stroke = p.StrokeStyle(s)
	}
	return fill, stroke
}

// What a filled path must be like to look like a line, in points. Letters that
// are drawn as shapes are shorter.
const (
	thinWidth  = 1.5 * UnitsPerMillimetre // at most, on average
	thinLength = 15 * UnitsPerMillimetre  // at least, from end to end
)

// thin reports whether a path, filled, looks like a line, and how wide that would
// be: its area over half its outline. One subpath at least is long, so that letters
// drawn as shapes are none.
func thin(path *content.Path, evenOdd bool) (width float64, ok bool) {
	if path.Length() == 0 {
		return 0, false
	}
	width = 2 * path.Area(evenOdd) / path.Length()
	return width, width <= thinWidth && path.Longest() >= thinLength
}

// StrokeStyle is the style of a path that is stroked in the state, whose CTM
// gives points.
func (p *Painter) StrokeStyle(s *content.State) Style {
	scale := Scale(s.CTM)
	style := Style{
		Kind: Stroke, Colour: p.Colour(&s.Stroke), Opacity: percent(s.StrokeAlpha), Cap: uint8(s.LineCap),
		Width: micrometres(s.LineWidth, scale),
	}
	if len(s.Dash.Array) > 0 {
		style.Dash = p.dash(s.Dash, scale)
	}
	return style
}

// TextStyles are the styles of text that is shown in the state: of its fill and
// of its stroke, by the rendering mode (Table 106). Invisible text has none.
func (p *Painter) TextStyles(s *content.State) []Style {
	var list []Style
	fill, stroke := true, false
	switch s.Text.Render {
	case 1, 5:
		fill, stroke = false, true
	case 2, 6:
		stroke = true
	case 3, 7:
		fill = false
	}
	if fill {
		list = append(list, Style{Kind: Text, Colour: p.Colour(&s.Fill), Opacity: percent(s.FillAlpha)})
	}
	if stroke {
		list = append(list, Style{Kind: Text, Colour: p.Colour(&s.Stroke), Opacity: percent(s.StrokeAlpha)})
	}
	return list
}

// Colour converts a current colour, as Follow has left it, to sRGB.
func (p *Painter) Colour(c *content.Colour) Colour {
	if p.last == *c {
		return p.lastIs
	}
	p.last, p.lastIs = *c, Colour{}
	s := p.space(c.Space)
	if s == nil || c.Pattern != "" {
		return p.lastIs
	}
	if v, ok := components(s, c); ok {
		if rgb, ok := s.rgb(v); ok {
			byteOf := func(v float64) uint8 { return uint8(math.Round(unit(v) * 255)) }
			p.lastIs = Colour{byteOf(rgb[0]), byteOf(rgb[1]), byteOf(rgb[2]), true}
		}
	}
	return p.lastIs
}

// Written says how a colour was set, as in "CMYK 0 1 0.5 0".
func (p *Painter) Written(c *content.Colour) string {
	s := p.space(c.Space)
	switch {
	case c.Pattern != "" || c.Space == "Pattern":
		return "pattern"
	case s == nil:
		return "unknown"
	}
	words := []string{s.name()}
	v, _ := components(s, c)
	for _, x := range v {
		words = append(words, strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64))
	}
	return strings.Join(words, " ")
}

// PageMatrix takes the default user space of a page to points with the origin at
// the lower left corner of the crop box. Styles are the same, to the last digit,
// where they are worked out in the same space.
func PageMatrix(p pdf.Page) content.Matrix {
	u := p.UserUnit
	return content.Matrix{A: u, D: u, E: -float64(p.CropBox.LLX * u), F: -float64(p.CropBox.LLY * u)}
}

// Scale is the factor by which a matrix multiplies lengths: the root of that by
// which it multiplies areas.
func Scale(m content.Matrix) float64 { return math.Sqrt(math.Abs(m.Determinant())) }

// dash writes a dash pattern as Style has it. Lines of one pattern follow each other,
// so the last one is remembered; an array of the graphics state never changes.
func (p *Painter) dash(d content.Dash, scale float64) string {
	array := d.Array
	if len(array) != len(p.dashed) || &array[0] != &p.dashed[0] || scale != p.scaled {
		p.dashed, p.scaled, p.dashedAs = array, scale, dash(d, scale)
	}
	return p.dashedAs
}

// dash writes a dash pattern as Style has it.
func dash(d content.Dash, scale float64) string {
	if d.Solid() {
		return ""
	}
	var buf [64]byte
	words := buf[:0]
	for i, v := range Pattern(d.Array) {
		if i > 0 {
			words = append(words, ' ')
		}
		words = strconv.AppendInt(words, int64(micrometres(v, scale)), 10)
	}
	return string(words)
}

// Pattern gives a dash pattern an even number of lengths: an odd number counts twice
// (8.4.3.6, Table 56). What repeats itself is written once. Nil is a solid line, as
// gaps of no length make.
func Pattern(array []float64) []float64 {
	if len(array)%2 == 1 {
		array = slices.Concat(array, array)
	}
	gaps := 0.0
	for i := 1; i < len(array); i += 2 {
		gaps += array[i]
	}
	if gaps == 0 {
		return nil
	}
	n := period(array)
	if n%2 == 1 {
		n *= 2
	}
	if len(array)%n == 0 {
		return array[:n]
	}
	return array
}

// period is the least number of lengths after which a list repeats itself, in full or
// in part: by the longest border of each of its beginnings (Knuth, Morris and Pratt).
func period(list []float64) int {
	border := make([]int32, len(list))
	for i, at := 1, int32(0); i < len(list); i++ {
		for at > 0 && list[i] != list[at] {
			at = border[at-1]
		}
		if list[i] == list[at] {
			at++
		}
		border[i] = at
	}
	return len(list) - int(border[len(list)-1])
}

// micrometres rounds a length in units of that many points each.
func micrometres(v, scale float64) int32 {
	v = math.Round(math.Abs(v) * scale / UnitsPerMillimetre * 1000)
	if !(v < math.MaxInt32) {
		return math.MaxInt32
	}
	return int32(v)
}

func percent(v float64) uint8 { return uint8(math.Round(unit(v) * 100)) }
