package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// reorder moves flags before the other arguments of a command, since the flag
// parser stops at the first of those: flags work on both sides of a file name.
// What follows "--" is left as it is.
func reorder(app *urfave.App, args []string) []string {
	if len(args) < 2 {
		return args
	}
	cmd := app.Command(args[1])
	if cmd == nil || cmd.SkipFlagParsing {
		return args
	}
	names, valued := flagNames(cmd, false), flagNames(cmd, true)
	if asksForHelp(args[2:], valued) {
		return []string{args[0], args[1], "--help"}
	}
	flags, rest := []string{args[0], args[1]}, []string{}
	for i := 2; i < len(args); i++ {
		a := args[i]
		switch {
		case a == "--":
			rest = append(rest, args[i+1:]...)
			i = len(args)
		case len(a) < 2 || a[0] != '-':
			rest = append(rest, a)
		default:
			flags = append(flags, a)
			if !slices.Contains(valued, strings.TrimLeft(a, "-")) {
				break
			}
			if i++; i == len(args) {
				return flags // the parser says that the value is missing
			}
			// A flag is no value of the one before it; --layer=--size gives one that looks so.
			next, dashed := strings.CutPrefix(args[i], "--")
			if next, _, _ = strings.Cut(next, "="); dashed && slices.Contains(names, next) {
				return flags
			}
			flags = append(flags, args[i])
		}
	}
	return append(append(flags, "--"), rest...)
}

// asksForHelp reports whether one of the arguments of a command is the flag for help,
// and not the value of a flag.
func asksForHelp(args, valued []string) bool {
	for i, a := range args {
		switch {
		case a == "--":
			return false
		case a != "--help" && a != "-h":
		case isValue(args, i, valued):
		default:
			return true
		}
	}
	return false
}

// isValue reports whether the argument at i stands behind a flag that takes a value.
func isValue(args []string, i int, valued []string) bool {
	return i > 0 && strings.HasPrefix(args[i-1], "-") && slices.Contains(valued, strings.TrimLeft(args[i-1], "-"))
}

// flagNames are the names of a command's flags, without dashes: of all, or of
// those that take a value as the next argument.
func flagNames(cmd *urfave.Command, valued bool) (names []string) {
	for _, f := range cmd.Flags {
		if d, ok := f.(urfave.DocGenerationFlag); !valued || ok && d.TakesValue() {
			names = append(names, f.Names()...)
		}
	}
	return names
}

// oneFile is the single file that a command takes.
func (p *program) oneFile(c *urfave.Context) (string, error) {
	list, err := namedFiles(c)
	if err != nil {
		return "", err
	}
	if len(list) > 1 {
		return "", usagef("sizeply %s takes one file, not %d (%s)", c.Command.Name, len(list), strings.Join(list, ", "))
	}
	return p.single(list[0])
}

// single is the file that a name stands for: that in a folder or an archive, where
// there is just one.
func (p *program) single(name string) (string, error) {
	files, err := p.expanded([]string{name})
	if err != nil {
		return "", err
	}
	if len(files) > 1 {
		return "", usagef("%s holds %d PDF files: name one of %s", words.Printable(name), len(files),
			words.List(files, 12))
	}
	return files[0], nil
}

// someFiles are the files that a command takes, at least one, with those of folders
// and archives.
func (p *program) someFiles(c *urfave.Context) ([]string, error) {
	list, err := namedFiles(c)
	if err != nil {
		return nil, err
	}
	return p.expanded(list)
}

// isInput reports whether an argument is a file, or is called as one is.
func isInput(name string) bool {
	ending := strings.ToLower(filepath.Ext(name))
	_, err := os.Stat(name)
	return err == nil || name == stream || strings.ContainsAny(name, `/\`) || ending == ".pdf" || ending == ".zip"
}

// namedFiles are the files that a line names, at least one. Arguments that are the
// parts of one file's name with spaces are none, nor are those that continue a list.
func namedFiles(c *urfave.Context) ([]string, error) {
	list := c.Args().Slice()
	if len(list) == 0 {
		return nil, usagef("which file? sizeply %s FILE", c.Command.Name)
	}
	name := strings.Join(list, " ")
	if _, err := os.Stat(name); err == nil && len(list) > 1 {
		return nil, usagef(`a name with spaces stands in quotes: "%s"`, words.Printable(name))
	}
	for _, name := range list {
		if len(list) == 1 || isInput(name) {
			continue
		}
		if labels := c.StringSlice("size"); len(labels) > 0 {
			more := slices.DeleteFunc(slices.Clone(list), isInput)
			return nil, usagef("%s is no file; several sizes are one list with commas: --size %s",
				words.Printable(name), words.Printable(strings.Join(append(labels, more...), ",")))
		}
		if c.IsSet("layer") {
			return nil, usagef(`%s is no file; each layer has a --layer of its own: --layer "%s"`,
				words.Printable(name), words.Printable(name))
		}
	}
	return list, nil
}

// sizeFlags choose sizes of a chart.
func sizeFlags() []urfave.Flag {
	return []urfave.Flag{
		&urfave.StringFlag{Name: "chart", Usage: "size chart `FILE` (YAML or CSV)"},
		&urfave.StringSliceFlag{Name: "size", Usage: "size `LABEL`, a list (10,14) or a span (10..14); repeatable"},
		&urfave.StringSliceFlag{Name: "body",
			Usage: "in place of --size: body `MEASUREMENTS`, as in bust=92cm,waist=29in; repeatable"},
		&urfave.StringFlag{Name: "between", Value: "nearest",
			Usage: "what becomes of a measurement between two sizes: `RULE` is nearest, or up for the larger"},
		&urfave.IntFlag{Name: "neighbours", Aliases: []string{"neighbors"}, Usage: "`N` sizes below and above each"},
		&urfave.IntFlag{Name: "below", Usage: "`N` sizes below each"},
		&urfave.IntFlag{Name: "above", Usage: "`N` sizes above each"},
	}
}

const whichSizes = "which sizes? give --size LABEL, such as --size 14, or --body bust=92cm,waist=74cm"

// readWant reads which sizes are asked for, which may be none.
func readWant(c *urfave.Context) (w sizes.Want, err error) {
	w.Labels = c.StringSlice("size")
	for name, n := range map[string]*int{"below": &w.Below, "above": &w.Above} {
		if *n = c.Int("neighbours"); c.IsSet(name) {
			*n = c.Int(name)
		}
	}
	between := c.String("between")
	if between == "up" {
		w.Between = sizes.BetweenUp
	}
	switch {
	case w.Below < 0 || w.Above < 0:
		return w, usagef("a number of neighbours cannot be negative")
	case between != "up" && between != "nearest":
		return w, usagef("--between %s: between two sizes it is nearest or up", words.Printable(between))
	case !c.IsSet("body") && c.IsSet("between"):
		return w, usagef("--between is for body measurements: give --body bust=92cm,waist=74cm")
	case !c.IsSet("body"):
		return w, nil
	case len(w.Labels) > 0:
		return w, usagef("--size and --body both choose the sizes: give one of the two")
	}
	if w.Body, err = sizes.ParseBody(strings.Join(c.StringSlice("body"), ";")); err != nil {
		return w, usagef("--body: %v", err)
	}
	return w, nil
}

// selectionFlags choose layers, by size or by name.
func selectionFlags() []urfave.Flag {
	return append(sizeFlags(),
		&urfave.StringFlag{Name: "by", Usage: "tell sizes apart by `WHAT`: layers, lines (colour and dash) or both; " +
			"else by layers where the chart finds sizes among them, else by lines"},
		&urfave.StringSliceFlag{Name: "layer", KeepSpace: true,
			Usage: "keep the layers of this `NAME` and no others; repeatable"},
		&urfave.IntSliceFlag{Name: "layer-id",
			Usage: "keep the layer with the id `N` that inspect lists; repeatable"},
		&urfave.BoolFlag{Name: "flatten", Usage: "make plain content of what is kept: no layers are left to switch"},
		&urfave.BoolFlag{Name: "decrypt",
			Usage: "take the encryption off, which takes the owner password; else the copy keeps it"},
		&urfave.BoolFlag{Name: "keep-attachments", Usage: "leave attached files in, which may hold the whole drawing"},
		&urfave.BoolFlag{Name: "no-residue",
			Usage: "refuse where something of other layers has to stay so that the rest looks right"},
		&urfave.BoolFlag{Name: "accept-damage",
			Usage: "go on where a page cannot be read whole: leave out what cannot be read, and say where"},
		&urfave.BoolFlag{Name: "force-texts",
			Usage: "let all texts of a page go that have the colour of a size that is left out"},
		&urfave.BoolFlag{Name: "strict", Usage: "refuse layers that the chart does not know"},
	)
}

// selectionArguments are what selectionFlags say, checked against each other.
type selectionArguments struct {
	chart   *sizes.Chart // nil where layers are chosen by name, or their names tell the sizes
	want    pattern.Want
	options layers.IsolateOptions
	pageArguments
}

func readSelection(c *urfave.Context) (*selectionArguments, error) {
	a := &selectionArguments{
		want: pattern.Want{
			Layers: c.StringSlice("layer"), Objects: c.IntSlice("layer-id"),
			Strict: c.Bool("strict"), By: pattern.By(c.String("by")),
			ForceTexts: c.Bool("force-texts"),
		},
		options: layers.IsolateOptions{
			Flatten: c.Bool("flatten"), KeepAttachments: c.Bool("keep-attachments"),
			Decrypt: c.Bool("decrypt"), NoResidue: c.Bool("no-residue"),
			AcceptDamage: c.Bool("accept-damage"),
		},
	}
	var err error
	if a.pageArguments, err = readPageArguments(c); err != nil {
		return nil, err
	}
	if a.want.Sizes, err = readWant(c); err != nil {
		return nil, err
	}
	labels, body := len(a.want.Sizes.Labels) > 0, len(a.want.Sizes.Body) > 0
	byName := len(a.want.Layers) > 0 || len(a.want.Objects) > 0
	bySize := labels || body || c.IsSet("neighbours") || c.IsSet("below") || c.IsSet("above") || a.want.Strict
	switch {
	case c.IsSet("by") && !slices.Contains(ways, string(a.want.By)):
		return nil, usagef("--by is layers, lines or both, not %q", a.want.By)
	case c.IsSet("by") && !c.IsSet("chart"):
		return nil, usagef("--by needs a size chart: give --chart FILE")
	case byName && (bySize || c.IsSet("chart")):
		return nil, usagef("--layer and --layer-id choose layers without a chart: " +
			"they do not go with --chart, --size, --body, neighbours or --strict")
	case byName:
	case !c.IsSet("chart") && (labels || c.Bool("each") && !body): // the layer names make one
	case !c.IsSet("chart") && body:
		return nil, usagef("--body needs a size chart: give --chart FILE")
	case !c.IsSet("chart"):
		return nil, usagef("which sizes? give --size LABEL, " +
			"with --chart FILE where the layers are not named after sizes, or --layer NAME")
	case !labels && !body && !c.Bool("each"):
		return nil, usagef(whichSizes)
	}
	a.chart, err = chartOf(c)
	return a, err
}

// ways are what --by takes.
var ways = []string{string(pattern.ByBoth), string(pattern.ByLayers), string(pattern.ByLines)}

// choose finds the layers and lines that the arguments ask for.
func (a *selectionArguments) choose(ctx context.Context, doc *layers.Document) (*pattern.Choice, error) {
	c, err := pattern.New(doc, a.chart).Choose(ctx, a.want)
	return c, a.worded(err)
}

// worded adds to an error of a choice which flags and commands help, and does not
// speak of a chart where nobody gave one.
func (a *selectionArguments) worded(err error) error {
	var none *pattern.NoSizesError
	var unknown *sizes.UnknownSizeError
	if both, ok := err.(interface{ Unwrap() []error }); ok {
		var list []error
		for _, one := range both.Unwrap() {
			list = append(list, a.worded(one))
		}
		return errors.Join(list...)
	}
	switch {
	case is[*pattern.PicturesError](err):
	case errors.As(err, &none) && none.Found == 0:
		return &noSizesError{"--size without a chart needs layers that are named after sizes, and here are " +
			words.Quoted(none.Names),
			byHand + "; or choose with --layer NAME"}
	case errors.As(err, &none):
		return &noSizesError{"--size without a chart needs layer names that leave no size in doubt: " +
			pattern.DoubtsWords(none.Doubts),
			"run sizeply draft FILE -o chart.yaml, decide there, and give --chart chart.yaml"}
	case errors.Is(err, pattern.ErrNoLines):
		return fmt.Errorf("%w; sizeply inspect --lines FILE lists those of the file", err)
	case is[*pattern.MissingLineError](err):
		return fmt.Errorf("%w; sizeply inspect --lines FILE lists those it has", err)
	case errors.As(err, &unknown) && a.chart == nil:
		near := ""
		if unknown.Nearest != "" {
			near = "; the nearest is " + words.Printable(unknown.Nearest)
		}
		return fmt.Errorf("the layer names do not tell of a size %s%s; they tell %s: give --size one of these",
			words.Printable(unknown.Want), near, words.List(unknown.Have, 30))
	}
	return err
}
