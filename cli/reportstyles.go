package cli

import (
	"context"
	"errors"
	"fmt"
	"image"
	"slices"

	"github.com/sizeply/sizeply/internal/report"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// maxStyles is how many line styles are pictured.
const maxStyles = 40

// styleSheet is what a report knows of line styles: those of a file without
// layers, or of a choice by lines.
type styleSheet struct {
	styles []layers.LineStyle
	lines  *lineChoice // nil without a chart that states lines
}

// readStyles reads the line styles where they are to be pictured, else it gives
// an empty sheet.
func (a *previewArguments) readStyles(ctx context.Context, g *gallery, c *choice) (*styleSheet, error) {
	s := &styleSheet{lines: c.lines}
	if c.lines == nil && len(g.doc.Layers()) > 0 {
		return s, nil
	}
	if c.styles == nil {
		var err error
		if c.styles, err = g.doc.Lines(ctx); err != nil {
			return nil, err
		}
	}
	s.styles = c.styles.Styles
	if s.lines == nil && a.chart != nil && statesLines(a.chart) {
		var err error
		if s.lines, err = matchLines(s.styles, a.chart); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// of describes the lines of a size by its position in the chart.
func (s *styleSheet) of(size int) []string {
	if s.lines == nil {
		return nil
	}
	var words []string
	for spec, at := range s.lines.of {
		if at == size {
			for _, i := range s.lines.match.Serves(spec) {
				words = append(words, styleWords(&s.styles[i]))
			}
		}
	}
	return words
}

// report draws the styles and says what each is.
func (s *styleSheet) report(ctx context.Context, r *report.Report, g *gallery, chart *sizes.Chart) error {
	which := pictured(s.styles)
	pictures, err := g.styles(ctx, s.styles, which, reportLayerSide)
	var forbidden *layers.PermissionError
	if errors.As(err, &forbidden) {
		r.Findings = append(r.Findings, "The lines have no pictures: "+forbidden.Error())
		pictures = make([]image.Image, len(which))
	} else if err != nil {
		return err
	}
	for n, i := range which {
		style := &s.styles[i]
		line := report.Line{Name: styleWords(style), Picture: pictures[n]}
		line.Group, line.Is = s.standing(i, chart)
		line.Holds = fmt.Sprint(style.Marks, " ", plural(style.Marks, "mark", "marks"))
		line.Extent = fmt.Sprintf("%.1f m of line", style.Length)
		var pages []int
		for _, u := range style.Uses {
			pages = append(pages, u.Page)
		}
		line.Pages = spans(pages)
		r.Lines = append(r.Lines, line)
	}
	return nil
}

// standing says what a style is to the choice.
func (s *styleSheet) standing(i int, chart *sizes.Chart) (report.Group, string) {
	if s.lines == nil {
		return report.Unknown, "a look of its own"
	}
	specs := s.lines.match.Answers[i].Specs
	if len(specs) == 0 {
		return report.Every, "every size"
	}
	var labels []string
	for _, spec := range specs {
		labels = append(labels, chart.Sizes[s.lines.of[spec]].Label)
	}
	text := plural(len(labels), "size ", "sizes ") + printables(labels, 6)
	if slices.ContainsFunc(specs, func(spec int) bool { return slices.Contains(s.lines.stay, spec) }) {
		return report.Chosen, text
	}
	return report.Other, text
}

// pictured are the positions of the styles that have pictures: lines, and
// shapes as thin as such. Fills and texts have none.
func pictured(list []layers.LineStyle) []int {
	var which []int
	for i := range list {
		if kind := list[i].Kind; len(which) < maxStyles && (kind == layers.StrokedLine || kind == layers.ThinShape) {
			which = append(which, i)
		}
	}
	return which
}

// styles draws line styles by their positions, each in place among the rest.
func (g *gallery) styles(ctx context.Context, list []layers.LineStyle, which []int, side int) ([]image.Image, error) {
	var all layers.Selection
	for i := range g.doc.Layers() {
		all.Layers = append(all.Layers, i)
	}
	nothing := layers.Selection{Layers: all.Layers, Lines: list}
	return g.eachAmong(ctx, len(which), side, all, nothing, func(n int) (layers.Selection, int) {
		i := which[n]
		page, most := 0, 0
		for _, u := range list[i].Uses {
			if u.Marks > most {
				page, most = u.Page, u.Marks
			}
		}
		others := slices.Delete(slices.Clone(list), i, i+1)
		return layers.Selection{Layers: all.Layers, Lines: others}, page
	})
}
