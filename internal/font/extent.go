package font

import "github.com/sizeply/sizeply/internal/pdf"

// matrix is [a b c d e f] from glyph space to text space.
type matrix [6]float64

// thousandths is the glyph space of all fonts but Type 3 (9.2.4).
var thousandths = matrix{0.001, 0, 0, 0.001, 0, 0}

// extent sets Ascent and Descent from a font descriptor, whose entries are in
// thousandths, or where there is none from a bounding box in the glyph space
// of m.
func (f *Font) extent(r reader, desc pdf.Dict, box pdf.Object, m matrix) {
	const most = 1e6 // ems; a box beyond that is broken
	f.Ascent, f.Descent = 0.8, -0.2
	up, down := r.numberOr(desc["Ascent"], 0), r.numberOr(desc["Descent"], 0)
	if up > 0 {
		// A descent of the wrong sign is common enough.
		f.Ascent, f.Descent = up/1000, min(down, -down)/1000
		return
	}
	if box == nil {
		box, m = desc["FontBBox"], thousandths
	}
	if v := r.numbers(box, 4); v != nil {
		if lo, hi := m.heights(v); lo < hi && hi-lo < most {
			f.Ascent, f.Descent = hi, lo
		}
	}
}

// heights gives the lowest and the highest point of a box under m.
func (m matrix) heights(box []float64) (lo, hi float64) {
	y := func(i, j int) float64 { return m[1]*box[i] + m[3]*box[j] + m[5] }
	a, b, c, d := y(0, 1), y(2, 1), y(0, 3), y(2, 3)
	return min(a, b, c, d), max(a, b, c, d)
}
