package cli

import (
	"bytes"
	"fmt"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
)

const verifyHelp = `Holds OUTPUT, a file that isolate wrote, against the original and the choice of
sizes: the layers, the pages and what is on them, that nothing hidden or
unreachable is left, and every byte. With --compare it also draws both and
compares the pictures. It says so and exits with 1 where something differs.

   sizeply verify mine.pdf --against skirt.pdf --chart skirt.yaml --size 14 --neighbours 1`

func (p *program) verifyCommand() *urfave.Command {
	return &urfave.Command{
		Name:         "verify",
		Usage:        "hold an isolated file against the original",
		ArgsUsage:    "OUTPUT",
		Description:  verifyHelp,
		OnUsageError: onUsageError,
		Flags: append(selectionFlags(),
			&urfave.StringFlag{Name: "against", Usage: "the original `FILE`"},
			&urfave.BoolFlag{Name: "compare", Usage: "draw every page of both and compare the pictures"},
			&urfave.BoolFlag{Name: "json", Usage: "as JSON"},
			p.passwordFlag(),
		),
		Action: p.verify,
	}
}

// verifyJSON is the result for programs.
type verifyJSON struct {
	Version  int    `json:"version"`
	File     string `json:"file"`
	Original string `json:"original"`
	Holds    bool   `json:"holds"`
	Compared bool   `json:"compared"`          // the pages were drawn
	Problem  string `json:"problem,omitempty"` // where it does not hold
}

func (p *program) verify(c *urfave.Context) error {
	name, err := oneFile(c)
	if err != nil {
		return err
	}
	original := c.String("against")
	if original == "" {
		return usagef("against which file? give --against ORIGINAL")
	}
	a, err := readSelection(c)
	if err != nil {
		return err
	}
	result, err := p.readAll(name)
	if err != nil {
		return err
	}
	doc, err := p.open(c.Context, original)
	if err != nil {
		return err
	}
	choice, err := a.choose(doc)
	if err != nil {
		return in(original, err)
	}
	sel := choice.selection()
	m := p.meter(name)
	opt := a.options
	opt.Progress = m.progress()
	problem := layers.Verify(c.Context, bytes.NewReader(result), doc, sel, &opt)
	if problem == nil && c.Bool("compare") {
		problem = lookAlike(c.Context, doc, sel, bytes.NewReader(result), p.passwordOf(doc), m)
	}
	m.clear()
	if c.Bool("json") {
		out := verifyJSON{Version: formatVersion, File: name, Original: original, Holds: problem == nil, Compared: c.Bool("compare")}
		if problem != nil {
			out.Problem = problem.Error()
		}
		if err := p.json(out); err != nil {
			return err
		}
	}
	if problem != nil {
		return in(name, problem)
	}
	if !c.Bool("json") {
		note(p.out, "%s holds what it should: %s of %s, and nothing else.", printable(name), kept(choice), printable(original))
	}
	return nil
}

// kept counts the layers that stay.
func kept(c *choice) string {
	sel := c.selection()
	n := len(sel.Layers) + len(sel.Unchanged)
	return fmt.Sprintf("%d %s", n, plural(n, "layer", "layers"))
}
