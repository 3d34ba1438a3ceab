package font

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
)

type popplerCase struct {
	name string
	objs objects // numbers from 100 on
	font pdf.Dict
	s    string
}

// popplerCases are one font of each kind, with a string of it.
var popplerCases = []popplerCase{
	{"Type 1 with Widths", nil, named("Type1", "Tollmere", pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(67),
		"Widths": pdf.Array{pdf.Integer(500), pdf.Real(333.25), pdf.Integer(777)}, "FontDescriptor": pdf.Dict{"MissingWidth": pdf.Integer(250)}}), "ABCDE"},
	{"standard font with Widths", nil, named("Type1", "Helvetica", pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(65), "Widths": ints(100)}), "AAB"},
	{"Helvetica", nil, named("Type1", "Helvetica", nil), "Wai 'AVA'"},
	{"Times-BoldItalic, WinAnsiEncoding", nil, named("Type1", "Times-BoldItalic", pdf.Dict{"Encoding": pdf.Name("WinAnsiEncoding")}), "W'\x80\xe4\x95\xad\xa0f"},
	{"Helvetica-Bold, MacRomanEncoding", nil, named("Type1", "Helvetica-Bold", pdf.Dict{"Encoding": pdf.Name("MacRomanEncoding")}), "W'\x80\xe4\x95\xca\xdbf"},
	{"Times-Roman, Differences", nil, named("Type1", "Times-Roman", pdf.Dict{"Encoding": pdf.Dict{
		"Differences": pdf.Array{pdf.Integer(1), pdf.Name("W"), pdf.Name("Aogonek")}}}), "\x01\x02'"},
	{"Symbol", nil, named("Type1", "Symbol", nil), "abc'\xb4"},
	{"ZapfDingbats", nil, named("Type1", "ZapfDingbats", nil), "abc'\xb4"},
	{"Type 3", nil, type3(0.01, 0, 0, 0.01, 100, 50), "abbc"},
	{"Type 3, skewed", nil, type3(0.02, 0.01, 0.005, 0.03, 30, 50), "abb"},
	{"Identity-H", nil, composed("Identity-H", pdf.Dict{"W": someWidths, "DW": pdf.Integer(123)}), "\x00A\x00B\x00C\x01\x2c"},
	{"Identity-V", nil, composed("Identity-V", pdf.Dict{"W2": pdf.Array{pdf.Integer(1), ints(-900, 250, 800)}, "DW2": ints(880, -750)}), "\x00\x01\x00\x02"},
	{"embedded CMap", objects{100: stream(exampleCMap)}, composed(pdf.Ref(100), pdf.Dict{"DW": pdf.Integer(321),
		"W": pdf.Array{pdf.Integer(231), ints(500, 510, 520), pdf.Integer(633), pdf.Integer(700), pdf.Integer(900)}}), " !\"~\x81\x40\x81\x80"},
	{"predefined CMap without W", nil, composed("90ms-RKSJ-H", pdf.Dict{"DW": pdf.Integer(640)}), "A\x82\xa0\xb1"},
	{"UTF-16 with surrogates", nil, composed("UniJIS-UTF16-H", pdf.Dict{"DW": pdf.Integer(640)}), "\x00A\xd8\x40\xdc\x0b\x30\x42"},
}

// twinCases are the names by which a standard font is known.
func twinCases() []popplerCase {
	var all []popplerCase
	for _, family := range []struct{ name, styles string }{
		{"Helvetica", "|-Bold|-Oblique|-BoldOblique|-Italic|-BoldItalic|,Bold|,Italic|,BoldItalic"},
		{"Arial", "|MT|-Bold|-Italic|-BoldItalic|-BoldMT|-ItalicMT|-BoldItalicMT|,Bold|,Italic|,BoldItalic"},
		{"Times", "-Roman|-Bold|-Italic|-BoldItalic"},
		{"TimesNewRoman", "|-Bold|-Italic|-BoldItalic|,Bold|,Italic|,BoldItalic"},
		{"TimesNewRomanPS", "|MT|-Bold|-Italic|-BoldItalic|-BoldMT|-ItalicMT|-BoldItalicMT"},
		{"Courier", "|-Bold|-Oblique|-BoldOblique|,Bold|,Italic|,BoldItalic"},
		{"CourierNew", "|-Bold|-Italic|-BoldItalic|,Bold|,Italic|,BoldItalic"},
		{"CourierNewPS", "MT|-BoldMT|-ItalicMT|-BoldItalicMT"},
		{"Symbol", "|MT|,Bold|,Italic|,BoldItalic"},
		{"ZapfDingbats", ""},
		{"Times New Roman", "|,Bold"},
	} {
		for style := range strings.SplitSeq(family.styles, "|") {
			n, flags := family.name+style, 33 // would make an unknown font fixed pitch
			if strings.HasPrefix(n, "Courier") {
				flags = 32 // sans
			}
			desc := pdf.Dict{"Type": pdf.Name("FontDescriptor"), "FontName": pdf.Name(n), "Flags": pdf.Integer(flags)}
			all = append(all, popplerCase{n, nil, named("TrueType", n, pdf.Dict{"FontDescriptor": desc}), "WaiA"})
		}
	}
	return all
}

func named(subtype, base string, more pdf.Dict) pdf.Dict {
	d := more.Clone()
	d["Type"], d["Subtype"], d["BaseFont"] = pdf.Name("Font"), pdf.Name(subtype), pdf.Name(base)
	return d
}

// composed is a complete Type 0 font; encoding is a string or a reference.
func composed(encoding any, cidFont pdf.Dict) pdf.Dict {
	if s, ok := encoding.(string); ok {
		encoding = pdf.Name(s)
	}
	d := cidFont.Clone()
	d["Type"], d["Subtype"], d["BaseFont"] = pdf.Name("Font"), pdf.Name("CIDFontType0"), pdf.Name("Tollmere")
	d["CIDSystemInfo"] = pdf.Dict{"Registry": pdf.String("Adobe"), "Ordering": pdf.String("Japan1"), "Supplement": pdf.Integer(2)}
	d["FontDescriptor"] = pdf.Dict{"Type": pdf.Name("FontDescriptor"), "FontName": pdf.Name("Tollmere"), "Flags": pdf.Integer(4), "FontBBox": ints(0, -200, 1000, 800)}
	return named("Type0", "Tollmere", type0(encoding, d))
}

// A word that follows a string stands where this package says, to 0.01 pt, in
// Poppler, which computes displacements on its own.
func TestPoppler(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("SIZEPLY_REQUIRE_TOOLS") == "1" {
			t.Fatal("pdftotext is missing, which SIZEPLY_REQUIRE_TOOLS asks for")
		}
		t.Skip("pdftotext, a witness of displacements, is not installed")
	}
	for _, c := range append(popplerCases, twinCases()...) {
		t.Run(c.name, func(t *testing.T) {
			f := loadPlain(c.objs, c.font)
			want := 0.0
			for _, g := range glyphs(f, c.s) {
				if !g.Known {
					t.Fatalf("a width is not known: %s", f.Reason())
				}
				want += g.Advance * witnessSize
			}
			dx, dy := displacement(t, tool, witness(c.objs, c.font, c.s))
			got, still := dx, dy
			if f.Vertical {
				got, still = dy, dx
			}
			if math.Abs(got-want) > 0.01 || math.Abs(still) > 0.01 {
				t.Errorf("Poppler moves by (%.4f, %.4f), want %.4f", dx, dy, want)
			}
		})
	}
}

const witnessSize = 20

// witness is a file with a mark at (50, 700) and, after a string that begins
// at (50, 500), a mark where the string ends. The marks are the words QQ.
func witness(objs objects, font pdf.Dict, s string) []byte {
	content := fmt.Sprintf("BT /M 7 Tf 1 0 0 1 50 700 Tm (QQ) Tj 1 0 0 1 50 500 Tm /F %d Tf <%x> Tj /M 7 Tf (QQ) Tj ET", witnessSize, s)
	all := objects{
		1: pdf.Dict{"Type": pdf.Name("Catalog"), "Pages": pdf.Ref(2)},
		2: pdf.Dict{"Type": pdf.Name("Pages"), "Kids": pdf.Array{pdf.Ref(3)}, "Count": pdf.Integer(1)},
		3: pdf.Dict{"Type": pdf.Name("Page"), "Parent": pdf.Ref(2), "MediaBox": ints(0, 0, 600, 800), "Contents": pdf.Ref(4),
			"Resources": pdf.Dict{"Font": pdf.Dict{"F": pdf.Ref(5), "M": pdf.Ref(6)}}},
		4: stream(content),
		5: font,
		6: named("Type1", "Helvetica", nil),
	}
	for r, o := range objs {
		all[r] = o
	}
	return serialise(all)
}

// displacement is how far the second mark is from the point 200 below the
// first, in PDF's direction of y.
func displacement(t *testing.T, tool string, file []byte) (dx, dy float64) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "witness.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(tool, "-bbox", path, "-")
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, complaints.Bytes())
	}
	if strings.Contains(complaints.String(), "language pack") {
		t.Skip("this Poppler has no data for predefined CMaps")
	}
	marks := markPattern.FindAllSubmatch(out, -1)
	if len(marks) != 2 {
		t.Fatalf("%d marks in %s\n%s", len(marks), out, complaints.Bytes())
	}
	at := func(mark, i int) float64 { v, _ := strconv.ParseFloat(string(marks[mark][i]), 64); return v }
	return at(1, 1) - at(0, 1), 200 - (at(1, 2) - at(0, 2))
}

var markPattern = regexp.MustCompile(`<word xMin="([-0-9.]+)" yMin="([-0-9.]+)"[^>]*>QQ</word>`)

// serialise writes a file with the objects and a cross-reference table.
func serialise(all objects) []byte {
	var out, table bytes.Buffer
	out.WriteString("%PDF-1.7\n")
	size := pdf.Ref(0)
	for r := range all {
		size = max(size, r+1)
	}
	for r := range size {
		if o := all[r]; o == nil {
			table.WriteString("0000000000 65535 f \n")
		} else {
			fmt.Fprintf(&table, "%010d 00000 n \n", out.Len())
			fmt.Fprintf(&out, "%d 0 obj\n%s\nendobj\n", r, text(o))
		}
	}
	start := out.Len()
	fmt.Fprintf(&out, "xref\n0 %d\n%strailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", size, table.Bytes(), size, start)
	return out.Bytes()
}

func text(o pdf.Object) string {
	switch v := o.(type) {
	case pdf.Name:
		return "/" + strings.ReplaceAll(string(v), " ", "#20")
	case pdf.String:
		return fmt.Sprintf("<%x>", string(v))
	case pdf.Ref:
		return fmt.Sprintf("%d 0 R", v)
	case pdf.Real:
		return strconv.FormatFloat(float64(v), 'f', -1, 64)
	case pdf.Array:
		var s []string
		for _, e := range v {
			s = append(s, text(e))
		}
		return "[" + strings.Join(s, " ") + "]"
	case pdf.Dict:
		var s []string
		for _, k := range v.Keys() {
			s = append(s, text(k)+" "+text(v[k]))
		}
		return "<<" + strings.Join(s, " ") + ">>"
	case *pdf.Stream:
		d := v.Dict.Clone()
		d["Length"] = pdf.Integer(len(v.Raw))
		return text(d) + "\nstream\n" + string(v.Raw) + "\nendstream"
	}
	return fmt.Sprint(o)
}
