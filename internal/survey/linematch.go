package survey

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/lucasb-eyer/go-colorful"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/paint"
)

// A LineSpec says what the lines of one size look like. What it does not state
// may be anything.
type LineSpec struct {
	Colour string    // "#rrggbb" in sRGB; "" where it is not stated
	Dash   []float64 // mm, as LineStyle has it; nil where it is not stated, empty for a solid line
	Width  float64   // mm; 0 where it is not stated
	Text   bool      // text and fills of the colour belong to it too
}

// How far a style may be off and still fit. A spec wins where it is off by no
// more than half of what the next one is, and by a tenth of a tolerance less.
const (
	colourTolerance = 10   // CIEDE2000
	periodTolerance = 0.15 // of the longer period of two dash patterns, or dashLeast
	dashLeast       = 0.3  // mm
	shareTolerance  = 0.06 // of a dash or gap in its period
	widthTolerance  = 0.25 // of the wider of two lines, or widthLeast
	widthLeast      = 0.1  // mm
	clearly         = 0.1
)

// A LineMatch says for each style which specs it fits.
type LineMatch struct {
	Answers []LineAnswer // in the order of the styles

	styles []LineStyle
}

// A LineAnswer is what a style is to a list of specs.
type LineAnswer struct {
	// Specs are the positions of the specs that the style serves, ascending:
	// none, one, or several that state the same.
	Specs []int `json:"specs,omitempty"`
	// Between are the positions of specs that fit about equally well: the style
	// is ambiguous, and serves none.
	Between []int `json:"between,omitempty"`
}

// MatchLines holds styles against specs. Lines and thin fills fit a spec by all
// that it states, fills and text by its colour where the spec has Text:
//
//   - colours by a CIEDE2000 difference of 10 or less;
//   - dashes by their shares of the period, 0.06 each, and by its length, 15 % or
//     0.3 mm, wherever in the pattern it begins; rows of separate pieces count as
//     the dashes that they stand for, thin fills as solid;
//   - widths by 25 % or 0.1 mm.
//
// The closest spec wins where it is clearly closer than the next; else the one
// that states more; else the style is ambiguous. It gives an error for a colour
// that is none.
func MatchLines(styles []LineStyle, specs []LineSpec) (*LineMatch, error) {
	colours := make([]colorful.Color, len(specs))
	for i, s := range specs {
		if s.Colour == "" {
			continue
		}
		c, err := colorful.Hex(s.Colour)
		if err != nil {
			return nil, fault.Errorf(fault.ErrBadRequest,
				"%q is no colour; write six hexadecimal digits, as in #d7263d", s.Colour)
		}
		colours[i] = c
	}
	m := &LineMatch{Answers: make([]LineAnswer, len(styles)), styles: styles}
	for i := range styles {
		m.Answers[i] = specsOf(&styles[i], specs, colours)
	}
	return m, nil
}

// Serves are the styles of a spec, by position.
func (m *LineMatch) Serves(spec int) []int {
	var list []int
	for i, a := range m.Answers {
		if slices.Contains(a.Specs, spec) {
			list = append(list, i)
		}
	}
	return list
}

// Without gives the styles that are removed where the specs at those positions are
// kept: those that serve others alone. They are for Selection.Lines. Ambiguous
// styles are kept; see Ambiguous. Where all are kept the list is empty and not nil.
func (m *LineMatch) Without(kept []int) []LineStyle {
	list := []LineStyle{}
	for i, a := range m.Answers {
		if len(a.Specs) > 0 && !slices.ContainsFunc(a.Specs, func(s int) bool { return slices.Contains(kept, s) }) {
			list = append(list, m.styles[i])
		}
	}
	return list
}

// Ambiguous are the styles, by position, that fit several specs about equally
// well.
func (m *LineMatch) Ambiguous() []int {
	var list []int
	for i, a := range m.Answers {
		if len(a.Between) > 0 {
			list = append(list, i)
		}
	}
	return list
}

// candidate is a spec that a style fits, with others that state the same.
type candidate struct {
	specs []int
	off   float64 // sum of the shares of the tolerances
	says  int     // how many things it states
}

// specsOf finds the specs of a style: the closest of those that it fits.
func specsOf(s *LineStyle, specs []LineSpec, colours []colorful.Color) LineAnswer {
	var fits []candidate
	for i := range specs {
		if k := slices.IndexFunc(fits, func(c candidate) bool { return specs[c.specs[0]].equal(specs[i]) }); k >= 0 {
			fits[k].specs = append(fits[k].specs, i)
			continue
		}
		if c, ok := specs[i].fits(s, colours[i]); ok {
			c.specs = []int{i}
			fits = append(fits, c)
		}
	}
	if len(fits) == 0 {
		return LineAnswer{}
	}
	slices.SortStableFunc(fits, func(a, b candidate) int { return cmp.Or(cmp.Compare(a.off, b.off), b.says-a.says) })
	first := fits[0]
	close := slices.DeleteFunc(slices.Clone(fits[1:]), func(c candidate) bool {
		return first.off <= c.off/2 && c.off-first.off >= clearly
	})
	if len(close) == 0 {
		return LineAnswer{Specs: first.specs}
	}
	close = append(close, first)
	most := slices.MaxFunc(close, func(a, b candidate) int { return a.says - b.says })
	var between []int
	equals := 0
	for _, c := range close {
		between = append(between, c.specs...)
		if c.says == most.says {
			equals++
		}
	}
	if equals == 1 {
		return LineAnswer{Specs: most.specs}
	}
	slices.Sort(between)
	return LineAnswer{Between: between}
}

// equal reports whether two specs state the same.
func (s LineSpec) equal(t LineSpec) bool {
	return strings.EqualFold(s.Colour, t.Colour) && s.Width == t.Width &&
		(s.Dash == nil) == (t.Dash == nil) && slices.Equal(s.Dash, t.Dash)
}

// fits reports whether a style is what the spec says.
func (s LineSpec) fits(style *LineStyle, colour colorful.Color) (c candidate, ok bool) {
	add := func(off float64) {
		c.off += off
		c.says++
		ok = ok && off <= 1
	}
	ok = s.Colour != "" || s.Dash != nil || s.Width > 0
	line := style.Kind == StrokedLine || style.Kind == ThinShape
	if !line {
		ok = s.Text && s.Colour != ""
	}
	if s.Colour != "" {
		is, err := colorful.Hex(style.Colour)
		if err != nil {
			return c, false
		}
		add(colourDifference(colour, is) / colourTolerance)
	}
	if s.Dash != nil && line {
		add(dashDistance(s.Dash, style.pattern()))
	}
	if s.Width > 0 && line {
		add(math.Abs(s.Width-style.Width) / max(widthLeast, widthTolerance*max(s.Width, style.Width)))
	}
	return c, ok
}

// pattern is the dash pattern as it looks: that of rows of pieces where the
// lines are drawn so.
func (s *LineStyle) pattern() []float64 {
	if s.Pieces != nil {
		return []float64{s.Pieces.Dash, s.Pieces.Gap}
	}
	return s.Dash
}

// dashDistance is how far two patterns are apart, in tolerances; without limit
// for a dashed and a solid line.
func dashDistance(a, b []float64) float64 {
	a, b = paint.Pattern(a), paint.Pattern(b)
	if len(a) == 0 && len(b) == 0 {
		return 0
	}
	if len(a) != len(b) {
		return math.Inf(1)
	}
	pa, pb := total(a), total(b)
	period := math.Abs(pa-pb) / max(dashLeast, periodTolerance*max(pa, pb))
	best := math.Inf(1)
	for turn := 0; turn < len(a); turn += 2 {
		off := period
		for i := range a {
			off = max(off, math.Abs(a[i]/pa-b[(i+turn)%len(b)]/pb)/shareTolerance)
		}
		best = min(best, off)
	}
	return best
}

func total(d []float64) (sum float64) {
	for _, v := range d {
		sum += v
	}
	return sum
}

// PrintDifference is the CIEDE2000 difference below which two lines of one dash
// are hard to tell apart on paper (common practice, no source: 1 is what an eye
// just sees on large areas side by side, thin lines take about ten times that).
const PrintDifference = 10.0

// AlikeLines are the lines of two sizes that are hard to tell apart in print.
type AlikeLines struct {
	A, B int // positions of the specs, A < B
	// Colour and Grey are the CIEDE2000 differences of the colours and of the
	// greys of the same lightness, which a printer without colour prints.
	Colour, Grey float64
	// OnlyGrey is true where the colours differ enough and the greys do not.
	OnlyGrey bool
}

// HardToTell finds the pairs of lines that are hard to tell apart in print: those
// whose dashes do not differ, or are not stated, and whose colours differ by less
// than PrintDifference, in colour or in grey. It gives an error for a colour that
// is none.
func HardToTell(specs []LineSpec) ([]AlikeLines, error) {
	if _, err := MatchLines(nil, specs); err != nil {
		return nil, err
	}
	var list []AlikeLines
	for i, a := range specs {
		for k := i + 1; k < len(specs); k++ {
			b := specs[k]
			if a.Dash != nil && b.Dash != nil && dashDistance(a.Dash, b.Dash) > 1 {
				continue
			}
			pair := AlikeLines{A: i, B: k}
			if a.Colour != "" && b.Colour != "" {
				x, _ := colorful.Hex(a.Colour)
				y, _ := colorful.Hex(b.Colour)
				pair.Colour, pair.Grey = colourDifference(x, y), colourDifference(greyOf(x), greyOf(y))
			}
			if pair.Colour < PrintDifference || pair.Grey < PrintDifference {
				pair.OnlyGrey = pair.Colour >= PrintDifference
				list = append(list, pair)
			}
		}
	}
	return list, nil
}

// greyOf is the grey of the same lightness.
func greyOf(c colorful.Color) colorful.Color {
	l, _, _ := c.Lab()
	return colorful.Lab(l, 0, 0)
}
