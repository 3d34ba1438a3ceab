package sizes

import (
	"fmt"
	"slices"
	"strings"
)

// A reading is what a text says about the sizes of a chart.
type reading struct {
	kind   Kind // KindSize, KindUnknown or KindAmbiguous
	sizes  []int
	text   string // the part of the name that was read
	reason string
	claims []Claim
	lacks  string // the part that is not in the chart, where that is the reason
}

// read evaluates an expression. Items that lack a system take that of their
// neighbour first: in "US 8-10" both are US sizes.
//
// A chain such as "8-12-16" is read only where it is the same as a span and as
// a list. Within a side, all sizes must be in the chart: a layer that draws a size the
// chart does not have is not one the chart can speak for. Sides are names of
// the same, as in "US 8 / EU 38" or "8 (M)": those not in the chart are passed
// over, the others must agree.
func (e expression) read(index *labelIndex) reading {
	e = e.inherit(index)
	var readings []reading
	for _, side := range e.sides() {
		readings = append(readings, side.readSide(index))
	}
	return agree(readings, index)
}

// inherit hands systems on, rightwards and then leftwards.
func (e expression) inherit(index *labelIndex) expression {
	e.items = slices.Clone(e.items)
	for i := range e.seps {
		e.hand(i, i, i+1, index)
	}
	for i := len(e.seps) - 1; i >= 0; i-- {
		e.hand(i, i+1, i, index)
	}
	return e
}

// hand gives the system of one item to another across a separator.
func (e expression) hand(sep, from, to int, index *labelIndex) {
	a, b := e.items[from].form, &e.items[to]
	if a.kind == formAge && b.form.kind == formNumber && e.seps[sep].kind != sepDouble && len(b.labels) == 0 {
		e.items[to] = b.withUnit(a, index)
		return
	}
	if a.kind == formRanged && b.form.kind == formNumber && (from > to || len(b.labels) == 0) && e.seps[sep].kind != sepDouble {
		e.items[to] = b.withLetter(a, index)
		return
	}
	if e.seps[sep].kind == sepDouble || a.system == "" || b.form.system != "" || a.kind != b.form.kind || a.kind == formText {
		return
	}
	b.form.system = a.system
	b.labels = index.fit(b.form)
}

// withUnit gives a number the unit of the age beside it, as in "2, 3 and 4
// years", where the chart has that age.
func (it item) withUnit(a form, index *labelIndex) item {
	_, unit, _ := strings.Cut(a.value, " ")
	f := form{kind: formAge, value: it.form.value + " " + unit}
	if found := index.fit(f); len(found) > 0 {
		it.form, it.labels = f, found
	}
	return it
}

// sides splits an expression where two names of the same meet: at a bracket or
// an equals sign, and where another kind or system of size begins after any
// other sign.
func (e expression) sides() []expression {
	var out []expression
	start := 0
	for i, sep := range e.seps {
		if sep.double(e.items[i].form, e.items[i+1].form) {
			out = append(out, expression{e.items[start : i+1], e.seps[start:i]})
			start = i + 1
		}
	}
	return append(out, expression{e.items[start:], e.seps[start:]})
}

func (s separator) double(a, b form) bool {
	if s.kind == sepDouble {
		return true
	}
	if a.system != "" && b.system != "" && a.system != b.system {
		return true
	}
	if a.kind == formText || b.kind == formText {
		return false
	}
	if a.kind == formRanged && b.kind == formNumber || a.kind == formNumber && b.kind == formRanged {
		return false // "2-4T"
	}
	return a.kind != b.kind && strings.Contains("/|,;-", s.text)
}

// readSide collects the sizes of one side.
func (e expression) readSide(index *labelIndex) reading {
	if ends, ok := e.ends(); ok && len(e.items[0].labels)+len(e.items[1].labels) == 0 && len(index.ranges[ends]) == 1 {
		found := index.ranges[ends]
		return reading{kind: KindSize, sizes: found, text: e.text(), reason: sizeReason(e.text(), found, false, index)}
	}
	for _, it := range e.items {
		if r, bad := it.doubtful(index); bad {
			return r
		}
	}
	var found []int
	span := false
	for i, it := range e.items {
		found = append(found, it.labels[0])
		if i > 0 && e.seps[i-1].kind == sepSpan {
			span = true
			found = append(found, between(e.items[i-1].labels[0], it.labels[0])...)
		}
	}
	slices.Sort(found)
	found = slices.Compact(found)
	if e.chained() && len(found) > len(e.items) {
		return reading{kind: KindUnknown, lacks: e.text(), reason: fmt.Sprintf("says %q, which may be a span or a list", e.text())}
	}
	return reading{kind: KindSize, sizes: found, text: e.text(), reason: sizeReason(e.text(), found, span, index)}
}

// chained says whether one span begins where another ends, as in "8-12-16".
func (e expression) chained() bool {
	for i := 1; i < len(e.seps); i++ {
		if e.seps[i].kind == sepSpan && e.seps[i-1].kind == sepSpan {
			return true
		}
	}
	return false
}

// doubtful gives the reading of an item that is not one size of the chart.
func (it item) doubtful(index *labelIndex) (reading, bool) {
	switch len(it.labels) {
	case 1:
		return reading{}, false
	case 0:
		return reading{kind: KindUnknown, lacks: clip(strings.TrimSpace(it.form.system + " " + it.form.value)), reason: fmt.Sprintf("says %q"+notInChart, it.text)}, true
	}
	r := reading{kind: KindAmbiguous, reason: fmt.Sprintf("says %q, which fits sizes %s alike", it.text, quoteAll(index.names(it.labels)))}
	for _, i := range it.labels {
		r.claims = append(r.claims, Claim{Sizes: index.names([]int{i}), By: it.text})
	}
	return r, true
}

// between lists the positions from a to b, whichever comes first.
func between(a, b int) []int {
	var out []int
	for i := min(a, b); i <= max(a, b); i++ {
		out = append(out, i)
	}
	return out
}

func sizeReason(text string, found []int, span bool, index *labelIndex) string {
	names := index.names(found)
	switch {
	case span:
		return fmt.Sprintf("says %q: sizes %q to %q", text, names[0], names[len(names)-1])
	case len(names) > 1:
		return fmt.Sprintf("says %q: sizes %s", text, quoteAll(names))
	}
	return fmt.Sprintf("says %q: size %q", text, names[0])
}

// text writes a side for reasons.
func (e expression) text() string {
	var b strings.Builder
	for i, it := range e.items {
		if i > 0 {
			b.WriteString(" " + e.seps[i-1].text + " ")
		}
		b.WriteString(it.text)
	}
	return clip(b.String())
}

// agree combines readings of the same thing.
func agree(readings []reading, index *labelIndex) reading {
	var known []reading
	for _, r := range readings {
		if r.kind == KindAmbiguous {
			return r
		}
		if r.kind == KindSize {
			known = append(known, r)
		}
	}
	if len(known) == 0 {
		return readings[0]
	}
	for _, r := range known[1:] {
		if !slices.Equal(r.sizes, known[0].sizes) {
			return disagreement(known, index)
		}
	}
	return known[0]
}

func disagreement(known []reading, index *labelIndex) reading {
	r := reading{kind: KindAmbiguous}
	var reasons []string
	for _, k := range known {
		r.claims = append(r.claims, Claim{Sizes: index.names(k.sizes), By: k.text})
		reasons = append(reasons, k.reason)
	}
	r.reason = strings.Join(reasons, ", but also ")
	return r
}

// names returns the labels at some positions.
func (x *labelIndex) names(at []int) []string {
	out := make([]string, len(at))
	for i, n := range at {
		out[i] = x.labels[n]
	}
	return out
}
