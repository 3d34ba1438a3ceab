package font

import (
	"math"
	"strconv"

	"github.com/sizeply/sizeply/internal/pdf"
)

// reader reads objects of a font dictionary.
type reader struct {
	src    pdf.Objects
	decode func(pdf.Objects, *pdf.Stream, int64) ([]byte, error)
}

func (r reader) dict(o pdf.Object) pdf.Dict   { return pdf.AsDict(r.src, o) }
func (r reader) array(o pdf.Object) pdf.Array { return pdf.AsArray(r.src, o) }
func (r reader) name(o pdf.Object) pdf.Name   { return pdf.AsName(r.src, o) }

// number gives a finite number; ok is false for anything else.
func (r reader) number(o pdf.Object) (v float64, ok bool) {
	v, ok = pdf.AsNumber(r.src, o)
	if !ok || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

// numberOr is number with a default.
func (r reader) numberOr(o pdf.Object, def float64) float64 {
	if v, ok := r.number(o); ok {
		return v
	}
	return def
}

// integer gives a number as an integer, cut to the range of 32 bits.
func (r reader) integer(o pdf.Object) (v int, ok bool) {
	x, ok := r.number(o)
	return int(min(max(x, math.MinInt32), math.MaxInt32)), ok
}

// numbers gives the first n elements of an array, nil where they are not all
// numbers.
func (r reader) numbers(o pdf.Object, n int) []float64 {
	a := r.array(o)
	if len(a) < n {
		return nil
	}
	v := make([]float64, n)
	for i := range v {
		var ok bool
		if v[i], ok = r.number(a[i]); !ok {
			return nil
		}
	}
	return v
}

// noObjects is a source without objects.
type noObjects struct{}

func (noObjects) Object(pdf.Ref) pdf.Object { return nil }

// shown makes a name of a file fit for a sentence.
func shown(n pdf.Name) string {
	const most = 60
	s := string(n)
	if len(s) > most {
		s = s[:most] + "..."
	}
	if q := strconv.QuoteToASCII(s); q != `"`+s+`"` || s == "" {
		return q
	}
	return s
}
