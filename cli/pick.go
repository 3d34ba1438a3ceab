package cli

import (
	"slices"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/sizes"
)

func (p *program) pickCommand() *urfave.Command {
	return &urfave.Command{
		Name:      "pick",
		Usage:     "say which sizes fit a body, and their neighbours",
		ArgsUsage: " ",
		Flags:     append(sizeFlags(), &urfave.BoolFlag{Name: "json", Usage: "as JSON"}),
		Action:    p.pick,
	}
}

// pickedJSON is the result for programs.
type pickedJSON struct {
	Version int          `json:"version"`
	Chart   string       `json:"chart,omitempty"` // its name
	Sizes   []pickedSize `json:"sizes"`
	Fit     *sizes.Fit   `json:"fit,omitempty"` // for a body
	Notes   []sizes.Note `json:"notes"`
}

type pickedSize struct {
	Label string     `json:"label"`
	Role  sizes.Role `json:"role"`
}

func (p *program) pick(c *urfave.Context) error {
	want, err := readWant(c)
	switch {
	case c.Args().Present():
		return usagef("sizeply pick takes no file but the chart: --chart FILE; " +
			"to write a pattern with the sizes alone there is sizeply isolate")
	case err != nil:
		return err
	case !c.IsSet("chart"):
		return usagef("which chart? give --chart FILE")
	case len(want.Labels) == 0 && len(want.Body) == 0:
		return usagef(whichSizes)
	}
	chart, err := chartOf(c)
	if err != nil {
		return err
	}
	pick, err := chart.Pick(want)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		out := pickedJSON{Version: formatVersion, Chart: chart.Name, Fit: pick.Fit,
			Notes: append([]sizes.Note{}, pick.Notes...)}
		for _, s := range pick.Sizes {
			out.Sizes = append(out.Sizes, pickedSize{s.Label, s.Role})
		}
		return p.json(out)
	}
	var labels, roles []string
	for _, s := range pick.Sizes {
		labels, roles = append(labels, "size "+words.Printable(s.Label)), append(roles, roleWords(chart, pick, s))
	}
	lines := append(fitLines(chart, pick.Fit), titled(chart, "to print:"))
	for _, line := range slices.Concat(lines, columns(labels, roles), noteLines(pick.Notes)) {
		note(p.out, "%s", line)
	}
	note(p.out, "Make a trial garment before you cut good cloth: a chart knows neither posture nor the ease you like.")
	return nil
}
