package cli

import (
	"fmt"
	"strings"
	"text/tabwriter"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// lineTables write the line styles for people: lines first, then fills and texts.
func (p *program) lineTables(res inspectJSON) error {
	var lines, others []int
	for i, s := range res.Lines.Styles {
		if s.Kind == layers.StrokedLine || s.Kind == layers.ThinShape {
			lines = append(lines, i)
		} else {
			others = append(others, i)
		}
	}
	note(p.out, "")
	if res.Lines.Incomplete {
		note(p.out, "There may be more lines than these: %s.", res.Lines.Warnings[len(res.Lines.Warnings)-1].Text)
	}
	if len(lines) == 0 {
		note(p.out, "No lines.")
	} else if err := p.lineTable(res, lines, true); err != nil {
		return err
	}
	for _, i := range lines {
		p.lineNotes(&res.Lines.Styles[i])
	}
	if len(others) == 0 {
		return nil
	}
	note(p.out, "")
	return p.lineTable(res, others, false)
}

// lineTable writes one row for each style.
func (p *program) lineTable(res inspectJSON, at []int, lines bool) error {
	tw := tabwriter.NewWriter(p.out, 0, 8, 2, ' ', 0)
	head := []string{"kind", "colour", "written", "count", "pages", "extent in cm"}
	if lines {
		head = []string{"kind", "colour", "written", "dash in mm", "width", "cap", "count", "length", "pages", "extent in cm"}
	}
	if res.lines != nil {
		head = append([]string{"size"}, head...)
	}
	fmt.Fprintln(tw, strings.Join(head, "\t"))
	for _, i := range at {
		s := &res.Lines.Styles[i]
		row := []string{string(s.Kind), colourWords(s) + opacity(s), printables(s.Written, 2)}
		if lines {
			row = append(row, dashCell(s), millimetres(s.Width)+" mm", capCell(s))
		}
		row = append(row, fmt.Sprint(s.Marks))
		if lines {
			row = append(row, fmt.Sprintf("%.2f m", s.Length))
		}
		uses := lineUses(s)
		row = append(row, pagesOf(uses), extent(uses))
		if res.lines != nil {
			row = append([]string{res.sizeCell(i)}, row...)
		}
		fmt.Fprintln(tw, strings.Join(row, "\t"))
	}
	return tw.Flush()
}

// lineNotes say what a table has no room for.
func (p *program) lineNotes(s *layers.LineStyle) {
	switch {
	case s.Pieces != nil:
		note(p.out, "The line %s is drawn in %d separate pieces, which stand for dashes of %s with gaps of %s mm.",
			colourWords(s), s.Pieces.Count, millimetres(s.Pieces.Dash), millimetres(s.Pieces.Gap))
	case s.Kind == layers.ThinShape:
		note(p.out, "The thin fill %s is drawn as filled shapes that look like lines.", colourWords(s))
	}
}

// dashCell is a dash pattern with its phase.
func dashCell(s *layers.LineStyle) string {
	switch {
	case len(s.Dash) == 0:
		return "solid"
	case s.PhaseVaries:
		return lengths(s.Dash) + ", phases vary"
	case s.Phase != 0:
		return lengths(s.Dash) + ", phase " + millimetres(s.Phase)
	}
	return lengths(s.Dash)
}

func capCell(s *layers.LineStyle) string {
	if s.Cap == "" {
		return "-"
	}
	return s.Cap
}

func opacity(s *layers.LineStyle) string {
	if s.Opacity == 1 {
		return ""
	}
	return fmt.Sprintf(", opacity %.0f %%", 100*s.Opacity)
}

// lineUses are the pages of a style in the form of those of a layer.
func lineUses(s *layers.LineStyle) []layers.Use {
	list := make([]layers.Use, len(s.Uses))
	for i, u := range s.Uses {
		list[i] = layers.Use{Page: u.Page, Bounds: u.Bounds}
	}
	return list
}

// sizeCell is what a style is to the chart, in a word.
func (res inspectJSON) sizeCell(i int) string {
	a := res.lines.match.Answers[i]
	labels := func(specs []int) []string {
		var list []string
		for _, s := range specs {
			list = append(list, res.chart.Sizes[res.lines.of[s]].Label)
		}
		return list
	}
	switch {
	case len(a.Specs) > 0:
		return printables(labels(a.Specs), 4)
	case len(a.Between) > 0:
		return strings.Join(labels(a.Between), " or ") + "?"
	}
	return "every"
}

// lineAnswers are the sizes of each style, for programs.
func lineAnswers(l *lineChoice, chart *sizes.Chart) []lineAnswer {
	list := make([]lineAnswer, len(l.match.Answers))
	for i, a := range l.match.Answers {
		for _, s := range a.Specs {
			list[i].Sizes = append(list[i].Sizes, chart.Sizes[l.of[s]].Label)
		}
		for _, s := range a.Between {
			list[i].Between = append(list[i].Between, chart.Sizes[l.of[s]].Label)
		}
	}
	return list
}

// lineAnswer is what a style is to the chart: the sizes that it draws, or those
// that it fits about equally well; neither where it belongs to no size.
type lineAnswer struct {
	Sizes   []string `json:"sizes,omitempty"`
	Between []string `json:"between,omitempty"`
}
