package font

import (
	"math"
	"strconv"

	"github.com/sizeply/sizeply/internal/pdf"
)

// A Font gives the codes of a string and their displacements.
type Font struct {
	// Vertical is true for writing mode 1 (ISO 32000-1, 9.7.4.3).
	Vertical bool
	// Type3 is true for a Type 3 font, whose glyphs never clip.
	Type3 bool
	// Ascent and Descent are about how far glyphs reach above and below the
	// baseline, in text space units at size 1 (the descent is negative);
	// taken from the font descriptor, else from FontBBox, else 0.8 and -0.2.
	Ascent, Descent float64

	single    [256]Glyph // of a simple font, by code
	composite *composite // nil for a simple font
	reason    string
}

// A Glyph is one code of a shown string.
type Glyph struct {
	// Advance is w0 (horizontal) or w1 (vertical, usually negative) in text
	// space units at size 1: widths in thousandths are divided by 1000,
	// Type 3 widths transformed by FontMatrix.
	Advance float64
	// Space is true for the single-byte code 32, to which word spacing
	// applies (9.3.3).
	Space bool
	// Known is false where the width could not be determined; Advance is then
	// a guess.
	Known bool
}

// Glyphs calls yield for each code of s until it returns false. It allocates
// nothing.
func (f *Font) Glyphs(s []byte, yield func(Glyph) bool) {
	if f.composite != nil {
		f.composite.glyphs(s, yield)
		return
	}
	for _, code := range s {
		if !yield(f.single[code]) {
			return
		}
	}
}

// Reason says in a few words why a glyph of this font may not be Known. It is
// empty where every code is.
func (f *Font) Reason() string { return f.reason }

func load(r reader, o pdf.Object) *Font {
	f := &Font{}
	f.single[' '].Space = true
	d := r.dict(o)
	if d == nil {
		f.fault("no font dictionary")
	}
	switch {
	case r.name(d["Subtype"]) == "Type0", d["DescendantFonts"] != nil:
		f.loadComposite(r, d)
	case r.name(d["Subtype"]) == "Type3":
		f.loadType3(r, d)
	case d != nil:
		f.loadSimple(r, d)
	}
	return f
}

// fault keeps the first reason.
func (f *Font) fault(reason string) {
	if f.reason == "" {
		f.reason = reason
	}
}

// reader reads objects of a font dictionary.
type reader struct {
	src    pdf.Objects
	decode func(pdf.Objects, *pdf.Stream, int64) ([]byte, error)
	shared *Library // what is remembered
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
