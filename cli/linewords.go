package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// styleWords describe a style in a few words: "line #d35400 (chocolate), dashed
// 12 3, 0.45 mm".
func styleWords(s *layers.LineStyle) string {
	return string(s.Kind) + " " + lookWords(s)
}

// lookWords describe what a style looks like.
func lookWords(s *layers.LineStyle) string {
	parts := []string{colourWords(s)}
	if s.Kind == layers.StrokedLine {
		parts = append(parts, dashWords(s))
	}
	if s.Kind == layers.StrokedLine || s.Kind == layers.ThinShape {
		parts = append(parts, millimetres(s.Width)+" mm wide")
	}
	return strings.Join(parts, ", ")
}

// colourWords name a colour and give its digits.
func colourWords(s *layers.LineStyle) string {
	if s.Colour == "" {
		return "colour unknown"
	}
	return s.Name + " (" + s.Colour + ")"
}

// dashWords say how a line is dashed, in mm.
func dashWords(s *layers.LineStyle) string {
	switch {
	case s.Pieces != nil:
		return fmt.Sprintf("in pieces of %s with gaps of %s mm", millimetres(s.Pieces.Dash), millimetres(s.Pieces.Gap))
	case len(s.Dash) == 0:
		return "solid"
	}
	return "dashed " + lengths(s.Dash) + " mm"
}

// lengths writes lengths in mm.
func lengths(list []float64) string {
	words := make([]string, len(list))
	for i, v := range list {
		words[i] = millimetres(v)
	}
	return strings.Join(words, " ")
}

// millimetres writes a length with at most two decimals.
func millimetres(v float64) string {
	text := strconv.FormatFloat(v, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// sizeLine is the line of a size that is kept.
type sizeLine struct {
	Size string `json:"size"`
	// Styles are those of its lines, the one that draws most of it first.
	Styles []layers.LineStyle `json:"styles"`
}

// sizeLines finds the lines of the sizes that are kept: those that were matched,
// or those of their layers.
func (c *choice) sizeLines(report *layers.Report, chart *sizes.Chart) []sizeLine {
	styles := report.KeptLines
	if c.styles != nil {
		styles = c.styles.Styles
	}
	var list []sizeLine
	for _, z := range c.pick.Sizes {
		line := sizeLine{Size: z.Label}
		var which []int
		length := map[int]float64{}
		for i := range styles {
			if s := &styles[i]; s.Kind == layers.StrokedLine {
				var draws bool
				if length[i], draws = c.draws(s, i, z, chart); draws {
					which = append(which, i)
				}
			}
		}
		slices.SortStableFunc(which, func(a, b int) int { return cmp.Compare(length[b], length[a]) })
		for _, i := range which {
			line.Styles = append(line.Styles, styles[i])
		}
		list = append(list, line)
	}
	return list
}

// draws tells whether a style draws a size that is kept, and how much of it: all
// that is drawn in the style where it is the size's line, else what is in the
// layers of the size.
func (c *choice) draws(s *layers.LineStyle, at int, z sizes.PickedSize, chart *sizes.Chart) (length float64, draws bool) {
	if c.lines != nil && slices.Contains(c.labels(chart, c.lines.match.Answers[at].Specs), z.Label) {
		return s.Length, true
	}
	for _, i := range z.Positions {
		if k := slices.Index(s.Layers, c.found[i].Object); k >= 0 {
			length, draws = length+s.LayerLengths[k], true
		}
	}
	return length, draws
}
