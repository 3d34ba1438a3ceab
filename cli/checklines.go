package cli

import (
	"context"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
	"github.com/sizeply/sizeply/sizes/consistency"
)

// addLooks puts down the lines of a file, where a chart says how those of its
// sizes look.
func addLooks(ctx context.Context, f *consistency.File, doc *layers.Document, chart *sizes.Chart) error {
	if chart == nil || !statesLines(chart) {
		return nil
	}
	c := &choice{}
	found, err := doc.Lines(ctx)
	if err != nil {
		return err
	}
	if c.lines, err = matchLines(found.Styles, chart); err != nil {
		return err
	}
	for i := range found.Styles {
		if kind := found.Styles[i].Kind; kind != layers.StrokedLine && kind != layers.ThinShape {
			continue
		}
		answer := c.lines.match.Answers[i]
		f.Lines = append(f.Lines, consistency.Line{
			Look: lookWords(&found.Styles[i]), Sizes: c.labels(chart, answer.Specs), Between: c.labels(chart, answer.Between),
		})
	}
	alike, err := layers.HardToTell(c.lines.specs)
	for _, a := range alike {
		pair := c.labels(chart, []int{a.A, a.B})
		f.Alike = append(f.Alike, consistency.Alike{A: pair[0], B: pair[1], Grey: a.OnlyGrey})
	}
	return err
}
