package cli

import (
	"context"
	"fmt"
	"io"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
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
		Flags: []urfave.Flag{
			&urfave.StringFlag{Name: "chart", Usage: "size chart `FILE` (YAML)"},
			&urfave.StringSliceFlag{Name: "size", Usage: "size `LABEL`, a list (10,14) or a span (10..14); repeatable"},
			&urfave.IntFlag{Name: "neighbours", Aliases: []string{"neighbors"}, Usage: "`N` sizes below and above each"},
			&urfave.IntFlag{Name: "below", Usage: "`N` sizes below each"},
			&urfave.IntFlag{Name: "above", Usage: "`N` sizes above each"},
			&urfave.StringSliceFlag{Name: "layer", Usage: "keep the layers of this `NAME` and no others; repeatable"},
			&urfave.IntSliceFlag{Name: "layer-id", Usage: "keep the layer with object number `N` (see inspect); repeatable"},
			&urfave.StringFlag{Name: "output", Aliases: []string{"o"}, Usage: "write to `FILE`; - is standard output"},
			&urfave.BoolFlag{Name: "force", Usage: "replace the output if it exists"},
			&urfave.BoolFlag{Name: "flatten", Usage: "make plain content of what is kept: no layers are left to switch"},
			&urfave.BoolFlag{Name: "strict", Usage: "refuse layers that the chart does not know"},
			&urfave.BoolFlag{Name: "dry-run", Usage: "tell what would be done and write nothing"},
			&urfave.BoolFlag{Name: "json", Usage: "report as JSON on standard output"},
		},
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
	report, err := write(c.Context, t, doc, choice.selection(), a.flatten)
	if err != nil {
		return in(a.input, err)
	}
	return p.reportIsolated(a, choice, report)
}

// write isolates to the target and verifies what was written.
func write(ctx context.Context, t target, doc *layers.Document, sel layers.Selection, flatten bool) (report *layers.Report, err error) {
	err = t.write(func(w io.Writer) error {
		report, err = doc.Isolate(ctx, w, sel, &layers.IsolateOptions{Flatten: flatten})
		return err
	}, func(result io.ReadSeeker) error {
		if err := layers.Verify(ctx, result, doc, sel, &layers.VerifyOptions{Flatten: flatten}); err != nil {
			return fmt.Errorf("the result did not pass the check and was not written, please report this: %w", err)
		}
		return nil
	})
	return report, err
}

// isolateArguments are the arguments of isolate, checked against each other.
type isolateArguments struct {
	input, output                 string
	force, strict, dryRun, asJSON bool
	flatten                       bool
	chart                         *sizes.Chart // nil where layers are chosen by name
	want                          sizes.Want
	names                         []string
	objects                       []int
}

func readIsolateArguments(c *urfave.Context) (*isolateArguments, error) {
	input, err := oneFile(c)
	if err != nil {
		return nil, err
	}
	a := &isolateArguments{
		input: input, output: c.String("output"), force: c.Bool("force"),
		strict: c.Bool("strict"), flatten: c.Bool("flatten"), dryRun: c.Bool("dry-run"), asJSON: c.Bool("json"),
		names: c.StringSlice("layer"), objects: c.IntSlice("layer-id"),
		want: sizes.Want{Labels: c.StringSlice("size"), Below: c.Int("neighbours"), Above: c.Int("neighbours")},
	}
	if c.IsSet("below") {
		a.want.Below = c.Int("below")
	}
	if c.IsSet("above") {
		a.want.Above = c.Int("above")
	}
	if err := a.check(c); err != nil {
		return nil, err
	}
	if c.IsSet("chart") {
		if a.chart, err = readChart(c.String("chart")); err != nil {
			return nil, err
		}
	}
	return a, nil
}

// check refuses what does not go together.
func (a *isolateArguments) check(c *urfave.Context) error {
	byName := len(a.names) > 0 || len(a.objects) > 0
	bySize := len(a.want.Labels) > 0 || c.IsSet("neighbours") || c.IsSet("below") || c.IsSet("above") || a.strict
	switch {
	case byName && (bySize || c.IsSet("chart")):
		return usagef("--layer and --layer-id choose layers without a chart: they do not go with --chart, --size, neighbours or --strict")
	case byName:
	case !c.IsSet("chart") && len(a.want.Labels) > 0:
		return usagef("--size needs a size chart: give --chart FILE, or choose layers with --layer NAME")
	case !c.IsSet("chart"):
		return usagef("which sizes? give --chart FILE --size LABEL, or --layer NAME")
	case len(a.want.Labels) == 0:
		return usagef("which sizes? give --size LABEL, such as --size 14")
	}
	switch {
	case a.want.Below < 0 || a.want.Above < 0:
		return usagef("a number of neighbours cannot be negative")
	case a.output == "" && !a.dryRun:
		return usagef("where to? give -o FILE, or --dry-run to see what would be done")
	case a.output == stream && a.asJSON && !a.dryRun:
		return usagef("-o - and --json both want standard output; give one of them a file")
	}
	return nil
}
