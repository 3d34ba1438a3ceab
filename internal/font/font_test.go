package font

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/sizeply/sizeply/internal/pdf"
)

// objects is a document of a few objects.
type objects map[pdf.Ref]pdf.Object

func (o objects) Object(r pdf.Ref) pdf.Object { return o[r] }

// plain stands for pdf.Decode: the streams of these tests have no filter.
func plain(_ pdf.Objects, s *pdf.Stream, _ int64) ([]byte, error) { return s.Raw, nil }

func loadPlain(o objects, dict pdf.Object) *Font { return load(reader{o, plain}, dict) }

func glyphs(f *Font, s string) []Glyph {
	var all []Glyph
	f.Glyphs([]byte(s), func(g Glyph) bool { all = append(all, g); return true })
	return all
}

// advances gives the advances in thousandths, NaN for those not known.
func advances(f *Font, s string) []float64 {
	var all []float64
	for _, g := range glyphs(f, s) {
		if !g.Known {
			g.Advance = math.NaN()
		}
		all = append(all, g.Advance*1000)
	}
	return all
}

// nearly compares floats to within rounding; NaN equals NaN.
var nearly = cmp.Options{cmpopts.EquateApprox(0, 1e-9), cmpopts.EquateNaNs(), cmpopts.EquateEmpty()}

func ints(v ...int) pdf.Array {
	var a pdf.Array
	for _, n := range v {
		a = append(a, pdf.Integer(n))
	}
	return a
}

var unknown = math.NaN()

func TestLoadBroken(t *testing.T) {
	loop := objects{1: pdf.Ref(1)}
	for _, c := range []struct {
		name string
		dict pdf.Object
		want []float64 // of "A "
		why  string
	}{
		{"nothing", nil, []float64{unknown, unknown}, "no font dictionary"},
		{"an array", pdf.Array{}, []float64{unknown, unknown}, "no font dictionary"},
		{"a reference to itself", pdf.Ref(1), []float64{unknown, unknown}, "no font dictionary"},
		{"an empty dictionary is a simple font", pdf.Dict{}, []float64{unknown, unknown}, `font "" is none`},
		{"Type 0 without anything", pdf.Dict{"Subtype": pdf.Name("Type0")}, []float64{unknown}, "without a CMap"},
		{"Type 0 by its descendants alone", pdf.Dict{"DescendantFonts": pdf.Array{}}, []float64{unknown}, "without a CMap"},
		{"Type 3 without anything", pdf.Dict{"Subtype": pdf.Name("Type3")}, []float64{unknown, unknown}, "without FontMatrix"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := loadPlain(loop, c.dict)
			if d := cmp.Diff(c.want, advances(f, "A "), nearly); d != "" {
				t.Error(d)
			}
			if !strings.Contains(f.Reason(), c.why) {
				t.Errorf("reason %q lacks %q", f.Reason(), c.why)
			}
		})
	}
}

func TestLoadWithoutObjects(t *testing.T) {
	f := Load(nil, pdf.Dict{"Subtype": pdf.Name("Type1"), "Widths": pdf.Ref(7)})
	if g := glyphs(f, "a"); len(g) != 1 || g[0].Known {
		t.Errorf("got %v, want one unknown glyph", g)
	}
}

func TestGlyphsStops(t *testing.T) {
	for name, f := range map[string]*Font{
		"simple":    loadPlain(nil, pdf.Dict{"BaseFont": pdf.Name("Courier")}),
		"composite": loadPlain(nil, type0(pdf.Name("Identity-H"), pdf.Dict{})),
	} {
		n := 0
		f.Glyphs([]byte("abcdef"), func(Glyph) bool { n++; return n < 2 })
		if n != 2 {
			t.Errorf("%s: %d glyphs after the second was refused", name, n)
		}
	}
}

func TestGlyphsAllocatesNothing(t *testing.T) {
	s := []byte(strings.Repeat("some text ", 20))
	for name, f := range map[string]*Font{
		"simple":   loadPlain(nil, pdf.Dict{"BaseFont": pdf.Name("Courier")}),
		"identity": loadPlain(nil, type0(pdf.Name("Identity-H"), pdf.Dict{"W": pdf.Array{pdf.Integer(1), ints(5, 6)}})),
		"mixed":    loadPlain(nil, type0(pdf.Name("90ms-RKSJ-H"), pdf.Dict{})),
		"embedded": loadPlain(nil, type0(stream(exampleCMap), pdf.Dict{})),
	} {
		var sum float64
		if n := testing.AllocsPerRun(10, func() {
			f.Glyphs(s, func(g Glyph) bool { sum += g.Advance; return true })
		}); n > 0 {
			t.Errorf("%s: %v allocations", name, n)
		}
	}
}

// Space is code 32 of one byte, whatever it shows (ISO 32000-1, 9.3.3).
func TestSpace(t *testing.T) {
	for _, c := range []struct {
		name string
		font pdf.Dict
		s    string
		want []bool
	}{
		{"simple", pdf.Dict{"BaseFont": pdf.Name("Helvetica")}, "a b", []bool{false, true, false}},
		{"simple, broken", pdf.Dict{}, " ", []bool{true}},
		{"Type 3", pdf.Dict{"Subtype": pdf.Name("Type3")}, "  ", []bool{true, true}},
		{"two-byte code 32", type0(pdf.Name("Identity-H"), pdf.Dict{}), "\x00\x20  ", []bool{false, false}},
		{"one-byte code 32 among two-byte ones", type0(pdf.Name("90ms-RKSJ-H"), pdf.Dict{}), "\x82\xa0 \x82\x20", []bool{false, true, false}},
		{"truncated two-byte code, byte 32", type0(pdf.Name("Identity-H"), pdf.Dict{}), "\x00\x41 ", []bool{false, false}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []bool
			for _, g := range glyphs(loadPlain(nil, c.font), c.s) {
				got = append(got, g.Space)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
		})
	}
}
