package cli

import (
	"cmp"
	"context"
	"fmt"
	"image"
	"image/png"
	"io"
	"path/filepath"
	"strings"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
)

// How large pictures are unless the arguments say otherwise.
const (
	defaultDPI = 150
	// defaultSide bounds the longer side, in pixels.
	defaultSide = 2000
	// maxSide bounds what may be asked for.
	maxSide = 16_000
)

func (p *program) previewCommand() *urfave.Command {
	return p.reader("preview FILE", "draw pages, layers or a whole report to look at", p.preview, append(
		selectionFlags(),
		&urfave.StringFlag{Name: "output", Aliases: []string{"o"},
			Usage: "write to `FILE`, .png or .html; - is standard output"},
		&urfave.StringFlag{Name: "output-dir", Usage: "write a PNG file for each page to the folder `DIR`"},
		&urfave.StringFlag{Name: "page", Aliases: []string{"pages"}, Usage: "only `PAGES`, such as 1 or 2,4-6"},
		&urfave.IntFlag{Name: "width", Usage: "draw pages `N` pixels wide"},
		&urfave.Float64Flag{Name: "dpi", Usage: "draw pages with `N` pixels to the inch"},
		&urfave.BoolFlag{Name: "by-layer",
			Usage: "one picture of all layers side by side; of a file without layers all line styles"},
		&urfave.BoolFlag{Name: "html", Usage: "write the HTML report whatever the output is called"},
		&urfave.BoolFlag{Name: "force", Usage: "replace the output if it exists"},
	)...)
}

// previewArguments are the arguments of preview, checked against each other.
type previewArguments struct {
	*selectionArguments
	chosen                bool // sizes or layers were chosen
	input, output, folder string
	pages                 string
	width                 int
	dpi                   float64
	byLayer, html, force  bool
}

func (p *program) readPreviewArguments(c *urfave.Context) (*previewArguments, error) {
	input, err := p.oneFile(c)
	if err != nil {
		return nil, err
	}
	a := &previewArguments{
		input: input, output: outputOf(c), folder: c.String("output-dir"), pages: c.String("page"),
		width: c.Int("width"), dpi: c.Float64("dpi"), byLayer: c.Bool("by-layer"), html: c.Bool("html"),
		force: c.Bool("force"),
	}
	ending := strings.ToLower(filepath.Ext(a.output))
	a.html = a.html || ending == ".html" || ending == ".htm"
	said := saysWritten(a.output, "a picture or a report", ".png", ".html", ".htm")
	if c.Bool("html") {
		said = saysWritten(a.output, "a report", ".html", ".htm")
	}
	switch {
	case a.output == "" && a.folder == "":
		return nil, usagef("where to? give -o FILE.png, -o FILE.html, or --output-dir DIR for all pages")
	case a.output != "" && a.folder != "":
		return nil, usagef("-o FILE is for one picture, --output-dir for one of each page: give one of them")
	case a.folder != "" && (a.html || a.byLayer):
		return nil, usagef("the report and the layers side by side are one file each: give -o FILE")
	case a.html && (a.byLayer || a.pages != "" || a.width != 0 || a.dpi != 0):
		return nil, usagef("the report shows all pages and layers in sizes of its own: --by-layer, --page, " +
			"--width and --dpi are for pictures")
	case a.width != 0 && a.dpi != 0:
		return nil, usagef("--width and --dpi both say how large: give one of them")
	case c.IsSet("width") && (a.width < 16 || a.width > maxSide):
		return nil, usagef("--width %d: give 16 to %d pixels", a.width, maxSide)
	case c.IsSet("dpi") && !(a.dpi >= 1 && a.dpi <= 2400):
		return nil, usagef("--dpi %g: give 1 to 2400 pixels to the inch", a.dpi)
	}
	for _, flag := range []string{"size", "body", "layer", "layer-id", "neighbours", "below", "above", "strict", "by"} {
		a.chosen = a.chosen || c.IsSet(flag)
	}
	if a.chosen {
		a.selectionArguments, err = readSelection(c)
	} else {
		a.selectionArguments = &selectionArguments{}
		a.chart, err = chartOf(c)
	}
	return a, cmp.Or(err, said)
}

func (p *program) preview(c *urfave.Context) error {
	a, err := p.readPreviewArguments(c)
	if err != nil {
		return err
	}
	t := p.target(a.output, a.force)
	t.binary = !a.html
	if a.folder == "" {
		if err := t.check(a.input); err != nil {
			return err
		}
	}
	g, err := p.newGallery(c.Context, a.input)
	if err != nil {
		return err
	}
	defer g.close()
	switch {
	case a.html:
		return p.writeReport(c.Context, a, g, t)
	case a.byLayer:
		return p.writeSheet(c.Context, a, g, t)
	}
	return p.writePages(c.Context, a, g, t)
}

// writePages draws the pages that are asked for.
func (p *program) writePages(ctx context.Context, a *previewArguments, g *gallery, t target) error {
	pages, err := a.wanted(g.doc.Pages())
	if err != nil {
		return err
	}
	if a.folder == "" && len(pages) > 1 {
		return usagef("%s has %d pages: give --page N, or --output-dir DIR for all of them", words.Printable(a.input),
			len(pages))
	}
	var sel *layers.Selection
	if a.chosen {
		choice, err := a.choose(ctx, g.doc)
		if err != nil {
			return in(a.input, err)
		}
		s := choice.Selection()
		sel = &s
	}
	f, err := g.open(ctx, sel)
	if err != nil {
		return in(a.input, err)
	}
	defer f.Close()
	if a.folder != "" {
		if err := p.outputFolder(a.folder); err != nil {
			return err
		}
	}
	for i, page := range pages {
		g.m.at("drawing", i, len(pages))
		img, err := a.draw(ctx, f, page)
		if err != nil {
			return in(a.input, err)
		}
		if a.folder != "" {
			name := fileName(stem(a.input), fmt.Sprintf("-%d.png", page.Number))
			t = p.target(filepath.Join(a.folder, name), a.force)
			if err := t.check(a.input); err != nil {
				return err
			}
		}
		size := img.Bounds().Size()
		what := fmt.Sprintf(" (%d x %d pixels; the page is %s)", size.X, size.Y, pageSize(page))
		if err := p.show(g, t, what, func(w io.Writer) error { return png.Encode(w, img) }); err != nil {
			return err
		}
	}
	return nil
}

// draw draws one page as large as the arguments say. Of its own accord it
// bounds the longer side, so that a sheet for a roll does not become huge.
func (a *previewArguments) draw(ctx context.Context, f *drawing, page layers.Page) (*image.RGBA, error) {
	switch {
	case a.width > 0:
		return f.PageWithin(ctx, page.Number, a.width, maxSide)
	case a.dpi > 0:
		side := func(points float64) int { return max(1, int(min(points*a.dpi/72+0.5, 1e6))) }
		return f.PageWithin(ctx, page.Number, side(page.Width), side(page.Height))
	}
	side := min(defaultSide, max(1, int(max(page.Width, page.Height)*defaultDPI/72)))
	return f.PageWithin(ctx, page.Number, side, side)
}

// wanted are the pages that --page names, all without it.
func (a *previewArguments) wanted(all []layers.Page) ([]layers.Page, error) {
	if a.pages == "" {
		return all, nil
	}
	numbers, err := pattern.ReadPages(a.pages, len(all))
	if err != nil {
		return nil, usagef("--page %v", err)
	}
	var list []layers.Page
	for _, n := range numbers {
		list = append(list, all[n-1])
	}
	return list, nil
}

// show writes a picture or a report as a whole or not at all, and says what was
// written to a file.
func (p *program) show(g *gallery, t target, what string, produce func(io.Writer) error) error {
	if err := t.write(produce, func(io.ReadSeeker) error { return nil }); err != nil {
		return err
	}
	g.m.clear()
	if t.name != stream {
		p.say("Written: %s%s", words.Printable(t.name), what)
	}
	return nil
}
