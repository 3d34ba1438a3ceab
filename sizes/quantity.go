package sizes

import "strings"

// A quantity is what a chart gives for a measurement of a size: one length, or
// the range of those that the size is for.
type quantity struct {
	size     int // position of the size
	name     string
	from, to Measure // equal but for a range
}

// readQuantity reads a measurement or a range: "80", "36 1/2 in", "82-90 cm".
// A hyphen before a fraction is no range: "36-1/2". One unit does for both ends.
func readQuantity(text string) (quantity, bool) {
	if m, ok := readMeasure(text); ok {
		return quantity{from: m, to: m}, true
	}
	if len(text) > maxNumber {
		return quantity{}, false
	}
	s := foldPadded(text)
	for _, sign := range []string{"-", "~", "\u301c", "...", "..", " to ", " bis "} {
		for at := range s {
			if !strings.HasPrefix(s[at:], sign) {
				continue
			}
			if q, ok := readRange(s[:at], s[at+len(sign):]); ok {
				return q, true
			}
		}
	}
	return quantity{}, false
}

func readRange(from, to string) (quantity, bool) {
	low, ok := readMeasure(strings.TrimSpace(from))
	if !ok || low.Value < 0 {
		return quantity{}, false
	}
	high, ok := readMeasure(strings.TrimSpace(to))
	if low.Unit == "" {
		low.Unit = high.Unit
	}
	return quantity{from: low, to: high}, ok && high.Unit == low.Unit
}

// settle enters measurements in the chart's unit. A chart that states none
// takes that of the first, where each has one.
func (c *Chart) settle(all []quantity) {
	if c.Unit == "" && allHaveUnits(all) {
		c.Unit = all[0].from.Unit
	}
	for _, q := range all {
		size := &c.Sizes[q.size]
		from, to := q.from.orIn(c.Unit), q.to.orIn(c.Unit)
		if q.from == q.to {
			if size.Body == nil {
				size.Body = map[string]float64{}
			}
			size.Body[q.name] = from.Value
			continue
		}
		if size.Ranges == nil {
			size.Ranges = map[string]Range{}
		}
		size.Ranges[q.name] = Range{from.Value, to.Value}
	}
}

func allHaveUnits(all []quantity) bool {
	for _, q := range all {
		if q.from.Unit == "" {
			return false
		}
	}
	return len(all) > 0
}

// orIn is a measurement in a unit, which it has if it has none of its own.
func (m Measure) orIn(unit Unit) Measure {
	if m.Unit == "" {
		m.Unit = unit
	}
	return m.In(unit)
}
