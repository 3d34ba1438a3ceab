package cli

import (
	"context"
	"fmt"
	"io"
	"slices"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
)

const isolateHelp = `Writes a copy of FILE that holds the lines of your size, of its neighbours to
grade between, and all that belongs to every size. The pages keep their true
scale. FILE is never written to.

   sizeply isolate skirt.pdf --chart skirt.yaml --size 14 --neighbours 1 -o mine.pdf
   sizeply isolate skirt.pdf --chart skirt.yaml --body bust=92cm,hip=104cm -o mine.pdf
   sizeply isolate skirt.pdf --layer "Size 14" --layer Text -o mine.pdf

Several files, or with --each several sizes, go into a folder, named by --name:
{file} is the input's name without its ending, {size} the wanted sizes (or
layers), {chart} the chart's name. A file that fails does not stop the others.

   sizeply isolate *.pdf --chart skirt.yaml --size 14 --output-dir mine
   sizeply isolate skirt.pdf --chart skirt.yaml --each --output-dir all --name "Skirt {size}"

Print at 100 % ("actual size"), measure the test square before you cut, and
make a trial garment. Keep to the licence of the pattern.`

func (p *program) isolateCommand() *urfave.Command {
	return &urfave.Command{
		Name:         "isolate",
		Usage:        "write a copy with the chosen sizes alone",
		ArgsUsage:    "FILE...",
		Description:  isolateHelp,
		OnUsageError: onUsageError,
		Flags: append(append(selectionFlags(),
			&urfave.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `FILE`; - is standard output"},
			&urfave.StringFlag{Name: "output-dir", Usage: "write to the folder `DIR`, for several files or --each; it is made where missing"},
			&urfave.StringFlag{Name: "name", Value: defaultName, Usage: "names in --output-dir by this `TEMPLATE`"},
			&urfave.BoolFlag{Name: "each", Usage: "a file for each wanted size, with its neighbours; without --size for all sizes"},
			&urfave.BoolFlag{Name: "force", Usage: "replace the output if it exists"},
			&urfave.BoolFlag{Name: "compare", Usage: "draw every page before and after, and write nothing unless they look alike"},
			&urfave.BoolFlag{Name: "dry-run", Usage: "tell what would be done and write nothing"},
			&urfave.BoolFlag{Name: "json", Usage: "report as JSON on standard output"},
		), p.fileFlags()...),
		Action: p.isolate,
	}
}

// isolate is the whole flow: open, choose, isolate, verify, report.
func (p *program) isolate(c *urfave.Context) error {
	a, err := readIsolateArguments(c)
	if err != nil {
		return err
	}
	if a.folder != "" {
		return p.isolateMany(c.Context, a)
	}
	if !a.dryRun {
		if err := p.targetOf(a).check(a.input); err != nil {
			return err
		}
	}
	doc, err := p.open(c.Context, a.input)
	if err != nil {
		return err
	}
	choice, err := a.choose(c.Context, doc)
	if err != nil {
		return in(a.input, err)
	}
	a.options.KeptLines = choice.pick != nil && choice.styles == nil
	report, err := p.isolateOne(c.Context, a, doc, choice)
	if err != nil {
		return err
	}
	var lines []sizeLine
	if choice.pick != nil {
		lines = choice.sizeLines(report, a.chart)
	}
	return p.reportIsolated(a, choice, report, lines)
}

// isolateOne writes one output.
func (p *program) isolateOne(ctx context.Context, a *isolateArguments, doc *layers.Document, c *choice) (*layers.Report, error) {
	t := target{name: stream, out: io.Discard}
	if !a.dryRun {
		t = p.targetOf(a)
		if err := t.check(a.input); err != nil {
			return nil, err
		}
	}
	m := p.meter(a.input)
	defer m.clear()
	report, err := p.write(ctx, a, t, doc, c.selection(), p.passwordOf(doc), m)
	if err != nil {
		return nil, in(a.input, err)
	}
	return report, nil
}

func (p *program) targetOf(a *isolateArguments) target {
	return p.target(a.output, a.force)
}

// write isolates to the target and verifies what was written.
func (p *program) write(ctx context.Context, a *isolateArguments, t target, doc *layers.Document, sel layers.Selection, password string, m *meter) (report *layers.Report, err error) {
	opt := a.options
	opt.Progress = m.progress()
	err = t.write(func(w io.Writer) error {
		report, err = doc.Isolate(ctx, w, sel, &opt)
		return err
	}, func(result io.ReadSeeker) error {
		m.at("checking", 0, 1)
		if err := report.Check(ctx, result); err != nil {
			return fmt.Errorf("the result did not pass the check and was not written, please report this: %w", err)
		}
		if !a.compare {
			return nil
		}
		return p.lookAlike(ctx, doc, sel, result, password, m)
	})
	return report, err
}

// isolateArguments are the arguments of isolate, checked against each other.
type isolateArguments struct {
	*selectionArguments
	inputs           []string
	input, output    string // of one file
	folder, template string // of several
	each             bool
	force, compare   bool
	dryRun, asJSON   bool
}

func readIsolateArguments(c *urfave.Context) (*isolateArguments, error) {
	a := &isolateArguments{
		inputs: c.Args().Slice(), output: c.String("output"), folder: c.String("output-dir"), template: c.String("name"),
		each: c.Bool("each"), force: c.Bool("force"), compare: c.Bool("compare"), dryRun: c.Bool("dry-run"), asJSON: c.Bool("json"),
	}
	if len(a.inputs) == 0 {
		return nil, usagef("which file? sizeply isolate FILE")
	}
	if unquoted(a.inputs) {
		return nil, unquotedError(a.inputs)
	}
	a.input = a.inputs[0]
	var err error
	if a.selectionArguments, err = readSelection(c); err != nil {
		return nil, err
	}
	if a.folder != "" {
		return a, a.checkMany(c)
	}
	switch {
	case len(a.inputs) > 1 || a.each:
		return nil, usagef("several files, or --each, need a folder: give --output-dir DIR")
	case c.IsSet("name"):
		return nil, usagef("--name goes with --output-dir; -o FILE names a single output")
	case a.output == "" && !a.dryRun:
		return nil, usagef("where to? give -o FILE (- is standard output), or --dry-run to see what would be done")
	case a.output == stream && a.asJSON && !a.dryRun:
		return nil, usagef("-o - and --json both want standard output; give one of them a file")
	}
	return a, nil
}

// checkMany refuses what does not go with an output folder.
func (a *isolateArguments) checkMany(c *urfave.Context) error {
	switch {
	case a.output != "":
		return usagef("-o FILE is for one file; with --output-dir the names come from --name")
	case slices.Contains(a.inputs, stream):
		return usagef("- has no name to make an output name of; give it alone with -o FILE")
	case a.each && a.chart == nil:
		return usagef("--each goes by the sizes of a chart: give --chart FILE")
	}
	_, err := outputName(a.template, map[string]string{"file": "x", "size": "x", "chart": "x"})
	return err
}
