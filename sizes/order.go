package sizes

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// OutOfOrder returns pairs of labels that follow each other in the chart, among those of their kind,
// and of which the first is the larger by what it says: 46 and 34, L and M, 4 years and 18 months.
// A second series, such as 17 to 22 behind 34 to 44, is none. Labels that say no size, such as
// colours, stand anywhere.
func (c *Chart) OutOfOrder() [][2]string {
	var kinds []string
	of := map[string][]ranked{}
	for _, label := range c.Labels() {
		r, ok := rankOf(label)
		if !ok {
			continue
		}
		if of[r.kind] == nil {
			kinds = append(kinds, r.kind)
		}
		of[r.kind] = append(of[r.kind], r)
	}
	var pairs [][2]string
	for _, kind := range kinds {
		pairs = append(pairs, falls(of[kind])...)
	}
	return pairs
}

// Skips returns pairs of labels that follow each other in the chart and between which a size is missing
// or another series of sizes begins: two that are twice as far from each other as those beside them are,
// or more, such as 10 and 14 between 8 and 16, and two between which one of some other names lies, in
// their kind. Ages have no even steps, so only names tell there.
func (c *Chart) Skips(names []string) (pairs [][2]string) {
	var all, others []ranked
	for _, label := range c.Labels() {
		r, _ := rankOf(label) // of none, kind ""
		r.label = label
		all = append(all, r)
	}
	for _, name := range names {
		if r, ok := rankOf(name); ok {
			others = append(others, r)
		}
	}
	step := func(i int) float64 { // from the label before to that at i, 0 for none
		if i < 1 || i >= len(all) || all[i].kind != all[i-1].kind || all[i].kind == "age" {
			return 0
		}
		return max(0, all[i].value-all[i-1].value)
	}
	for i := 1; i < len(all); i++ {
		a, b := all[i-1], all[i]
		between := func(r ranked) bool { return r.kind == a.kind && a.value < r.value && r.value < b.value }
		usual := max(step(i-1), step(i+1))
		apart := usual > 0 && step(i) >= 2*usual
		if a.kind != "" && a.kind == b.kind && (apart || slices.ContainsFunc(others, between)) {
			pairs = append(pairs, [2]string{a.label, b.label})
		}
	}
	return pairs
}

// ranked is a label that says how large it is, among those of one kind.
type ranked struct {
	label, kind string
	value       float64
}

// rankOf reads a label: of a double one the first side, of a range the lower end.
func rankOf(label string) (r ranked, ok bool) {
	folded := fold(label)
	if len(folded) > maxTextBytes {
		return r, false
	}
	e, ok := fullExpression(folded, &labelIndex{})
	if !ok {
		return r, false
	}
	e = e.sides()[0]
	f := e.items[0].form
	if len(e.items) > 2 {
		return r, false
	}
	for _, other := range labelForms(folded, tokens(folded), e) {
		if other.kind == formAge { // "Age 4"
			f = other
		}
	}
	r.label = label
	switch f.kind {
	case formNumber:
		r.kind, r.value = "number "+f.system, numberValue(f.value)
	case formLetter:
		r.kind, r.value = "letter", letterValue(f.value)
		if strings.HasSuffix(f.value, "x") {
			r.kind = "plus"
		}
	case formAge:
		from, to := readAge(f.value).months()
		r.kind, r.value = "age", float64(from)+float64(to)/1e4
	case formRanged:
		number := strings.TrimRight(f.value, "abcdefghijklmnopqrstuvwxyz")
		value, err := strconv.ParseFloat(number, 64)
		if err != nil {
			return r, false
		}
		r.kind, r.value = "ranged "+f.value[len(number):], value
	default:
		return r, false
	}
	return r, true
}

// falls are the neighbours of which the first is the larger, but for those between two
// series.
func falls(list []ranked) (pairs [][2]string) {
	var runs [][]ranked
	for i, r := range list {
		if i == 0 || list[i-1].value > r.value {
			runs = append(runs, nil)
		}
		last := len(runs) - 1
		runs[last] = append(runs[last], r)
	}
	for i := 1; i < len(runs); i++ {
		if a, b := runs[i-1], runs[i]; !apart(a, b) {
			pairs = append(pairs, [2]string{a[len(a)-1].label, b[0].label})
		}
	}
	return pairs
}

// apart reports whether two runs of rising values are two series: each of several sizes, and
// further from each other than twice what is between any two of them (common practice, no source).
func apart(a, b []ranked) bool {
	if len(a) < 2 || len(b) < 2 {
		return false
	}
	step := 0.0
	for _, run := range [][]ranked{a, b} {
		for i := 1; i < len(run); i++ {
			step = max(step, run[i].value-run[i-1].value)
		}
	}
	first, last := a[0].value, b[len(b)-1].value
	return math.Max(first-last, b[0].value-a[len(a)-1].value) > 2*step
}
