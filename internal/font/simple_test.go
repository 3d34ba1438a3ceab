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
