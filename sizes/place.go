package sizes

import (
	"fmt"
	"slices"
	"strings"
)

// place says where a measurement stands that falls in the size chosen.
func (c *Chart) place(g gauge, m BodyMeasure, alike []step, chosen int) MeasurementFit {
	body, unit := m.Measure.nanometres(), m.Measure.Unit
	step := alike[slices.Index(positions(alike), chosen)]
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
// or "" where it is not. Lengths are rounded as Measure.Rounded does.
func (m MeasurementFit) Off() string {
	if m.Over.Value == 0 {
		return ""
	}
	side, off := "more", m.Over
	if off.Value < 0 {
		side, off.Value = "less", -off.Value
	}
	distance := off.Rounded().String()
	if off.Rounded().Value == 0 {
		distance = "less than " + Measure{1 / off.Unit.tapeSteps(), off.Unit}.String()
	}
	return fmt.Sprintf("%s %s than size %s (%s)", distance, side, m.Size, m.given())
}

// given writes what the chart gives for the size.
func (m MeasurementFit) given() string {
	if m.From == m.To {
		return m.From.Rounded().String()
	}
	return m.From.Rounded().number() + " to " + m.To.Rounded().String()
}
