package font

import (
	"bufio"
	"crypto/sha256"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/unicode/norm"

	"github.com/sizeply/sizeply/internal/pdf"
)

// metrics are the widths by glyph name and the built-in encoding of one of
// Adobe's metrics files.
type metrics struct {
	widths map[string]float64
	codes  encoding
}

// readMetrics reads a metrics file out of the source of the pdfcpu module,
// which this module needs anyway.
func readMetrics(t *testing.T, name string) metrics {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	if err != nil {
		t.Fatalf("finding the pdfcpu module: %v", err)
	}
	in, err := os.Open(filepath.Join(strings.TrimSpace(string(dir)), "internal", "corefont", "Core14_AFMs", name+".afm"))
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	m := metrics{widths: map[string]float64{}}
	for lines := bufio.NewScanner(in); lines.Scan(); {
		// C 65 ; WX 667 ; N A ; B 14 0 654 718 ;
		f := strings.Fields(lines.Text())
		if len(f) < 8 || f[0] != "C" {
			continue
		}
		m.widths[f[7]], _ = strconv.ParseFloat(f[4], 64)
		if code, _ := strconv.Atoi(f[1]); code >= 0 {
			m.codes[code] = f[7]
		}
	}
	return m
}

// Every width of all 14 fonts, by name and through the built-in encoding,
// against Adobe's files.
func TestStandardMetrics(t *testing.T) {
	for _, name := range []string{
		"Helvetica", "Helvetica-Bold", "Helvetica-Oblique", "Helvetica-BoldOblique",
		"Times-Roman", "Times-Bold", "Times-Italic", "Times-BoldItalic",
		"Courier", "Courier-Bold", "Courier-Oblique", "Courier-BoldOblique",
		"Symbol", "ZapfDingbats",
	} {
		t.Run(name, func(t *testing.T) {
			want := readMetrics(t, name)
			std, ok := standardFont(pdf.Name(name))
			if !ok || len(want.widths) < 190 {
				t.Fatalf("found %v, with %d widths to compare", ok, len(want.widths))
			}
			for glyph, w := range want.widths {
				if got, ok := std.width(glyph); !ok || got != w {
					t.Errorf("%s is %v wide, want %v", glyph, got, w)
				}
			}
			if got := *std.builtIn(); got != want.codes {
				t.Errorf("built-in encoding differs")
			}
			if w, ok := std.width("nonesuch"); ok {
				t.Errorf("a glyph that is not there is %v wide", w)
			}
		})
	}
}

// Seen in Poppler and MuPDF; TestPoppler asks the first again.
func TestStandardFont(t *testing.T) {
	for name, want := range map[pdf.Name]string{
		"Helvetica-BoldOblique":           "Helvetica-Bold",
		"Arial":                           "Helvetica",
		"ArialMT":                         "Helvetica",
		"Arial-BoldItalicMT":              "Helvetica-Bold",
		"Arial,Italic":                    "Helvetica",
		"TimesNewRoman":                   "Times-Roman",
		"Times New Roman,BoldItalic":      "Times-BoldItalic",
		"TimesNewRomanPS-ItalicMT":        "Times-Italic",
		"TimesNewRomanPSMT":               "Times-Roman",
		"CourierNew,Bold":                 "Courier",
		"CourierNewPS-BoldItalicMT":       "Courier",
		"SymbolMT":                        "Symbol",
		"ZapfDingbats":                    "ZapfDingbats",
		"ABCDEF+Helvetica":                "",
		"ArialMT,Bold":                    "",
		"ArialNarrow":                     "",
		"Arial-Black":                     "",
		"Helvetica-Condensed-BoldOblique": "",
		"Times":                           "",
		"Times,Bold":                      "",
		"Symbol-Bold":                     "",
		"helvetica":                       "",
		"":                                "",
	} {
		got := ""
		if std, ok := standardFont(name); ok {
			got = std.name()
		}
		if got != want {
			t.Errorf("%q is %q, want %q", name, got, want)
		}
	}
}

// specials are the characters of the Latin set whose glyph name is neither
// the character itself nor a letter with an accent (ISO 32000-1, D.2).
var specials = map[rune]string{
	' ': "space", '!': "exclam", '"': "quotedbl", '#': "numbersign", '$': "dollar", '%': "percent",
	'&': "ampersand", '\'': "quotesingle", '(': "parenleft", ')': "parenright", '*': "asterisk",
	'+': "plus", ',': "comma", '-': "hyphen", '.': "period", '/': "slash", ':': "colon", ';': "semicolon",
	'<': "less", '=': "equal", '>': "greater", '?': "question", '@': "at", '[': "bracketleft",
	'\\': "backslash", ']': "bracketright", '^': "asciicircum", '_': "underscore", '`': "grave",
	'{': "braceleft", '|': "bar", '}': "braceright", '~': "asciitilde",
	'0': "zero", '1': "one", '2': "two", '3': "three", '4': "four", '5': "five", '6': "six", '7': "seven",
	'8': "eight", '9': "nine",
	'\u00a0': "space", '\u00ad': "hyphen",
	'¡': "exclamdown", '¢': "cent", '£': "sterling", '¤': "currency", '¥': "yen", '¦': "brokenbar",
	'§': "section", '¨': "dieresis", '©': "copyright", 'ª': "ordfeminine", '«': "guillemotleft",
	'¬': "logicalnot", '®': "registered", '¯': "macron", '°': "degree", '±': "plusminus",
	'²': "twosuperior", '³': "threesuperior", '´': "acute", 'µ': "mu", '¶': "paragraph",
	'·': "periodcentered", '¸': "cedilla", '¹': "onesuperior", 'º': "ordmasculine",
	'»': "guillemotright", '¼': "onequarter", '½': "onehalf", '¾': "threequarters", '¿': "questiondown",
	'Æ': "AE", 'Ð': "Eth", '×': "multiply", 'Ø': "Oslash", 'Þ': "Thorn", 'ß': "germandbls", 'æ': "ae",
	'ð': "eth", '÷': "divide", 'ø': "oslash", 'þ': "thorn", 'Œ': "OE", 'œ': "oe", 'ƒ': "florin",
	'ı': "dotlessi", 'ˆ': "circumflex", 'ˇ': "caron", '˘': "breve", '˙': "dotaccent", '˚': "ring",
	'˛': "ogonek", '˜': "tilde", '˝': "hungarumlaut", '–': "endash", '—': "emdash", '‘': "quoteleft",
	'’': "quoteright", '‚': "quotesinglbase", '“': "quotedblleft", '”': "quotedblright",
	'„': "quotedblbase", '†': "dagger", '‡': "daggerdbl", '•': "bullet", '…': "ellipsis",
	'‰': "perthousand", '‹': "guilsinglleft", '›': "guilsinglright", '⁄': "fraction", '€': "Euro",
	'™': "trademark", '\ufb01': "fi", '\ufb02': "fl",
}

var accents = map[rune]string{
	0x300: "grave", 0x301: "acute", 0x302: "circumflex", 0x303: "tilde", 0x308: "dieresis",
	0x30a: "ring", 0x327: "cedilla", 0x30c: "caron",
}

func glyphName(r rune) string {
	if n := specials[r]; n != "" {
		return n
	}
	d := []rune(norm.NFD.String(string(r)))
	switch {
	case len(d) == 1 && r >= 'A' && r <= 'z':
		return string(r)
	case len(d) == 2 && accents[d[1]] != "":
		return string(d[0]) + accents[d[1]]
	}
	return ""
}

// The tables of D.2 against the code pages of x/text, which come from another
// source; where the standard departs from the code page, it is said here.
func TestLatinEncodings(t *testing.T) {
	for _, c := range []struct {
		name   pdf.Name
		page   *charmap.Charmap
		depart map[int]string
	}{
		{"WinAnsiEncoding", charmap.Windows1252, map[int]string{
			// D.2, footnote: unused codes above 40 octal are bullets.
			127: "bullet", 129: "bullet", 141: "bullet", 143: "bullet", 144: "bullet", 157: "bullet"}},
		{"MacRomanEncoding", charmap.Macintosh, map[int]string{
			127: "", 219: "currency", // the Euro came later
			// Characters that are not in the standard Latin set (D.1).
			173: "", 176: "", 178: "", 179: "", 182: "", 183: "", 184: "", 185: "", 186: "", 189: "",
			195: "", 197: "", 198: "", 215: "", 240: ""}},
	} {
		enc := namedEncoding(c.name, nil)
		for code := range 256 {
			want, ok := c.depart[code]
			if !ok && code >= 32 {
				want = glyphName(c.page.DecodeByte(byte(code)))
			}
			if enc[code] != want {
				t.Errorf("%s: code %d is %q, want %q", c.name, code, enc[code], want)
			}
		}
	}
}

// TestTablesAreComplete holds every name, width and code of the tables: the
// digest is that of the tables as they were checked against their sources.
func TestTablesAreComplete(t *testing.T) {
	h := sha256.New()
	text, symbol, zapf := textTable().widths, symbolTable(), zapfTable()
	for _, glyph := range slices.Sorted(maps.Keys(text)) {
		fmt.Fprintln(h, glyph, text[glyph])
	}
	for _, f := range []*symbolFont{symbol, zapf} {
		for _, glyph := range slices.Sorted(maps.Keys(f.widths)) {
			fmt.Fprintln(h, glyph, f.widths[glyph])
		}
	}
	for _, e := range []*encoding{
		standardEncoding(), winAnsiEncoding(), macRomanEncoding(), macExpertEncoding(), &symbol.codes, &zapf.codes,
	} {
		fmt.Fprintf(h, "%q\n", *e)
	}
	if a, b, c := len(text), len(symbol.widths), len(zapf.widths); a != 315 || b != 190 || c != 202 {
		t.Errorf("%d, %d and %d glyphs, want 315, 190 and 202", a, b, c)
	}
	const want = "b622f85fc689f09de33faa521f3c3938959607a6284b766304bf417c466b333a"
	if got := fmt.Sprintf("%x", h.Sum(nil)); got != want {
		t.Errorf("the tables have the digest %s, not %s", got, want)
	}
}

// Adobe's notice stands with all that is from Adobe's files.
func TestTablesKeepTheNotice(t *testing.T) {
	for _, name := range []string{"text", "symbol", "zapfdingbats"} {
		text, err := data.ReadFile("data/" + name + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		for _, words := range []string{"Copyright (c) 1985", "Adobe Systems Incorporated. All Rights Reserved.", "Modified here"} {
			if !strings.Contains(string(text), words) {
				t.Errorf("%s.txt lacks %q", name, words)
			}
		}
	}
}

// BenchmarkTables is what the first font of each kind costs.
func BenchmarkTables(b *testing.B) {
	for b.Loop() {
		table("winansi", (*encoding).add)()
		table("text", (*textFonts).add)()
	}
}

// Every name of an encoding is a glyph of the fonts it is for.
func TestEncodingsNameGlyphs(t *testing.T) {
	for name, c := range map[string]struct {
		enc *encoding
		std standard
		n   int // codes in use, by ISO 32000-1, Annex D
	}{
		"standard": {standardEncoding(), helvetica, 149},
		"win":      {winAnsiEncoding(), helvetica, 224},
		"mac":      {macRomanEncoding(), helvetica, 208},
		"expert":   {macExpertEncoding(), helvetica, 15}, // of 165
		"symbol":   {&symbolTable().codes, symbol, 189},
		"zapf":     {&zapfTable().codes, zapfDingbats, 202},
	} {
		n := 0
		for code, glyph := range c.enc {
			if glyph == "" {
				continue
			}
			n++
			if _, ok := c.std.width(glyph); !ok {
				t.Errorf("%s: code %d is %q, which is no glyph", name, code, glyph)
			}
		}
		if n != c.n {
			t.Errorf("%s: %d codes, want %d", name, n, c.n)
		}
	}
}

// ISO 32000-1, 9.6.6 and Table 114.
func TestEncoding(t *testing.T) {
	r := plainReader(objects{1: pdf.Name("WinAnsiEncoding"), 2: pdf.Integer(66)})
	for _, c := range []struct {
		name string
		std  standard
		o    pdf.Object
		want []string // of codes 39, 65, 66, 67
	}{
		{"none, text font", helvetica, nil, []string{"quoteright", "A", "B", "C"}},
		{"none, Symbol", symbol, nil, []string{"suchthat", "Alpha", "Beta", "Chi"}},
		{"name", helvetica, pdf.Name("MacRomanEncoding"), []string{"quotesingle", "A", "B", "C"}},
		{"indirect name", helvetica, pdf.Ref(1), []string{"quotesingle", "A", "B", "C"}},
		{"StandardEncoding by name", symbol, pdf.Name("StandardEncoding"), []string{"quoteright", "A", "B", "C"}},
		{"MacExpertEncoding", helvetica, pdf.Name("MacExpertEncoding"), []string{"", "", "", ""}},
		{"unknown name", helvetica, pdf.Name("PDFDocEncoding"), []string{"quoteright", "A", "B", "C"}},
		{"base encoding", helvetica, pdf.Dict{"BaseEncoding": pdf.Ref(1)}, []string{"quotesingle", "A", "B", "C"}},
		{"differences over the font's own", symbol, pdf.Dict{"Differences": pdf.Array{pdf.Integer(65), pdf.Name("club")}},
			[]string{"suchthat", "club", "Beta", "Chi"}},
		{"differences run on, indirect and out of range", helvetica, pdf.Dict{"Differences": pdf.Array{
			pdf.Name("zero"), pdf.Integer(-1), pdf.Name("x"), pdf.Ref(2), pdf.Name("one"), pdf.Name("two"), nil,
			pdf.Integer(255), pdf.Name("y"), pdf.Name("z"), pdf.Real(1e30), pdf.Name("w")}},
			[]string{"quoteright", "A", "one", "two"}},
	} {
		enc := c.std.encoding(r, c.o)
		if got := []string{enc[39], enc[65], enc[66], enc[67]}; !slices.Equal(got, c.want) {
			t.Errorf("%s: got %q, want %q", c.name, got, c.want)
		}
	}
}
