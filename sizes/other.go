package sizes

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"sync"
)

// An extent is what a name or a label says on the scale of its kind of size: one value, or all from
// one to another. The zero extent is none.
type extent struct {
	form     // kind and system; its value is the letter of "16w", "x" for plus sizes such as "2x", else ""
	from, to float64
}

// extent returns that of the items of one side, which must be of one kind.
func (e expression) extent() (extent, bool) {
	out := extent{from: math.Inf(1), to: math.Inf(-1)}
	for i, it := range e.items {
		one, ok := it.form.extent()
		if !ok || i > 0 && one.form != out.form {
			return extent{}, false
		}
		out = extent{one.form, min(out.from, one.from), max(out.to, one.to)}
	}
	return out, true
}

// extent places a form on the scale of its kind: numbers by value, letters by their place, ages in
// months. A text has no place.
func (f form) extent() (extent, bool) {
	x := extent{form: form{kind: f.kind, system: f.system}}
	switch f.kind {
	case formNumber:
		x.from = numberValue(f.value)
	case formRanged:
		letter := strings.TrimLeft(f.value, "0123456789. /")
		x.value, x.from = letter, numberValue(strings.TrimSuffix(f.value, letter))
	case formLetter:
		if x.from = letterValue(f.value); strings.HasSuffix(f.value, "x") {
			x.value = "x"
		}
	case formAge:
		from, to := readAge(f.value).months()
		x.from, x.to = float64(from), float64(to)
		if from < to {
			x.to -= 0.5 // where 0-3 months end, 3-6 months begin
		}
		return x, true
	default:
		return extent{}, false
	}
	x.to = x.from
	return x, true
}

// comparable reports whether two extents are on one scale. A system that only one of them names
// does not part them.
func (x extent) comparable(y extent) bool {
	sameSystem := x.system == y.system || x.system == "" || y.system == ""
	return x.kind == y.kind && x.value == y.value && sameSystem
}

// meets reports whether two extents on one scale have something in common.
func (x extent) meets(y extent) bool { return x.from <= y.to && y.from <= x.to }

// extentsOf are those of labels, of each side of a label.
func extentsOf(labels []string) []extent {
	var out []extent
	for _, label := range labels {
		e, ok := fullExpression(fold(label), &labelIndex{ofLabels: true})
		if !ok {
			continue
		}
		for _, side := range e.sides() {
			if at, ok := side.extent(); ok {
				out = append(out, at)
			}
		}
	}
	return out
}

// elsewhere reports whether an extent is plainly apart from all sizes of the chart: on the scale of
// some of them, and between or beyond them. A letter that makes another size of a number, such as
// that of "16W", parts it from all plain ones.
func (x *labelIndex) elsewhere(e extent) bool {
	onScale := e.kind == formRanged
	for _, label := range x.scale {
		if !label.comparable(e) {
			continue
		}
		if onScale = true; label.meets(e) {
			return false
		}
	}
	return onScale
}

// another is the reading of one side that names a size the chart does not have: what that size is
// called, where it is plainly none of the chart's.
func (e expression) another(r reading, index *labelIndex) reading {
	if at, ok := e.extent(); ok && index.elsewhere(at) {
		r.extent, r.other = at, e.plainLabel()
	}
	return r
}

// variant is the reading of a size that a word makes another one of, such as "8 tall".
func (e expression) variant(text string) reading {
	r := unknown(reasonLacks, text)
	r.extent, _ = e.extent()
	r.other = clip(text)
	return r
}

// marksSize reports whether a word, a system or the unit of an age marks a size among tokens.
func marksSize(toks []token) bool {
	return slices.ContainsFunc(toks, func(t token) bool {
		return t.is(meansSize|meansSystem|meansWeakSystem|meansToddler|meansBirth) || t.kind == tokenAge && !t.weak
	})
}

// plainLabel writes the sizes of an expression: "34", "34/36", "EU 34", "XS".
func (e expression) plainLabel() string {
	var b strings.Builder
	for i, it := range e.items {
		if i > 0 {
			b.WriteString(map[sepKind]string{sepSpan: "-", sepList: "/"}[e.seps[i-1].kind])
		}
		if it.form.system != "" {
			b.WriteString(strings.ToUpper(it.form.system) + " ")
		}
		if it.form.kind == formLetter || it.form.kind == formRanged {
			b.WriteString(strings.ToUpper(it.form.value))
		} else {
			b.WriteString(it.form.value)
		}
	}
	return clip(b.String())
}

// others settles which readings of the names of one file are those of sizes that the chart does not
// have. A size that a word or a system marks plainly is one. What stands there bare, such as "34" or
// "L", is one only where other bare names lead to it from the sizes of the chart, step by step: a
// lone "2" beside "38" and "40" may be anything, and so may an "L" beside an "R".
func (m *matcher) others(names []string, readings []reading) {
	var known, all []extent
	right := sync.OnceValue(func() bool {
		return slices.ContainsFunc(names, func(name string) bool { return Key(name) == "r" })
	})
	for _, r := range readings {
		switch {
		case r.kind == KindSize && r.rule == RuleLabel && r.extent.kind != 0:
			known = append(known, r.extent)
			all = append(all, r.extent)
		case r.bare && r.other != "":
			all = append(all, r.extent)
		}
	}
	scales := map[scaleKey]func(at float64) bool{}
	leadsTo := func(x extent) bool {
		if scales[x.scaleKey()] == nil {
			scales[x.scaleKey()] = x.reachable(known, all)
		}
		return scales[x.scaleKey()](x.from)
	}
	for i, r := range readings {
		if r.kind != KindUnknown || r.other == "" {
			continue
		}
		left := r.extent.kind == formLetter && r.other == "L" && right()
		if r.bare && (left || !leadsTo(r.extent)) {
			readings[i].other = ""
			continue
		}
		readings[i].kind = KindOther
	}
}

// A scaleKey is what extents that can be compared have in common.
type scaleKey struct {
	kind          formKind
	value, system string
}

func (x extent) scaleKey() scaleKey { return scaleKey{x.kind, x.value, x.system} }

// reachable gives a function that reports whether known sizes lead to an extent on the scale of x, by
// steps that some names take: numbers by steps like those of the known ones, letters one by one.
// Ages, and letters with an X, need no step.
func (x extent) reachable(known, all []extent) func(at float64) bool {
	always := func(yes bool) func(float64) bool { return func(float64) bool { return yes } }
	var from, steps []float64 // known, and all, on the scale of x
	anyNumber := false
	for _, k := range known {
		anyNumber = anyNumber || k.kind == formNumber
		if k.comparable(x) {
			from = append(from, k.from)
		}
	}
	for _, k := range all {
		if k.comparable(x) {
			steps = append(steps, k.from)
		}
	}
	if x.kind == formRanged {
		return always(anyNumber || len(from) > 0)
	}
	if len(from) == 0 || x.kind == formAge {
		return always(len(from) > 0)
	}
	step := 1.0
	if x.kind == formNumber {
		if step = leastStep(from); step == 0 {
			step = leastStep(steps)
		}
		if step < 2 {
			return always(false) // counted from one to the next, as pages are
		}
		step *= 2 // one may be missing
	}
	reached := reach(from, steps, step)
	return func(at float64) bool { return reached[at] }
}

// leastStep is the least difference between two values, 0 where all are equal.
func leastStep(values []float64) float64 {
	values = slices.Compact(slices.Sorted(slices.Values(values)))
	least := 0.0
	for i := 1; i < len(values); i++ {
		if d := values[i] - values[i-1]; least == 0 || d < least {
			least = d
		}
	}
	return least
}

// reach gives the values to which steps of a size or less lead from some values, over others.
func reach(from, over []float64, step float64) map[float64]bool {
	over = slices.Compact(slices.Sorted(slices.Values(slices.Concat(from, over))))
	known := map[float64]bool{}
	for _, v := range from {
		known[v] = true
	}
	reached := map[float64]bool{}
	for i := 0; i < len(over); {
		end, leads := i, false // of values with no wider step between
		for ; end < len(over) && (end == i || over[end]-over[end-1] <= step); end++ {
			leads = leads || known[over[end]]
		}
		for ; i < end; i++ {
			reached[over[i]] = leads
		}
	}
	return reached
}

// An OtherSize is one that names of a file say plainly and the chart does not have.
type OtherSize struct {
	Label     string `json:"label"`     // as the names say it
	Positions []int  `json:"positions"` // of its names, ascending
}

// Others returns the sizes that names say plainly and the chart does not have, smallest first.
func (m *Match) Others() []OtherSize {
	var list []OtherSize
	places := map[string]int{}
	for _, a := range m.Answers {
		if a.Kind != KindOther {
			continue
		}
		i, ok := places[a.Other]
		if !ok {
			i = len(list)
			places[a.Other] = i
			list = append(list, OtherSize{Label: a.Other})
		}
		list[i].Positions = append(list[i].Positions, a.Position)
	}
	slices.SortStableFunc(list, func(a, b OtherSize) int {
		x, y := extentOf(a.Label), extentOf(b.Label)
		return cmp.Or(cmp.Compare(x.kind, y.kind), cmp.Compare(x.from, y.from), cmp.Compare(x.to, y.to))
	})
	return list
}

// extentOf is that of a label, none for one in words such as "8 tall".
func extentOf(label string) extent {
	if e, ok := fullExpression(fold(label), &labelIndex{}); ok {
		x, _ := e.extent()
		return x
	}
	return extent{}
}
