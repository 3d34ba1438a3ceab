package cli

import (
	"context"
	"fmt"
	"image"
	"image/png"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
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
	return &urfave.Command{
		Name:      "preview",
		Usage:     "draw pages, layers or a whole report to look at",
		ArgsUsage: "FILE",
		Flags: append(append(selectionFlags(),
			&urfave.StringFlag{Name: "output", Aliases: []string{"o"},
				Usage: "write to `FILE`, .png or .html; - is standard output"},
			&urfave.StringFlag{Name: "output-dir", Usage: "write a PNG file for each page to the folder `DIR`"},
			&urfave.StringFlag{Name: "page", Usage: "only `PAGES`, such as 1 or 2,4-6"},
			&urfave.IntFlag{Name: "width", Usage: "draw pages `N` pixels wide"},
			&urfave.Float64Flag{Name: "dpi", Usage: "draw pages with `N` pixels to the inch"},
			&urfave.BoolFlag{Name: "by-layer",
				Usage: "one picture of all layers side by side; of a file without layers all line styles"},
			&urfave.BoolFlag{Name: "html", Usage: "write the HTML report whatever the output is called"},
			&urfave.BoolFlag{Name: "force", Usage: "replace the output if it exists"},
		), p.fileFlags()...),
		Action: p.preview,
	}
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

func readPreviewArguments(c *urfave.Context) (*previewArguments, error) {
	input, err := oneFile(c)
	if err != nil {
		return nil, err
	}
	a := &previewArguments{
		input: input, output: c.String("output"), folder: c.String("output-dir"), pages: c.String("page"),
		width: c.Int("width"), dpi: c.Float64("dpi"), byLayer: c.Bool("by-layer"), html: c.Bool("html"),
		force: c.Bool("force"),
	}
	a.html = a.html || strings.EqualFold(filepath.Ext(a.output), ".html")
	if err := a.check(c); err != nil {
		return nil, err
	}
	for _, flag := range []string{"size", "body", "layer", "layer-id", "neighbours", "below", "above", "strict", "by"} {
		a.chosen = a.chosen || c.IsSet(flag)
	}
	if a.chosen {
		a.selectionArguments, err = readSelection(c)
		return a, err
	}
	a.selectionArguments = &selectionArguments{}
	a.chart, err = chartOf(c)
	return a, err
}

// check refuses what does not go together.
func (a *previewArguments) check(c *urfave.Context) error {
	switch {
	case a.output == "" && a.folder == "":
		return usagef("where to? give -o FILE.png, -o FILE.html, or --output-dir DIR for all pages")
	case a.output != "" && a.folder != "":
		return usagef("-o FILE is for one picture, --output-dir for one of each page: give one of them")
	case a.folder != "" && (a.html || a.byLayer):
		return usagef("the report and the layers side by side are one file each: give -o FILE")
	case a.html && (a.byLayer || a.pages != "" || a.width != 0 || a.dpi != 0):
		return usagef("the report shows all pages and layers in sizes of its own: --by-layer, --page, " +
			"--width and --dpi are for pictures")
	case a.width != 0 && a.dpi != 0:
		return usagef("--width and --dpi both say how large: give one of them")
	case c.IsSet("width") && (a.width < 16 || a.width > maxSide):
		return usagef("--width %d: give 16 to %d pixels", a.width, maxSide)
	case c.IsSet("dpi") && !(a.dpi >= 1 && a.dpi <= 2400):
		return usagef("--dpi %g: give 1 to 2400 pixels to the inch", a.dpi)
	}
	return nil
}

func (p *program) preview(c *urfave.Context) error {
	a, err := readPreviewArguments(c)
	if err != nil {
		return err
	}
	t := p.target(a.output, a.force)
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
		if err := os.MkdirAll(a.folder, 0o777); err != nil {
			return plain(a.folder, err)
		}
	}
	for i, page := range pages {
		g.m.at("drawing", i, len(pages))
		img, err := a.draw(ctx, f, page)
		if err != nil {
			return in(a.input, err)
		}
		if a.folder != "" {
			t = p.target(filepath.Join(a.folder, fmt.Sprintf("%s-%d.png", fileName(stem(a.input)), page.Number)),
				a.force)
			if err := t.check(a.input); err != nil {
				return err
			}
		}
		if err := writePicture(t, img); err != nil {
			return err
		}
		g.m.clear()
		if t.name != stream {
			size := img.Bounds().Size()
			note(p.err, "Written: %s (%d x %d pixels; the page is %s)", words.Printable(t.name), size.X, size.Y,
				pageSize(page))
		}
	}
	return nil
}

// drawer draws pages, as a file that is open for drawing does.
type drawer interface {
	Page(ctx context.Context, page int, dpi float64) (*image.RGBA, error)
	PageWithin(ctx context.Context, page, width, height int) (*image.RGBA, error)
}

// draw draws one page as large as the arguments say. Of its own accord it
// bounds the longer side, so that a sheet for a roll does not become huge.
func (a *previewArguments) draw(ctx context.Context, f drawer, page layers.Page) (*image.RGBA, error) {
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
	var list []layers.Page
	for _, part := range strings.Split(a.pages, ",") {
		first, last, span := strings.Cut(strings.TrimSpace(part), "-")
		if !span {
			last = first
		}
		from, err := strconv.Atoi(strings.TrimSpace(first))
		to, err2 := strconv.Atoi(strings.TrimSpace(last))
		if err != nil || err2 != nil || from < 1 || to < from || to > len(all) {
			return nil, usagef("--page %s: the file has pages 1 to %d; give such as 1 or 2,4-6", a.pages, len(all))
		}
		list = append(list, all[from-1:to]...)
	}
	return list, nil
}

// writePicture writes a PNG file that appears only when it is complete.
func writePicture(t target, img image.Image) error {
	return t.write(func(w io.Writer) error { return png.Encode(w, img) }, func(io.ReadSeeker) error { return nil })
}
