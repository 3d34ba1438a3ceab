package font

import "github.com/sizeply/sizeply/internal/pdf"

// loadType3 reads a Type 3 font (ISO 32000-1, 9.6.5, Table 112). A width w is
// the vector (w, 0) in glyph space; of its image in text space, (a*w, b*w),
// only the horizontal component moves the text position, as 9.4.4 has room
// for no other in horizontal writing.
func (f *Font) loadType3(r reader, d pdf.Dict) {
	f.Type3 = true
	m := matrix{1, 0, 0, 1, 0, 0} // what viewers take in place of none
	if v := r.numbers(d["FontMatrix"], 6); v != nil {
		m = matrix(v)
	} else {
		f.fault("Type 3 font without FontMatrix")
	}
	f.extent(r, nil, d["FontBBox"], m)
	// Outside FirstChar to LastChar the width is 0 by Table 112, but not in
	// all viewers where there is a MissingWidth.
	agreed := r.numberOr(r.dict(d["FontDescriptor"])["MissingWidth"], 0) == 0
	if !f.setWidths(r, d, 0, agreed, func(w float64) float64 { return m[0] * w }) {
		f.fault("Type 3 font without Widths")
	}
}
