package pattern

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/lucasb-eyer/go-colorful"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// LineSpecs returns what the lines of the sizes of a chart look like, with the
// labels of these sizes in the same order: those that state a line. No chart, nil,
// states none.
func LineSpecs(chart *sizes.Chart) (specs []layers.LineSpec, labels []string) {
	if chart == nil {
		return nil, nil
	}
	for _, s := range chart.Sizes {
		if s.Line != nil {
			spec := layers.LineSpec{Colour: s.Line.Colour, Dash: s.Line.Dash, Width: s.Line.Width, Text: s.Line.Text}
			specs, labels = append(specs, spec), append(labels, s.Label)
		}
	}
	return specs, labels
}

// StatesLines reports whether a chart says what the line of a size looks like. No
// chart, nil, does not.
func StatesLines(chart *sizes.Chart) bool {
	return chart != nil && slices.ContainsFunc(chart.Sizes, func(s sizes.Size) bool { return s.Line != nil })
}

// Lines says which line of a file is whose.
type Lines struct {
	// Styles are those of the file, Answers come in their order.
	Styles  []layers.LineStyle
	Answers []LineAnswer
}

// A LineAnswer is what a line style is to a chart: the labels of the sizes that
// it draws, or of those that it fits about equally well; neither where it is no
// size's.
type LineAnswer struct {
	Sizes   []string `json:"sizes,omitempty"`
	Between []string `json:"between,omitempty"`
}

// MatchLines holds line styles against the lines that the sizes of a chart
// state, as [layers.MatchLines] does. It gives an error for a colour in the chart
// that is none.
func MatchLines(styles []layers.LineStyle, chart *sizes.Chart) (*Lines, error) {
	specs, labels := LineSpecs(chart)
	match, err := layers.MatchLines(styles, specs)
	if err != nil {
		return nil, err
	}
	of := func(specs []int) (list []string) {
		for _, s := range specs {
			list = append(list, labels[s])
		}
		return list
	}
	l := &Lines{Styles: styles, Answers: make([]LineAnswer, len(styles))}
	for i, a := range match.Answers {
		l.Answers[i] = LineAnswer{Sizes: of(a.Specs), Between: of(a.Between)}
	}
	return l, nil
}

// Of returns the positions in Styles of those that draw a size, by its label; none for
// a label that no line is stated for.
func (l *Lines) Of(label string) []int {
	var list []int
	for i, a := range l.Answers {
		if slices.Contains(a.Sizes, label) {
			list = append(list, i)
		}
	}
	return list
}

// none reports whether no line is that of a size.
func (l *Lines) none() bool {
	return !slices.ContainsFunc(l.Answers, func(a LineAnswer) bool { return len(a.Sizes) > 0 || len(a.Between) > 0 })
}

// ambiguous refuses styles that fit two sizes.
func (l *Lines) ambiguous() error {
	var bad *AmbiguousLineError
	for i, a := range l.Answers {
		switch {
		case len(a.Between) == 0:
		case bad == nil:
			bad = &AmbiguousLineError{Style: l.Styles[i], Sizes: a.Between}
		default:
			bad.More++
		}
	}
	if bad == nil {
		return nil
	}
	return bad
}

// LineWords describes what a style looks like, its dash and width where it has
// them: "dark orange (#d35400), dashed 12 3 mm, 0.45 mm wide".
func LineWords(s *layers.LineStyle) string {
	parts := []string{ColourWords(s)}
	if s.Kind == layers.StrokedLine {
		switch {
		case s.Pieces != nil:
			parts = append(parts, fmt.Sprintf("in pieces of %s with gaps of %s mm",
				Millimetres(s.Pieces.Dash), Millimetres(s.Pieces.Gap)))
		case len(s.Dash) == 0:
			parts = append(parts, "solid")
		default:
			parts = append(parts, "dashed "+Millimetres(s.Dash...)+" mm")
		}
	}
	if s.Kind == layers.StrokedLine || s.Kind == layers.ThinShape {
		parts = append(parts, Millimetres(s.Width)+" mm wide")
	}
	return strings.Join(parts, ", ")
}

// ColourWords names the colour of a style by the nearest of [sizes.Colours], by which it can
// be asked for, and gives its digits: "dark orange (#d35400)", or "colour unknown".
func ColourWords(s *layers.LineStyle) string {
	c, err := colorful.Hex(s.Colour)
	if err != nil {
		return "colour unknown"
	}
	return nearestName(c) + " (" + s.Colour + ")"
}

// Millimetres writes lengths with at most two decimals and spaces between, without
// the unit: "12 3.5".
func Millimetres(list ...float64) string {
	words := make([]string, len(list))
	for i, v := range list {
		words[i] = strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', 2, 64), "0"), ".")
	}
	return strings.Join(words, " ")
}
