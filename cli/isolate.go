package cli

import (
	"context"
	"fmt"
	"io"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
)

const isolateHelp = `Writes a copy of FILE that holds the lines of your size, of its neighbours to
grade between, and all that belongs to every size. The pages keep their true
scale. FILE is never written to.

   sizeply isolate skirt.pdf --chart skirt.yaml --size 14 --neighbours 1 -o mine.pdf
   sizeply isolate skirt.pdf --layer "Size 14" --layer Text -o mine.pdf

Print at 100 % ("actual size"), measure the test square before you cut, and
make a trial garment. Keep to the licence of the pattern.`

func (p *program) isolateCommand() *urfave.Command {
	return &urfave.Command{
		Name:         "isolate",
		Usage:        "write a copy with the chosen sizes alone",
		ArgsUsage:    "FILE",
		Description:  isolateHelp,
		OnUsageError: onUsageError,
		Flags: append(selectionFlags(),
			&urfave.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `FILE`; - is standard output"},
			&urfave.BoolFlag{Name: "force", Usage: "replace the output if it exists"},
			&urfave.BoolFlag{Name: "compare", Usage: "draw every page before and after, and write nothing unless they look alike"},
			&urfave.BoolFlag{Name: "dry-run", Usage: "tell what would be done and write nothing"},
			&urfave.BoolFlag{Name: "json", Usage: "report as JSON on standard output"},
			p.passwordFlag(),
		),
		Action: p.isolate,
	}
}

// isolate is the whole flow: open, choose, isolate, verify, report.
func (p *program) isolate(c *urfave.Context) error {
	a, err := readIsolateArguments(c)
	if err != nil {
		return err
	}
	t := target{name: a.output, force: a.force, out: p.out}
	if !a.dryRun {
		if err := t.check(a.input); err != nil {
			return err
		}
	}
	doc, err := p.open(c.Context, a.input)
	if err != nil {
		return err
	}
	choice, err := a.choose(doc)
	if err != nil {
		return in(a.input, err)
	}
	if a.dryRun {
		t = target{name: stream, out: io.Discard}
	}
	report, err := a.write(c.Context, t, doc, choice.selection(), p.passwordOf(doc))
	if err != nil {
		return in(a.input, err)
	}
	return p.reportIsolated(a, choice, report)
}

// write isolates to the target and verifies what was written.
func (a *isolateArguments) write(ctx context.Context, t target, doc *layers.Document, sel layers.Selection, password string) (report *layers.Report, err error) {
	err = t.write(func(w io.Writer) error {
		report, err = doc.Isolate(ctx, w, sel, &a.options)
		return err
	}, func(result io.ReadSeeker) error {
		if err := report.Check(ctx, result); err != nil {
			return fmt.Errorf("the result did not pass the check and was not written, please report this: %w", err)
		}
		if !a.compare {
			return nil
		}
		return lookAlike(ctx, doc, sel, result, password)
	})
	return report, err
}

// isolateArguments are the arguments of isolate, checked against each other.
type isolateArguments struct {
	*selectionArguments
	input, output                  string
	force, compare, dryRun, asJSON bool
}

func readIsolateArguments(c *urfave.Context) (*isolateArguments, error) {
	input, err := oneFile(c)
	if err != nil {
		return nil, err
	}
	a := &isolateArguments{
		input: input, output: c.String("output"), force: c.Bool("force"), compare: c.Bool("compare"),
		dryRun: c.Bool("dry-run"), asJSON: c.Bool("json"),
	}
	if a.selectionArguments, err = readSelection(c); err != nil {
		return nil, err
	}
	switch {
	case a.output == "" && !a.dryRun:
		return nil, usagef("where to? give -o FILE, or --dry-run to see what would be done")
	case a.output == stream && a.asJSON && !a.dryRun:
		return nil, usagef("-o - and --json both want standard output; give one of them a file")
	}
	return a, nil
}
