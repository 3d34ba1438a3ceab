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

	"github.com/sizeply/sizeply/internal/report"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
	"github.com/sizeply/sizeply/sizes/consistency"
)

// How much a report pictures: so many pages, and sides in pixels.
const (
	reportPages     = 12
	reportPageSide  = 1300
	reportLayerSide = 420
)

// writeReport writes the HTML page on a file, or on what is chosen of it.
func (p *program) writeReport(ctx context.Context, a *previewArguments, g *gallery, t target) error {
	r, err := p.report(ctx, a, g)
	if err != nil {
		return in(a.input, err)
	}
	err = t.write(func(w io.Writer) error { return report.Write(w, r) }, func(io.ReadSeeker) error { return nil })
	if err != nil {
		return err
	}
	g.m.clear()
	if t.name != stream {
		note(p.err, "Written: %s; open it in a browser.", printable(t.name))
	}
	return nil
}

// report gathers what the page tells.
func (p *program) report(ctx context.Context, a *previewArguments, g *gallery) (*report.Report, error) {
	res, err := g.doc.Inspect(ctx)
	if err != nil {
		return nil, err
	}
	r := &report.Report{Garment: printable(stem(a.input)), File: printable(filepath.Base(a.input)), Isolated: a.chosen}
	var c *choice
	if a.chosen {
		if c, err = a.choose(ctx, g.doc); err != nil {
			return nil, err
		}
	} else {
		c = &choice{found: res.Layers}
	}
	styles, err := a.readStyles(ctx, g, c)
	if err != nil {
		return nil, err
	}
	if a.chart != nil {
		if c.match == nil {
			c.match = a.chart.Match(layers.Names(res.Layers))
		}
		reportSizes(r, a.chart, c, styles)
	}
	for _, s := range res.Squares {
		r.Squares = append(r.Squares, report.Square{Page: s.Page, Label: s.Label, Side: squareSides(s), True: s.True()})
	}
	for _, piece := range res.Pieces {
		r.Pieces = append(r.Pieces, report.Piece{Name: printable(piece.Name), Cut: printable(piece.Cut), Page: piece.Page})
	}
	for _, w := range res.Warnings {
		r.Findings = append(r.Findings, warningText(w))
	}
	if !a.chosen {
		if err := a.reportFindings(ctx, r, g, res); err != nil {
			return nil, err
		}
	}
	if err := a.reportPages(ctx, r, g, c); err != nil {
		return nil, err
	}
	if err := styles.report(ctx, r, g, a.chart); err != nil {
		return nil, err
	}
	return r, reportLines(ctx, r, g, c, res)
}

// reportFindings adds what a check of the file finds, but for notes; of test
// squares there are warnings already.
func (a *previewArguments) reportFindings(ctx context.Context, r *report.Report, g *gallery, res *layers.Inspection) error {
	f := checkFile(r.File, res)
	f.Squares = nil
	if err := addLooks(ctx, &f, g.doc, a.chart); err != nil {
		return err
	}
	for _, x := range consistency.Check([]consistency.File{f}, a.chart).Findings {
		if x.Severity >= consistency.Warning {
			r.Findings = append(r.Findings, printable(x.Text+" "+x.Do))
		}
	}
	return nil
}

func warningText(w layers.Warning) string {
	if w.Page > 0 {
		return fmt.Sprintf("Page %d: %s", w.Page, w.Text)
	}
	return w.Text
}

// reportSizes fills in the sizes of the chart.
func reportSizes(r *report.Report, chart *sizes.Chart, c *choice, styles *styleSheet) {
	if chart.Name != "" {
		r.Garment = printable(chart.Name)
	}
	r.Unit = string(chart.Unit)
	for _, z := range chart.Sizes {
		for name := range z.Body {
			if !slices.Contains(r.Measures, name) {
				r.Measures = append(r.Measures, name)
			}
		}
	}
	slices.SortFunc(r.Measures, byCustom)
	for i, z := range chart.Sizes {
		one := report.Size{Label: z.Label, Lines: styles.of(i)}
		for _, name := range r.Measures {
			text := "–"
			if v, ok := z.Body[name]; ok {
				text = strconv.FormatFloat(v, 'f', -1, 64)
			}
			one.Body = append(one.Body, text)
		}
		for _, answer := range c.match.Answers {
			if slices.Contains(answer.Sizes, z.Label) {
				one.Lines = append(one.Lines, answer.Name)
			}
		}
		if c.pick != nil {
			for _, s := range c.pick.Sizes {
				if s.Label == z.Label {
					one.Role, one.Yours = roleWords(chart, c.pick, s), s.Role == sizes.RoleWanted
				}
			}
		}
		r.Sizes = append(r.Sizes, one)
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
	case a < b:
		return -1
	}
	return 1
}

// reportPages draws the pages before and after.
func (a *previewArguments) reportPages(ctx context.Context, r *report.Report, g *gallery, c *choice) error {
	before, err := g.pages(ctx, nil, reportPages, reportPageSide)
	if err != nil {
		return err
	}
	pages := g.doc.Pages()
	for i, img := range before {
		w, h := pages[i].Size()
		r.Pages = append(r.Pages, report.Page{
			Number: pages[i].Number, Paper: paperWords(pages[i]), Before: img,
			Centimetres: fmt.Sprintf("%.1f × %.1f cm", w/10, h/10), Inches: fmt.Sprintf("%.2f × %.2f in", w/25.4, h/25.4),
		})
	}
	r.More = len(pages) - len(before)
	if !a.chosen {
		return nil
	}
	sel := c.selection()
	after, err := g.pages(ctx, &sel, reportPages, reportPageSide)
	if err != nil {
		return err
	}
	for i, img := range after {
		r.Pages[i].After = img
	}
	isolated, err := g.doc.Isolate(ctx, io.Discard, sel, &a.options)
	if err != nil { // such as for a file that must not be changed: the pictures stand
		r.Findings = append(r.Findings, "These sizes cannot be isolated: "+err.Error())
		return ctx.Err()
	}
	for _, n := range isolated.EmptyPages() {
		if n <= len(r.Pages) {
			r.Pages[n-1].Empty = true
		}
	}
	return nil
}

// reportLines draws the layers and says what each is.
func reportLines(ctx context.Context, r *report.Report, g *gallery, c *choice, res *layers.Inspection) error {
	if len(res.Layers) == 0 {
		return nil
	}
	pictures, err := g.layers(ctx, res.Layers, reportLayerSide)
	var forbidden *layers.PermissionError
	if errors.As(err, &forbidden) {
		r.Findings = append(r.Findings, "The layers have no pictures: "+forbidden.Error())
		pictures = make([]image.Image, len(res.Layers))
	} else if err != nil {
		return err
	}
	kept := map[int]bool{}
	for _, i := range c.selection().Layers {
		kept[i] = true
	}
	for i, l := range res.Layers {
		line := report.Line{Name: printable(l.Name), Holds: holdsOf(l), Picture: pictures[i]}
		line.Group, line.Is = c.standing(i, kept[i])
		if len(l.Uses) > 0 {
			line.Extent, line.Pages = extent(l.Uses)+" cm", pagesOf(l.Uses)
		}
		r.Lines = append(r.Lines, line)
	}
	return nil
}

// standing says what a layer is to the choice.
func (c *choice) standing(i int, kept bool) (report.Group, string) {
	if c.match == nil {
		switch {
		case kept:
			return report.Chosen, "chosen"
		case c.positions != nil:
			return report.Other, "left out"
		}
		return report.Unknown, "layer"
	}
	a := c.match.Answers[i]
	switch a.Kind {
	case sizes.KindSize:
		text := plural(len(a.Sizes), "size ", "sizes ") + printables(a.Sizes, 6)
		if kept {
			return report.Chosen, text
		}
		return report.Other, text
	case sizes.KindKeep:
		return report.Every, "every size"
	case sizes.KindDrop:
		return report.Dropped, "left out"
	}
	return report.Unknown, "stays as it is"
}
