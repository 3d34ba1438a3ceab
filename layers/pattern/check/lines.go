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

// maxLooks is how many lines a finding describes.
const maxLooks = 6

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
	c.unlined(f, found)
	if n := len(unowned); n > 0 {
		if n > maxLooks {
			unowned = append(unowned[:maxLooks], fmt.Sprintf("and %d more", n-maxLooks))
		}
		c.add("line-unowned", f, nil,
			"Every print has these lines, which the chart gives to no size: "+strings.Join(unowned, "; ")+".",
			"Leave them where they belong to all sizes, as grainlines do; else give the size its line in the chart.")
	}
}

// lookAlike finds pairs of sizes whose lines look alike, in one finding that lists
// for each size the larger ones that it is like.
func (c *checker) lookAlike(f *file, grey bool, id, where string) {
	specs, labels := pattern.LineSpecs(c.chart)
	pairs, _ := layers.HardToTell(specs) // a colour that is none has ended the matching
	var firsts []string
	like := map[string][]string{}
	for _, p := range pairs {
		a, b := labels[p.A], labels[p.B]
		if p.OnlyGrey != grey || f.oneLine(a, b) { // one line is found by itself
			continue
		}
		if like[a] == nil {
			firsts = append(firsts, a)
		}
		like[a] = append(like[a], b)
	}
	var groups []string
	for i, first := range firsts {
		if i == maxLooks {
			groups = append(groups, fmt.Sprintf("and %d more", len(firsts)-maxLooks))
			break
		}
		groups = append(groups, first+" and "+strings.Join(like[first], ", "))
	}
	if len(groups) > 0 {
		c.add(id, f, nil,
			fmt.Sprintf("The lines of these sizes are hard to tell apart %s: %s.", where, strings.Join(groups, "; ")),
			"Give each size a dash of its own, or a colour that differs in lightness.")
	}
}

// oneLine reports whether one line of the file is that of both sizes.
func (f *file) oneLine(a, b string) bool {
	return slices.ContainsFunc(f.lines,
		func(l line) bool { return slices.Contains(l.owners, a) && slices.Contains(l.owners, b) })
}

// unlined finds sizes of the chart that state a line which the file does not
// have.
func (c *checker) unlined(f *file, found map[string]bool) {
	for _, s := range c.chart.Sizes {
		if s.Line != nil && !found[s.Label] {
			c.add("line-missing", f, nil, fmt.Sprintf("No line looks like that of size %q in the chart%s.", s.Label,
				lineWords(s.Line)), "Draw the size as the chart says, or mend its line in the chart.")
		}
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
