package font

import (
	"embed"
	"strconv"
	"strings"
	"sync"

	"github.com/sizeply/sizeply/internal/pdf"
)

// standard is one of the standard 14 fonts (ISO 32000-1, 9.6.2.2), the oblique
// ones of Helvetica and all of Courier taken together, as their widths are
// equal. The first six are the columns of data/text.txt.
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
	case "Times-Bold",
		"TimesNewRoman-Bold", "TimesNewRoman,Bold", "TimesNewRomanPS-Bold", "TimesNewRomanPS-BoldMT":
		return timesBold, true
	case "Times-Italic",
		"TimesNewRoman-Italic", "TimesNewRoman,Italic", "TimesNewRomanPS-Italic", "TimesNewRomanPS-ItalicMT":
		return timesItalic, true
	case "Times-BoldItalic",
		"TimesNewRoman-BoldItalic", "TimesNewRoman,BoldItalic",
		"TimesNewRomanPS-BoldItalic", "TimesNewRomanPS-BoldItalicMT":
		return timesBoldItalic, true
	case "Courier", "Courier-Bold", "Courier-Oblique", "Courier-BoldOblique",
		"Courier,Bold", "Courier,Italic", "Courier,BoldItalic",
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
	sans := flags&serif == 0 && ok
	switch {
	case flags&fixedPitch != 0:
		return courier
	case sans && bold:
		return helveticaBold
	case sans:
		return helvetica
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

// width returns the width of a glyph in thousandths; ok is false where the font
// has no such glyph.
func (s standard) width(glyph string) (w float64, ok bool) {
	switch s {
	case symbol:
		w, ok = symbolTable().widths[glyph]
		return w, ok
	case zapfDingbats:
		w, ok = zapfTable().widths[glyph]
		return w, ok
	}
	all, ok := textTable().widths[glyph]
	switch {
	case !ok:
		return 0, false
	case s == courier:
		return 600, true
	}
	return float64(all[s]), true
}

// An encoding gives the name of the glyph of each code, "" where there is none.
type encoding [256]string

// encoding reads the Encoding of a font with the metrics of s (ISO 32000-1,
// 9.6.6, Table 114). What it leaves open is the font's own encoding, for the
// text fonts StandardEncoding.
func (s standard) encoding(r reader, o pdf.Object) *encoding {
	base := s.builtIn()
	switch e := pdf.Resolve(r.src, o).(type) {
	case pdf.Name:
		return namedEncoding(e, base)
	case pdf.Dict:
		base = namedEncoding(r.name(e["BaseEncoding"]), base)
		return differences(r, r.array(e["Differences"]), base)
	}
	return base
}

func (s standard) builtIn() *encoding {
	switch s {
	case symbol:
		return &symbolTable().codes
	case zapfDingbats:
		return &zapfTable().codes
	}
	return standardEncoding()
}

func namedEncoding(n pdf.Name, def *encoding) *encoding {
	switch n {
	case "StandardEncoding": // no value of Encoding by Table 111, but found in files
		return standardEncoding()
	case "WinAnsiEncoding":
		return winAnsiEncoding()
	case "MacRomanEncoding":
		return macRomanEncoding()
	case "MacExpertEncoding":
		return macExpertEncoding()
	}
	return def
}

// differences returns base as a Differences array changes it: a number is a
// code, each name after it goes to that code and the next ones.
func differences(r reader, a pdf.Array, base *encoding) *encoding {
	enc := *base
	code := 0
	for _, o := range a {
		if n, ok := pdf.Resolve(r.src, o).(pdf.Name); ok {
			if code >= 0 && code < len(enc) {
				enc[code] = string(n)
			}
			code++
		} else if v, ok := r.integer(o); ok {
			code = v
		}
	}
	return &enc
}

// data holds the widths and encodings as tables, with their origin; the head of
// each says what its lines are.
//
//go:embed data
var data embed.FS

// The tables. Each is read once, when it is first asked for.
var (
	standardEncoding  = table("standard", (*encoding).add)
	winAnsiEncoding   = table("winansi", (*encoding).add)
	macRomanEncoding  = table("macroman", (*encoding).add)
	macExpertEncoding = table("macexpert", (*encoding).add)
	textTable         = table("text", (*textFonts).add)
	symbolTable       = table("symbol", (*symbolFont).add)
	zapfTable         = table("zapfdingbats", (*symbolFont).add)
)

// table reads a file of data: add takes the words of each line that is no
// comment.
func table[T any](file string, add func(t *T, words []string)) func() *T {
	return sync.OnceValue(func() *T {
		text, err := data.ReadFile("data/" + file + ".txt")
		if err != nil {
			panic(err) // it is part of the program
		}
		t := new(T)
		for line := range strings.Lines(string(text)) {
			if words := strings.Fields(line); len(words) > 0 && words[0] != "#" {
				add(t, words)
			}
		}
		return t
	})
}

// add takes a code and the names of its glyph and of those that follow.
func (e *encoding) add(words []string) {
	copy(e[number(words[0]):], words[1:])
}

// textFonts are the glyphs of the standard text fonts with their widths in each
// of them, in thousandths.
type textFonts struct {
	widths map[string][timesBoldItalic + 1]uint16
}

// add takes the name of a glyph and its widths.
func (t *textFonts) add(words []string) {
	if t.widths == nil {
		t.widths = map[string][timesBoldItalic + 1]uint16{}
	}
	var widths [timesBoldItalic + 1]uint16
	for i := range widths {
		widths[i] = uint16(number(words[1+i]))
	}
	t.widths[words[0]] = widths
}

// symbolFont is a font with an encoding of its own; widths are in thousandths.
type symbolFont struct {
	widths map[string]float64
	codes  encoding
}

// add takes the name of a glyph, its width and, where it has one, its code.
func (t *symbolFont) add(words []string) {
	if t.widths == nil {
		t.widths = map[string]float64{}
	}
	t.widths[words[0]] = float64(number(words[1]))
	for _, code := range words[2:] {
		t.codes[number(code)] = words[0]
	}
}

// number reads a number of a table.
func number(word string) int {
	v, err := strconv.Atoi(word)
	if err != nil {
		panic(err) // the tables are part of the program
	}
	return v
}
