package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// What may tell the sizes of a file apart.
const (
	byLayers = "layers"
	byLines  = "lines"
	byBoth   = "both"
)

// lineChoice is what a choice by line styles knows besides.
type lineChoice struct {
	match *layers.LineMatch
	specs []layers.LineSpec // of the match
	of    []int             // for each spec, the position of its size in the chart
	stay  []int             // the specs that stay
}

// way says what tells the sizes apart, and why.
func (a *selectionArguments) way(c *choice) (by, why string) {
	inLayers := slices.ContainsFunc(c.match.Answers, func(x sizes.Answer) bool {
		return x.Kind == sizes.KindSize || x.Kind == sizes.KindAmbiguous
	})
	switch {
	case a.by != "":
		return a.by, "--by asks for it"
	case a.drafted:
		return byLayers, "no chart was given, and the layer names leave nothing in doubt"
	case inLayers:
		return byLayers, "the chart finds its sizes among the layers"
	case !statesLines(a.chart):
		return byLayers, "the chart states no lines"
	case len(c.found) == 0:
		return byLines, "the file has no layers"
	}
	return byLines, "the chart finds no size among the layers"
}

// statesLines tells whether a chart says what the line of a size looks like.
func statesLines(chart *sizes.Chart) bool {
	return slices.ContainsFunc(chart.Sizes, func(s sizes.Size) bool { return s.Line != nil })
}

// byLine picks sizes by their lines; with both, also by their layers.
func (a *selectionArguments) byLine(ctx context.Context, doc *layers.Document, c *choice) (err error) {
	if !statesLines(a.chart) {
		return fmt.Errorf(`the chart does not say what the lines of its sizes look like: give each size a line, such as line: {colour: "#d7263d", dash: [6, 2]}; sizeply inspect --lines FILE lists those of the file`)
	}
	if c.pick, err = a.chart.Pick(a.want); err != nil {
		return err
	}
	if c.styles, err = doc.Lines(ctx); err != nil {
		return err
	}
	if c.styles.Incomplete {
		return fmt.Errorf("its lines cannot all be found: %s", c.styles.Warnings[len(c.styles.Warnings)-1].Text)
	}
	if c.lines, err = matchLines(c.styles.Styles, a.chart); err != nil {
		return err
	}
	if err := c.ambiguousLine(a.chart); err != nil {
		return err
	}
	if c.by == byBoth {
		if err := c.match.Err(); err != nil {
			return err
		}
	}
	c.serve(a.chart)
	return a.missing(c)
}

// goes tells whether lines of a spec go: those that no spec which stays shares.
func (l *lineChoice) goes(spec int) bool {
	return slices.ContainsFunc(l.match.Serves(spec), func(style int) bool {
		return !slices.ContainsFunc(l.match.Answers[style].Specs, func(s int) bool { return slices.Contains(l.stay, s) })
	})
}

// matchLines holds line styles against the sizes of a chart that state a line.
func matchLines(styles []layers.LineStyle, chart *sizes.Chart) (*lineChoice, error) {
	l := &lineChoice{}
	for i, s := range chart.Sizes {
		if s.Line != nil {
			l.specs = append(l.specs, layers.LineSpec{Colour: s.Line.Colour, Dash: s.Line.Dash, Width: s.Line.Width, Text: s.Line.Text})
			l.of = append(l.of, i)
		}
	}
	var err error
	l.match, err = layers.MatchLines(styles, l.specs)
	return l, err
}

// ambiguousLine refuses styles that fit two sizes.
func (c *choice) ambiguousLine(chart *sizes.Chart) error {
	list := c.lines.match.Ambiguous()
	if len(list) == 0 {
		return nil
	}
	more := ""
	if n := len(list) - 1; n > 0 {
		more = fmt.Sprintf(" (and so do %d more)", n)
	}
	return fmt.Errorf("the %s fits the lines of sizes %s about equally well%s; state more of their lines in the chart, or more exactly",
		styleWords(&c.styles.Styles[list[0]]), printables(c.labels(chart, c.lines.match.Answers[list[0]].Between), 12), more)
}

// labels are the labels of the sizes of specs.
func (c *choice) labels(chart *sizes.Chart, specs []int) []string {
	var list []string
	for _, s := range specs {
		list = append(list, chart.Sizes[c.lines.of[s]].Label)
	}
	return list
}

// serve notes the specs and layers of the sizes that were picked. Sizes without
// either are left out.
func (c *choice) serve(chart *sizes.Chart) {
	var there []sizes.PickedSize
	for _, z := range c.pick.Sizes {
		found := false
		for s, at := range c.lines.of {
			if chart.Sizes[at].Label == z.Label {
				c.lines.stay = append(c.lines.stay, s)
				found = len(c.lines.match.Serves(s)) > 0
			}
		}
		if c.by == byBoth {
			for _, a := range c.match.Answers {
				if slices.Contains(a.Sizes, z.Label) {
					z.Positions = append(z.Positions, a.Position)
					found = true
				}
			}
		}
		if found {
			there = append(there, z)
		} else {
			c.absentSizes = append(c.absentSizes, z)
		}
	}
	c.pick.Sizes = there
}

// missing refuses a wanted size that the file does not draw, and notes a
// neighbour.
func (a *selectionArguments) missing(c *choice) error {
	for _, z := range c.absentSizes {
		if z.Role == sizes.RoleWanted {
			why := ""
			if a.by == "" {
				why = c.why + ", and "
			}
			return fmt.Errorf("%sno line of the file looks as the chart says of size %q; sizeply inspect --lines FILE lists those it has", why, z.Label)
		}
		c.pick.Notes = append(c.pick.Notes, sizes.Note{
			Kind: sizes.NoteMissingNeighbour, Text: fmt.Sprintf("the neighbour %q has no line in the file", z.Label),
		})
	}
	for _, z := range c.pick.Sizes {
		c.noteShared(a.chart, z)
	}
	return nil
}

// noteShared notes lines that draw other sizes too.
func (c *choice) noteShared(chart *sizes.Chart, z sizes.PickedSize) {
	for _, a := range c.lines.match.Answers {
		labels := c.labels(chart, a.Specs)
		if !slices.Contains(labels, z.Label) {
			continue
		}
		others := slices.DeleteFunc(labels, func(l string) bool {
			return slices.ContainsFunc(c.pick.Sizes, func(z sizes.PickedSize) bool { return z.Label == l })
		})
		if len(others) > 0 {
			c.pick.Notes = append(c.pick.Notes, sizes.Note{
				Kind: sizes.NoteSharedLayer, Text: fmt.Sprintf("the line of size %s draws %s as well", z.Label, strings.Join(others, ", ")),
			})
			return
		}
	}
}

// lineSelection is the choice by line as the library takes it. Layers of keep
// are on and those of drop go; layers of sizes follow their sizes by both, else
// they stay as they are, like those that the chart does not know.
func (c *choice) lineSelection() layers.Selection {
	sel := layers.Selection{Layers: []int{}, Lines: c.lines.match.Without(c.lines.stay)}
	for _, a := range c.match.Answers {
		switch {
		case a.Kind == sizes.KindKeep:
			sel.Layers = append(sel.Layers, a.Position)
		case a.Kind == sizes.KindDrop:
		case a.Kind == sizes.KindSize && c.by == byBoth:
			if slices.ContainsFunc(c.pick.Sizes, func(z sizes.PickedSize) bool { return slices.Contains(a.Sizes, z.Label) }) {
				sel.Layers = append(sel.Layers, a.Position)
			}
		default:
			sel.Unchanged = append(sel.Unchanged, a.Position)
		}
	}
	return sel
}
