package cli

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/layers/warning"
	"github.com/sizeply/sizeply/sizes"
)

func (p *program) isolateCommand() *urfave.Command {
	flags := append(selectionFlags(), pageFlags()...)
	return p.reader("isolate FILE...", "write a copy with the chosen sizes alone", p.isolate, append(flags,
		&urfave.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `FILE`; - is standard output"},
		&urfave.StringFlag{Name: "output-dir",
			Usage: "write to the folder `DIR`, for several files or --each; it is made where missing"},
		&urfave.StringFlag{Name: "name", Value: defaultName, Usage: "names in --output-dir by this `TEMPLATE`"},
		&urfave.BoolFlag{Name: "each",
			Usage: "a file for each wanted size, with its neighbours; without --size for all sizes"},
		&urfave.StringFlag{Name: "without-layers", Value: skipWithout, Usage: "what becomes of files without layers " +
			"among several, such as instructions: `RULE` is skip, copy or refuse"},
		&urfave.BoolFlag{Name: "force", Usage: "replace the output if it exists"},
		&urfave.BoolFlag{Name: "compare",
			Usage: "draw every page before and after, and write nothing unless they look alike"},
		&urfave.BoolFlag{Name: "dry-run", Usage: "tell what would be done and write nothing"},
		&urfave.BoolFlag{Name: "json", Usage: "report as JSON on standard output"},
	)...)
}

// isolateArguments are the arguments of isolate, checked against each other.
type isolateArguments struct {
	*selectionArguments
	inputs           []string
	input, output    string // of one file
	folder, template string // of several
	each             bool
	kept             []int  // the numbers of the pages that are taken; none for all of them
	without          string // what becomes of files without layers among several
	force, compare   bool
	dryRun, asJSON   bool
}

func (p *program) readIsolateArguments(c *urfave.Context) (*isolateArguments, error) {
	inputs, err := p.someFiles(c)
	if err != nil {
		return nil, err
	}
	a := &isolateArguments{
		inputs: inputs, input: inputs[0], output: outputOf(c), folder: c.String("output-dir"),
		template: c.String("name"), each: c.Bool("each"), force: c.Bool("force"), compare: c.Bool("compare"),
		without: c.String("without-layers"),
		dryRun:  c.Bool("dry-run"), asJSON: c.Bool("json"),
	}
	if a.selectionArguments, err = readSelection(c); err != nil {
		return nil, err
	}
	switch {
	case !slices.Contains(rulesWithout, a.without):
		return nil, usagef("--without-layers is skip, copy or refuse, not %q", a.without)
	case a.folder != "" && a.output != "":
		return nil, usagef("-o FILE is for one file; with --output-dir the names come from --name")
	case a.folder != "" && a.pages != "" && len(a.inputs) > 1:
		return nil, usagef(pagesOfOne)
	case a.folder != "" && slices.Contains(a.inputs, stream):
		return nil, usagef("- has no name to make an output name of; give it alone with -o FILE")
	case a.each && len(a.want.Layers)+len(a.want.Objects) > 0:
		return nil, usagef("--each makes a copy for each size: it does not go with --layer and --layer-id")
	case a.folder != "":
		_, err := outputName(a.template, map[string]string{"file": "x", "size": "x", "chart": "x"})
		return a, err
	case a.pages != "" && len(a.inputs) > 1:
		return nil, usagef(pagesOfOne)
	case len(a.inputs) > 1 && a.paper == "" || a.each:
		return nil, a.needsFolder(c)
	case c.IsSet("name"):
		return nil, usagef("--name goes with --output-dir; -o FILE names a single output")
	case a.output == "" && !a.dryRun:
		return nil, usagef("where to? give -o FILE (- is standard output), or --dry-run to see what would be done")
	case a.output == stream && a.asJSON && !a.dryRun:
		return nil, usagef("-o - and --json both want standard output; give one of them a file")
	}
	return a, saysWritten(a.output, "a PDF file", ".pdf")
}

const pagesOfOne = "--pages counts the pages of one file; of several, --paper takes those on one paper"

// needsFolder says what to do about several files, which may come in one.
func (a *isolateArguments) needsFolder(c *urfave.Context) error {
	if name := c.Args().First(); c.Args().Len() == 1 && !a.each {
		return usagef("%s holds %d PDF files: give --output-dir DIR for all of them, or name one of %s",
			words.Printable(name), len(a.inputs), words.List(a.inputs, 12))
	}
	return usagef("several files, or --each, need a folder: give --output-dir DIR")
}

// isolate is the whole flow: open, choose, isolate, verify, report.
func (p *program) isolate(c *urfave.Context) error {
	a, err := p.readIsolateArguments(c)
	if err != nil {
		return err
	}
	if a.folder != "" {
		return p.isolateMany(c.Context, a)
	}
	if !a.dryRun {
		if err := p.target(a.output, a.force).ofBytes().check(a.input); err != nil {
			return err
		}
	}
	if len(a.inputs) > 1 {
		if a.input, err = p.onPaper(c.Context, a); err != nil {
			return err
		}
	}
	doc, err := p.open(c.Context, a.input)
	if err != nil {
		return err
	}
	if doc, a.kept, err = a.take(c.Context, doc); err != nil {
		return in(a.input, err)
	}
	choice, err := a.choose(c.Context, doc)
	if err != nil {
		return in(a.input, err)
	}
	a.options.KeptLines = choice.By == pattern.ByLayers
	report, err := p.isolateOne(c.Context, a, doc, choice)
	if err != nil {
		return err
	}
	return p.isolated(a, choice, report)
}

// isolateOne writes one output.
func (p *program) isolateOne(ctx context.Context, a *isolateArguments, doc *layers.Document,
	c *pattern.Choice) (*layers.Report, error) {
	t := target{name: stream, out: io.Discard}
	if !a.dryRun {
		t = p.target(a.output, a.force).ofBytes()
		if err := t.check(a.input); err != nil {
			return nil, err
		}
	}
	m := p.meter(a.input)
	defer m.clear()
	sel, opt := c.Selection(), a.options
	opt.KeptLines = opt.KeptLines || c.Compares()
	opt.Progress = m.progress()
	var report *layers.Report
	err := t.write(func(w io.Writer) (err error) {
		report, err = doc.Isolate(ctx, w, sel, &opt)
		return in(a.input, err)
	}, func(result io.ReadSeeker) error {
		m.at("checking", 0, 1)
		if err := report.Check(ctx, result); err != nil {
			return inf(a.input, "the result did not pass the check and was not written, please report this: %w", err)
		}
		if !a.compare {
			return nil
		}
		return in(a.input, p.lookAlike(ctx, doc, sel, result, p.passwordOf(doc), m))
	})
	if err != nil {
		return nil, err
	}
	return report, nil
}

// formatVersion is the version of the JSON that the command writes. It goes
// up when a field changes its meaning or is removed.
const formatVersion = 1

// isolatedJSON is the report for programs.
type isolatedJSON struct {
	Version int         `json:"version"`
	Input   string      `json:"input"`
	Output  string      `json:"output,omitempty"` // absent for a dry run
	Pick    *sizes.Pick `json:"pick,omitempty"`
	By      pattern.By  `json:"by,omitempty"` // what told the sizes apart
	Why     string      `json:"why,omitempty"`
	Lines   []sizeLine  `json:"lines,omitempty"` // of the sizes that are kept
	// Warnings are those of the choice; those of the file stand in the report.
	Warnings []layers.Warning `json:"warnings,omitempty"`
	Report   *layers.Report   `json:"report"`
	// KeptPages are the numbers in the input of the pages of the output, which has them
	// in this order; none where all of them are kept.
	KeptPages  []int `json:"keptPages,omitempty"`
	EmptyPages []int `json:"emptyPages,omitempty"`
}

// sizeLine is the line of a size that is kept.
type sizeLine struct {
	Size string `json:"size"`
	// Styles are those of its lines, the one that draws most of it first.
	Styles []layers.LineStyle `json:"styles"`
}

func (p *program) json(v any) error { return words.EncodeJSON(p.out, v) }

// whyWords say why sizes are told apart by what they are.
func whyWords(why pattern.Reason) string {
	if why == pattern.Asked {
		return "--by asks for it"
	}
	return string(why)
}

// isolated tells what was done.
func (p *program) isolated(a *isolateArguments, c *pattern.Choice, r *layers.Report) error {
	kept := c.Sizes(r)
	if a.asJSON {
		out := isolatedJSON{
			Version: formatVersion, Input: a.input, Output: a.output, Pick: c.Pick, By: c.By, Why: whyWords(c.Why),
			Warnings: c.AllWarnings(r), Report: r, EmptyPages: r.EmptyPages(), KeptPages: a.kept,
		}
		if a.dryRun {
			out.Output = ""
		}
		for _, z := range kept {
			out.Lines = append(out.Lines, sizeLine{z.Label, z.Lines})
		}
		return p.json(out)
	}
	if c.Pick != nil {
		p.keptSizes(c, kept)
	} else {
		p.say("Kept: %s.", words.List(reported(r.Kept), 12))
	}
	if len(r.Removed) > 0 {
		p.say("Left out: %s.", words.List(reported(r.Removed), 12))
	} else if c.Lines == nil {
		p.say("No layer was left out.")
	}
	p.otherSizes(c)
	p.sayKept(a.kept, r)
	p.unknown(c, r)
	p.emptyPages(a.input, r)
	if n := len(r.Residue); n > 0 {
		p.say("%d %s of the other sizes stayed in the file, unseen, because what is kept was drawn after %s.",
			n, words.Plural(n, "setting", "settings"), words.Plural(n, "it", "them"))
	}
	if c.Pick != nil {
		p.sayAll(noteLines(c.Pick.Notes))
	}
	for _, w := range slices.Concat(c.AllWarnings(r), r.Warnings) {
		p.warning(w)
	}
	switch {
	case a.dryRun:
		p.say("Nothing was written (--dry-run).")
		return nil
	case a.output == stream:
		p.say("Written to standard output.")
	default:
		p.say("Written: %s", words.Printable(a.output))
	}
	p.caution()
	return nil
}

// keptSizes says which sizes are kept, from which layers and lines, and what
// belongs to every size.
func (p *program) keptSizes(c *pattern.Choice, kept []pattern.Size) {
	p.sayAll(fitLines(c.Chart, c.Pick.Fit))
	by := map[pattern.By]string{pattern.ByLayers: "layer", pattern.ByLines: "line",
		pattern.ByBoth: "layer and line"}[c.By]
	p.say("%s", titled(c.Chart, fmt.Sprintf("by %s (%s), kept:", by, whyWords(c.Why))))
	width := 0
	for _, z := range kept {
		width = max(width, len([]rune(words.Printable(z.Label))))
	}
	for i, z := range kept {
		var marks []string
		if len(z.Layers) > 0 {
			marks = append(marks, "layer "+words.Quoted(layers.Names(z.Layers)))
		}
		if len(z.Lines) > 0 {
			marks = append(marks, pattern.LineWords(&z.Lines[0]))
		}
		p.say("  size %-*s  %-12s %s", width, words.Printable(z.Label),
			roleWords(c.Chart, c.Pick, c.Pick.Sizes[i]), strings.Join(marks, ", "))
	}
	if names := c.Layers(); len(names) > 0 {
		p.say("  for every size: %s", words.List(names, 12))
	}
	what := "layer"
	if c.By == pattern.ByLines {
		what = "line"
		p.say("Everything that has no size's line stays.")
		if out := c.RemovedLines(); len(out) > 0 {
			p.say("Left out: the lines of %s %s.", words.Plural(len(out), "size", "sizes"), words.List(out, 12))
		} else {
			p.say("No size's line was left out.")
		}
	}
	if absent := c.Absent(); len(absent) > 0 {
		p.say("The file has no %s for %s %s of the chart.", what, words.Plural(len(absent), "size", "sizes"),
			words.List(absent, 12))
	}
}

// otherSizes says which sizes were left out that the chart does not have.
func (p *program) otherSizes(c *pattern.Choice) {
	if c.Pick == nil || len(c.Pick.Others) == 0 {
		return
	}
	var labels []string
	for _, o := range c.Pick.Others {
		labels = append(labels, o.Label)
	}
	p.say("%s left out: %s (not in the chart).",
		words.Count(len(labels), "other size", "other sizes"), words.List(labels, 30))
}

// unknown says which layers the chart does not know, and what became of them: one
// that the layer names told has no word for those that name no size.
func (p *program) unknown(c *pattern.Choice, r *layers.Report) {
	var named []string
	for _, l := range r.Unchanged {
		doubt := func(w warning.Warning) bool {
			return w.Code == pattern.SizeInDoubt && slices.Contains(w.About, l.Name)
		}
		if c.Knows(l.Object) || slices.ContainsFunc(c.Warnings, doubt) {
			continue
		}
		state := "stays as it is"
		switch {
		case !l.On:
			state = "stays switched off"
		case c.Why == pattern.ByNames:
			named = append(named, l.Name)
			continue
		}
		p.say("The chart does not know layer %q: it %s.", words.Printable(l.Name), state)
	}
	if len(named) > 0 {
		p.say("Kept for every size, since %s no size: %s.", words.Plural(len(named), "it names", "they name"),
			words.Quoted(named))
	}
}

// emptyPages says which pages have nothing left on them.
func (p *program) emptyPages(input string, r *layers.Report) {
	empty := r.EmptyPages()
	switch len(empty) {
	case 0:
	case len(r.Pages):
		p.say("Warning: no page has anything left to see on it: what was chosen draws nothing by itself; "+
			"sizeply inspect %s shows what each layer holds",
			words.Printable(input))
	default:
		p.say("Nothing is left to see on %s: %s. Print %s.", words.Plural(len(empty), "this page", "these pages"),
			words.Pages(empty),
			words.Plural(len(empty), "it only if it lies inside of a piece", "only those that lie inside of a piece"))
	}
}

// caution is what to mind before cloth is cut.
func (p *program) caution() {
	p.say(`Print it at 100 %% ("actual size"), measure the test square before you cut, and make a trial garment.`)
}

// reported are the names of layers of a report.
func reported(list []layers.ReportedLayer) []string {
	var names []string
	for _, l := range list {
		names = append(names, l.Name)
	}
	return names
}
