package font

import "github.com/sizeply/sizeply/internal/pdf"

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

// Load reads a font dictionary. It never fails: a font that cannot be
// understood gives glyphs that are not Known.
func Load(src pdf.Objects, dict pdf.Object) *Font {
	if src == nil {
		src = noObjects{}
	}
	return load(reader{src, pdf.Decode}, dict)
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
