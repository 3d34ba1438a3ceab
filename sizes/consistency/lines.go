package consistency

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/sizes"
)

// byLine tells whether a line of the file is that of a size.
func (f *file) byLine() bool {
	return slices.ContainsFunc(f.Lines, func(l Line) bool { return len(l.Sizes)+len(l.Between) > 0 })
}

// hasSize tells whether a layer is a size.
func (f *file) hasSize() bool {
	return slices.ContainsFunc(f.layers, func(l *layer) bool { return l.answer.Kind == sizes.KindSize })
}

// maxLooks is how many lines a finding describes.
const maxLooks = 6

// lines finds lines that do not tell sizes apart. Which sizes have none, and
// which lines are no size's, matters where no layers tell.
func (c *checker) lines(f *file) {
	for _, a := range f.Alike {
		if f.oneLine(a) {
			continue // found below
		}
		id, how := "line-alike", "in print"
		if a.Grey {
			id, how = "line-alike-grey", "where they are printed without colour"
		}
		c.add(id, f, nil, fmt.Sprintf("The lines of sizes %s and %s are hard to tell apart %s.", a.A, a.B, how), "Give one of them another dash, or a colour that differs in lightness.")
	}
	var unowned []string
	found := map[string]bool{}
	for _, l := range f.Lines {
		owners := l.owners()
		for _, label := range owners {
			found[label] = true
		}
		switch {
		case len(owners) == 0:
			unowned = append(unowned, l.Look)
		case len(owners) > 1:
			c.add("line-shared", f, nil, fmt.Sprintf("The line %s is that of sizes %s.", l.Look, strings.Join(owners, ", ")), "Draw each size in a colour or dash of its own.")
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
		c.add("line-unowned", f, nil, "No size's are the lines "+strings.Join(unowned, "; ")+".", "Nothing, where they belong to every size, such as grainlines and text.")
	}
}

// oneLine says whether one line of the file is that of both sizes.
func (f *file) oneLine(a Alike) bool {
	return slices.ContainsFunc(f.Lines, func(l Line) bool {
		owners := l.owners()
		return slices.Contains(owners, a.A) && slices.Contains(owners, a.B)
	})
}

// owners are the labels of all sizes that a line may be that of.
func (l Line) owners() []string { return append(slices.Clone(l.Sizes), l.Between...) }

// unlined finds sizes of the chart that state a line which the file does not
// have.
func (c *checker) unlined(f *file, found map[string]bool) {
	for _, s := range c.chart.Sizes {
		if s.Line != nil && !found[s.Label] {
			c.add("line-missing", f, nil, fmt.Sprintf("No line is that of size %s.", s.Label), "Draw the size as the chart says, or mend its line in the chart.")
		}
	}
}
