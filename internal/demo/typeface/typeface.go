// Package typeface measures and subsets the typeface of the demo pattern,
// Go Regular (BSD licence; the notice stays in the subset's name table).
//
// Start with [Regular]. Text is limited to the characters of [Encode].
package typeface

import (
	"fmt"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// A Face gives widths and data of one typeface. It is safe for concurrent use.
type Face struct {
	font *sfnt.Font
	data []byte
}

// Regular gives Go Regular.
func Regular() (*Face, error) {
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("parse Go Regular: %w", err)
	}
	return &Face{f, goregular.TTF}, nil
}

// Width gives the width of a text set at size 1; characters that the face
// lacks count as its substitute glyph.
func (f *Face) Width(text string) float64 {
	sum := 0.0
	for _, r := range text {
		sum += f.advance(r)
	}
	return sum
}

// Widths gives the widths at size 1 of the 256 codes of WinAnsiEncoding;
// codes that [Encode] never gives have width 0.
func (f *Face) Widths() [256]float64 {
	var widths [256]float64
	for code := range widths {
		if r, ok := decode(byte(code)); ok {
			widths[code] = f.advance(r)
		}
	}
	return widths
}

// advance is a glyph's width rounded to whole thousandths, as most programs
// write it: PDFium reads no fractions there, MuPDF rounds them.
func (f *Face) advance(r rune) float64 {
	glyph, err := f.font.GlyphIndex(nil, r)
	if err != nil {
		return 0
	}
	em := fixed.I(int(f.font.UnitsPerEm()))
	width, err := f.font.GlyphAdvance(nil, glyph, em, font.HintingNone)
	if err != nil {
		return 0
	}
	return math.Round(1000*float64(width)/float64(em)) / 1000
}

// Metrics are the entries of a font descriptor (ISO 32000-1, table 122), in
// units of the type size.
type Metrics struct {
	Ascent, Descent, CapHeight float64
	Box                        [4]float64 // left, bottom, right, top
}

// Metrics gives the metrics of the face.
func (f *Face) Metrics() (Metrics, error) {
	em := fixed.I(int(f.font.UnitsPerEm()))
	m, err := f.font.Metrics(nil, em, font.HintingNone)
	if err != nil {
		return Metrics{}, fmt.Errorf("read font metrics: %w", err)
	}
	b, err := f.font.Bounds(nil, em, font.HintingNone)
	if err != nil {
		return Metrics{}, fmt.Errorf("read font bounds: %w", err)
	}
	share := func(v fixed.Int26_6) float64 { return float64(v) / float64(em) }
	return Metrics{
		Ascent: share(m.Ascent), Descent: -share(m.Descent), CapHeight: share(m.CapHeight),
		// sfnt's y axis points down
		Box: [4]float64{share(b.Min.X), -share(b.Max.Y), share(b.Max.X), -share(b.Min.Y)},
	}, nil
}
