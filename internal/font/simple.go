package font

import (
	"math"

	"github.com/sizeply/sizeply/internal/pdf"
)

// loadSimple reads a Type 1, MMType1 or TrueType font (ISO 32000-1, 9.6.2,
// 9.6.3).
func (f *Font) loadSimple(r reader, d pdf.Dict) {
	desc := r.dict(d["FontDescriptor"])
	f.extent(r, desc, nil, thousandths)
	missing := r.numberOr(desc["MissingWidth"], 0)
	if f.setWidths(r, d, missing, true, func(w float64) float64 { return w / 1000 }) {
		return
	}
	name := r.name(d["BaseFont"])
	std, ok := standardFont(name)
	switch {
	case ok && embedded(desc):
		f.fault("embedded font " + shown(name) + " without Widths")
	case !ok:
		f.fault("font " + shown(name) + " is none of the standard 14 and has no Widths")
		std = substitute(r, name, desc)
	}
	f.setStandard(std, std.encoding(r, d["Encoding"]), missing)
}

// setWidths sets advances from Widths, which scale brings to text space; false
// where there is no such array. The codes outside FirstChar to LastChar have
// the width missing, on which viewers agree or not. So have those for which
// the array, too short or too long, does not do what FirstChar and LastChar
// say; these are Known only where it comes to the same.
func (f *Font) setWidths(r reader, d pdf.Dict, missing float64, agreed bool, scale func(float64) float64) bool {
	a, ok := pdf.Resolve(r.src, d["Widths"]).(pdf.Array)
	if !ok {
		return false
	}
	first, last := f.codeSpan(r, d)
	known := f.reason == ""
	for code := range f.single {
		w, listed := missing, false
		if i := code - first; i >= 0 && i < len(a) {
			w, listed = r.number(a[i])
		}
		within := code >= first && code <= last
		sure := listed
		switch {
		case within && !listed:
			w, sure = missing, agreed && missing == 0
		case !within:
			w, sure = missing, agreed && (!listed || w == missing)
		}
		w = scale(w)
		if math.IsInf(w, 0) { // no file means that
			w, sure = 0, false
		}
		f.single[code].Advance, f.single[code].Known = w, known && sure
		if !sure {
			f.fault("a code whose width Widths leaves open")
		}
	}
	return true
}

// codeSpan reads FirstChar, 0 by default, and LastChar. A span that makes no
// sense leaves all widths unknown, because viewers repair it in different
// ways.
func (f *Font) codeSpan(r reader, d pdf.Dict) (first, last int) {
	first, _ = r.integer(d["FirstChar"])
	last, ok := r.integer(d["LastChar"])
	switch {
	case first < 0 || first > 255:
		f.fault("FirstChar outside 0 to 255")
		return 0, 255
	case !ok || last < first:
		f.fault("no LastChar, or one below FirstChar")
		return first, 255
	}
	return first, last
}

// setStandard sets advances from the metrics of a standard font.
func (f *Font) setStandard(std standard, enc *encoding, missing float64) {
	known := f.reason == ""
	for code := range f.single {
		w, ok := std.width(enc[code])
		if !ok {
			w = missing
			f.fault("a code without a glyph in the metrics of " + std.name())
		}
		f.single[code].Advance, f.single[code].Known = w/1000, ok && known
	}
}

// embedded reports whether a descriptor has a font program (Table 122).
func embedded(desc pdf.Dict) bool {
	return desc["FontFile"] != nil || desc["FontFile2"] != nil || desc["FontFile3"] != nil
}

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
