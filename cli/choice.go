package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// choice is which layers and lines of a document stay.
type choice struct {
	found []layers.Layer
	// By a chart:
	match *sizes.Match
	pick  *sizes.Pick
	// By what sizes are told apart, and why.
	by, why     string
	styles      *layers.Lines // nil where they have not been read
	lines       *lineChoice   // by lines or both
	absentSizes []sizes.PickedSize
	// By name or number:
	positions []int
}

// selection is the choice as the library takes it: what the chart does not
// know stays as it is.
func (c *choice) selection() layers.Selection {
	if c.pick == nil {
		return layers.Selection{Layers: c.positions}
	}
	if c.lines != nil {
		return c.lineSelection()
	}
	return layers.Selection{Layers: c.pick.Positions(), Unchanged: c.pick.Unknown()}
}

// choose finds the layers and lines that the arguments ask for, by a chart of
// its own making where they ask for sizes without one.
func (a *selectionArguments) choose(ctx context.Context, doc *layers.Document) (*choice, error) {
	if err := a.draft(doc); err != nil {
		return nil, err
	}
	c := &choice{found: doc.Layers()}
	if a.chart != nil {
		c.match = a.chart.Match(layers.Names(c.found))
		if c.by, c.why = a.way(c); c.by != byLayers {
			return c, errors.Join(a.byLine(ctx, doc, c), a.refuseUnknown(c))
		}
	}
	if len(c.found) == 0 {
		return nil, doc.NoLayers()
	}
	if a.chart == nil {
		return c, a.byName(c)
	}
	return c, a.byChart(c)
}

// byChart picks sizes.
func (a *selectionArguments) byChart(c *choice) (err error) {
	if c.pick, err = c.match.Pick(a.want); err != nil {
		return a.asDrafted(err)
	}
	return a.refuseUnknown(c)
}

// asDrafted does not speak of a chart where nobody gave one.
func (a *selectionArguments) asDrafted(err error) error {
	var unknown *sizes.UnknownSizeError
	if !a.drafted || !errors.As(err, &unknown) {
		return err
	}
	near := ""
	if unknown.Nearest != "" {
		near = fmt.Sprintf("; the nearest is %s", printable(unknown.Nearest))
	}
	return fmt.Errorf("the layer names do not tell of a size %s%s; they tell %s: give --size one of these",
		printable(unknown.Want), near, printables(unknown.Have, 30))
}

// refuseUnknown refuses layers that the chart does not know, where that is asked
// for.
func (a *selectionArguments) refuseUnknown(c *choice) error {
	var unknown []string
	for _, x := range c.match.Answers {
		if x.Kind == sizes.KindUnknown {
			unknown = append(unknown, x.Name)
		}
	}
	if a.strict && len(unknown) > 0 {
		return fmt.Errorf("the chart does not know %s: list them under a size's layers, keep or drop", quoted(unknown))
	}
	return nil
}

// byName takes the layers of the names and numbers given.
func (a *selectionArguments) byName(c *choice) error {
	names := layers.Names(c.found)
	for _, want := range a.names {
		found := false
		for i, n := range names {
			if n == want {
				c.positions = append(c.positions, i)
				found = true
			}
		}
		if !found {
			return unknownLayer(want, names)
		}
	}
	for _, object := range a.objects {
		i := slices.IndexFunc(c.found, func(l layers.Layer) bool { return l.Object == object })
		if i < 0 {
			return fmt.Errorf("there is no layer with object number %d; the layers are %s", object, numbered(c.found))
		}
		c.positions = append(c.positions, i)
	}
	slices.Sort(c.positions)
	c.positions = slices.Compact(c.positions)
	return nil
}

// unknownLayer says which names there are, or the one that was meant.
func unknownLayer(want string, names []string) error {
	if like := sizes.Nearest(want, names); like != "" {
		return fmt.Errorf("there is no layer %q; did you mean %q?", want, like)
	}
	return fmt.Errorf("there is no layer %q; the layers are %s", want, quoted(names))
}

// names are the names at positions.
func (c *choice) names(positions []int) []string {
	var list []string
	for _, i := range positions {
		list = append(list, c.found[i].Name)
	}
	return list
}

// numbered writes layers with their numbers, the first twelve of them.
func numbered(list []layers.Layer) string {
	var out []string
	for i, l := range list {
		if i == 12 {
			out = append(out, fmt.Sprintf("and %d more", len(list)-i))
			break
		}
		out = append(out, fmt.Sprintf("%d (%s)", l.Object, printable(l.Name)))
	}
	return strings.Join(out, ", ")
}
