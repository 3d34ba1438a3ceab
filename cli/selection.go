package cli

import (
	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// selectionFlags choose layers, by size or by name.
func selectionFlags() []urfave.Flag {
	return []urfave.Flag{
		&urfave.StringFlag{Name: "chart", Usage: "size chart `FILE` (YAML)"},
		&urfave.StringSliceFlag{Name: "size", Usage: "size `LABEL`, a list (10,14) or a span (10..14); repeatable"},
		&urfave.IntFlag{Name: "neighbours", Aliases: []string{"neighbors"}, Usage: "`N` sizes below and above each"},
		&urfave.IntFlag{Name: "below", Usage: "`N` sizes below each"},
		&urfave.IntFlag{Name: "above", Usage: "`N` sizes above each"},
		&urfave.StringSliceFlag{Name: "layer", Usage: "keep the layers of this `NAME` and no others; repeatable"},
		&urfave.IntSliceFlag{Name: "layer-id", Usage: "keep the layer with object number `N` (see inspect); repeatable"},
		&urfave.BoolFlag{Name: "flatten", Usage: "make plain content of what is kept: no layers are left to switch"},
		&urfave.BoolFlag{Name: "decrypt", Usage: "take the encryption off, which takes the owner password; else the copy keeps it"},
		&urfave.BoolFlag{Name: "keep-attachments", Usage: "leave attached files in, which may hold the whole drawing"},
		&urfave.BoolFlag{Name: "strict", Usage: "refuse layers that the chart does not know"},
	}
}

// selectionArguments are what selectionFlags say, checked against each other.
type selectionArguments struct {
	chart   *sizes.Chart // nil where layers are chosen by name
	want    sizes.Want
	names   []string
	objects []int
	strict  bool
	options layers.IsolateOptions
}

func readSelection(c *urfave.Context) (*selectionArguments, error) {
	a := &selectionArguments{
		names: c.StringSlice("layer"), objects: c.IntSlice("layer-id"),
		strict:  c.Bool("strict"),
		options: layers.IsolateOptions{Flatten: c.Bool("flatten"), KeepAttachments: c.Bool("keep-attachments"), Decrypt: c.Bool("decrypt")},
		want:    sizes.Want{Labels: c.StringSlice("size"), Below: c.Int("neighbours"), Above: c.Int("neighbours")},
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
		var err error
		if a.chart, err = readChart(c.String("chart")); err != nil {
			return nil, err
		}
	}
	return a, nil
}

// check refuses what does not go together.
func (a *selectionArguments) check(c *urfave.Context) error {
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
	case len(a.want.Labels) == 0 && !c.Bool("each"):
		return usagef("which sizes? give --size LABEL, such as --size 14")
	}
	if a.want.Below < 0 || a.want.Above < 0 {
		return usagef("a number of neighbours cannot be negative")
	}
	return nil
}
