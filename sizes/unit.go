package sizes

import "strings"

// A Unit is the unit of body measurements. The zero Unit means not stated.
type Unit string

// The units of a chart.
const (
	Centimetre Unit = "cm"
	Millimetre Unit = "mm"
	Inch       Unit = "in" // 25.4 mm
)

// Millimetres converts a value in the unit. A unit that is not one of the
// three gives 0.
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

// knownUnit says whether u is one of the three.
func knownUnit(u Unit) bool { return u.Millimetres(1) != 0 }

// unitOf reads a unit as people write it: "CM", "inches".
func unitOf(s string) (Unit, bool) {
	switch strings.TrimSuffix(fold(s), ".") {
	case "cm", "centimetre", "centimetres", "centimeter", "centimeters":
		return Centimetre, true
	case "mm", "millimetre", "millimetres", "millimeter", "millimeters":
		return Millimetre, true
	case "in", "inch", "inches":
		return Inch, true
	}
	return "", false
}
