package sizes

import (
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// number reads a length of a line, in mm.
func (d *decoder) number(path string, n ast.Node) float64 {
	s, ok := scalar(n)
	m, read := readMeasure(s)
	switch {
	case !ok:
		d.fail(n, "%s is a number; %s%s", lastKey(path), whatStands(n), d.emptyHint(n))
	case !read:
		d.fail(n, "%q is no number; write digits with a point, as in 2.5", harmless(s))
	case strings.Contains(s, ","):
		d.fail(n, "%q is no number here; write %s with a point", harmless(s), strings.Replace(s, ",", ".", 1))
	case m.Unit != "" && m.Unit != Millimetre:
		d.fail(n, "%q: the lengths of a line are in mm; write the number alone", harmless(s))
	}
	return m.Value
}

// quantity reads the body measurement of a name, or a range of them.
func (d *decoder) quantity(name string, n ast.Node) quantity {
	s, ok := scalar(n)
	q, read := readQuantity(s)
	switch {
	case !ok:
		d.fail(n, "%s is a measurement; %s%s", harmless(name), whatStands(n), d.emptyHint(n))
	case !read:
		d.fail(n, `%q is no measurement; write a number, as in 62.5 or "34 5/8", or a range, as in 82-90`, harmless(s))
	case strings.Contains(s, ","):
		d.fail(n, "%q is no number here; write %s with a point", harmless(s), strings.Replace(s, ",", ".", 1))
	}
	return q
}
