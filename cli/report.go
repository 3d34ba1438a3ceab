package cli

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/internal/report"
	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/layers/pattern/check"
	"github.com/sizeply/sizeply/sizes"
)

// How much a report pictures: so many pages, and sides in pixels.
const (
	reportPages     = 12
	reportPageSide  = 1300
	reportLayerSide = 420
)

// writeReport writes the HTML page on a file, or on what is chosen of it.
func (p *program) writeReport(ctx context.Context, a *previewArguments, g *gallery, t target) error {
	r, err := a.report(ctx, g)
	if err != nil {
		return in(a.input, err)
	}
	return p.show(g, t, "; open it in a browser.", func(w io.Writer) error { return report.Write(w, r) })
}

// reporting is a report in the making.
type reporting struct {
	*gallery
	page    *report.Report
	options layers.IsolateOptions
	held    *layers.Inspection
	choice  *pattern.Choice // nil where nothing was chosen
	chart   *sizes.Chart    // nil where there is none, as is match
	match   *sizes.Match
	// lines are those that have pictures: of a file without layers, or of a choice
	// by lines. They have no answers without a chart that states lines.
	lines *pattern.Lines
}

// report gathers what the page tells.
func (a *previewArguments) report(ctx context.Context, g *gallery) (*report.Report, error) {
	r := &reporting{gallery: g, options: a.options, chart: a.chart, lines: &pattern.Lines{}}
	r.page = &report.Report{Garment: words.Printable(stem(a.input)), File: words.Printable(filepath.Base(a.input)),
		Isolated: a.chosen}
	var err error
	if r.held, err = g.doc.Inspect(ctx); err != nil {
		return nil, err
	}
	if a.chosen {
		if r.choice, err = a.choose(ctx, g.doc); err != nil {
			return nil, err
		}
		r.chart = r.choice.Chart
	}
	switch {
	case r.choice != nil && r.choice.Lines != nil:
		r.lines = r.choice.Lines
	case len(r.held.Layers) == 0:
		if r.lines, err = r.findLines(ctx); err != nil {
			return nil, err
		}
	}
	if r.chart != nil {
		r.match = pattern.Match(r.chart, r.held.Layers)
		r.sizes()
	}
	for _, s := range r.held.Squares {
		r.page.Squares = append(r.page.Squares,
			report.Square{Page: s.Page, Label: words.Line(s.Label), Side: squareSides(s), True: s.True()})
	}
	for _, piece := range r.held.Pieces {
		r.page.Pieces = append(r.page.Pieces,
			report.Piece{Name: words.Printable(piece.Name), Cut: words.Printable(piece.Cut), Page: piece.Page})
	}
	for _, w := range r.held.Warnings {
		text := w.Text
		if w.Page > 0 {
			text = fmt.Sprintf("Page %d: %s", w.Page, w.Text)
		}
		r.finding(text)
	}
	steps := []func(context.Context) error{r.pages, r.styleLines, r.layerLines}
	if !a.chosen {
		steps = slices.Insert(steps, 0, r.findings)
	}
	for _, step := range steps {
		if err := step(ctx); err != nil {
			return nil, err
		}
	}
	return r.page, nil
}

// finding adds a sentence to mind.
func (r *reporting) finding(text string) { r.page.Findings = append(r.page.Findings, words.Line(text)) }

// findLines reads the lines of the file, and whose they are.
func (r *reporting) findLines(ctx context.Context) (*pattern.Lines, error) {
	found, err := r.doc.Lines(ctx)
	if err != nil {
		return nil, err
	}
	if r.chart == nil || !pattern.StatesLines(r.chart) {
		return &pattern.Lines{Styles: found.Styles}, nil
	}
	return pattern.MatchLines(found.Styles, r.chart)
}

// findings adds what a check of the file finds that matters to whoever prints it, but for
// notes; of test squares there are warnings already.
func (r *reporting) findings(ctx context.Context) (err error) {
	held := *r.held
	held.Squares = nil
	f := check.File{Name: r.page.File, Inspection: &held}
	if r.chart != nil && pattern.StatesLines(r.chart) {
		if f.Lines, err = r.findLines(ctx); err != nil {
			return err
		}
	}
	printed := map[string]bool{}
	for _, rule := range check.Rules() {
		printed[rule.ID] = rule.Print
	}
	for _, x := range check.Check([]check.File{f}, r.chart).Findings {
		if x.Severity >= check.Warning && printed[x.ID] {
			r.finding(x.Text)
		}
	}
	return nil
}

// sizes fills in the sizes of the chart.
func (r *reporting) sizes() {
	if r.chart.Name != "" {
		r.page.Garment = words.Printable(r.chart.Name)
	}
	r.page.Unit = string(r.chart.Unit)
	for _, z := range r.chart.Sizes {
		for name := range z.Body {
			if !slices.Contains(r.page.Measures, name) {
				r.page.Measures = append(r.page.Measures, name)
			}
		}
	}
	slices.SortFunc(r.page.Measures, byCustom)
	names := slices.Clone(r.page.Measures)
	for i, name := range names {
		r.page.Measures[i] = words.Printable(name)
	}
	for _, z := range r.chart.Sizes {
		one := report.Size{Label: words.Printable(z.Label)}
		for _, i := range r.lines.Of(z.Label) {
			one.Lines = append(one.Lines, styleWords(&r.lines.Styles[i]))
		}
		for _, name := range names {
			text := "–"
			if v, ok := z.Body[name]; ok {
				text = strconv.FormatFloat(v, 'f', -1, 64)
			}
			one.Body = append(one.Body, text)
		}
		for _, answer := range r.match.Answers {
			if slices.Contains(answer.Sizes, z.Label) {
				one.Lines = append(one.Lines, words.Printable(answer.Name))
			}
		}
		if r.choice != nil {
			for _, s := range r.choice.Pick.Sizes {
				if s.Label == z.Label {
					one.Role, one.Yours = roleWords(r.chart, r.choice.Pick, s), s.Role == sizes.RoleWanted
				}
			}
		}
		r.page.Sizes = append(r.page.Sizes, one)
	}
}

// byCustom sorts body measures as charts have them, from the top down.
func byCustom(a, b string) int {
	order := []string{"height", "bust", "chest", "underbust", "waist", "hip"}
	i, j := slices.Index(order, a), slices.Index(order, b)
	switch {
	case i >= 0 && j >= 0:
		return i - j
	case i >= 0:
		return -1
	case j >= 0:
		return 1
	}
	return strings.Compare(a, b)
}

// pages draws the pages before and after.
func (r *reporting) pages(ctx context.Context) error {
	before, err := r.gallery.pages(ctx, nil, reportPages, reportPageSide)
	if err != nil {
		return err
	}
	pages := r.doc.Pages()
	for i, img := range before {
		w, h := pages[i].Size()
		r.page.Pages = append(r.page.Pages, report.Page{
			Number: pages[i].Number, Paper: paperWords(pages[i]), Before: img,
			Centimetres: fmt.Sprintf("%.1f × %.1f cm", w/10, h/10), Inches: fmt.Sprintf("%.2f × %.2f in", w/25.4,
				h/25.4),
		})
	}
	r.page.More = len(pages) - len(before)
	if r.choice == nil {
		return nil
	}
	sel := r.choice.Selection()
	after, err := r.gallery.pages(ctx, &sel, reportPages, reportPageSide)
	if err != nil {
		return err
	}
	for i, img := range after {
		r.page.Pages[i].After = img
	}
	isolated, err := r.doc.Isolate(ctx, io.Discard, sel, &r.options)
	if err != nil { // such as for a file that must not be changed: the pictures stand
		r.finding("These sizes cannot be isolated: " + err.Error())
		return ctx.Err()
	}
	for _, n := range isolated.EmptyPages() {
		if n <= len(r.page.Pages) {
			r.page.Pages[n-1].Empty = true
		}
	}
	return nil
}

// allowed takes pictures that could be drawn. Where the file forbids what drawing
// takes, that is a finding, and there are n empty pictures.
func (r *reporting) allowed(pictures []image.Image, err error, what string, n int) ([]image.Image, error) {
	var forbidden *layers.PermissionError
	if errors.As(err, &forbidden) {
		r.finding("The " + what + " have no pictures: " + forbidden.Error())
		return make([]image.Image, n), nil
	}
	return pictures, err
}

// styleLines draws the line styles and says what each is.
func (r *reporting) styleLines(ctx context.Context) error {
	which := pictured(r.lines.Styles)
	pictures, err := r.styles(ctx, r.lines.Styles, which, reportLayerSide)
	if pictures, err = r.allowed(pictures, err, "lines", len(which)); err != nil {
		return err
	}
	for n, i := range which {
		style := &r.lines.Styles[i]
		line := report.Line{
			Name: styleWords(style), Picture: pictures[n], Group: report.Unknown, Is: "a look of its own",
			Holds: words.Count(style.Marks, "mark", "marks"), Extent: fmt.Sprintf("%.1f m of line", style.Length),
		}
		var pages []int
		for _, u := range style.Uses {
			pages = append(pages, u.Page)
		}
		line.Pages = words.Pages(pages)
		if r.lines.Answers != nil {
			labels := r.lines.Answers[i].Sizes
			line.Group, line.Is = r.ofSizes(labels, r.choice != nil && slices.ContainsFunc(labels, r.choice.Keeps))
			if len(labels) == 0 {
				line.Group, line.Is = report.Every, "every size"
			}
		}
		r.page.Lines = append(r.page.Lines, line)
	}
	return nil
}

// layerLines draws the layers and says what each is.
func (r *reporting) layerLines(ctx context.Context) error {
	if len(r.held.Layers) == 0 {
		return nil
	}
	pictures, err := r.layers(ctx, r.held.Layers, reportLayerSide)
	if pictures, err = r.allowed(pictures, err, "layers", len(r.held.Layers)); err != nil {
		return err
	}
	kept := map[int]bool{}
	if r.choice != nil {
		for _, i := range r.choice.Selection().Layers {
			kept[i] = true
		}
	}
	for i, l := range r.held.Layers {
		line := report.Line{Name: words.Printable(l.Name), Holds: holdsOf(l), Picture: pictures[i]}
		line.Group, line.Is = r.standing(i, kept[i])
		if len(l.Uses) > 0 {
			line.Extent, line.Pages = extent(l.Uses)+" cm", pagesOf(l.Uses)
		}
		r.page.Lines = append(r.page.Lines, line)
	}
	return nil
}

// standing says what a layer is to the choice.
func (r *reporting) standing(i int, kept bool) (report.Group, string) {
	switch {
	case r.match == nil && kept:
		return report.Chosen, "chosen"
	case r.match == nil && r.choice != nil:
		return report.Other, "left out"
	case r.match == nil:
		return report.Unknown, "layer"
	}
	a := r.match.Answers[i]
	switch a.Kind {
	case sizes.KindSize:
		return r.ofSizes(a.Sizes, kept)
	case sizes.KindKeep:
		return report.Every, "every size"
	case sizes.KindDrop:
		return report.Dropped, "left out"
	case sizes.KindOther:
		return report.Other, "size " + words.Printable(a.Other) + ", which the chart does not have"
	}
	return report.Unknown, "stays as it is"
}

// ofSizes says of which sizes a line is.
func (r *reporting) ofSizes(labels []string, kept bool) (report.Group, string) {
	text := words.Plural(len(labels), "size ", "sizes ") + words.List(labels, 6)
	if kept {
		return report.Chosen, text
	}
	return report.Other, text
}
