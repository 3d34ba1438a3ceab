package sizes

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// A gauge is one measurement through the sizes of a chart.
type gauge struct {
	name  string // as the chart writes it first
	steps []step // of the sizes that have it, in chart order
}

// A step is what the chart gives for one size, in nanometres.
type step struct {
	size     int
	low, top int64 // equal but for a range
}

// gauges returns the measurements of a chart in the order of byPlace. What
// Check would refuse is passed over.
func (c *Chart) gauges() []gauge {
	var out []gauge
	at := map[string]int{}
	add := func(size int, name string, low, top float64) {
		if (Measure{low, c.Unit}).implausible() != "" || (Measure{top, c.Unit}).implausible() != "" || low > top || c.Unit == "" {
			return
		}
		i, ok := at[fold(name)]
		if !ok {
			i = len(out)
			at[fold(name)] = i
			out = append(out, gauge{name: name})
		}
		out[i].steps = append(out[i].steps, step{size, Measure{low, c.Unit}.nanometres(), Measure{top, c.Unit}.nanometres()})
	}
	for i, s := range c.Sizes {
		for _, name := range s.measurements() {
			if r, ok := s.Ranges[name]; ok {
				add(i, name, r.From, r.To)
				continue
			}
			add(i, name, s.Body[name], s.Body[name])
		}
	}
	slices.SortFunc(out, func(a, b gauge) int { return byPlace(a.name, b.name) })
	return out
}

// gaugesOf finds the measurements of a body in the chart, and gives those
// without a unit the chart's.
func (c *Chart) gaugesOf(b Body) (Body, []gauge, error) {
	all := c.gauges()
	if len(all) == 0 {
		return nil, nil, errors.New("the chart has no body measurements; choose by the label of a size")
	}
	b = slices.Clone(b)
	found := make([]gauge, len(b))
	for i, m := range b {
		at := slices.IndexFunc(all, func(g gauge) bool { return fold(g.name) == fold(m.Name) })
		if at < 0 {
			return nil, nil, unknownMeasurement(m.Name, all)
		}
		if slices.ContainsFunc(found[:i], func(g gauge) bool { return g.name == all[at].name }) {
			return nil, nil, fmt.Errorf("%s is given twice", all[at].name)
		}
		if m.Measure.Unit == "" {
			b[i].Measure.Unit = c.Unit
		}
		if why := b[i].Measure.impossible(); why != "" {
			return nil, nil, fmt.Errorf("%s: %q is no measurement of a body: %s", all[at].name, b[i].Measure, why)
		}
		found[i] = all[at]
	}
	return b, found, nil
}

// UnknownMeasurementError says that a chart has no such measurement.
type UnknownMeasurementError struct {
	Want    string   // as asked for
	Have    []string // of the chart
	Nearest string   // the one most like it, or ""
}

func unknownMeasurement(want string, all []gauge) error {
	e := &UnknownMeasurementError{Want: want}
	for _, g := range all {
		e.Have = append(e.Have, g.name)
	}
	e.Nearest = Nearest(want, e.Have)
	return e
}

func (e *UnknownMeasurementError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "the chart has no measurement %q", clip(harmless(e.Want)))
	if e.Nearest != "" {
		fmt.Fprintf(&b, "; did you mean %q?", e.Nearest)
	}
	fmt.Fprintf(&b, "; it has %s", quoteSome(e.Have))
	return b.String()
}

// off is how far a body lies from a step: 0 in a range.
func (s step) off(body int64) int64 { return max(s.low-body, body-s.top, 0) }

// over is the same with its sign: how much larger the body is.
func (s step) over(body int64) int64 { return min(body-s.low, 0) + max(body-s.top, 0) }

// middle is twice the middle of a step.
func (s step) middle() int64 { return s.low + s.top }

// nearest returns the steps that a body falls in, which are several only where
// sizes have the same measurement: those it is least off from, and of those
// that are equally far the larger. With BetweenUp, steps below the body count
// only where it is larger than all of them.
func (g gauge) nearest(body int64, between Between) []step {
	steps := g.steps
	if reach := above(steps, body); between == BetweenUp && len(reach) > 0 {
		steps = reach
	}
	best := slices.MinFunc(steps, func(a, b step) int {
		return cmp.Or(cmp.Compare(a.off(body), b.off(body)), cmp.Compare(b.middle(), a.middle()), cmp.Compare(b.low, a.low))
	})
	return slices.DeleteFunc(slices.Clone(steps), func(s step) bool { return s.low != best.low || s.top != best.top })
}

// above returns the steps whose end a body does not exceed.
func above(steps []step, body int64) []step {
	var out []step
	for _, s := range steps {
		if s.top >= body {
			out = append(out, s)
		}
	}
	return out
}

// around returns the steps between which a body lies: that of the size chosen
// twice where the body is in it, nil for one that is missing.
func (g gauge) around(body int64, chosen step) (low, high *step) {
	if chosen.off(body) == 0 {
		return &chosen, &chosen
	}
	for i := range g.steps {
		s := &g.steps[i]
		switch {
		case s.top < body && (low == nil || s.top > low.top || s.top == low.top && low.size != chosen.size):
			low = s
		case s.low > body && (high == nil || s.low < high.low || s.low == high.low && s.size == chosen.size):
			high = s
		}
	}
	return low, high
}
