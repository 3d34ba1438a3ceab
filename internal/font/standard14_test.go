package font

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
)

// metrics are the widths by glyph name and the built-in encoding of one of
// Adobe's metrics files.
type metrics struct {
	widths map[string]float64
	codes  [256]string
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
