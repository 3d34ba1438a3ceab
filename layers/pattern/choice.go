package pattern

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/warning"
	"github.com/sizeply/sizeply/sizes"
)

// A Choice is what to take of a file, and why. Its fields are to be read, not
// written.
type Choice struct {
	// By is what tells the sizes apart, Why says so; "" for layers by name.
	By  By
	Why Reason
	// Chart is the one that was given, or the one that the layer names tell; nil
	// for layers by name, as are Match and Pick.
	Chart *sizes.Chart
	// Match says what each layer of the file is to the chart.
	Match *sizes.Match
	// Pick has the sizes that are kept, how a body fits, and notes on what the
	// file or the chart lacks. By lines the positions of a size are its layers
	// where both count, else none.
	Pick *sizes.Pick
	// Lines says which line of the file is whose; nil where layers alone count.
	Lines *Lines
	// Warnings say where the print may be another one than was meant.
	Warnings []warning.Warning

	found []layers.Layer // of the file
	pages []layers.Page
	named []int // positions of the layers by name
}

// byLines picks sizes by their lines, by both also by their layers.
func (c *Choice) byLines(ctx context.Context, doc *layers.Document, want sizes.Want) (err error) {
	if !StatesLines(c.Chart) {
		return ErrNoLines
	}
	if c.Pick, err = c.Chart.Pick(want); err != nil {
		return err
	}
	found, err := doc.Lines(ctx)
	if err != nil {
		return err
	}
	if found.Incomplete {
		return &IncompleteError{found.Warnings[len(found.Warnings)-1]}
	}
	if c.Lines, err = MatchLines(found.Styles, c.Chart); err != nil {
		return err
	}
	if err := c.Lines.ambiguous(); err != nil {
		return err
	}
	if c.By == ByBoth {
		if err := errors.Join(c.Match.Err(), c.Match.Doubt(c.Chart.Labels())); err != nil {
			return err
		}
		c.Pick.Others = c.Match.Others()
	}
	var there []sizes.PickedSize
	for _, z := range c.Pick.Sizes {
		if c.By == ByBoth {
			for _, a := range c.Match.Answers {
				if slices.Contains(a.Sizes, z.Label) {
					z.Positions = append(z.Positions, a.Position)
				}
			}
		}
		switch {
		case len(c.Lines.Of(z.Label)) > 0 || len(z.Positions) > 0:
			there = append(there, z)
		case z.Role == sizes.RoleWanted:
			return &MissingLineError{Size: z.Label, Why: c.Why, None: c.Lines.none()}
		default:
			c.note(sizes.NoteMissingNeighbour, "the neighbour %q has no line in the file", z.Label)
		}
	}
	c.Pick.Sizes = there
	for _, z := range there {
		for _, i := range c.Lines.Of(z.Label) {
			others := slices.DeleteFunc(slices.Clone(c.Lines.Answers[i].Sizes), c.Keeps)
			if len(others) > 0 {
				c.note(sizes.NoteSharedLayer, "the line of size %s draws %s as well", z.Label,
					strings.Join(others, ", "))
				break
			}
		}
	}
	return nil
}

// warnOfDoubt warns of the layers that stay as they are and may be of a size that was not chosen.
func (c *Choice) warnOfDoubt() {
	if c.Match == nil || c.By == ByLines {
		return
	}
	for _, a := range c.Match.Answers {
		others := slices.DeleteFunc(slices.Clone(a.May), c.Keeps)
		stays := a.Kind == sizes.KindUnknown && len(a.Words) == 0 && c.found[a.Position].On
		if !stays || len(others) == 0 && !a.Lacks {
			continue
		}
		risk := "may draw a size that you did not choose"
		if len(others) > 0 {
			risk = fmt.Sprintf("may be of %s %s, which you did not choose",
				words.Plural(len(others), "size", "sizes"), words.List(others, 12))
		}
		c.Warnings = append(c.Warnings, warning.New(SizeInDoubt, []string{a.Name},
			`layer "%s" %s, and stays in the print: say what it is in the chart, under layers of a size, keep or drop`,
			words.Printable(a.Name), risk))
	}
}

func (c *Choice) note(kind sizes.NoteKind, format string, args ...any) {
	c.Pick.Notes = append(c.Pick.Notes, sizes.Note{Kind: kind, Text: fmt.Sprintf(format, args...)})
}

// MarshalJSON refuses: a choice holds on to its file. Its Selection, bound to the
// file by [layers.Document.Bind], can be written, and so can its Pick.
func (c *Choice) MarshalJSON() ([]byte, error) {
	return nil, fault.New(fault.ErrBadRequest,
		"a choice is not written as JSON: write its Pick, and its Selection bound to the file")
}

// Keeps reports whether a size is among those that are kept.
func (c *Choice) Keeps(label string) bool {
	return c.Pick != nil && slices.ContainsFunc(c.Pick.Sizes, func(z sizes.PickedSize) bool { return z.Label == label })
}

// isTold reports whether the chart is one that the file tells, and not one that was given.
func (c *Choice) isTold() bool { return c.Why == ByNames || c.Why == ByColours }

// namesOf returns the names of the layers that are of a kind to the chart.
func (c *Choice) namesOf(kind sizes.Kind) (names []string) {
	for _, a := range c.Match.Answers {
		if a.Kind == kind {
			names = append(names, a.Name)
		}
	}
	return names
}

// byName takes layers by their names and object numbers.
func (c *Choice) byName(names []string, objects []int) error {
	for _, want := range names {
		before := len(c.named)
		for i, l := range c.found {
			if l.Name == want {
				c.named = append(c.named, i)
			}
		}
		if len(c.named) == before {
			return &NoSuchLayerError{Name: want, Layers: c.found, Nearest: sizes.Nearest(want, layers.Names(c.found))}
		}
	}
	for _, object := range objects {
		i := slices.IndexFunc(c.found, func(l layers.Layer) bool { return l.Object == object })
		if i < 0 {
			return &NoSuchLayerError{Object: object, Layers: c.found}
		}
		c.named = append(c.named, i)
	}
	if len(c.named) == 0 {
		return ErrNothingWanted
	}
	slices.Sort(c.named)
	c.named = slices.Compact(c.named)
	return nil
}

// Selection is the choice as [layers.Document.Isolate] takes it. What the chart
// does not know stays as it is, but for other sizes than those of the chart, which
// go. By lines, layers that every print needs are kept
// and those that none needs are removed; layers of sizes follow their sizes
// where both count, else they too stay as they are.
func (c *Choice) Selection() layers.Selection {
	switch {
	case c.Pick == nil:
		return layers.Selection{Layers: c.named}
	case c.Lines == nil:
		return layers.Selection{Layers: c.Pick.Positions(), Unchanged: c.Pick.Unknown()}
	}
	sel := layers.Selection{Layers: []int{}, Lines: []layers.LineStyle{}}
	for i, a := range c.Lines.Answers {
		if len(a.Sizes) > 0 && !slices.ContainsFunc(a.Sizes, c.Keeps) {
			sel.Lines = append(sel.Lines, c.Lines.Styles[i])
		}
	}
	for _, a := range c.Match.Answers {
		switch {
		case a.Kind == sizes.KindDrop:
		case a.Kind == sizes.KindOther && c.By == ByBoth:
		case a.Kind == sizes.KindSize && c.By == ByBoth && !slices.ContainsFunc(a.Sizes, c.Keeps):
		case a.Kind == sizes.KindKeep, a.Kind == sizes.KindSize && c.By == ByBoth:
			sel.Layers = append(sel.Layers, a.Position)
		default:
			sel.Unchanged = append(sel.Unchanged, a.Position)
		}
	}
	return sel
}

// A Size is a size that is kept, and what draws it.
type Size struct {
	Label string
	Role  sizes.Role
	// Layers are those of the size; none where lines alone count.
	Layers []layers.Layer
	// Lines are the styles in which its lines are drawn, that with the most line
	// first, so that people know which line is theirs.
	Lines []layers.LineStyle
}

// Sizes returns the sizes that are kept, in the order of the chart. Where layers
// alone count, report says which lines the copy has: that of an isolation with
// [layers.IsolateOptions.KeptLines]; without it, nil, sizes have no Lines. There
// are none for layers by name.
func (c *Choice) Sizes(report *layers.Report) []Size {
	if c.Pick == nil {
		return nil
	}
	var styles []layers.LineStyle
	if c.Lines != nil {
		styles = c.Lines.Styles
	} else if report != nil {
		styles = report.KeptLines
	}
	list := make([]Size, len(c.Pick.Sizes))
	for n, z := range c.Pick.Sizes {
		size := Size{Label: z.Label, Role: z.Role}
		for _, i := range z.Positions {
			size.Layers = append(size.Layers, c.found[i])
		}
		var which []int
		lengths := map[int]float64{}
		for i := range styles {
			if length, draws := c.draws(i, &styles[i], size); draws && styles[i].Kind == layers.StrokedLine {
				which, lengths[i] = append(which, i), length
			}
		}
		slices.SortStableFunc(which, func(a, b int) int { return cmp.Compare(lengths[b], lengths[a]) })
		for _, i := range which {
			size.Lines = append(size.Lines, styles[i])
		}
		list[n] = size
	}
	return list
}

// draws reports whether a style draws a size, and how much of it: all that is
// drawn in the style where it is the size's line, else what is in its layers.
func (c *Choice) draws(at int, style *layers.LineStyle, size Size) (length float64, draws bool) {
	if c.Lines != nil && slices.Contains(c.Lines.Answers[at].Sizes, size.Label) {
		return style.Length, true
	}
	for _, l := range size.Layers {
		if k := slices.Index(style.Layers, l.Object); k >= 0 {
			length, draws = length+style.LayerLengths[k], true
		}
	}
	return length, draws
}

// Layers returns the names of the layers that are kept for every size, or that
// were chosen by name.
func (c *Choice) Layers() []string {
	var names []string
	for _, i := range c.named {
		names = append(names, c.found[i].Name)
	}
	if c.Match != nil {
		names = append(names, c.namesOf(sizes.KindKeep)...)
	}
	return names
}

// Knows reports whether the chart says what a layer is, by its object number.
func (c *Choice) Knows(object int) bool {
	i := slices.IndexFunc(c.found, func(l layers.Layer) bool { return l.Object == object })
	return c.Match != nil && i >= 0 && c.Match.Answers[i].Kind != sizes.KindUnknown
}

// Absent returns the labels of the sizes of the chart that nothing in the file
// serves: no line of those that state one by lines, else no layer. There are none
// for layers by name.
func (c *Choice) Absent() []string {
	if c.Chart == nil {
		return nil
	}
	if c.Lines != nil && c.By == ByLines {
		_, labels := LineSpecs(c.Chart)
		return slices.DeleteFunc(labels, func(label string) bool { return len(c.Lines.Of(label)) > 0 })
	}
	return slices.DeleteFunc(c.Chart.Labels(), func(label string) bool {
		serves := func(a sizes.Answer) bool { return slices.Contains(a.Sizes, label) }
		return slices.ContainsFunc(c.Match.Answers, serves)
	})
}

// RemovedLines returns the labels of the sizes that have lines which are
// removed: those that no size which is kept shares. There are none where layers
// alone count.
func (c *Choice) RemovedLines() []string {
	if c.Lines == nil {
		return nil
	}
	_, labels := LineSpecs(c.Chart)
	removed := func(style int) bool { return !slices.ContainsFunc(c.Lines.Answers[style].Sizes, c.Keeps) }
	return slices.DeleteFunc(labels, func(label string) bool {
		return !slices.ContainsFunc(c.Lines.Of(label), removed)
	})
}
