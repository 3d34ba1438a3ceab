package pattern

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// Match answers for the layers of a file by their names, as [sizes.Chart.Match] does. A layer that
// is nothing to the chart by its own name, and stands under a size in the list that viewers show, is
// that of the size: "Front" under "Size 8", and another "Front" under "Size 10". Where several headings
// have one size under them, what they say counts too: an "8" under "Tall" is no plain 8.
func Match(chart *sizes.Chart, found []layers.Layer) *sizes.Match {
	m := chart.Match(layers.Names(found))
	for i, above := range underSizes(chart, found) {
		if a := &m.Answers[i]; a.Kind == sizes.KindUnknown && !a.Lacks {
			a.Kind, a.Rule, a.Sizes, a.Other = above.Kind, above.Rule, above.Sizes, above.Other
			a.Reason = standsUnder(above.Name) + ", which " + above.Reason
		}
	}
	headed(chart, found, m.Answers)
	return m
}

// headed answers again for layers of sizes that stand under different headings for one size, none being
// one as well: by their headings and sizes together. Those that are no such size then, or may be
// another one, as under "B cup" or "OLD", are that.
func headed(chart *sizes.Chart, found []layers.Layer, answers []sizes.Answer) {
	isSize := map[string]bool{}
	for _, a := range chart.Match(parents(found)).Answers {
		isSize[a.Name] = a.Kind == sizes.KindSize || a.Kind == sizes.KindOther
	}
	headings, of := make([]string, len(found)), map[string]map[string]bool{} // the headings of each size
	var at []int
	var names []string
	for i, a := range answers {
		if a.Kind != sizes.KindSize || a.Rule != sizes.RuleLabel || len(a.Sizes) != 1 {
			continue
		}
		above := slices.DeleteFunc(slices.Clone(found[i].Parents), func(name string) bool { return isSize[name] })
		headings[i] = strings.Join(above, " ")
		if of[a.Sizes[0]] == nil {
			of[a.Sizes[0]] = map[string]bool{}
		}
		of[a.Sizes[0]][headings[i]] = true
		at, names = append(at, i), append(names, strings.TrimSpace(headings[i]+" size "+a.Sizes[0]))
	}
	plain := &sizes.Chart{Name: chart.Name, Sizes: chart.Sizes}
	for k, a := range plain.Match(names).Answers {
		own := &answers[at[k]]
		if len(of[own.Sizes[0]]) < 2 || a.Kind == sizes.KindSize {
			continue
		}
		a.Position, a.Name = own.Position, own.Name
		a.Reason = standsUnder(headings[at[k]]) + " and so " + a.Reason
		*own = a
	}
}

// standsUnder says of a layer what it stands under, for its reason.
func standsUnder(heading string) string {
	return fmt.Sprintf(`stands under "%s"`, words.Printable(heading))
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
