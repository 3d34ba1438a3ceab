package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/sizes"
)

// labels finds layers of sizes on which another size is written, and not their own,
// where other sizes are labelled on their layers.
func (c *checker) labels(f *file) {
	read := map[string]string{}
	labelOf := func(text string) string {
		label, known := read[text]
		if !known {
			a := c.chart.Match([]string{strings.TrimSpace(text)}).Answers[0]
			if a.Kind == sizes.KindSize && len(a.Sizes) == 1 {
				label = a.Sizes[0]
			}
			read[text] = label
		}
		return label
	}
	written := map[*layer][]string{} // the labels on the layer of one size
	labelled, misplaced := 0, map[string]int{}
	for _, l := range f.layers {
		if !l.ofOneSize() {
			continue
		}
		for _, s := range l.shown {
			if label := labelOf(s.Text); label != "" && !slices.Contains(written[l], label) {
				written[l] = append(written[l], label)
			}
		}
		if slices.Contains(written[l], l.answer.Sizes[0]) {
			labelled++
		}
		for _, label := range written[l] {
			if label != l.answer.Sizes[0] {
				misplaced[label]++
			}
		}
	}
	for _, l := range f.layers {
		own := l.ofOneSize() && slices.Contains(written[l], l.answer.Sizes[0])
		i := slices.IndexFunc(written[l], func(label string) bool { return misplaced[label] == 1 })
		if !own && labelled > 0 && i >= 0 { // what stands on many layers is no size's label
			c.add("label-other-size", f, l, fmt.Sprintf("%s is the layer of size %s, and %q is written on it.",
				quote(l.Name), l.answer.Sizes[0], written[l][i]),
				"See whether the layer, or the label, is that of the other size.")
		}
	}
}
