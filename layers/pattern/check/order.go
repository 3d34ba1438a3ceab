package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// step is a size of a file with the layers that are that size alone, which
// hold something.
type step struct {
	label  string
	layers []*layer
}

// steps are the sizes of a file, smallest first.
func (c *checker) steps(f *file) []*step {
	var list []*step
	for _, label := range c.chart.Labels() {
		s := &step{label: label}
		for _, l := range f.layers {
			if l.ofOneSize() && l.answer.Sizes[0] == label && len(l.Uses) > 0 {
				s.layers = append(s.layers, l)
			}
		}
		if len(s.layers) > 0 {
			list = append(list, s)
		}
	}
	return list
}

// ofOneSize reports whether a layer is that of a size and of no other.
func (l *layer) ofOneSize() bool { return l.answer.Kind == sizes.KindSize && len(l.answer.Sizes) == 1 }

// on reports whether a size holds something on a page.
func (s *step) on(page int) bool {
	return slices.ContainsFunc(s.layers, func(l *layer) bool { return l.on(page) })
}

// on reports whether a layer holds something on a page.
func (l *layer) on(page int) bool {
	return slices.ContainsFunc(l.Uses, func(u layers.Use) bool { return u.Page == page })
}

// millimetre is how many points one is.
const millimetre = 72 / 25.4

// extent is how wide and high a size is on a page in mm, 0 where it is not there.
func (s *step) extent(page int) (width, height float64) {
	for _, l := range s.layers {
		for _, u := range l.Uses {
			if b := u.Bounds; u.Page == page && !b.IsEmpty() {
				width, height = max(width, (b.Right-b.Left)/millimetre), max(height, (b.Top-b.Bottom)/millimetre)
			}
		}
	}
	return width, height
}

// missingPages finds sizes that are not on a page where a smaller and a larger
// one are.
func (c *checker) missingPages(f *file, steps []*step) {
	for i, s := range steps {
		if slices.ContainsFunc(s.layers, func(l *layer) bool { return l.Within }) {
			continue // it may draw on any page
		}
		var pages []int
		for page := 1; page <= len(f.Pages); page++ {
			has := func(o *step) bool { return o.on(page) }
			if !s.on(page) && slices.ContainsFunc(steps[:i], has) && slices.ContainsFunc(steps[i+1:], has) &&
				!f.shared(s.label, page) {
				pages = append(pages, page)
			}
		}
		if len(pages) > 0 {
			c.add("page-missing", f, s.layers[0], fmt.Sprintf("%s holds nothing on %s, where smaller and larger "+
				"sizes do.", quote(s.layers[0].Name), pagesOf(pages)),
				"See whether a line of this size is on another layer.").Pages = pages
		}
	}
}

// shared reports whether a layer of several sizes serves a size on a page.
func (f *file) shared(label string, page int) bool {
	return slices.ContainsFunc(f.layers, func(l *layer) bool {
		return len(l.answer.Sizes) > 1 && slices.Contains(l.answer.Sizes, label) && l.on(page)
	})
}

// order finds sizes that do not stand in the list of layers as the others do,
// from small to large or the other way round. Each branch of the list is one by
// itself, and so are, where sizes have several layers in a branch, those of one
// way of naming: fronts from small to large, then backs.
func (c *checker) order(f *file) {
	labels := c.chart.Labels()
	var listed []*layer
	for _, l := range f.layers {
		if l.Place > 0 && l.ofOneSize() && !l.renamed {
			listed = append(listed, l)
		}
	}
	var parts [][]*layer
	for _, branch := range grouped(listed, func(l *layer) string { return strings.Join(l.Parents, "\x00") }) {
		parts = append(parts, series(branch)...)
	}
	for _, branch := range parts {
		slices.SortStableFunc(branch, func(a, b *layer) int { return a.Place - b.Place })
		ranks := make([]int, len(branch))
		for i, l := range branch {
			ranks[i] = slices.Index(labels, l.answer.Sizes[0])
		}
		out := misplaced(ranks)
		for _, i := range out {
			c.add("layer-order", f, branch[i],
				fmt.Sprintf("%s is out of order in the list of layers.", quote(branch[i].Name)),
				between(branch, ranks, out, i))
		}
	}
}

// between says where a layer that is out of order belongs: between the next
// smaller and the next larger of those that are in order.
func between(branch []*layer, ranks, out []int, i int) string {
	smaller, larger := -1, -1
	for k, r := range ranks {
		switch {
		case slices.Contains(out, k):
		case r <= ranks[i] && (smaller < 0 || r > ranks[smaller]):
			smaller = k
		case r > ranks[i] && (larger < 0 || r < ranks[larger]):
			larger = k
		}
	}
	switch {
	case smaller >= 0 && larger >= 0:
		return fmt.Sprintf("Move it between %s and %s.", quote(branch[smaller].Name), quote(branch[larger].Name))
	case smaller >= 0:
		return fmt.Sprintf("Move it next to %s, at the end of the sizes.", quote(branch[smaller].Name))
	}
	return fmt.Sprintf("Move it next to %s, at the end of the sizes.", quote(branch[larger].Name))
}

// series parts the layers of a branch by how their names go on around the label,
// unless each size has one layer alone.
func series(branch []*layer) [][]*layer {
	label := func(l *layer) string { return l.answer.Sizes[0] }
	if len(grouped(branch, label)) == len(branch) {
		return [][]*layer{branch}
	}
	return grouped(branch, func(l *layer) string {
		return strings.ReplaceAll(strings.ToLower(l.plain), strings.ToLower(label(l)), "\x00")
	})
}

// misplaced are the fewest positions without which the ranks only rise, or only
// fall.
func misplaced(ranks []int) []int {
	up := outside(ranks)
	down := slices.Clone(ranks)
	for i := range down {
		down[i] = -down[i]
	}
	if other := outside(down); len(other) < len(up) {
		return other
	}
	return up
}

// outside are the positions that a longest rising part leaves out.
func outside(ranks []int) []int {
	best := make([]int, len(ranks)) // length of the longest part that ends here
	from := make([]int, len(ranks))
	end := -1
	for i := range ranks {
		best[i], from[i] = 1, -1
		for k := range i {
			if ranks[k] <= ranks[i] && best[k]+1 > best[i] {
				best[i], from[i] = best[k]+1, k
			}
		}
		if end < 0 || best[i] > best[end] {
			end = i
		}
	}
	in := map[int]bool{}
	for ; end >= 0; end = from[end] {
		in[end] = true
	}
	var out []int
	for i := range ranks {
		if !in[i] {
			out = append(out, i)
		}
	}
	return out
}

// chartOrder finds sizes that the chart lists otherwise than their numbers, letters or
// ages say. Nothing is then held against its order.
func (c *checker) chartOrder() {
	if c.ordered && len(c.files) > 0 && c.contradicted(c.files[0], c.chart.OutOfOrder(), pattern.NamesSay,
		"Put the sizes of the chart in order, smallest first.") {
		c.ordered = false
	}
}

// outlines finds layers of sizes that lie within each other otherwise than the chart
// says. It reports whether there are any.
func (c *checker) outlines(f *file, steps []*step) bool {
	var labels []string
	var list []layers.Outlines
	for _, s := range steps {
		var objects []int
		for _, l := range s.layers {
			objects = append(objects, l.Object)
		}
		labels, list = append(labels, s.label), append(list, layers.OutlinesOf(f.Styles, objects))
	}
	return c.contradicted(f, pattern.AgainstOutlines(labels, list), pattern.OutlinesSay,
		"See whether the layers of the two are swapped; else put the sizes of the chart in order, smallest first.")
}

// lineOrder finds lines of sizes that lie within each other otherwise than the chart
// says, where no layers tell the sizes.
func (c *checker) lineOrder(f *file) {
	if c.ordered && f.Lines != nil && f.byLine() && !f.hasSize() {
		c.contradicted(f, pattern.AgainstOutlines(f.Lines.Outlines(c.chart)), pattern.OutlinesSay,
			"See whether the chart gives the lines of the two the right labels, and lists the smallest size first.")
	}
}

// contradicted tells of pairs of sizes that the chart lists otherwise than a witness,
// and reports whether there are any.
func (c *checker) contradicted(f *file, pairs [][2]string, witness, do string) bool {
	if len(pairs) > 0 {
		text := strings.TrimPrefix(pattern.OrderWords(pairs, witness), "in your")
		c.add("chart-order", f, nil, "In the"+text+".", do)
	}
	return len(pairs) > 0
}

// What steady grading is (common practice, no source): with at least
// steadyLeast other sizes, each at least gradeLeast larger than the one before.
const (
	steadyLeast = 4
	gradeLeast  = 0.5 // mm
)

// extents finds sizes that are not between their neighbours where all others
// grade steadily.
func (c *checker) extents(f *file, steps []*step) {
	pages := map[int][]int{}
	for page := 1; page <= len(f.Pages); page++ {
		var here []int
		var widths, heights []float64
		for i, s := range steps {
			if w, h := s.extent(page); w > 0 && h > 0 && !f.squareOn(s, page) {
				here, widths, heights = append(here, i), append(widths, w), append(heights, h)
			}
		}
		for _, at := range []int{unsteady(widths), unsteady(heights)} {
			if at >= 0 {
				pages[here[at]] = append(pages[here[at]], page)
			}
		}
	}
	for i, s := range steps {
		if list := slices.Compact(pages[i]); len(list) > 0 {
			c.add("layer-extent", f, s.layers[0],
				fmt.Sprintf("What %s holds on %s is not between its neighbours in size, "+
					"though all other sizes grade steadily.", quote(s.layers[0].Name), pagesOf(list)),
				"See whether it is swapped with its neighbour, or holds a line of another size.").Pages = list
		}
	}
}

// squareOn reports whether a test square is among what a size holds on a page: that
// has a finding of its own, and hides how far the size goes.
func (f *file) squareOn(s *step, page int) bool {
	return slices.ContainsFunc(f.Squares, func(q layers.TestSquare) bool {
		return q.Page == page &&
			slices.ContainsFunc(s.layers, func(l *layer) bool { return slices.Contains(q.Layers, l.Object) })
	})
}

// unsteady is the first position without which the values grow steadily, and
// with which they do not even stay as they are; -1 where there is none.
func unsteady(values []float64) int {
	if len(values) <= steadyLeast || grows(values, 0) {
		return -1
	}
	for i := range values {
		if grows(slices.Delete(slices.Clone(values), i, i+1), gradeLeast) {
			return i
		}
	}
	return -1
}

// grows reports whether each value is larger than the one before by at least a
// step.
func grows(values []float64, least float64) bool {
	for i := 1; i < len(values); i++ {
		if values[i] < values[i-1]+least {
			return false
		}
	}
	return true
}
