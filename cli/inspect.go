package cli

import (
	"fmt"
	"strings"
	"text/tabwriter"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

const inspectHelp = `Shows the pages of FILE with the paper they fit, its test squares as drawn, and
its layers: what each holds, where, and whether it is shown and printed. With a
chart it also says which size each layer is. With --lines it shows the styles in
which lines, fills and texts are drawn, for files whose sizes are told apart by
colour or dash.

   sizeply inspect skirt.pdf
   sizeply inspect skirt.pdf --lines --chart skirt.yaml`

func (p *program) inspectCommand() *urfave.Command {
	return &urfave.Command{
		Name:         "inspect",
		Usage:        "show the pages and layers of a file",
		ArgsUsage:    "FILE",
		Description:  inspectHelp,
		OnUsageError: onUsageError,
		Flags: append([]urfave.Flag{
			&urfave.StringFlag{Name: "chart", Usage: "say which size of this chart `FILE` each layer is"},
			&urfave.BoolFlag{Name: "lines", Usage: "show line styles: colour, dash, width, and how much is drawn in each"},
			&urfave.BoolFlag{Name: "json", Usage: "as JSON"},
		}, p.fileFlags()...),
		Action: p.inspect,
	}
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
	LineMatch  []lineAnswer       `json:"lineMatch,omitempty"` // in the order of the line styles

	chart *sizes.Chart
	lines *lineChoice // where the chart states lines
}

func (p *program) inspect(c *urfave.Context) error {
	name, err := oneFile(c)
	if err != nil {
		return err
	}
	var chart *sizes.Chart
	if c.IsSet("chart") {
		if chart, err = readChart(c, c.String("chart")); err != nil {
			return err
		}
	}
	doc, err := p.open(c.Context, name)
	if err != nil {
		return err
	}
	res, err := doc.Inspect(c.Context)
	if err != nil {
		return in(name, err)
	}
	out := inspectJSON{Version: formatVersion, File: name, Inspection: res, Paper: paperOf(res.Pages), Encryption: doc.Encryption()}
	if chart != nil {
		out.Match = chart.Match(layers.Names(res.Layers))
	}
	if c.Bool("lines") {
		if err := out.addLines(c, doc, chart); err != nil {
			return in(name, err)
		}
	}
	if c.Bool("json") {
		return p.json(out)
	}
	return p.inspected(out)
}

// addLines adds the line styles and, with a chart that states lines, which size
// each is.
func (res *inspectJSON) addLines(c *urfave.Context, doc *layers.Document, chart *sizes.Chart) (err error) {
	if res.Lines, err = doc.Lines(c.Context); err != nil || chart == nil || !statesLines(chart) {
		return err
	}
	res.chart = chart
	if res.lines, err = matchLines(res.Lines.Styles, chart); err != nil {
		return err
	}
	res.LineMatch = lineAnswers(res.lines, chart)
	return nil
}

// inspected writes the result for people.
func (p *program) inspected(res inspectJSON) error {
	for _, line := range pageLines(res.Pages) {
		note(p.out, "%s", line)
	}
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
		note(p.out, "%s %s content in no layer: %s.", plural(n, "Page", "Pages")+" "+pagesOf(res.Outside), plural(n, "has", "have"), holdsAll(res.Outside))
	}
	p.pieces(res.Pieces)
	p.squares(res.Inspection)
	for _, w := range res.Warnings {
		(&sentences{p: p}).warning(w)
	}
	return nil
}

// layerTable writes one row for each layer.
func (p *program) layerTable(res inspectJSON) error {
	tw := tabwriter.NewWriter(p.out, 0, 8, 2, ' ', 0)
	head := []string{"object", "layer", "shown", "printed", "pages", "holds", "extent in cm"}
	if res.Match != nil {
		head = append(head[:2], append([]string{"size"}, head[2:]...)...)
	}
	fmt.Fprintln(tw, strings.Join(head, "\t"))
	for _, i := range shownOrder(res.Layers) {
		l := res.Layers[i]
		row := []string{fmt.Sprint(l.Object), strings.Repeat("  ", len(l.Parents)) + printable(l.Name)}
		if res.Match != nil {
			row = append(row, answer(res.Match.Answers[i]))
		}
		row = append(row, yesNo(l.On), yesNo(l.Print), pagesOf(l.Uses), holdsOf(l), extent(l.Uses))
		fmt.Fprintln(tw, strings.Join(row, "\t"))
	}
	return tw.Flush()
}

// answer is what a layer is to a chart, in a word.
func answer(a sizes.Answer) string {
	if a.Kind == sizes.KindSize {
		return printables(a.Sizes, 4)
	}
	return map[sizes.Kind]string{
		sizes.KindKeep: "every", sizes.KindDrop: "none", sizes.KindUnknown: "?", sizes.KindAmbiguous: "two meanings",
	}[a.Kind]
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
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
	return spans(pages)
}

// holdsOf is what a layer holds, on all pages together.
func holdsOf(l layers.Layer) string {
	if len(l.Uses) == 0 && l.Within {
		return "part of a pattern, mask or glyph"
	}
	return holdsAll(l.Uses)
}

// holdsAll adds up what a layer holds on all pages.
func holdsAll(uses []layers.Use) string {
	var sum layers.Use
	for _, u := range uses {
		sum.Paths, sum.Texts, sum.Images = sum.Paths+u.Paths, sum.Texts+u.Texts, sum.Images+u.Images
	}
	return holds(sum)
}

func holds(u layers.Use) string {
	var parts []string
	for _, x := range []struct {
		n         int
		one, many string
	}{{u.Paths, "path", "paths"}, {u.Texts, "text", "texts"}, {u.Images, "image", "images"}} {
		if x.n > 0 {
			parts = append(parts, fmt.Sprint(x.n, " ", plural(x.n, x.one, x.many)))
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
