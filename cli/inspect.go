package cli

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

func (p *program) inspectCommand() *urfave.Command {
	return p.reader("inspect FILE", "show the pages and layers of a file", p.inspect,
		&urfave.StringFlag{Name: "chart", Usage: "say which size of this chart `FILE` each layer is"},
		&urfave.BoolFlag{Name: "lines",
			Usage: "show line styles: colour, dash, width, and how much is drawn in each"},
		&urfave.BoolFlag{Name: "json", Usage: "as JSON"},
	)
}

// inspectJSON is the result for programs.
type inspectJSON struct {
	Version int    `json:"version"`
	File    string `json:"file"`
	*layers.Inspection
	Paper      []pagePaper        `json:"paper"` // in the order of the pages
	Encryption *layers.Encryption `json:"encryption,omitempty"`
	Match      *sizes.Match       `json:"match,omitempty"` // in the order of the layers
	Lines      *layers.Lines      `json:"lines,omitempty"`
	// LineMatch is in the order of the line styles; nil unless the chart states
	// lines.
	LineMatch []pattern.LineAnswer `json:"lineMatch,omitempty"`
}

// pagePaper is the paper of one page.
type pagePaper struct {
	Page int            `json:"page"`
	Is   *layers.Paper  `json:"is,omitempty"` // the sheet of just its size
	Fits []layers.Paper `json:"fits"`
}

func (p *program) inspect(c *urfave.Context) error {
	name, err := p.oneFile(c)
	if err != nil {
		return err
	}
	chart, err := chartOf(c)
	if err != nil {
		return err
	}
	doc, err := p.open(c.Context, name)
	if err != nil {
		return err
	}
	res, err := doc.Inspect(c.Context)
	if err != nil {
		return in(name, err)
	}
	out := inspectJSON{Version: formatVersion, File: name, Inspection: res, Paper: []pagePaper{},
		Encryption: doc.Encryption()}
	for _, page := range res.Pages {
		one := pagePaper{Page: page.Number, Fits: page.Fits()}
		if sheet, ok := page.Paper(); ok {
			one.Is = &sheet
		}
		out.Paper = append(out.Paper, one)
	}
	if chart != nil {
		out.Match = pattern.Match(chart, res.Layers)
	}
	if c.Bool("lines") {
		if out.Lines, err = doc.Lines(c.Context); err != nil {
			return in(name, err)
		}
		if chart != nil && pattern.StatesLines(chart) {
			whose, err := pattern.MatchLines(out.Lines.Styles, chart)
			if err != nil {
				return in(name, err)
			}
			out.LineMatch = whose.Answers
		}
	}
	if c.Bool("json") {
		return p.json(out)
	}
	return p.inspected(out)
}

// inspected writes the result for people.
func (p *program) inspected(res inspectJSON) error {
	p.pageLines(res.Pages)
	if res.Encryption != nil {
		note(p.out, "%s", encryptionLine(res.Encryption))
	}
	if len(res.Layers) == 0 {
		note(p.out, "No layers.")
	} else {
		note(p.out, "")
		if err := p.layerTable(res); err != nil {
			return err
		}
	}
	if res.Lines != nil {
		if err := p.lineTables(res); err != nil {
			return err
		}
	}
	if n := len(res.Outside); n > 0 {
		note(p.out, "%s %s %s content in no layer: %s.", words.Plural(n, "Page", "Pages"), pagesOf(res.Outside),
			words.Plural(n, "has", "have"), holds(res.Outside))
	}
	if len(res.Pieces) > 0 {
		note(p.out, "Pieces, by the text on them:")
		for _, piece := range res.Pieces {
			note(p.out, "  page %d: %s, %s", piece.Page, words.Printable(piece.Name), words.Printable(piece.Cut))
		}
	}
	for _, w := range pattern.PictureWarnings(res.Pictures) {
		p.warning(w)
	}
	p.squares(res.Inspection)
	for _, w := range res.Warnings {
		p.warning(w)
	}
	return nil
}

// pageLines describe the pages; runs of pages of one size are one line.
func (p *program) pageLines(pages []layers.Page) {
	for i := 0; i < len(pages); {
		j := i
		for j+1 < len(pages) && pages[j+1].Width == pages[i].Width && pages[j+1].Height == pages[i].Height {
			j++
		}
		which := fmt.Sprintf("Page %d", pages[i].Number)
		if j > i {
			which = fmt.Sprintf("Pages %d-%d", pages[i].Number, pages[j].Number)
		}
		note(p.out, "%s: %s, %s", which, pageSize(pages[i]), paperWords(pages[i]))
		i = j + 1
	}
	if papers := pattern.Papers(pages); len(papers) > 1 {
		var list []string
		for _, one := range papers {
			list = append(list, one.String())
		}
		note(p.out, "Not all pages are for one paper (%s): isolate --paper NAME or --pages LIST takes some of them.",
			words.List(list, 8))
	}
}

// layerWidth is how many columns a layer's name takes in the table.
const layerWidth = 100

// layerTable writes one row for each layer, the number that --layer-id takes at its end.
func (p *program) layerTable(res inspectJSON) error {
	tw := tabwriter.NewWriter(p.out, 0, 8, 2, ' ', 0)
	head := []string{"layer", "shown", "printed", "pages", "holds", "extent in cm", "id"}
	if res.Match != nil {
		head = slices.Insert(head, 1, "size")
	}
	fmt.Fprintln(tw, strings.Join(head, "\t"))
	yesNo := map[bool]string{true: "yes", false: "no"}
	for _, i := range pattern.ShownOrder(res.Layers) {
		l := res.Layers[i]
		name := strings.Repeat("  ", min(len(l.Parents), 20)) + words.Printable(l.Name)
		row := []string{words.Cut(name, layerWidth)}
		if res.Match != nil {
			row = append(row, answer(res.Match.Answers[i]))
		}
		row = append(row, yesNo[l.On], yesNo[l.Print], pagesOf(l.Uses), holdsOf(l), extent(l.Uses),
			fmt.Sprint(l.Object))
		fmt.Fprintln(tw, strings.Join(row, "\t"))
	}
	return tw.Flush()
}

// answer is what a layer is to a chart, in a word.
func answer(a sizes.Answer) string {
	switch a.Kind {
	case sizes.KindSize:
		return words.List(a.Sizes, 4)
	case sizes.KindOther:
		return "other size"
	}
	return map[sizes.Kind]string{
		sizes.KindKeep: "every", sizes.KindDrop: "none", sizes.KindUnknown: "?", sizes.KindAmbiguous: "two meanings",
	}[a.Kind]
}

// pagesOf lists the pages on which a layer holds something.
func pagesOf(uses []layers.Use) string {
	var pages []int
	for _, u := range uses {
		pages = append(pages, u.Page)
	}
	if len(pages) == 0 {
		return "-"
	}
	return words.Pages(pages)
}

// holdsOf is what a layer holds, on all pages together.
func holdsOf(l layers.Layer) string {
	if len(l.Uses) == 0 && l.Within {
		return "part of a pattern, mask or glyph"
	}
	return holds(l.Uses)
}

// holds says what there is on all pages; JSON has how much of each.
func holds(uses []layers.Use) string {
	var sum layers.Use
	for _, u := range uses {
		sum.Paths, sum.Texts, sum.Images = sum.Paths+u.Paths, sum.Texts+u.Texts, sum.Images+u.Images
	}
	var parts []string
	for _, x := range []struct {
		n    int
		what string
	}{{sum.Paths, "lines"}, {sum.Texts, "text"}, {sum.Images, "pictures"}} {
		if x.n > 0 {
			parts = append(parts, x.what)
		}
	}
	if len(parts) == 0 {
		return "nothing"
	}
	return strings.Join(parts, ", ")
}

// extent is the size of what a layer holds, on the page where it is largest.
func extent(uses []layers.Use) string {
	var w, h float64
	for _, u := range uses {
		if !u.Bounds.IsEmpty() {
			w, h = max(w, u.Bounds.Right-u.Bounds.Left), max(h, u.Bounds.Top-u.Bounds.Bottom)
		}
	}
	if len(uses) == 0 {
		return "-"
	}
	return fmt.Sprintf("%.1f x %.1f", w/72*2.54, h/72*2.54)
}

// squares says which test squares a file has.
func (p *program) squares(in *layers.Inspection) {
	if len(in.Squares) == 0 {
		note(p.out, "No test square was found: measure another length that the pattern states.")
		return
	}
	note(p.out, "Print at 100 %% (\"actual size\") and measure a test square before you cut:")
	for _, s := range in.Squares {
		label := "a square without a label"
		if s.Label != "" {
			label = `"` + words.Printable(s.Label) + `"`
		}
		var names []string
		for _, l := range in.Layers {
			if slices.Contains(s.Layers, l.Object) {
				names = append(names, l.Name)
			}
		}
		where := ""
		if len(names) > 0 {
			where = fmt.Sprintf(" (%s %s)", words.Plural(len(names), "layer", "layers"), words.Quoted(names))
		}
		note(p.out, "  page %d: %s, drawn %s%s", s.Page, label, squareSides(s), where)
	}
}

// lineTables write the line styles for people: lines first, then fills and texts.
func (p *program) lineTables(res inspectJSON) error {
	var lines, others []int
	for i := range res.Lines.Styles {
		if isLine(&res.Lines.Styles[i]) {
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
	for _, i := range lines { // what a table has no room for
		switch s := &res.Lines.Styles[i]; {
		case s.Pieces != nil:
			note(p.out, "The line %s is drawn in %d separate pieces, which stand for dashes of %s with gaps of %s mm.",
				pattern.ColourWords(s), s.Pieces.Count,
				pattern.Millimetres(s.Pieces.Dash), pattern.Millimetres(s.Pieces.Gap))
		case s.Kind == layers.ThinShape:
			note(p.out, "The thin fill %s is drawn as filled shapes that look like lines.", pattern.ColourWords(s))
		}
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
		head = []string{"kind", "colour", "written", "dash in mm", "width", "cap", "count", "length", "pages",
			"extent in cm"}
	}
	if res.LineMatch != nil {
		head = append([]string{"size"}, head...)
	}
	fmt.Fprintln(tw, strings.Join(head, "\t"))
	for _, i := range at {
		s := &res.Lines.Styles[i]
		var row []string
		if res.LineMatch != nil {
			row = append(row, sizeCell(res.LineMatch[i]))
		}
		colour := pattern.ColourWords(s)
		if s.Opacity != 1 {
			colour += fmt.Sprintf(", opacity %.0f %%", 100*s.Opacity)
		}
		row = append(row, string(s.Kind), colour, words.List(s.Written, 2))
		marks := fmt.Sprint(s.Marks)
		if lines {
			row = append(row, dashCell(s), pattern.Millimetres(s.Width)+" mm", cmp.Or(s.Cap, "-"), marks,
				fmt.Sprintf("%.2f m", s.Length))
		} else {
			row = append(row, marks)
		}
		uses := make([]layers.Use, len(s.Uses))
		for k, u := range s.Uses {
			uses[k] = layers.Use{Page: u.Page, Bounds: u.Bounds}
		}
		fmt.Fprintln(tw, strings.Join(append(row, pagesOf(uses), extent(uses)), "\t"))
	}
	return tw.Flush()
}

// dashCell is a dash pattern with its phase.
func dashCell(s *layers.LineStyle) string {
	dash := pattern.Millimetres(s.Dash...)
	switch {
	case len(s.Dash) == 0:
		return "solid"
	case s.PhaseVaries:
		return dash + ", phases vary"
	case s.Phase != 0:
		return dash + ", phase " + pattern.Millimetres(s.Phase)
	}
	return dash
}

// sizeCell is what a style is to the chart, in a word.
func sizeCell(a pattern.LineAnswer) string {
	switch {
	case len(a.Sizes) > 0:
		return words.List(a.Sizes, 4)
	case len(a.Between) > 0:
		return strings.Join(a.Between, " or ") + "?"
	}
	return "every"
}
