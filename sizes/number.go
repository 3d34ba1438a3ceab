package sizes

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

var (
	plainNumber    = regexp.MustCompile(`^[-+]?[0-9]{1,15}(\.[0-9]{0,15})?$`)
	fractionNumber = regexp.MustCompile(`^(?:([0-9]{1,6})[ -])?([0-9]{1,6})/([0-9]{1,6})$`)
	commaNumber    = regexp.MustCompile(`^[0-9]{1,15},[0-9]{1,15}$`)
	unitNumber     = regexp.MustCompile(`^([0-9.]{1,15}) ?(cm|mm|in|"|'')$`)
)

// number reads a number with a point, or one with a fraction as inches have
// it: 34 5/8.
func (d *decoder) number(path string, n ast.Node) float64 {
	s, ok := scalar(n)
	s = strings.TrimSpace(s)
	if plainNumber.MatchString(s) {
		value, _ := strconv.ParseFloat(s, 64)
		return value
	}
	if m := fractionNumber.FindStringSubmatch(s); m != nil {
		if value := mixed(m[1:]); !math.IsInf(value, 0) && !math.IsNaN(value) {
			return value
		}
	}
	switch {
	case !ok:
		d.fail(n, "%s is a number, not %s%s", lastKey(path), kindOf(n), d.emptyHint(n))
	case commaNumber.MatchString(s):
		d.fail(n, "%q is no number here; write %s with a point", s, strings.Replace(s, ",", ".", 1))
	case unitNumber.MatchString(s):
		d.fail(n, "%q is no number; write %s, the unit stands once at the top of the chart", s, unitNumber.FindStringSubmatch(s)[1])
	default:
		d.fail(n, "%q is no number; write digits with a point, as in 62.5", harmless(s))
	}
	return 0
}

// mixed adds a whole number, which may be empty, to a fraction.
func mixed(parts []string) float64 {
	var value [3]float64
	for i, part := range parts {
		value[i], _ = strconv.ParseFloat(part, 64)
	}
	return value[0] + value[1]/value[2]
}
