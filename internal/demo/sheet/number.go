package sheet

import (
	"math"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/internal/demo/draft"
)

const pointsPerMM = 72 / 25.4 // 8.3.2.3

// number writes millimetres as points.
func number(mm float64) string { return decimal(mm * pointsPerMM) }

// decimal writes a number with at most three decimals, 0.0004 mm apart on the
// sheet.
func decimal(v float64) string {
	v = math.Round(v*1000) / 1000
	if v == 0 {
		return "0"
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

func pair(p draft.Point) string { return number(p.X) + " " + number(p.Y) }

// matrix writes a turn and a step as six operands (8.3.3).
func matrix(at draft.Point, turn float64) string {
	sin, cos := math.Sincos(turn)
	// five decimals: a turn is multiplied by lengths of up to a text line
	part := func(v float64) string {
		v = math.Round(v*1e5) / 1e5
		return strconv.FormatFloat(v+0, 'f', -1, 64)
	}
	return strings.Join([]string{part(cos), part(sin), part(-sin), part(cos), pair(at)}, " ")
}
