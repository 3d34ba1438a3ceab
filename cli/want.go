package cli

import (
	"strings"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/sizes"
)

// sizeFlags choose sizes of a chart.
func sizeFlags() []urfave.Flag {
	return []urfave.Flag{
		&urfave.StringFlag{Name: "chart", Usage: "size chart `FILE` (YAML or CSV)"},
		&urfave.StringSliceFlag{Name: "size", Usage: "size `LABEL`, a list (10,14) or a span (10..14); repeatable"},
		&urfave.StringSliceFlag{Name: "body", Usage: "in place of --size: body `MEASUREMENTS`, as in bust=92cm,waist=29in; repeatable"},
		&urfave.StringFlag{Name: "between", Usage: "what becomes of a measurement between two sizes: `RULE` is nearest, or up for the larger", Value: "nearest"},
		&urfave.IntFlag{Name: "neighbours", Aliases: []string{"neighbors"}, Usage: "`N` sizes below and above each"},
		&urfave.IntFlag{Name: "below", Usage: "`N` sizes below each"},
		&urfave.IntFlag{Name: "above", Usage: "`N` sizes above each"},
	}
}

const whichSizes = "which sizes? give --size LABEL, such as --size 14, or --body bust=92cm,waist=74cm"

// readWant reads which sizes are asked for, which may be none.
func readWant(c *urfave.Context) (sizes.Want, error) {
	w := sizes.Want{Labels: c.StringSlice("size"), Below: c.Int("neighbours"), Above: c.Int("neighbours")}
	if c.IsSet("below") {
		w.Below = c.Int("below")
	}
	if c.IsSet("above") {
		w.Above = c.Int("above")
	}
	if w.Below < 0 || w.Above < 0 {
		return w, usagef("a number of neighbours cannot be negative")
	}
	return w, readBody(c, &w)
}

// readBody reads the measurements of a body and what becomes of those between
// two sizes.
func readBody(c *urfave.Context, w *sizes.Want) (err error) {
	switch between := c.String("between"); {
	case between == "up":
		w.Between = sizes.BetweenUp
	case between != "nearest":
		return usagef("--between %s: between two sizes it is nearest or up", printable(between))
	}
	switch {
	case !c.IsSet("body") && c.IsSet("between"):
		return usagef("--between is for body measurements: give --body bust=92cm,waist=74cm")
	case !c.IsSet("body"):
		return nil
	case len(w.Labels) > 0:
		return usagef("--size and --body both choose the sizes: give one of the two")
	}
	if w.Body, err = sizes.ParseBody(strings.Join(c.StringSlice("body"), ";")); err != nil {
		return usagef("--body: %v", err)
	}
	return nil
}
