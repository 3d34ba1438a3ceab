package font

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
)

// Clauses of ISO 32000-1: 9.6.2.1 and Table 111 for Widths, Table 122 for
// MissingWidth, 9.6.2.2 for the standard fonts. Widths of standard fonts are
// from memory, checked against Adobe's metrics in TestStandardMetrics.
var simpleCases = []struct {
	name string
	objs objects
	font pdf.Dict
	s    string
	want []float64
	why  string // part of the reason
}{
	{name: "widths by code",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(67), "Widths": pdf.Array{pdf.Integer(500), pdf.Real(333.25), pdf.Integer(0)}},
		s:    "ABC", want: []float64{500, 333.25, 0}},
	{name: "outside the span the missing width, 0 by default",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(65), "Widths": ints(500)}, s: "A@B", want: []float64{500, 0, 0}},
	{name: "outside the span the missing width",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(66), "Widths": ints(500, 600),
			"FontDescriptor": pdf.Dict{"MissingWidth": pdf.Integer(250)}}, s: "AB@", want: []float64{500, 600, 250}},
	{name: "FirstChar is 0 by default",
		font: pdf.Dict{"LastChar": pdf.Integer(1), "Widths": ints(300, 400)}, s: "\x00\x01\x02", want: []float64{300, 400, 0}},
	{name: "LastChar cuts a long array, or not",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(65), "Widths": ints(500, 600, 0)}, s: "ABC", want: []float64{500, unknown, 0}, why: "leaves open"},
	{name: "short array with a missing width",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(66), "Widths": ints(500),
			"FontDescriptor": pdf.Dict{"MissingWidth": pdf.Integer(250)}}, s: "ABC", want: []float64{500, unknown, 250}, why: "leaves open"},
	{name: "short array",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(90), "Widths": ints(500)}, s: "AB", want: []float64{500, 0}},
	{name: "all indirect",
		objs: objects{2: pdf.Integer(700), 3: pdf.Integer(65), 4: pdf.Array{pdf.Ref(2)}, 5: pdf.Dict{"MissingWidth": pdf.Ref(3)}},
		font: pdf.Dict{"FirstChar": pdf.Ref(3), "LastChar": pdf.Ref(3), "Widths": pdf.Ref(4), "FontDescriptor": pdf.Ref(5)}, s: "AB", want: []float64{700, 65}},
	{name: "entries that are no numbers count as absent",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(67), "Widths": pdf.Array{nil, pdf.Name("x"), pdf.Integer(5)}}, s: "ABC", want: []float64{0, 0, 5}},
	{name: "Widths go before the metrics of a standard font",
		font: pdf.Dict{"BaseFont": pdf.Name("Helvetica"), "FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(65), "Widths": ints(1)}, s: "AB", want: []float64{1, 0}},
	{name: "FirstChar out of range",
		font: pdf.Dict{"FirstChar": pdf.Integer(300), "Widths": ints(500)}, s: "A", want: []float64{unknown}, why: "FirstChar"},
	{name: "LastChar below FirstChar",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "LastChar": pdf.Integer(0), "Widths": ints(500)}, s: "A", want: []float64{unknown}, why: "LastChar"},
	{name: "no LastChar",
		font: pdf.Dict{"FirstChar": pdf.Integer(65), "Widths": ints(500)}, s: "A", want: []float64{unknown}, why: "LastChar"},
	{name: "standard font",
		font: pdf.Dict{"BaseFont": pdf.Name("Helvetica")}, s: "AW i", want: []float64{667, 944, 278, 222}, why: "metrics of Helvetica"},
	{name: "standard font, a code without a glyph",
		font: pdf.Dict{"BaseFont": pdf.Name("Helvetica")}, s: "\n", want: []float64{unknown}, why: "metrics of Helvetica"},
	{name: "standard font, code 39 by StandardEncoding and by WinAnsiEncoding",
		font: pdf.Dict{"BaseFont": pdf.Name("Helvetica"), "Encoding": pdf.Name("WinAnsiEncoding")}, s: "'\x80", want: []float64{191, 556}, why: "metrics"},
	{name: "standard font with differences",
		font: pdf.Dict{"BaseFont": pdf.Name("Times-Roman"), "Encoding": pdf.Dict{
			"Differences": pdf.Array{pdf.Integer(1), pdf.Name("W"), pdf.Name("i"), pdf.Integer(65), pdf.Name("nonesuch")}}},
		s: "\x01\x02AB", want: []float64{944, 278, unknown, 667}, why: "metrics"},
	{name: "twin of a standard font",
		font: pdf.Dict{"BaseFont": pdf.Name("Arial,Bold")}, s: "AW", want: []float64{722, 944}, why: "metrics of Helvetica-Bold"},
	{name: "standard name, but a font program that is not read",
		font: pdf.Dict{"BaseFont": pdf.Name("Helvetica"), "FontDescriptor": pdf.Dict{"FontFile3": pdf.Ref(8)}},
		s:    "A", want: []float64{unknown}, why: "embedded font Helvetica without Widths"},
	{name: "other font",
		font: pdf.Dict{"BaseFont": pdf.Name("Tollmere Sans")}, s: "A", want: []float64{unknown}, why: "Tollmere Sans is none of the standard 14"},
}

func TestSimple(t *testing.T) {
	for _, c := range simpleCases {
		t.Run(c.name, func(t *testing.T) {
			f := loadPlain(c.objs, c.font)
			if d := cmp.Diff(c.want, advances(f, c.s), nearly); d != "" {
				t.Error(d)
			}
			if (f.Reason() == "") != (c.why == "") || !strings.Contains(f.Reason(), c.why) {
				t.Errorf("reason %q, want one with %q", f.Reason(), c.why)
			}
		})
	}
}

// A guess takes the standard font of that name, else the nearest by the flags
// of Table 123.
func TestSimpleGuess(t *testing.T) {
	for _, c := range []struct {
		name, font string
		flags      pdf.Object
		want       float64 // of "W"
	}{
		{"subset tag", "ABCDEF+Arial,Bold", nil, 0.944},
		{"no flags", "Tollmere", nil, 0.944},
		{"bold by name", "Tollmere-Bold", nil, 1},
		{"sans", "Tollmere", pdf.Integer(32), 0.944},
		{"sans bold by flag", "Tollmere", pdf.Integer(32 | 1<<18), 0.944},
		{"fixed pitch", "Tollmere", pdf.Integer(33), 0.6},
		{"serif bold italic", "Tollmere-Italic", pdf.Integer(2 | 1<<18), 0.889},
		{"serif italic", "Tollmere", pdf.Integer(2 | 64), 0.833},
	} {
		f := loadPlain(nil, pdf.Dict{"BaseFont": pdf.Name(c.font), "FontDescriptor": pdf.Dict{"Flags": c.flags}})
		if g := glyphs(f, "W")[0]; g.Advance != c.want || g.Known {
			t.Errorf("%s: got %v, want a guess of %v", c.name, g, c.want)
		}
	}
}

// ISO 32000-1, 9.6.5 and Table 112; the displacement is (w, 0) times
// FontMatrix (9.2.4).
var type3Cases = []struct {
	name string
	font pdf.Dict
	s    string
	want []float64 // thousandths
}{
	{"FontMatrix 0.01", type3(0.01, 0, 0, 0.01, 100, 50), "ab", []float64{1000, 500}},
	{"outside Widths 0", type3(0.01, 0, 0, 0.01, 100), "ac`", []float64{1000, 0, 0}},
	{"outside Widths, a MissingWidth that Table 112 does not heed but Poppler does",
		func() pdf.Dict {
			d := type3(0.01, 0, 0, 0.01, 100)
			d["FontDescriptor"] = pdf.Dict{"MissingWidth": pdf.Integer(77)}
			return d
		}(), "ac", []float64{1000, unknown}},
	{"only the horizontal component counts", type3(0.5, 7, 7, 0.5, 3), "a", []float64{1500}},
	{"a quarter turn has none", type3(0, 1, -1, 0, 3), "a", []float64{0}},
	{"mirrored", type3(-0.001, 0, 0, 0.001, 500), "a", []float64{-500}},
	{"a product beyond all numbers", func() pdf.Dict {
		d := type3(1e300, 0, 0, 1e300, 0)
		d["Widths"] = pdf.Array{pdf.Real(1e300)}
		return d
	}(), "a", []float64{unknown}},
	{"no Widths", pdf.Dict{"Subtype": pdf.Name("Type3"), "FontMatrix": ints(1, 0, 0, 1, 0, 0)}, "a", []float64{unknown}},
	{"no FontMatrix", pdf.Dict{"Subtype": pdf.Name("Type3"), "FirstChar": pdf.Integer(97), "LastChar": pdf.Integer(97), "Widths": ints(1)}, "a", []float64{unknown}},
	{"short FontMatrix", pdf.Dict{"Subtype": pdf.Name("Type3"), "FontMatrix": ints(1, 0, 0, 1), "LastChar": pdf.Integer(97), "Widths": ints(1)}, "a", []float64{unknown}},
}

// type3 is a font with widths from the code of 'a' on.
func type3(a, b, c, d float64, widths ...int) pdf.Dict {
	return pdf.Dict{
		"Subtype":    pdf.Name("Type3"),
		"FontMatrix": pdf.Array{pdf.Real(a), pdf.Real(b), pdf.Real(c), pdf.Real(d), pdf.Integer(9), pdf.Integer(9)},
		"CharProcs":  pdf.Dict{},
		"Encoding":   pdf.Dict{"Differences": pdf.Array{}},
		"FontBBox":   ints(0, -20, 100, 80),
		"FirstChar":  pdf.Integer('a'),
		"LastChar":   pdf.Integer('a' + len(widths) - 1),
		"Widths":     ints(widths...),
	}
}

func TestType3(t *testing.T) {
	for _, c := range type3Cases {
		t.Run(c.name, func(t *testing.T) {
			f := loadPlain(nil, c.font)
			if d := cmp.Diff(c.want, advances(f, c.s), nearly); d != "" {
				t.Error(d)
			}
			if !f.Type3 {
				t.Error("not marked as Type 3")
			}
		})
	}
}

// Ascent, Descent and FontBBox are in thousandths (ISO 32000-1, Table 122),
// the FontBBox of a Type 3 font in its glyph space (Table 112).
func TestExtent(t *testing.T) {
	described := func(desc pdf.Dict) pdf.Dict { return pdf.Dict{"FontDescriptor": desc} }
	for _, c := range []struct {
		name string
		font pdf.Dict
		want [2]float64
	}{
		{"no descriptor", pdf.Dict{}, [2]float64{0.8, -0.2}},
		{"descriptor", described(pdf.Dict{"Ascent": pdf.Integer(718), "Descent": pdf.Integer(-207)}), [2]float64{0.718, -0.207}},
		{"descent of the wrong sign", described(pdf.Dict{"Ascent": pdf.Integer(718), "Descent": pdf.Integer(207)}), [2]float64{0.718, -0.207}},
		{"box of the descriptor", described(pdf.Dict{"FontBBox": ints(0, -300, 900, 1000)}), [2]float64{1, -0.3}},
		{"empty box", described(pdf.Dict{"FontBBox": ints(0, 0, 0, 0)}), [2]float64{0.8, -0.2}},
		{"broken box", described(pdf.Dict{"FontBBox": pdf.Array{nil, nil, nil, nil}}), [2]float64{0.8, -0.2}},
		{"descendant's descriptor", type0(pdf.Name("Identity-H"), described(pdf.Dict{"Ascent": pdf.Integer(900), "Descent": pdf.Integer(-100)})), [2]float64{0.9, -0.1}},
		{"Type 3", type3(0.01, 0, 0, 0.02, 100), [2]float64{9 + 1.6, 9 - 0.4}},
		{"Type 3 beyond all numbers", type3(1e300, 1e308, 1e308, 1e308, 100), [2]float64{0.8, -0.2}},
		{"Type 3 upside down", type3(0.01, 0, 0, -0.02, 100), [2]float64{9 + 0.4, 9 - 1.6}},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := loadPlain(nil, c.font)
			if d := cmp.Diff(c.want, [2]float64{f.Ascent, f.Descent}, nearly); d != "" {
				t.Error(d)
			}
		})
	}
}
