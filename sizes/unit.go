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

// unitOf reads a unit as people write it: "CM", "inches", "Zoll", a double
// prime. The words are common practice, no source.
func unitOf(s string) (Unit, bool) {
	switch strings.TrimSuffix(fold(s), ".") {
	case "cm", "centimetre", "centimetres", "centimeter", "centimeters",
		"zentimeter", "centimètre", "centimètres", "centímetros", "centimetri", "см":
		return Centimetre, true
	case "mm", "millimetre", "millimetres", "millimeter", "millimeters",
		"millimètre", "millimètres", "milímetros", "millimetri", "мм":
		return Millimetre, true
	case "in", "inch", "inches", "ins", "zoll", "pouce", "pouces", "pulgada", "pulgadas", "pollici", "polegadas", "дюйм",
		`"`, "''", "\u2032\u2032", "\u201d", "\u201c", "\u2019\u2019": // a double prime folds to two
		return Inch, true
	}
	return "", false
}
