package sizes

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// oddSets are the charts whose labels, or the names by whose habit, no draft can
// tell apart, each with the reason.
var oddSets = map[string]string{
	"scripts":           "no word tells that they are sizes",
	"odd":               "labels with the signs of lists and spans",
	"twoplus":           "one size in two spellings",
	"beside":            "38 and EU 38 are one size",
	"1{label}":          "a digit before the label belongs to it",
	"US 8 / EU {label}": "one size in another system for all",
	"US 8 = EU {label}": "the same",
	"US 8 EU {label}":   "the same",

	"Größe {label} (3-6 Monate)": "one age for all",
}

// unsureSets are the charts whose order, or some of whose names, are in doubt.
var unsureSets = map[string]string{
	"halves":  "8 1/2 comes last in the chart",
	"women":   "16W may be smaller or larger than 18, and is no size within a longer name",
	"systems": "nothing orders sizes of two systems",
	"colours": "nothing orders colours",
	"child":   "years and plain numbers of one value",
	"cups":    "several cups of a size",
	"twotwo":  "2 and 2T of one chart",
	"views":   "petite and tall are several kinds",
}

// A nameSet is what the layers of one file may be called: one way of writing,
// for every size of a chart.
type nameSet struct {
	chart, form string
	names       []string // of the labels, smallest first
}

// nameSets are the ways in which the cases of all languages write one size, each
// with every label of its chart in the place of that size.
func nameSets() []nameSet {
	charts := testCharts()
	var sets []nameSet
	seen := map[string]bool{}
	for _, c := range allSpellings() {
		labels := charts[c.chart].Labels()
		form, ok := formOf(c.name, c.want)
		if !ok || !slices.Contains(labels, c.want) || seen[c.chart+form] {
			continue
		}
		seen[c.chart+form] = true
		set := nameSet{chart: c.chart, form: form}
		for _, label := range labels {
			set.names = append(set.names, strings.Replace(form, labelField, label, 1))
		}
		sets = append(sets, set)
	}
	return sets
}

// TestDraftOfSets drafts from the names of a file that writes its sizes in one
// way, and wants each name to be a size of its own in the order of the chart,
// with nothing in doubt.
func TestDraftOfSets(t *testing.T) {
	tested := 0
	for _, set := range nameSets() {
		names := append(slices.Clone(set.names), "Text", "Grainline")
		d := Draft(names)
		checkDraft(t, d, names)
		if oddSets[set.chart] != "" || oddSets[set.form] != "" {
			continue
		}
		tested++
		unsure := unsureSets[set.chart] != ""
		if problem := setProblem(d, set, unsure); problem != "" {
			t.Errorf("%s, %q: %s", set.chart, set.form, problem)
		}
		if len(d.Doubts) > 0 && !unsure {
			t.Errorf("%s, %q: in doubt: %v", set.chart, set.form, d.Doubts)
		}
	}
	if tested < 100 {
		t.Errorf("%d sets, want 100 at least", tested)
	}
}

// setProblem says which name of a set is not a size of its own by its draft, or
// that the sizes are in another order. A name in doubt passes where the set is
// one that may be.
func setProblem(d *Drafted, set nameSet, unsure bool) string {
	used := map[string]string{}
	last := -1
	for _, a := range d.Chart.Match(set.names).Answers {
		if unsure && a.Kind == KindUnknown {
			continue // checkDraft wants it among the doubts
		}
		if a.Kind != KindSize || len(a.Sizes) != 1 {
			return fmt.Sprintf("%q is %s (%s)", a.Name, outcome(a), a.Reason)
		}
		if other := used[a.Sizes[0]]; other != "" {
			return fmt.Sprintf("%q and %q are both size %q", other, a.Name, a.Sizes[0])
		}
		used[a.Sizes[0]] = a.Name
		place := slices.Index(d.Chart.Labels(), a.Sizes[0])
		if place < last && !unsure {
			return fmt.Sprintf("%q from %q", d.Chart.Labels(), set.names)
		}
		last = place
	}
	return ""
}

// TestDraftOfSetsInAnyOrder: the same names in another order give the same
// chart; only colours come as the names do.
func TestDraftOfSetsInAnyOrder(t *testing.T) {
	for i, set := range nameSets() {
		names := append(slices.Clone(set.names), "Text", "Grainline", "Doodle", "Doodle")
		want := inOrder(Draft(names), set.chart == "colours")
		r := rand.New(rand.NewPCG(uint64(i), 3))
		for range 5 {
			r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
			if diff := cmp.Diff(want, inOrder(Draft(names), set.chart == "colours")); diff != "" {
				t.Errorf("%s, %q, from %q:\n%s", set.chart, set.form, names, diff)
				break
			}
		}
	}
}

// inOrder are the parts of a draft, those that may come in the order of the
// names sorted: what is kept, what is in doubt, and sizes if they are colours.
func inOrder(d *Drafted, colours bool) [][]string {
	labels, keep, doubts := d.Chart.Labels(), slices.Clone(d.Chart.Keep), doubtNames(d)
	slices.Sort(keep)
	slices.Sort(doubts)
	if colours {
		slices.Sort(labels)
	}
	return [][]string{labels, {d.Chart.Names}, keep, doubts, d.Reasons}
}
