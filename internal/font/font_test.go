package font

import (
	"math"
	"math/rand/v2"
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

// plainReader reads streams as they are.
func plainReader(src pdf.Objects) reader {
	return reader{src: src, decode: plain, shared: NewLibrary(src)}
}

func loadPlain(o objects, dict pdf.Object) *Font { return load(plainReader(o), dict) }

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
	f := NewLibrary(nil).Load(pdf.Dict{"Subtype": pdf.Name("Type1"), "Widths": pdf.Ref(7)})
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

// A name of a file goes into a sentence on one line, whatever its bytes.
func TestShown(t *testing.T) {
	for name, want := range map[pdf.Name]string{
		"Tollmere Sans":                        "Tollmere Sans",
		"":                                     `""`,
		"a\nb\xff":                             `"a\nb\xff"`,
		pdf.Name(strings.Repeat("x", 1000000)): strings.Repeat("x", 60) + "...",
	} {
		if got := shown(name); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
	}
}

// fuzzObjects are the font dictionaries of the tables of this package, to be
// mutated, and the objects that mutations draw on.
func fuzzObjects() (fonts []pdf.Dict, scraps []pdf.Object) {
	for _, c := range simpleCases {
		fonts = append(fonts, c.font)
	}
	for _, c := range type3Cases {
		fonts = append(fonts, c.font)
	}
	for _, c := range compositeCases {
		fonts = append(fonts, c.font)
	}
	fonts = append(fonts, composed("Identity-V", pdf.Dict{"DW2": ints(1, 2), "W2": pdf.Array{pdf.Integer(1), ints(1, 2, 3)}}))
	scraps = []pdf.Object{nil, true, pdf.Integer(-1), pdf.Integer(math.MaxInt64), pdf.Integer(255), pdf.Integer(1),
		pdf.Real(math.Inf(1)), pdf.Real(math.NaN()), pdf.Real(1e300), pdf.Real(0.5), pdf.Name("Type0"), pdf.Name("Type3"),
		pdf.Name("Symbol"), pdf.Name("WinAnsiEncoding"), pdf.Name("EUC-H"), pdf.String("x"), pdf.Ref(1), pdf.Ref(2), pdf.Ref(3),
		pdf.Dict{}, pdf.Array{}, ints(1, 2, 3), ints(0, 65535, 7), stream(exampleCMap)}
	return fonts, scraps
}

// mutate rebuilds an object with some of its parts replaced.
func mutate(rnd *rand.Rand, o pdf.Object, scraps []pdf.Object) pdf.Object {
	if rnd.IntN(12) == 0 {
		return scraps[rnd.IntN(len(scraps))]
	}
	switch v := o.(type) {
	case pdf.Dict:
		d := pdf.Dict{}
		for _, k := range v.Keys() {
			d[k] = mutate(rnd, v[k], scraps)
		}
		return d
	case pdf.Array:
		var a pdf.Array
		for _, e := range v {
			for range 1 + rnd.IntN(12)/11 {
				a = append(a, mutate(rnd, e, scraps))
			}
		}
		return a
	case *pdf.Stream:
		raw := append([]byte(nil), v.Raw...)
		for range rnd.IntN(6) {
			if len(raw) > 0 {
				raw[rnd.IntN(len(raw))] = "<>09 /%("[rnd.IntN(8)]
			}
		}
		return &pdf.Stream{Dict: mutated(rnd, pdf.Dict{"UseCMap": pdf.Ref(2), "WMode": pdf.Integer(1)}, scraps), Raw: raw}
	}
	return o
}

// mutated gives mutate's dictionary, or the original where that was replaced.
func mutated(rnd *rand.Rand, d pdf.Dict, scraps []pdf.Object) pdf.Dict {
	if m, ok := mutate(rnd, d, scraps).(pdf.Dict); ok {
		return m
	}
	return d
}

// FuzzFont holds any font to what a caller relies on: every byte belongs to a
// code, so that there are at least a quarter as many codes as bytes and at
// most as many; what is Known is finite; a font that has no reason for doubt
// is Known throughout; the same font gives the same answers.
func FuzzFont(f *testing.F) {
	fonts, scraps := fuzzObjects()
	for i := range fonts {
		f.Add(uint64(i), uint(i), []byte("AB \x81\x40\x00A\xff"))
	}
	f.Fuzz(func(t *testing.T, seed uint64, which uint, s []byte) {
		checkFont(t, seed, fonts[which%uint(len(fonts))], scraps, s)
	})
}

func checkFont(t *testing.T, seed uint64, d pdf.Dict, scraps []pdf.Object, s []byte) {
	t.Helper()
	rnd := rand.New(rand.NewPCG(seed, 1))
	objs := objects{1: pdf.Ref(1), 3: d}
	objs[2] = mutate(rnd, stream(exampleCMap), scraps)
	font := mutated(rnd, d, scraps)
	a, b := loadPlain(objs, font), loadPlain(objs, font)
	got, again := glyphs(a, string(s)), glyphs(b, string(s))
	if n := len(got); n > len(s) || n*maxCode < len(s) || a.composite == nil && n != len(s) {
		t.Errorf("%d codes in %d bytes", n, len(s))
	}
	for i, g := range got {
		if g.Known && (math.IsNaN(g.Advance) || math.IsInf(g.Advance, 0)) {
			t.Errorf("advance %v is said to be known", g.Advance)
		}
		if !g.Known && a.Reason() == "" {
			t.Errorf("code %d is not known, without a reason", i)
		}
		if g != again[i] {
			t.Errorf("code %d: %v, then %v", i, g, again[i])
		}
	}
	if !(a.Descent <= a.Ascent) {
		t.Errorf("descent %v above ascent %v", a.Descent, a.Ascent)
	}
}

// The property of FuzzFont over more fonts than there are seeds.
func TestRandomFonts(t *testing.T) {
	fonts, scraps := fuzzObjects()
	for seed := range uint64(5000) {
		s := make([]byte, seed%40)
		rnd := rand.New(rand.NewPCG(seed, 2))
		for i := range s {
			s[i] = byte(rnd.UintN(256))
		}
		checkFont(t, seed, fonts[seed%uint64(len(fonts))], scraps, s)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
}
