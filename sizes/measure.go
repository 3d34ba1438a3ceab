package sizes

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/words"
)

// A Unit is the unit of body measurements. The zero Unit means not stated.
type Unit string

// The units.
const (
	Centimetre Unit = "cm"
	Millimetre Unit = "mm"
	Inch       Unit = "in" // 25.4 mm
)

// Millimetres converts a value in the unit. A unit that is not one of the three gives 0.
func (u Unit) Millimetres(value float64) float64 {
	switch u {
	case Centimetre:
		return value * 10
	case Millimetre:
		return value
	case Inch:
		return value * 25.4
	}
	return 0
}

// knownUnit reports whether u is one of the three.
func knownUnit(u Unit) bool { return u.Millimetres(1) != 0 }

// unitOf reads a unit as people write it: "CM", "inches", "Zoll", a double
// prime, which folds to two.
func unitOf(s string) (Unit, bool) {
	x := lookUp(strings.TrimSuffix(fold(s), "."))
	if !x.is(meansUnit) {
		return "", false
	}
	return Unit(x.value), true
}

// A Measure is a length on a body, in the unit in which somebody gave it.
type Measure struct {
	Value float64 `json:"value"`
	Unit  Unit    `json:"unit,omitempty"` // empty: that of the chart
}

// ParseMeasure reads a measurement as people write it: "92", "92.5", "92,5 cm", "36 1/2 in",
// "36½\"", "925mm". Without a unit it is in that of the chart. A measurement is from 1 cm to 5 m;
// what is outside of that or cannot be read is an error that says so.
func ParseMeasure(text string) (Measure, error) {
	m, ok := readMeasure(text)
	if !ok {
		return Measure{}, fault.Errorf(fault.ErrBadRequest, "%s is no measurement; "+
			`write a number and cm, mm or in, as in 92.5cm or "36 1/2 in"`, quote(text))
	}
	if why := m.implausible(); why != "" {
		return Measure{}, fault.Errorf(fault.ErrBadRequest, "%s is no measurement of a body: %s", quote(text), why)
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

// Rounded is a measurement as a tape shows it: to an eighth of an inch, a millimetre.
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

// beyond says which bound of what bodies measure a length is beyond, "" for none.
func (m Measure) beyond() string {
	switch mm := m.Unit.Millimetres(m.Value); {
	case m.Unit == "":
		return ""
	case mm < minMeasure:
		return fmt.Sprintf("less than %d cm", minMeasure/10)
	case mm > maxMeasure:
		return fmt.Sprintf("more than %d m", maxMeasure/1000)
	}
	return ""
}

// implausible says why no body measures that, or "".
func (m Measure) implausible() string {
	if !(m.Value > 0) {
		return "it must be more than 0"
	}
	if bound := m.beyond(); bound != "" {
		return fmt.Sprintf("%v %s is %s; is the unit right?", m.Value, m.Unit, bound)
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

// readMeasure reads a number with or without a unit, of whatever size.
func readMeasure(text string) (Measure, bool) {
	if len(text) > maxNumber {
		return Measure{}, false
	}
	parts := numberAndUnit.FindStringSubmatch(foldPadded(text))
	if parts == nil {
		return Measure{}, false
	}
	value, ok := readNumber(strings.TrimSpace(parts[1]))
	if !ok || parts[2] == "" {
		return Measure{Value: value}, ok
	}
	unit, ok := unitOf(parts[2])
	return Measure{value, unit}, ok
}

// readNumber reads a decimal number, or one with a fraction as inches have it: "34 5/8".
func readNumber(s string) (float64, bool) {
	if decimalNumber.MatchString(s) {
		value, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
		return value, err == nil
	}
	m := fractionNumber.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	var parts [4]float64 // whole, which may be empty, over, under
	for i, part := range m {
		parts[i], _ = strconv.ParseFloat(part, 64)
	}
	value := parts[1] + parts[2]/parts[3]
	return value, !math.IsInf(value, 0) && !math.IsNaN(value)
}

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
	for _, sign := range []string{"-", "~", "...", "..", " to ", " bis "} {
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
	noUnit := func(q quantity) bool { return q.from.Unit == "" }
	if c.Unit == "" && len(all) > 0 && !slices.ContainsFunc(all, noUnit) {
		c.Unit = all[0].from.Unit
	}
	for _, q := range all {
		size := &c.Sizes[q.size]
		if noUnit(q) {
			q.from.Unit, q.to.Unit = c.Unit, c.Unit
		}
		from, to := q.from.In(c.Unit).Value, q.to.In(c.Unit).Value
		if q.from == q.to {
			if size.Body == nil {
				size.Body = map[string]float64{}
			}
			size.Body[q.name] = from
			continue
		}
		if size.Ranges == nil {
			size.Ranges = map[string]Range{}
		}
		size.Ranges[q.name] = Range{from, to}
	}
}

// A Body is the measurements of somebody, in the order in which they were given. Take them on the
// body, not on a garment: a chart for body measurements leaves the ease to the pattern.
type Body []BodyMeasure

// A BodyMeasure is one measurement of a body.
type BodyMeasure struct {
	Name    string  `json:"name"` // as the chart calls it: "bust"
	Measure Measure `json:"measure"`
}

// ParseBody reads measurements written as names with values and commas between:
// "bust=92cm, waist=29in, full hip = 104,5 cm". A comma within a number is a
// decimal comma. What a value without a unit is in, only a chart can say.
func ParseBody(text string) (Body, error) {
	var body Body
	for _, part := range bodyParts(text) {
		name, value, ok := strings.Cut(part, "=")
		if name = strings.TrimSpace(name); !ok || name == "" {
			return nil, fault.Errorf(fault.ErrBadRequest,
				"%s is no measurement with its name; write it as in bust=92cm",
				quote(strings.TrimSpace(part)))
		}
		m, err := ParseMeasure(value)
		if err != nil {
			return nil, fault.Errorf(fault.ErrBadRequest, "%s: %w", clip(words.Harmless(name)), err)
		}
		body = append(body, BodyMeasure{name, m})
	}
	if len(body) == 0 {
		return nil, fault.New(fault.ErrBadRequest, "no measurement is given; write them as in bust=92cm,waist=29in")
	}
	return body, nil
}

// bodyParts splits at semicolons, and at commas that another name follows.
func bodyParts(text string) []string {
	var parts []string
	for _, piece := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		switch {
		case strings.TrimSpace(piece) == "":
		case !strings.Contains(piece, "=") && len(parts) > 0:
			parts[len(parts)-1] += "," + piece
		default:
			parts = append(parts, piece)
		}
	}
	return parts
}

// String writes a body so that ParseBody reads the same one, if its names are
// free of commas, semicolons and equals signs.
func (b Body) String() string {
	return strings.Join(each(b, func(m BodyMeasure) string { return m.Name + "=" + m.Measure.String() }), ", ")
}
