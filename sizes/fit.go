package sizes

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/fault"
)

// A Fit says which sizes of a chart a body falls in.
type Fit struct {
	Measurements []MeasurementFit `json:"measurements"` // in the order of the body
	Sizes        []string         `json:"sizes"`        // the labels they fall in, in chart order, each once
	// Grade says what to do where there are several: "bust 12, hip 16: grade from
	// 12 at the bust to 16 at the hip".
	Grade string `json:"grade,omitempty"`
}

// A MeasurementFit says where one measurement of a body stands in a chart. All lengths are in the
// unit of the body, or in that of the chart where the body has none.
type MeasurementFit struct {
	Name     string   `json:"name"` // as the chart writes it
	Body     Measure  `json:"body"`
	Size     string   `json:"size"`             // the label it falls in
	Alike    []string `json:"alike,omitempty"`  // other labels for which the chart gives the same
	From     Measure  `json:"from"`             // what the chart gives for the size
	To       Measure  `json:"to"`               // equal to From but for a range
	Over     Measure  `json:"over"`             // how much larger the body is than the size, negative for smaller
	Below    string   `json:"below,omitempty"`  // the size that is no larger than the body; "" when there is none
	Above    string   `json:"above,omitempty"`  // the size that is no smaller than the body; "" when there is none
	Position float64  `json:"position"`         // from 0 at Below to 1 at Above; 0 where they are not two sizes
	Beyond   bool     `json:"beyond,omitempty"` // smaller or larger than all sizes of the chart
}

// Between says what becomes of a measurement between two sizes.
type Between int

const (
	BetweenNearest Between = iota // the nearest; half-way, the larger
	BetweenUp                     // the larger
)

// Fit says for each measurement of a body which size it falls in. These rules
// are this package's own; where standards and trade disagree, as they do on
// edges of classes, no source is claimed for them.
//
//  1. A measurement falls in the size whose value is nearest. Half-way between
//     two sizes it falls in the larger.
//  2. Where the chart gives a range, all in it is at no distance. What two
//     ranges have in common, their edge above all, falls in the larger.
//  3. With BetweenUp it falls in the smallest size that is not smaller than the
//     body, and in the largest where there is none.
//  4. Below the smallest size or above the largest it falls in that, and is Beyond.
//  5. Where several sizes have the measurement that rules 1 to 4 lead to, it
//     falls in the one that the other measurements fall in too, the largest
//     such; where there is none, in the one nearest to them.
//
// Which value is larger counts, not the order of the sizes. Lengths are compared
// in millionths of a millimetre, so 36 1/2 in is 92.71 cm.
//
// A body without measurements, one that has a measurement twice, a length
// that no body has, and measurements which are the same for all sizes are
// errors; a name that the chart does not have gives an *[UnknownMeasurementError].
func (c *Chart) Fit(b Body, between Between) (*Fit, error) {
	if len(b) == 0 {
		return nil, fault.New(fault.ErrBadRequest, "no measurement is given; write them as in bust=92cm,waist=29in")
	}
	b, gauges, err := c.gaugesOf(b)
	if err != nil {
		return nil, err
	}
	found, tells := make([][]step, len(b)), false
	for i, m := range b {
		found[i] = gauges[i].nearest(m.Measure.nanometres(), between)
		tells = tells || len(found[i]) < max(2, len(gauges[i].steps))
	}
	if !tells {
		return nil, fault.Errorf(fault.ErrBadRequest,
			"all sizes of the chart have the same %s; give a measurement that tells them apart",
			andList(each(gauges, gauge.title)))
	}
	f := &Fit{}
	chosen := choose(found)
	for i, m := range b {
		f.Measurements = append(f.Measurements, c.place(gauges[i], m, found[i], chosen[i]))
	}
	for i, s := range c.Sizes {
		if slices.Contains(chosen, i) {
			f.Sizes = append(f.Sizes, s.Label)
		}
	}
	f.Grade = f.grade(chosen)
	return f, nil
}

// choose decides between sizes that a measurement fits alike, by rule 5.
func choose(found [][]step) []int {
	common := slices.Clone(found[0])
	reach := 0
	for _, steps := range found {
		common = slices.DeleteFunc(common, func(s step) bool {
			return !slices.ContainsFunc(steps, func(other step) bool { return other.size == s.size })
		})
		reach = max(reach, steps[0].size)
	}
	out := make([]int, len(found))
	for i, steps := range found {
		for _, s := range steps {
			if s.size <= reach { // which the first is
				out[i] = s.size
			}
		}
		if len(common) > 0 {
			out[i] = common[len(common)-1].size
		}
	}
	return out
}

// A gauge is one measurement through the sizes of a chart.
type gauge struct {
	name  string // as the chart writes it first
	steps []step // of the sizes that have it, in chart order
}

func (g gauge) title() string { return g.name }

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
	for i, s := range c.Sizes {
		for _, name := range s.measurements() {
			low, top := Measure{s.Body[name], c.Unit}, Measure{s.Body[name], c.Unit}
			if r, ok := s.Ranges[name]; ok {
				low.Value, top.Value = r.From, r.To
			}
			if low.impossible() != "" || top.impossible() != "" || low.Value > top.Value {
				continue
			}
			n, ok := at[fold(name)]
			if !ok {
				n = len(out)
				at[fold(name)] = n
				out = append(out, gauge{name: name})
			}
			out[n].steps = append(out[n].steps, step{i, low.nanometres(), top.nanometres()})
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
		return nil, nil, fault.New(fault.ErrBadRequest,
			"the chart has no body measurements; choose by the label of a size")
	}
	b = slices.Clone(b)
	found := make([]gauge, len(b))
	for i, m := range b {
		at := slices.IndexFunc(all, func(g gauge) bool { return fold(g.name) == fold(m.Name) })
		if at < 0 {
			have := each(all, gauge.title)
			return nil, nil, &UnknownMeasurementError{m.Name, have, Nearest(m.Name, have)}
		}
		if slices.ContainsFunc(found[:i], func(g gauge) bool { return g.name == all[at].name }) {
			return nil, nil, fault.Errorf(fault.ErrBadRequest, "%s is given twice", all[at].name)
		}
		if m.Measure.Unit == "" {
			b[i].Measure.Unit = c.Unit
		}
		if why := b[i].Measure.impossible(); why != "" {
			return nil, nil, fault.Errorf(fault.ErrBadRequest,
				"%s: %q is no measurement of a body: %s", all[at].name, b[i].Measure, why)
		}
		found[i] = all[at]
	}
	return b, found, nil
}

// An UnknownMeasurementError says that a chart has no such measurement.
type UnknownMeasurementError struct {
	Want    string   // as asked for
	Have    []string // of the chart
	Nearest string   // the one most like it, or ""
}

func (e *UnknownMeasurementError) Error() string {
	nearest := ""
	if e.Nearest != "" {
		nearest = fmt.Sprintf("; did you mean %s?", quote(e.Nearest))
	}
	return fmt.Sprintf("the chart has no measurement %s%s; it has %s", quote(e.Want), nearest, quoteSome(e.Have))
}

// Is reports whether target is [ErrBadRequest].
func (*UnknownMeasurementError) Is(target error) bool { return target == ErrBadRequest }

// off is how far a body lies from a step: 0 in a range.
func (s step) off(body int64) int64 { return max(s.low-body, body-s.top, 0) }

// over is the same with its sign: how much larger the body is.
func (s step) over(body int64) int64 { return min(body-s.low, 0) + max(body-s.top, 0) }

// nearest returns the steps that a body falls in, which are several only where sizes have the same
// measurement: those it is least off from, and of those that are equally far the larger. With
// BetweenUp, steps below the body count only where it is larger than all of them.
func (g gauge) nearest(body int64, between Between) []step {
	steps := slices.Clone(g.steps)
	below := func(s step) bool { return s.top < body }
	if between == BetweenUp && slices.ContainsFunc(steps, func(s step) bool { return !below(s) }) {
		steps = slices.DeleteFunc(steps, below)
	}
	best := slices.MinFunc(steps, func(a, b step) int {
		middles := cmp.Compare(b.low+b.top, a.low+a.top)
		return cmp.Or(cmp.Compare(a.off(body), b.off(body)), middles, cmp.Compare(b.low, a.low))
	})
	return slices.DeleteFunc(steps, func(s step) bool { return s.low != best.low || s.top != best.top })
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

// place says where a measurement stands that falls in the size chosen.
func (c *Chart) place(g gauge, m BodyMeasure, alike []step, chosen int) MeasurementFit {
	body, unit := m.Measure.nanometres(), m.Measure.Unit
	step := alike[slices.IndexFunc(alike, func(s step) bool { return s.size == chosen })]
	f := MeasurementFit{
		Name: g.name, Body: m.Measure, Size: c.Sizes[chosen].Label,
		From: measureOf(step.low, unit), To: measureOf(step.top, unit), Over: measureOf(step.over(body), unit),
	}
	for _, s := range alike {
		if s.size != chosen {
			f.Alike = append(f.Alike, c.Sizes[s.size].Label)
		}
	}
	low, high := g.around(body, step)
	if low != nil {
		f.Below = c.Sizes[low.size].Label
	}
	if high != nil {
		f.Above = c.Sizes[high.size].Label
	}
	f.Beyond = low == nil || high == nil
	if !f.Beyond && low.size != high.size {
		f.Position = float64(body-low.top) / float64(high.low-low.top)
	}
	return f
}

// String says in words where the measurement stands: "between 14 and 16, nearer
// 14: 1 cm more than size 14 (92 cm)".
func (m MeasurementFit) String() string {
	parts := []string{m.where()}
	if len(m.Alike) > 0 {
		parts[0] += fmt.Sprintf(", like %s", andList(m.Alike))
	}
	if off := m.Off(); off != "" {
		parts = append(parts, off)
	}
	return strings.Join(parts, ": ")
}

func (m MeasurementFit) where() string {
	switch {
	case m.Beyond && m.Below == "":
		return "smaller than the chart, whose smallest is " + m.Size
	case m.Beyond:
		return "larger than the chart, whose largest is " + m.Size
	case m.Below == m.Above:
		return "size " + m.Size
	}
	where := fmt.Sprintf("between %s and %s, ", m.Below, m.Above)
	switch {
	case m.Position == 0.5:
		return "half-way " + where + "taken as " + m.Size
	case m.Position < 0.5 && m.Size == m.Above:
		return where + "nearer " + m.Below + " but taken as " + m.Size
	case m.Position < 0.5:
		return where + "nearer " + m.Below
	}
	return where + "nearer " + m.Above
}

// Off says how far the body is from the size: "1 cm more than size 14 (92 cm)",
// or "" where it is not. Lengths are rounded as [Measure.Rounded] does.
func (m MeasurementFit) Off() string {
	if m.Over.Value == 0 {
		return ""
	}
	given := m.To.Rounded().String()
	if m.From != m.To {
		given = m.From.Rounded().number() + " to " + given
	}
	side, off := "more", m.Over
	if off.Value < 0 {
		side, off.Value = "less", -off.Value
	}
	distance := off.Rounded().String()
	if off.Rounded().Value == 0 {
		distance = "less than " + Measure{1 / off.Unit.tapeSteps(), off.Unit}.String()
	}
	return fmt.Sprintf("%s %s than size %s (%s)", distance, side, m.Size, given)
}

// grade says what to grade where measurements fall in several sizes, at their
// positions in the chart, or "". On the way along the body, in the order of the
// measurements, it names only where the size stops growing or shrinking.
func (f *Fit) grade(at []int) string {
	if len(f.Sizes) < 2 {
		return ""
	}
	has := each(f.Measurements, func(m MeasurementFit) string { return m.Name + " " + m.Size })
	var ways []string
	last := -1
	for _, way := range gradeWays(at) {
		from := fmt.Sprintf("from %s at the %s ", f.Measurements[way[0]].Size, f.Measurements[way[0]].Name)
		if way[0] == last {
			from = "then "
		}
		last = way[1]
		to := f.Measurements[last]
		ways = append(ways, fmt.Sprintf("%sto %s at the %s", from, to.Size, to.Name))
	}
	return strings.Join(has, ", ") + ": grade " + strings.Join(ways, ", ")
}

// gradeWays splits a row of sizes into runs that only grow or only shrink, each
// with its first and last position, without those at which nothing changes.
func gradeWays(at []int) [][2]int {
	var ways [][2]int
	for i := 1; i < len(at); i++ {
		if at[i] == at[i-1] {
			continue
		}
		grows := at[i] > at[i-1]
		if n := len(ways); n > 0 && grows == (at[ways[n-1][1]] > at[ways[n-1][0]]) {
			ways[n-1][1] = i
			continue
		}
		ways = append(ways, [2]int{i - 1, i})
	}
	return ways
}
