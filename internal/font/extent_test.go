package font

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
)

// Ascent, Descent and FontBBox are in thousandths (ISO 32000-1, Table 122),
// the FontBBox of a Type 3 font in its glyph space (Table 112).
func TestExtent(t *testing.T) {
	described := func(desc pdf.Dict) pdf.Dict { return pdf.Dict{"FontDescriptor": desc} }
	for _, c := range []struct {
		name string
		font pdf.Dict
		want [2]float64
	}{
		{"no descriptor", pdf.Dict{}, [2]float64{0.8, -0.2}},
		{"descriptor", described(pdf.Dict{"Ascent": pdf.Integer(718), "Descent": pdf.Integer(-207)}), [2]float64{0.718, -0.207}},
		{"descent of the wrong sign", described(pdf.Dict{"Ascent": pdf.Integer(718), "Descent": pdf.Integer(207)}), [2]float64{0.718, -0.207}},
		{"box of the descriptor", described(pdf.Dict{"FontBBox": ints(0, -300, 900, 1000)}), [2]float64{1, -0.3}},
		{"empty box", described(pdf.Dict{"FontBBox": ints(0, 0, 0, 0)}), [2]float64{0.8, -0.2}},
		{"broken box", described(pdf.Dict{"FontBBox": pdf.Array{nil, nil, nil, nil}}), [2]float64{0.8, -0.2}},
		{"descendant's descriptor", type0(pdf.Name("Identity-H"), described(pdf.Dict{"Ascent": pdf.Integer(900), "Descent": pdf.Integer(-100)})), [2]float64{0.9, -0.1}},
		{"Type 3", type3(0.01, 0, 0, 0.02, 100), [2]float64{9 + 1.6, 9 - 0.4}},
		{"Type 3 beyond all numbers", type3(1e300, 1e308, 1e308, 1e308, 100), [2]float64{0.8, -0.2}},
		{"Type 3 upside down", type3(0.01, 0, 0, -0.02, 100), [2]float64{9 + 0.4, 9 - 1.6}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := loadPlain(nil, c.font)
			if d := cmp.Diff(c.want, [2]float64{f.Ascent, f.Descent}, nearly); d != "" {
				t.Error(d)
			}
		})
	}
}
