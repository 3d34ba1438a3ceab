package cli

import (
	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// selectionFlags choose layers, by size or by name.
func selectionFlags() []urfave.Flag {
	return append(sizeFlags(),
		&urfave.StringFlag{Name: "by", Usage: "tell sizes apart by `WHAT`: layers, lines (colour and dash) or both; else by layers where the chart finds sizes among them, else by lines"},
		&urfave.StringSliceFlag{Name: "layer", Usage: "keep the layers of this `NAME` and no others; repeatable"},
		&urfave.IntSliceFlag{Name: "layer-id", Usage: "keep the layer with object number `N` (see inspect); repeatable"},
		&urfave.BoolFlag{Name: "flatten", Usage: "make plain content of what is kept: no layers are left to switch"},
		&urfave.BoolFlag{Name: "decrypt", Usage: "take the encryption off, which takes the owner password; else the copy keeps it"},
		&urfave.BoolFlag{Name: "keep-attachments", Usage: "leave attached files in, which may hold the whole drawing"},
		&urfave.BoolFlag{Name: "no-residue", Usage: "refuse where something of other layers has to stay so that the rest looks right"},
		&urfave.BoolFlag{Name: "strict", Usage: "refuse layers that the chart does not know"},
	)
}

// selectionArguments are what selectionFlags say, checked against each other.
type selectionArguments struct {
	chart   *sizes.Chart // nil where layers are chosen by name, or until draft makes it
	drafted bool         // the chart is made from the layer names
	want    sizes.Want
	names   []string
	objects []int
	strict  bool
	by      string // "" where the file decides
	options layers.IsolateOptions
}

func readSelection(c *urfave.Context) (*selectionArguments, error) {
	a := &selectionArguments{
		names: c.StringSlice("layer"), objects: c.IntSlice("layer-id"),
		strict: c.Bool("strict"), by: c.String("by"),
		options: layers.IsolateOptions{
			Flatten: c.Bool("flatten"), KeepAttachments: c.Bool("keep-attachments"), Decrypt: c.Bool("decrypt"), NoResidue: c.Bool("no-residue"),
		},
	}
	var err error
	if a.want, err = readWant(c); err != nil {
		return nil, err
	}
	if err := a.check(c); err != nil {
		return nil, err
	}
	if c.IsSet("chart") {
		a.chart, err = readChart(c, c.String("chart"))
	}
	return a, err
}

// check refuses what does not go together.
func (a *selectionArguments) check(c *urfave.Context) error {
	byName := len(a.names) > 0 || len(a.objects) > 0
	bySize := len(a.want.Labels) > 0 || len(a.want.Body) > 0 || c.IsSet("neighbours") || c.IsSet("below") || c.IsSet("above") || a.strict
	switch {
	case c.IsSet("by") && a.by != byLayers && a.by != byLines && a.by != byBoth:
		return usagef("--by is layers, lines or both, not %q", a.by)
	case c.IsSet("by") && !c.IsSet("chart"):
		return usagef("--by needs a size chart: give --chart FILE")
	case byName && (bySize || c.IsSet("chart")):
		return usagef("--layer and --layer-id choose layers without a chart: they do not go with --chart, --size, --body, neighbours or --strict")
	case byName:
	case !c.IsSet("chart") && len(a.want.Labels) > 0 && !c.Bool("each"): // draft makes one
	case !c.IsSet("chart") && len(a.want.Body) > 0:
		return usagef("--body needs a size chart: give --chart FILE")
	case !c.IsSet("chart"):
		return usagef("which sizes? give --size LABEL, with --chart FILE where the layers are not named after sizes, or --layer NAME")
	case len(a.want.Labels) == 0 && len(a.want.Body) == 0 && !c.Bool("each"):
		return usagef(whichSizes)
	}
	return nil
}
