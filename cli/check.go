package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
	"github.com/sizeply/sizeply/sizes/consistency"
)

const checkHelp = `For designers, before a pattern is sold: holds the layers of all its files against
the size chart and against each other. Shows which file has which layer, then
what to mend, each with the file, the layer and what to do. Without a chart one is
drafted from the layer names.

   sizeply check skirt-a0.pdf skirt-a4.pdf skirt-letter.pdf --chart skirt.yaml

What is meant to be so is listed in the chart, and left out from then on:

   accepted:
     - {finding: layer-off, layer: "Logo", reason: "for the web page alone"}

The exit status is 1 where there are findings of the level --fail-on or worse: by
default warnings and errors, but no notes.`

func (p *program) checkCommand() *urfave.Command {
	return &urfave.Command{
		Name:         "check",
		Usage:        "find what to mend in the layers of a pattern's files",
		ArgsUsage:    "FILE...",
		Description:  checkHelp,
		OnUsageError: onUsageError,
		Flags: append([]urfave.Flag{
			&urfave.StringFlag{Name: "chart", Usage: "size chart `FILE` (YAML or CSV)"},
			&urfave.StringFlag{Name: "fail-on", Value: "warning", Usage: "exit with status 1 from this `LEVEL` on: error, warning, note, or none for never"},
			&urfave.BoolFlag{Name: "json", Usage: "as JSON"},
			&urfave.BoolFlag{Name: "sarif", Usage: "as SARIF 2.1.0, for programs that show findings of checks"},
		}, p.fileFlags()...),
		Action: p.check,
	}
}

// checkJSON is the result for programs.
type checkJSON struct {
	Version int      `json:"version"`
	Files   []string `json:"files"`
	Drafted bool     `json:"drafted"` // the chart was made from the layer names
	*consistency.Result
}

func (p *program) check(c *urfave.Context) error {
	names := c.Args().Slice()
	least, err := failOn(c.String("fail-on"))
	switch {
	case err != nil:
		return err
	case len(names) == 0:
		return usagef("which file? sizeply check FILE")
	case twice(names) != "":
		return usagef("%s is given twice", printable(twice(names)))
	case c.Bool("json") && c.Bool("sarif"):
		return usagef("--json and --sarif both want standard output: give one of them")
	}
	var chart *sizes.Chart
	if c.IsSet("chart") {
		if chart, err = readChart(c, c.String("chart")); err != nil {
			return err
		}
	}
	files, err := p.checkFiles(c, names, chart)
	if err != nil {
		return err
	}
	res := consistency.Check(files, chart)
	switch {
	case c.Bool("json"):
		err = p.json(checkJSON{Version: formatVersion, Files: names, Drafted: res.Drafted != nil, Result: res})
	case c.Bool("sarif"):
		err = res.WriteSARIF(p.out, version())
	default:
		err = p.checked(files, res)
	}
	if err != nil {
		return err
	}
	return failing(res, least)
}

// twice is the first name that stands twice in a list, "" where none does.
func twice(names []string) string {
	for i, name := range names {
		if slices.Contains(names[:i], name) {
			return name
		}
	}
	return ""
}

// failOn reads a level; 0 is none.
func failOn(word string) (least consistency.Severity, err error) {
	if word == "none" {
		return 0, nil
	}
	if err := least.UnmarshalText([]byte(word)); err != nil {
		return 0, usagef("--fail-on is error, warning, note or none, not %q", word)
	}
	return least, nil
}

// failing is the error where there are findings of a level or worse.
func failing(res *consistency.Result, least consistency.Severity) error {
	n := 0
	for _, f := range res.Findings {
		if least != 0 && f.Severity >= least {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return fmt.Errorf("%d %s to mend", n, plural(n, "finding", "findings"))
}

// checkAtOnce is how many files are looked through at a time; each is in memory
// as a whole.
const checkAtOnce = 2

// checkFiles reads what the files hold. They are opened one after the other,
// since one may ask for a password, and looked through as they come.
func (p *program) checkFiles(c *urfave.Context, names []string, chart *sizes.Chart) ([]consistency.File, error) {
	ctx, stop := context.WithCancel(c.Context)
	defer stop()
	found := make([]*layers.Inspection, len(names))
	list := make([]consistency.File, len(names))
	errs := make([]error, len(names))
	var running sync.WaitGroup
	places := make(chan struct{}, checkAtOnce)
	for i, name := range names {
		places <- struct{}{}
		doc, err := p.open(ctx, name)
		if err != nil {
			stop()
			running.Wait()
			return nil, err
		}
		running.Go(func() {
			defer func() { <-places }()
			if found[i], errs[i] = doc.Inspect(ctx); errs[i] == nil {
				list[i] = checkFile(name, found[i])
				errs[i] = addLooks(ctx, &list[i], doc, chart)
			}
			errs[i] = in(name, errs[i])
		})
	}
	running.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	for i, name := range names {
		for _, w := range found[i].Warnings {
			note(p.err, "%s: %s", printable(name), printable(w.Text))
		}
	}
	return list, nil
}

// millimetre is how many points one is.
const millimetre = 72 / 25.4

// checkFile puts down what a check needs to know of a file.
func checkFile(name string, res *layers.Inspection) consistency.File {
	f := consistency.File{Name: name, Pages: len(res.Pages)}
	texts := map[[2]int][]consistency.Text{} // by layer and page
	for _, s := range res.Shown {
		k := [2]int{s.Layer, s.Page}
		texts[k] = append(texts[k], consistency.Text{Text: s.Text, X: s.Left / millimetre, Y: s.Bottom / millimetre})
	}
	ordered := slices.ContainsFunc(res.Layers, func(l layers.Layer) bool { return l.Place > 0 })
	for _, l := range res.Layers {
		out := consistency.Layer{
			ID: l.Object, Name: l.Name, Above: l.Parents, Place: l.Place, Within: l.Within,
			Hidden: !l.On, NotPrinted: !l.Print, Locked: l.Locked,
			Unlisted: !l.Listed || ordered && l.Place == 0, // ISO 32000-1, Table 101: what Order leaves out is not shown
		}
		for _, u := range l.Uses {
			held := consistency.Held{Page: u.Page, Marks: u.Paths + u.Texts + u.Images, Texts: texts[[2]int{l.Object, u.Page}]}
			if !u.Bounds.IsEmpty() {
				held.Width, held.Height = (u.Bounds.Right-u.Bounds.Left)/millimetre, (u.Bounds.Top-u.Bounds.Bottom)/millimetre
			}
			out.Holds = append(out.Holds, held)
		}
		f.Layers = append(f.Layers, out)
	}
	for _, u := range res.Outside {
		f.Outside = append(f.Outside, u.Page)
	}
	for _, x := range res.Private {
		f.Private = append(f.Private, consistency.Private{Program: x.Program, Bytes: x.Bytes})
	}
	f.Measured = true
	for _, s := range res.Squares {
		f.Squares = append(f.Squares, consistency.Square{
			Page: s.Page, Label: s.Label, Layers: s.Layers, Side: s.Side, Nominal: s.Nominal, True: s.True(),
		})
	}
	return f
}
