package font

import (
	"sort"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// standard is one of the standard 14 fonts (ISO 32000-1, 9.6.2.2), the oblique
// ones of Helvetica and all of Courier taken together, as their widths are
// equal. The first six are the columns of latinWidths.
type standard int

const (
	helvetica standard = iota
	helveticaBold
	timesRoman
	timesBold
	timesItalic
	timesBoldItalic
	courier
	symbol
	zapfDingbats
)

type latinGlyph struct {
	name   string
	widths [6]uint16
}

type piGlyph struct {
	name  string
	width uint16
}

// standardFont finds a standard font by its name, or by a name of the TrueType
// font that stands for it by custom. These are the names that Poppler 22.12
// and MuPDF 1.21 both take for one.
func standardFont(name pdf.Name) (standard, bool) {
	switch strings.ReplaceAll(string(name), " ", "") {
	case "Helvetica", "Helvetica-Oblique", "Helvetica-Italic", "Helvetica,Italic",
		"Arial", "ArialMT", "Arial-Italic", "Arial-ItalicMT", "Arial,Italic":
		return helvetica, true
	case "Helvetica-Bold", "Helvetica-BoldOblique", "Helvetica-BoldItalic", "Helvetica,Bold", "Helvetica,BoldItalic",
		"Arial-Bold", "Arial-BoldMT", "Arial,Bold", "Arial-BoldItalic", "Arial-BoldItalicMT", "Arial,BoldItalic":
		return helveticaBold, true
	case "Times-Roman", "TimesNewRoman", "TimesNewRomanPS", "TimesNewRomanPSMT":
		return timesRoman, true
	case "Times-Bold", "TimesNewRoman-Bold", "TimesNewRoman,Bold", "TimesNewRomanPS-Bold", "TimesNewRomanPS-BoldMT":
		return timesBold, true
	case "Times-Italic", "TimesNewRoman-Italic", "TimesNewRoman,Italic", "TimesNewRomanPS-Italic", "TimesNewRomanPS-ItalicMT":
		return timesItalic, true
	case "Times-BoldItalic", "TimesNewRoman-BoldItalic", "TimesNewRoman,BoldItalic", "TimesNewRomanPS-BoldItalic",
		"TimesNewRomanPS-BoldItalicMT":
		return timesBoldItalic, true
	case "Courier", "Courier-Bold", "Courier-Oblique", "Courier-BoldOblique", "Courier,Bold", "Courier,Italic", "Courier,BoldItalic",
		"CourierNew", "CourierNew-Bold", "CourierNew-Italic", "CourierNew-BoldItalic",
		"CourierNew,Bold", "CourierNew,Italic", "CourierNew,BoldItalic",
		"CourierNewPSMT", "CourierNewPS-BoldMT", "CourierNewPS-ItalicMT", "CourierNewPS-BoldItalicMT":
		return courier, true
	case "Symbol", "SymbolMT", "Symbol,Bold", "Symbol,Italic", "Symbol,BoldItalic":
		return symbol, true
	case "ZapfDingbats":
		return zapfDingbats, true
	}
	return 0, false
}

// substitute is the standard font nearest to another: by its name without the
// subset tag (9.6.4), else by the flags of its descriptor (Table 123).
func substitute(r reader, name pdf.Name, desc pdf.Dict) standard {
	const fixedPitch, serif, italicFlag, forceBold = 1, 1 << 1, 1 << 6, 1 << 18
	if _, rest, ok := strings.Cut(string(name), "+"); ok {
		name = pdf.Name(rest)
	}
	if std, ok := standardFont(name); ok {
		return std
	}
	flags, ok := r.integer(desc["Flags"])
	bold := flags&forceBold != 0 || strings.Contains(string(name), "Bold")
	italic := flags&italicFlag != 0 || strings.Contains(string(name), "Italic")
	switch {
	case flags&fixedPitch != 0:
		return courier
	case flags&serif != 0 || !ok:
		return times(bold, italic)
	case bold:
		return helveticaBold
	}
	return helvetica
}

func times(bold, italic bool) standard {
	switch {
	case bold && italic:
		return timesBoldItalic
	case bold:
		return timesBold
	case italic:
		return timesItalic
	}
	return timesRoman
}

// name is the name of the metrics, for sentences.
func (s standard) name() string {
	return [...]string{"Helvetica", "Helvetica-Bold", "Times-Roman", "Times-Bold", "Times-Italic",
		"Times-BoldItalic", "Courier", "Symbol", "ZapfDingbats"}[s]
}

// width gives the width of a glyph in thousandths; ok is false where the font
// has no such glyph.
func (s standard) width(glyph string) (w float64, ok bool) {
	switch s {
	case symbol:
		return piWidth(symbolWidths[:], glyph)
	case zapfDingbats:
		return piWidth(zapfWidths[:], glyph)
	}
	i := sort.Search(len(latinWidths), func(i int) bool { return latinWidths[i].name >= glyph })
	if i == len(latinWidths) || latinWidths[i].name != glyph {
		return 0, false
	}
	if s == courier {
		return 600, true
	}
	return float64(latinWidths[i].widths[s]), true
}

func piWidth(table []piGlyph, glyph string) (w float64, ok bool) {
	i := sort.Search(len(table), func(i int) bool { return table[i].name >= glyph })
	if i == len(table) || table[i].name != glyph {
		return 0, false
	}
	return float64(table[i].width), true
}
