package sizes

import (
	"errors"
	"fmt"
	"slices"
)

// A Fit says which sizes of a chart a body falls in.
type Fit struct {
	Measurements []MeasurementFit `json:"measurements"`    // in the order of the body
	Sizes        []string         `json:"sizes"`           // the labels they fall in, in chart order, each once
	Grade        string           `json:"grade,omitempty"` // what to do where there are several: "bust 12, hip 16: grade from 12 at the bust to 16 at the hip"
}

// A MeasurementFit says where one measurement of a body stands in a chart. All
// lengths are in the unit of the body, or in that of the chart where the body
// has none.
type MeasurementFit struct {
	Name     string   `json:"name"` // as the chart writes it
	Body     Measure  `json:"body"`
	Size     string   `json:"size"`             // the label it falls in
	Alike    []string `json:"alike,omitempty"`  // other labels for which the chart gives the same
	From     Measure  `json:"from"`             // what the chart gives for the size
	To       Measure  `json:"to"`               // equal to From but for a range
	Over     Measure  `json:"over"`             // how much the body is larger than the size; below 0 where it is smaller, 0 within a range
	Below    string   `json:"below,omitempty"`  // the size that is no larger than the body; "" when there is none
	Above    string   `json:"above,omitempty"`  // the size that is no smaller than the body; "" when there is none
	Position float64  `json:"position"`         // from 0 at Below to 1 at Above; 0 where they are one size or one of them is missing
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
//  4. Below the smallest size or above the largest it falls in that, and is
//     Beyond.
//  5. Where several sizes have the measurement that rules 1 to 4 lead to, it
//     falls in the one that the other measurements fall in too, the largest
//     such; where there is none, in the one nearest to them.
//
// Which value is larger counts, not the order of the sizes. Lengths are compared
// in millionths of a millimetre, so 36 1/2 in is 92.71 cm.
//
// A body without measurements, one that has a measurement twice, a length
// that no body has, and measurements which are the same for all sizes are
// errors; a name that the chart does not have gives an *UnknownMeasurementError.
func (c *Chart) Fit(b Body, between Between) (*Fit, error) {
	if len(b) == 0 {
		return nil, errors.New("no measurement is given; write them as in bust=92cm,waist=29in")
	}
	b, gauges, err := c.gaugesOf(b)
	if err != nil {
		return nil, err
	}
	found := make([][]step, len(b))
	for i, m := range b {
		found[i] = gauges[i].nearest(m.Measure.nanometres(), between)
	}
	if err := tellsNothing(gauges, found); err != nil {
		return nil, err
	}
	f := &Fit{}
	chosen := choose(found)
	for i, m := range b {
		f.Measurements = append(f.Measurements, c.place(gauges[i], m, found[i], chosen[i]))
	}
	f.Sizes = c.labelsAt(chosen)
	f.Grade = f.grade(chosen)
	return f, nil
}

// tellsNothing refuses measurements which are the same for all sizes.
func tellsNothing(gauges []gauge, found [][]step) error {
	var names []string
	for i, steps := range found {
		if len(steps) < 2 || len(steps) < len(gauges[i].steps) {
			return nil
		}
		names = append(names, gauges[i].name)
	}
	return fmt.Errorf("all sizes of the chart have the same %s; give a measurement that tells them apart", andList(names))
}

// choose decides between sizes that a measurement fits alike, by rule 5.
func choose(found [][]step) []int {
	out := make([]int, len(found))
	common := positions(found[0])
	reach := 0
	for _, steps := range found {
		here := positions(steps)
		common = slices.DeleteFunc(common, func(i int) bool { return !slices.Contains(here, i) })
		reach = max(reach, here[0])
	}
	for i, steps := range found {
		here := positions(steps)
		if len(common) > 0 {
			out[i] = common[len(common)-1]
			continue
		}
		for _, at := range here {
			if at <= reach { // which the first is
				out[i] = at
			}
		}
	}
	return out
}

func positions(steps []step) []int {
	out := make([]int, len(steps))
	for i, s := range steps {
		out[i] = s.size
	}
	return out
}

// labelsAt returns the labels at positions, in chart order and each once.
func (c *Chart) labelsAt(at []int) []string {
	at = slices.Clone(at)
	slices.Sort(at)
	var out []string
	for _, i := range slices.Compact(at) {
		out = append(out, c.Sizes[i].Label)
	}
	return out
}
