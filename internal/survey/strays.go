package survey

import (
	"maps"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/paint"
)

// Strays are lines that are drawn as a size is, and may not belong to it.
type Strays struct {
	// Outside counts those that lie outside of all pieces that sizes lie within each
	// other on, such as frames; Inside those within them that are no outline of the
	// size, such as grainlines, darts and notches.
	Outside, Inside int
	// Pages are those that the ones outside are on, ascending.
	Pages []int
}

// strayReach is how far around a nest a line may lie that belongs to it.
const strayReach = 5 * paint.UnitsPerMillimetre

// FindStrays counts the lines of each size, given by its styles, that are no outline
// of a piece: all that have no partner among the other sizes. Where no two sizes lie
// on each other, all lines are outside.
func FindStrays(sizes [][]LineStyle) []Strays {
	nests, partners := nestsOf(sizes)
	list := make([]Strays, len(sizes))
	for i, styles := range sizes {
		pages := map[int]bool{}
		count := func(l outline) {
			within := func(nest content.Rect) bool { return l.box.Intersect(nest) == l.box }
			if slices.ContainsFunc(nests[l.page], within) {
				list[i].Inside++
				return
			}
			list[i].Outside++
			pages[l.page] = true
		}
		for s := range styles {
			for _, l := range styles[s].outlines {
				if !partners[i][l.page][l.box] {
					count(l)
				}
			}
			for _, l := range styles[s].loose {
				count(l)
			}
		}
		list[i].Pages = slices.Sorted(maps.Keys(pages))
	}
	return list
}

// nestsOf gives the places on each page where outlines of several sizes lie on each
// other, and for each size its outlines that do.
func nestsOf(sizes [][]LineStyle) (nests map[int][]content.Rect, partners []map[int]map[content.Rect]bool) {
	nests, partners = map[int][]content.Rect{}, make([]map[int]map[content.Rect]bool, len(sizes))
	all := make([]Outlines, len(sizes))
	for i, styles := range sizes {
		all[i], partners[i] = OutlinesOf(styles, nil), map[int]map[content.Rect]bool{}
	}
	left := maxComparisons
	for i, o := range all {
		for page, list := range o.pages {
			for k, other := range all {
				others := other.pages[page]
				if left -= len(list) * len(others); i == k || left < 0 {
					continue
				}
				for _, box := range list {
					if at := mostAlike(box, others); at >= 0 && mostAlike(others[at], list) >= 0 {
						if partners[i][page] == nil {
							partners[i][page] = map[content.Rect]bool{}
						}
						if partners[i][page][box] = true; len(nests[page]) < maxCompared {
							nests[page] = append(nests[page], box.Grow(strayReach))
						}
					}
				}
			}
		}
	}
	return nests, partners
}
