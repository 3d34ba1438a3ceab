package pattern

import (
	"fmt"
	"slices"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// Match answers for the layers of a file by their names, as [sizes.Chart.Match] does. A layer that
// is nothing to the chart by its own name, and stands under a size in the list that viewers show, is
// that of the size: "Front" under "Size 8", and another "Front" under "Size 10".
func Match(chart *sizes.Chart, found []layers.Layer) *sizes.Match {
	m := chart.Match(layers.Names(found))
	for i, above := range underSizes(chart, found) {
		if a := &m.Answers[i]; a.Kind == sizes.KindUnknown && !a.Lacks {
			a.Kind, a.Rule, a.Sizes, a.Other = above.Kind, above.Rule, above.Sizes, above.Other
			a.Reason = fmt.Sprintf(`stands under "%s", which %s`, words.Printable(above.Name), above.Reason)
		}
	}
	return m
}

// underSizes gives the size under which layers stand, by their positions. There are none where only
// one size has layers under it, or one size stands under another: then the list is no tree of sizes.
func underSizes(chart *sizes.Chart, found []layers.Layer) map[int]sizes.Answer {
	said := map[string]sizes.Answer{}
	for _, a := range chart.Match(append(layers.Names(found), parents(found)...)).Answers {
		if a.Kind == sizes.KindSize && len(a.Sizes) == 1 || a.Kind == sizes.KindOther {
			said[a.Name] = a
		}
	}
	under, heads := map[int]sizes.Answer{}, map[string]bool{}
	for i, l := range found {
		for _, name := range append([]string{l.Name}, l.Parents...) {
			a, ok := said[name]
			above, is := under[i]
			switch {
			case !ok:
			case is && (!slices.Equal(above.Sizes, a.Sizes) || above.Other != a.Other):
				return nil
			default:
				under[i] = a
			}
		}
		if a, ok := under[i]; ok && a.Name != l.Name {
			heads[a.Name] = true
		}
	}
	if len(heads) < 2 {
		return nil
	}
	return under
}

// parents are the names under which layers stand.
func parents(found []layers.Layer) []string {
	var names []string
	seen := map[string]bool{}
	for _, l := range found {
		for _, name := range l.Parents {
			if !seen[name] {
				seen[name] = true
				names = append(names, name)
			}
		}
	}
	return names
}

// ownNames are the names from which a file tells its sizes, in the order that viewers show: those of
// its layers, and of a layer that is nothing but part of a size, that of the size above it.
func ownNames(found []layers.Layer) []string {
	chart := sizes.Draft(append(layers.Names(found), parents(found)...)).Chart
	under := underSizes(chart, found)
	var names []string
	for _, i := range ShownOrder(found) {
		if above, ok := under[i]; ok {
			names = append(names, above.Name)
		} else {
			names = append(names, found[i].Name)
		}
	}
	return names
}
