package sizes

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// A Measure is a length on a body, in the unit in which somebody gave it.
type Measure struct {
	Value float64 `json:"value"`
	Unit  Unit    `json:"unit,omitempty"` // empty: that of the chart
}

// ParseMeasure reads a measurement as people write it: "92", "92.5", "92,5
// cm", "36 1/2 in", "36½\"", "925mm". Without a unit it is in that of the
// chart. A measurement is from 1 cm to 5 m; what is outside of that or cannot
// be read is an error that says so.
func ParseMeasure(text string) (Measure, error) {
	m, ok := readMeasure(text)
	if !ok {
		return Measure{}, fmt.Errorf("%q is no measurement; write a number and cm, mm or in, as in 92.5cm or \"36 1/2 in\"", clip(harmless(text)))
	}
	if why := m.implausible(); why != "" {
		return Measure{}, fmt.Errorf("%q is no measurement of a body: %s", clip(harmless(text)), why)
	}
	return m, nil
}

// String writes a measurement so that ParseMeasure reads the same one: "92.5
// cm", and inches with a fraction where it is one of halves to thirty-seconds.
func (m Measure) String() string { return strings.TrimSpace(m.number() + " " + string(m.Unit)) }

// number is String without the unit.
func (m Measure) number() string {
	if m.Unit == Inch {
		return inches(m.Value)
	}
	return decimal(m.Value)
}

// In converts a measurement, exact to a millionth of a millimetre. One without
// a unit, or to none, keeps its number.
func (m Measure) In(unit Unit) Measure {
	if m.Unit == unit || !knownUnit(m.Unit) || !knownUnit(unit) {
		return Measure{m.Value, unit}
	}
	return measureOf(m.nanometres(), unit)
}

// Rounded is a measurement as a tape shows it: to an eighth of an inch, a
// millimetre.
func (m Measure) Rounded() Measure {
	steps := m.Unit.tapeSteps()
	return Measure{math.Round(m.Value*steps) / steps, m.Unit}
}

// tapeSteps is how many of the steps that Rounded keeps make the unit.
func (u Unit) tapeSteps() float64 {
	switch u {
	case Inch:
		return 8
	case Millimetre:
		return 1
	}
	return 10
}

// nanometres is the length as a whole number. So counted, hundredths of a
// millimetre and sixty-fourths of an inch are exact, and two lengths that are
// written as equal are equal in whatever units they are given.
func (m Measure) nanometres() int64 { return int64(math.Round(m.Unit.Millimetres(m.Value) * 1e6)) }

// measureOf is the reverse of nanometres.
func measureOf(nanometres int64, unit Unit) Measure {
	return Measure{float64(nanometres) / (unit.Millimetres(1) * 1e6), unit}
}

// implausible says why no body measures that, or "".
func (m Measure) implausible() string {
	if !(m.Value > 0) {
		return "it must be more than 0"
	}
	if m.Unit == "" {
		return ""
	}
	switch mm := m.Unit.Millimetres(m.Value); {
	case mm < minMeasure:
		return fmt.Sprintf("%v %s is less than %d cm; is the unit right?", m.Value, m.Unit, minMeasure/10)
	case mm > maxMeasure:
		return fmt.Sprintf("%v %s is more than %d m; is the unit right?", m.Value, m.Unit, maxMeasure/1000)
	}
	return ""
}

// impossible is implausible for a measurement that must have a unit.
func (m Measure) impossible() string {
	if !knownUnit(m.Unit) {
		return "its unit is none of cm, mm and in"
	}
	return m.implausible()
}

// inches writes a number of inches, with a fraction where it is one.
func inches(value float64) string {
	const parts = 32
	whole, rest := math.Modf(math.Abs(value))
	over := rest * parts
	if over == 0 || over != math.Trunc(over) || whole > 1<<20 {
		return decimal(value)
	}
	under := parts
	for ; int(over)%2 == 0; over /= 2 {
		under /= 2
	}
	fraction := fmt.Sprintf("%d/%d", int(over), under)
	if whole > 0 {
		fraction = fmt.Sprintf("%d %s", int(whole), fraction)
	}
	if value < 0 {
		return "-" + fraction
	}
	return fraction
}

// The forms of a number, in a folded text.
var (
	decimalNumber  = regexp.MustCompile(`^[-+]?[0-9]+(?:[.,][0-9]*)?$`)
	fractionNumber = regexp.MustCompile(`^(?:([0-9]{1,6})[ -])?([0-9]{1,6}) ?/ ?([0-9]{1,6})$`)
	numberAndUnit  = regexp.MustCompile(`^([-+]?[0-9][0-9., /-]*?) ?([^-+0-9., /][^-+0-9,/]*)?$`)
)

// maxNumber bounds the characters of a number: no float64 needs more.
const maxNumber = 400

// readMeasure reads a number with or without a unit, of whatever size.
func readMeasure(text string) (Measure, bool) {
	if len(text) > maxNumber {
		return Measure{}, false
	}
	parts := numberAndUnit.FindStringSubmatch(foldPadded(text))
	if parts == nil {
		return Measure{}, false
	}
	value, ok := readNumber(parts[1])
	if !ok || parts[2] == "" {
		return Measure{Value: value}, ok
	}
	unit, ok := unitOf(parts[2])
	return Measure{value, unit}, ok
}

// readNumber reads a decimal number, or one with a fraction as inches have it:
// "34 5/8".
func readNumber(s string) (float64, bool) {
	s = strings.TrimSpace(s)
	if decimalNumber.MatchString(s) {
		value, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
		return value, err == nil
	}
	m := fractionNumber.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	value := mixed(m[1:])
	return value, !math.IsInf(value, 0) && !math.IsNaN(value)
}

// mixed adds a whole number, which may be empty, to a fraction.
func mixed(parts []string) float64 {
	var value [3]float64
	for i, part := range parts {
		value[i], _ = strconv.ParseFloat(part, 64)
	}
	return value[0] + value[1]/value[2]
}
