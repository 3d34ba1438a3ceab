package cli

import (
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
	if c.Args().Present() {
		return usagef("sizeply pick takes no file but the chart: --chart FILE; " +
			"to write a pattern with the sizes alone there is sizeply isolate")
	}
	chart, want, err := readPickArguments(c)
	if err != nil {
		return err
	}
	pick, err := chart.Pick(want)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return p.json(pickedForPrograms(chart, pick))
	}
	for _, line := range pickLines(chart, pick) {
		note(p.out, "%s", line)
	}
	return nil
}

// readPickArguments reads the chart and what is wanted of it.
func readPickArguments(c *urfave.Context) (*sizes.Chart, sizes.Want, error) {
	want, err := readWant(c)
	switch {
	case err != nil:
		return nil, want, err
	case !c.IsSet("chart"):
		return nil, want, usagef("which chart? give --chart FILE")
	case len(want.Labels) == 0 && len(want.Body) == 0:
		return nil, want, usagef(whichSizes)
	}
	chart, err := readChart(c, c.String("chart"))
	return chart, want, err
}

func pickedForPrograms(chart *sizes.Chart, pick *sizes.Pick) pickedJSON {
	out := pickedJSON{Version: formatVersion, Chart: chart.Name, Fit: pick.Fit,
		Notes: append([]sizes.Note{}, pick.Notes...)}
	for _, s := range pick.Sizes {
		out.Sizes = append(out.Sizes, pickedSize{s.Label, s.Role})
	}
	return out
}

// pickLines are the result for people.
func pickLines(chart *sizes.Chart, pick *sizes.Pick) []string {
	lines := fitLines(chart, pick.Fit)
	lines = append(lines, titled(chart, "to print:"))
	var labels, roles []string
	for _, s := range pick.Sizes {
		labels, roles = append(labels, "size "+words.Printable(s.Label)), append(roles, roleWords(chart, pick, s))
	}
	lines = append(lines, columns(labels, roles)...)
	lines = append(lines, noteLines(pick.Notes)...)
	return append(lines,
		"Make a trial garment before you cut good cloth: a chart knows neither posture nor the ease you like.")
}
