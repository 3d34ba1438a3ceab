package font

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
)

// ISO 32000-1, 9.6.5 and Table 112; the displacement is (w, 0) times
// FontMatrix (9.2.4).
var type3Cases = []struct {
	name string
	font pdf.Dict
	s    string
	want []float64 // thousandths
}{
	{"FontMatrix 0.01", type3(0.01, 0, 0, 0.01, 100, 50), "ab", []float64{1000, 500}},
	{"outside Widths 0", type3(0.01, 0, 0, 0.01, 100), "ac`", []float64{1000, 0, 0}},
	{"outside Widths, a MissingWidth that Table 112 does not heed but Poppler does",
		func() pdf.Dict {
			d := type3(0.01, 0, 0, 0.01, 100)
			d["FontDescriptor"] = pdf.Dict{"MissingWidth": pdf.Integer(77)}
			return d
		}(), "ac", []float64{1000, unknown}},
	{"only the horizontal component counts", type3(0.5, 7, 7, 0.5, 3), "a", []float64{1500}},
	{"a quarter turn has none", type3(0, 1, -1, 0, 3), "a", []float64{0}},
	{"mirrored", type3(-0.001, 0, 0, 0.001, 500), "a", []float64{-500}},
	{"a product beyond all numbers", func() pdf.Dict {
		d := type3(1e300, 0, 0, 1e300, 0)
		d["Widths"] = pdf.Array{pdf.Real(1e300)}
		return d
	}(), "a", []float64{unknown}},
	{"no Widths", pdf.Dict{"Subtype": pdf.Name("Type3"), "FontMatrix": ints(1, 0, 0, 1, 0, 0)}, "a", []float64{unknown}},
	{"no FontMatrix", pdf.Dict{"Subtype": pdf.Name("Type3"), "FirstChar": pdf.Integer(97), "LastChar": pdf.Integer(97), "Widths": ints(1)}, "a", []float64{unknown}},
	{"short FontMatrix", pdf.Dict{"Subtype": pdf.Name("Type3"), "FontMatrix": ints(1, 0, 0, 1), "LastChar": pdf.Integer(97), "Widths": ints(1)}, "a", []float64{unknown}},
}

// type3 is a font with widths from the code of 'a' on.
func type3(a, b, c, d float64, widths ...int) pdf.Dict {
	return pdf.Dict{
		"Subtype":    pdf.Name("Type3"),
		"FontMatrix": pdf.Array{pdf.Real(a), pdf.Real(b), pdf.Real(c), pdf.Real(d), pdf.Integer(9), pdf.Integer(9)},
		"CharProcs":  pdf.Dict{},
		"Encoding":   pdf.Dict{"Differences": pdf.Array{}},
		"FontBBox":   ints(0, -20, 100, 80),
		"FirstChar":  pdf.Integer('a'),
		"LastChar":   pdf.Integer('a' + len(widths) - 1),
		"Widths":     ints(widths...),
	}
}

func TestType3(t *testing.T) {
	for _, c := range type3Cases {
		t.Run(c.name, func(t *testing.T) {
			f := loadPlain(nil, c.font)
			if d := cmp.Diff(c.want, advances(f, c.s), nearly); d != "" {
				t.Error(d)
			}
			if !f.Type3 {
				t.Error("not marked as Type 3")
			}
		})
	}
}
