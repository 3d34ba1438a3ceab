package isolate

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// labelRange is a range of page labels (12.4.2): how the pages from a position on are
// numbered.
type labelRange struct {
	from  int
	label pdf.Object
}

// editLabels gives the pages that stay the labels that they had (12.4.2): their
// numbers go by position, and positions change.
func (p *pageEditor) editLabels() {
	tree := p.catalog()["PageLabels"]
	if tree == nil {
		return
	}
	var ranges []labelRange
	p.names().tree(tree, "Nums", func(k, v pdf.Object) (pdf.Object, bool) {
		ranges = append(ranges, labelRange{pdf.AsInt(p.edit, k, -1), v})
		return v, true
	})
	slices.SortStableFunc(ranges, func(a, b labelRange) int { return a.from - b.from })
	var nums pdf.Array
	last, lastAt := -1, -1 // the range and position of the page before
	for i, at := range p.kept {
		in := -1
		for n, r := range ranges {
			if r.from >= 0 && r.from <= at {
				in = n
			}
		}
		if in != last || at != lastAt+1 {
			label := pdf.Dict{}
			if in >= 0 {
				label = p.labelAt(ranges[in], at)
			}
			nums = append(nums, pdf.Integer(i), label)
		}
		last, lastAt = in, at
	}
	p.setCatalog("PageLabels", pdf.Dict{"Nums": nums})
}

// labelAt is the label of a range as it is from a position on.
func (p *pageEditor) labelAt(r labelRange, at int) pdf.Dict {
	was := pdf.AsDict(p.edit, r.label)
	now := pdf.Dict{}
	for _, k := range []pdf.Name{"Type", "S", "P"} {
		if was[k] != nil {
			now[k] = was[k]
		}
	}
	if first := pdf.AsInt(p.edit, was["St"], 1) + at - r.from; was["S"] != nil && first != 1 {
		now["St"] = pdf.Integer(first)
	}
	return now
}
