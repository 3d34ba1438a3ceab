package consistency

import (
	"fmt"
	"math"
	"slices"

	"github.com/sizeply/sizeply/sizes"
)

// sameScale is how far two scales may be apart: half a per cent, 5 mm on a metre.
const sameScale = 0.005

// squares finds test squares that are wrong, misplaced or missing.
func (c *checker) squares(f *file) {
	if f.at == 0 && !slices.ContainsFunc(c.files, func(f *file) bool { return !f.Measured || len(f.Squares) > 0 }) {
		c.add("square-missing", f, nil, "No test square was found in the pattern.", "Draw a square of 5 cm or 2 in and write that beside it, on a layer for all sizes.")
	}
	if !c.scales(f) {
		return
	}
	for _, s := range f.Squares {
		if !s.True {
			text := fmt.Sprintf("The test square %q measures %.2f mm, not %.2f.", s.Label, s.Side, s.Nominal)
			c.add("square-wrong", f, nil, text, "Export the file at 100 %, or mend the square or its label.").Pages = []int{s.Page}
		}
		for _, l := range f.layers {
			if slices.Contains(s.Layers, l.ID) && l.answer.Kind == sizes.KindSize {
				text := fmt.Sprintf("The test square %q is on %s, the layer of a size.", s.Label, quote(l.Name))
				c.add("square-on-size", f, l, text, `Put it on a layer that every print needs, such as "Test squares".`).Pages = []int{s.Page}
			}
		}
	}
}

// scales finds pages that are drawn at different scales, as their squares say.
func (c *checker) scales(f *file) (same bool) {
	var pages []int
	first := 0.0
	for _, s := range f.Squares {
		scale := s.Side / s.Nominal
		if first == 0 {
			first = scale
		}
		if math.Abs(scale/first-1) > sameScale && s.Page != f.Squares[0].Page {
			pages = append(pages, s.Page)
		}
	}
	if len(pages) == 0 {
		return true
	}
	pages = slices.Compact(pages)
	text := fmt.Sprintf("By their test squares these pages are drawn at another scale than page %d.", f.Squares[0].Page)
	c.add("scale-differs", f, nil, text, "Export all pages at 100 %.").Pages = pages
	return false
}
