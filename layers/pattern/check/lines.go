package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// byLine reports whether a line of the file is that of a size.
func (f *file) byLine() bool {
	return slices.ContainsFunc(f.lines, func(l line) bool { return len(l.owners) > 0 })
}

// hasSize reports whether a layer is a size.
func (f *file) hasSize() bool {
	return slices.ContainsFunc(f.layers, func(l *layer) bool { return l.answer.Kind == sizes.KindSize })
}

// line is a line of one look, with the labels of all sizes that it may be that
// of.
type line struct {
	*layers.LineStyle
	owners []string
}

// linesOf are the lines of a file; its fills and texts are none.
func linesOf(in *pattern.Lines) []line {
	if in == nil {
		return nil
	}
	var list []line
	for i, a := range in.Answers {
		if s := &in.Styles[i]; s.Kind == layers.StrokedLine || s.Kind == layers.ThinShape {
			list = append(list, line{s, append(slices.Clone(a.Sizes), a.Between...)})
		}
	}
	return list
}

// someOf lists the first looks, and says how many more there are.
func someOf(looks []string) string {
	const most = 6
	if n := len(looks) - most; n > 0 {
		looks = append(looks[:most], fmt.Sprintf("and %d more", n))
	}
	return strings.Join(looks, "; ")
}

// lines finds lines that do not tell sizes apart. Which sizes have none, and
// which lines are no size's, matters where no layers tell.
func (c *checker) lines(f *file) {
	if f.Lines == nil {
		return
	}
	c.lookAlike(f, false, "line-alike", "in print")
	c.lookAlike(f, true, "line-alike-grey", "where they are printed without colour")
	var unowned []string
	found := map[string]bool{}
	for _, l := range f.lines {
		for _, label := range l.owners {
			found[label] = true
		}
		switch look := pattern.LineWords(l.LineStyle); len(l.owners) {
		case 0:
			unowned = append(unowned, look)
		case 1:
		default:
			c.add("line-shared", f, nil, fmt.Sprintf("One line, %s, is that of sizes %s.", look, and(l.owners)),
				"Draw each size in a colour or dash of its own, and say so in the chart.")
		}
	}
	if !f.byLine() || f.hasSize() {
		return
	}
	for _, s := range c.chart.Sizes {
		if s.Line != nil && !found[s.Label] {
			c.add("line-missing", f, nil, fmt.Sprintf("No line looks like that of size %q in the chart%s.", s.Label,
				lineWords(s.Line)), "Draw the size as the chart says, or mend its line in the chart.")
		}
	}
	if len(unowned) > 0 {
		c.add("line-unowned", f, nil,
			"Every print has these lines, which the chart gives to no size: "+someOf(unowned)+".",
			"Leave them where they belong to all sizes, as grainlines do; else give the size its line in the chart.")
	}
}

// lookAlike finds pairs of sizes whose lines look alike, in one finding that lists
// for each size the larger ones that it is like.
func (c *checker) lookAlike(f *file, grey bool, id, where string) {
	specs, labels := pattern.LineSpecs(c.chart)
	pairs, _ := layers.HardToTell(specs) // a colour that is none has ended the matching
	var alike [][2]string
	for _, p := range pairs {
		a, b := labels[p.A], labels[p.B]
		both := func(l line) bool { return slices.Contains(l.owners, a) && slices.Contains(l.owners, b) }
		if p.OnlyGrey == grey && !slices.ContainsFunc(f.lines, both) { // one line is found by itself
			alike = append(alike, [2]string{a, b})
		}
	}
	var groups []string
	for _, like := range grouped(alike, func(pair [2]string) string { return pair[0] }) {
		var larger []string
		for _, pair := range like {
			larger = append(larger, pair[1])
		}
		groups = append(groups, like[0][0]+" and "+strings.Join(larger, ", "))
	}
	if len(groups) > 0 {
		c.add(id, f, nil,
			fmt.Sprintf("The lines of these sizes are hard to tell apart %s: %s.", where, someOf(groups)),
			"Give each size a dash of its own, or a colour that differs in lightness.")
	}
}

// lineWords tells what a chart says of a line, in brackets.
func lineWords(l *sizes.Line) string {
	var words []string
	if l.Colour != "" {
		words = append(words, l.Colour)
	}
	switch {
	case len(l.Dash) > 0:
		words = append(words, "dashed "+strings.Trim(fmt.Sprint(l.Dash), "[]")+" mm")
	case l.Dash != nil:
		words = append(words, "solid")
	}
	if len(words) == 0 {
		return ""
	}
	return " (" + strings.Join(words, ", ") + ")"
}
