package cli

import (
	"fmt"
	"math"
	"slices"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// addLines states the proposed lines for the sizes of a draft, which both come
// from small to large. Where the names told no sizes, the lines are sizes
// without proper labels.
func addLines(d *sizes.Drafted, styles []layers.LineStyle) {
	lines := layers.ProposeLines(styles)
	doubt := func(format string, args ...any) {
		d.Doubts = append(d.Doubts, sizes.Doubt{Position: -1, Reason: fmt.Sprintf(format, args...)})
	}
	n := len(d.Chart.Sizes)
	switch {
	case len(lines) == 0:
		doubt("The drawing shows no lines that look like those of sizes.")
		return
	case n == 0:
		d.Doubts = nil // that names tell no size
		for i := range lines {
			d.Chart.Sizes = append(d.Chart.Sizes, sizes.Size{Label: fmt.Sprint("line ", i+1)})
		}
		doubt("The lines have no names; give each the label of its size.")
	case n != len(lines):
		doubt("The drawing shows %d lines that look like those of sizes, and the names tell %d sizes; no line is stated.", len(lines), n)
		return
	}
	for i, l := range lines {
		s := l.Spec
		d.Chart.Sizes[i].Line = &sizes.Line{Colour: s.Colour, Dash: s.Dash, Width: s.Width, Text: s.Text}
	}
	doubt("The lines are guessed: smallest first by how much of each is drawn; compare them with the pattern.")
	if !oneColour(styles, lines) {
		return
	}
	if i := slices.IndexFunc(lines, func(l layers.ProposedLine) bool { return len(l.Spec.Dash) == 0 }); i >= 0 {
		doubt("The line of %q is solid: what else is drawn in that line, such as a grainline, goes with this size.", d.Chart.Sizes[i].Label)
	} else if i := overlooked(styles, lines); i >= 0 {
		doubt("A solid line of the same colour (%s) is drawn about as long as these: it may be a size that is missing here. It stays in every print.", lookWords(&styles[i]))
	}
}

// oneColour tells whether the proposed lines are told apart by dash alone.
func oneColour(styles []layers.LineStyle, lines []layers.ProposedLine) bool {
	for _, l := range lines {
		if styles[l.Styles[0]].Colour != styles[lines[0].Styles[0]].Colour {
			return false
		}
	}
	return true
}

// overlooked is the position of a solid line of the colour of the proposed ones
// that is about as long, -1 where there is none.
func overlooked(styles []layers.LineStyle, lines []layers.ProposedLine) int {
	shortest, taken := math.Inf(1), map[int]bool{}
	for _, l := range lines {
		sum := 0.0
		for _, at := range l.Styles {
			sum += styles[at].Length
			taken[at] = true
		}
		shortest = min(shortest, sum)
	}
	for i, s := range styles {
		if !taken[i] && s.Kind == layers.StrokedLine && len(s.Dash) == 0 && s.Pieces == nil &&
			s.Colour == styles[lines[0].Styles[0]].Colour && s.Length >= shortest/2 {
			return i
		}
	}
	return -1
}
