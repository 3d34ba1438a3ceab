package pattern

import (
	"fmt"
	"slices"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/warning"
	"github.com/sizeply/sizeply/sizes"
)

// AgainstOutlines returns pairs of labels whose outlines contradict the order in which
// they are given, that of a chart: those of the first, which stands below, lie around
// those of the second. They are of sizes that follow each other, or of others where
// these tell nothing. Where outlines do not lie within each other there are none.
func AgainstOutlines(labels []string, outlines []layers.Outlines) [][2]string {
	nest := layers.Nest(outlines)
	var pairs [][2]string
	for step := 1; step < len(labels) && len(pairs) == 0; step++ {
		for i := range len(labels) - step {
			if nest.Inside(i+step, i) {
				pairs = append(pairs, [2]string{labels[i], labels[i+step]})
			}
		}
	}
	return pairs
}

// OrderWords says that a chart lists pairs of sizes, one or more, otherwise than a
// witness, NamesSay or OutlinesSay: "in your chart 46 stands below 34; the outlines say
// otherwise".
func OrderWords(pairs [][2]string, witness string) string {
	more := ""
	if n := len(pairs) - 1; n > 0 {
		more = fmt.Sprintf(" (and so with %d more %s)", n, words.Plural(n, "pair", "pairs"))
	}
	return fmt.Sprintf("in your chart %s stands below %s%s; the %s otherwise",
		words.Printable(pairs[0][0]), words.Printable(pairs[0][1]), more, witness)
}

// What tells the order of sizes, for OrderWords.
const (
	NamesSay    = "names of the sizes say"
	OutlinesSay = "outlines say"
)

// orderWarnings warn of pairs that the chart lists otherwise than a witness, where there
// are any.
func (c *Choice) orderWarnings(pairs [][2]string, witness string) []warning.Warning {
	switch {
	case len(pairs) == 0:
		return nil
	case c.isTold():
		return []warning.Warning{warning.New(ChartOrder, pairs[0][:], "by their names %s is smaller than %s; the %s "+
			"otherwise: the size below or above yours may be a wrong one. The sizes may be of two series, or two of "+
			"them are swapped: ask who made the file before you cut",
			words.Printable(pairs[0][0]), words.Printable(pairs[0][1]), witness)}
	}
	return []warning.Warning{warning.New(ChartOrder, pairs[0][:], "%s: the size below or above yours may be a "+
		"wrong one. Put the sizes of the chart in order, smallest first; if they are, two sizes of the file "+
		"are swapped: ask who made it before you cut", OrderWords(pairs, witness))}
}

// warnOfOrder warns where the chart contradicts the names of its sizes or, by lines,
// the outlines of the file.
func (c *Choice) warnOfOrder() {
	if c.Chart == nil {
		return
	}
	list := c.orderWarnings(c.Chart.OutOfOrder(), NamesSay)
	if len(list) == 0 && c.Lines != nil {
		list = c.orderWarnings(AgainstOutlines(c.Lines.Outlines(c.Chart)), OutlinesSay)
	}
	c.Warnings = append(c.Warnings, list...)
}

// warnOfSkips warns where a neighbour that is kept may not be the nearest there is.
func (c *Choice) warnOfSkips() {
	if c.Pick == nil {
		return
	}
	roles := map[string]sizes.Role{}
	for _, z := range c.Pick.Sizes {
		roles[z.Label] = z.Role
	}
	var others []string
	for _, o := range c.Pick.Others {
		others = append(others, o.Label)
	}
	for _, pair := range c.Chart.Skips(others) {
		a, b := roles[pair[0]], roles[pair[1]]
		if a == 0 || b == 0 || a == sizes.RoleWanted && b == sizes.RoleWanted {
			continue
		}
		c.Warnings = append(c.Warnings, warning.New(SizesSkipped, pair[:], "between %s and %s a size seems to be "+
			"missing, or another series of sizes begins: they may be too far apart to grade between. Ask for the "+
			"sizes that you want one by one, or put what is missing into the chart",
			words.Printable(pair[0]), words.Printable(pair[1])))
	}
}

// Outlines returns those of the sizes of a chart that have lines of their own, in the
// order of the chart, with their labels.
func (l *Lines) Outlines(chart *sizes.Chart) (labels []string, list []layers.Outlines) {
	for _, label := range chart.Labels() {
		var styles []layers.LineStyle
		for _, i := range l.Of(label) {
			if len(l.Answers[i].Sizes) == 1 {
				styles = append(styles, l.Styles[i])
			}
		}
		if len(styles) > 0 {
			labels, list = append(labels, label), append(list, layers.OutlinesOf(styles, nil))
		}
	}
	return labels, list
}

// Compares reports whether the lines of what is kept may add to the warnings of the
// choice; see AllWarnings.
func (c *Choice) Compares() bool { return c.Pick != nil && c.Lines == nil }

// AllWarnings returns the warnings of the choice with those that an isolation adds:
// where layers tell sizes apart, and the report has the lines of what was kept
// ([layers.IsolateOptions.KeptLines]), whether the outlines of the sizes that are kept
// contradict the order of the chart, unless its names do, and whether sizes are drawn
// outside of their layers; and whether the copy has its sizes on several papers. Without
// a report, nil, it is Warnings.
func (c *Choice) AllWarnings(report *layers.Report) []warning.Warning {
	said := func(w warning.Warning) bool { return w.Code == ChartOrder }
	if report == nil {
		return c.Warnings
	}
	all := slices.Concat(c.Warnings, c.severalPapers(report))
	if !c.Compares() {
		return all
	}
	if all = append(all, c.sizesStay(report)...); slices.ContainsFunc(c.Warnings, said) {
		return all
	}
	var labels []string
	var list []layers.Outlines
	for _, z := range c.Pick.Sizes {
		var objects []int
		for _, i := range z.Positions {
			if shared := c.Match.Answers[i].Sizes; len(shared) == 1 {
				objects = append(objects, c.found[i].Object)
			}
		}
		if len(objects) > 0 {
			labels, list = append(labels, z.Label), append(list, layers.OutlinesOf(report.KeptLines, objects))
		}
	}
	return append(all, c.orderWarnings(AgainstOutlines(labels, list), OutlinesSay)...)
}

// sizesStay warns of lines of sizes that no layer of a size holds, in a copy.
func (c *Choice) sizesStay(report *layers.Report) []warning.Warning {
	const least = 3
	var objects []int
	for _, z := range c.Pick.Sizes {
		for _, i := range z.Positions {
			objects = append(objects, c.found[i].Object)
		}
	}
	n := layers.NestBeside(report.KeptLines, objects)
	if n < least {
		return nil
	}
	return []warning.Warning{warning.New(SizesStay, nil, "%d lines that lie one within another, as those of sizes "+
		"do, are in no layer of a size and stay in the print: look whether it shows other sizes. A chart leaves "+
		"out a layer that it names under drop, and can tell sizes apart by their lines", n)}
}
