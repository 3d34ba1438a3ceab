package sizes

import (
	"fmt"
	"strings"
)

// A Body is the measurements of somebody, in the order in which they were
// given. Take them on the body, not on a garment: a chart for body measurements
// leaves the ease to the pattern.
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
			return nil, fmt.Errorf("%q is no measurement with its name; write it as in bust=92cm", clip(harmless(strings.TrimSpace(part))))
		}
		m, err := ParseMeasure(value)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", clip(harmless(name)), err)
		}
		body = append(body, BodyMeasure{name, m})
	}
	if len(body) == 0 {
		return nil, fmt.Errorf("no measurement is given; write them as in bust=92cm,waist=29in")
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
	parts := make([]string, len(b))
	for i, m := range b {
		parts[i] = m.Name + "=" + m.Measure.String()
	}
	return strings.Join(parts, ", ")
}
