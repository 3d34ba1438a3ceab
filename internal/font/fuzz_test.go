package font

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
)

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

// Any CMap file is read to the end, and what it maps stays within what it
// says: a CID that is no higher than the highest there is, unless a range runs
// over the end.
func FuzzCMap(f *testing.F) {
	f.Add([]byte(exampleCMap), []byte("A\x81\x40"))
	f.Add([]byte("1 begincidrange <00000000> <FFFFFFFF> 65535 endcidrange"), []byte("\xff\xff\xff\xff"))
	f.Add([]byte("/Identity-H usecmap ((( \\"), []byte("\xff"))
	f.Fuzz(func(t *testing.T, data, s []byte) {
		m := loadCMap(reader{nil, plain}, stream(string(data)))
		for i := 1; i < len(m.ranges); i++ {
			if a, b := m.ranges[i-1], m.ranges[i]; a.n > b.n || a.n == b.n && a.hi >= b.lo || a.lo > a.hi {
				t.Fatalf("ranges %v and %v are not in order", a, b)
			}
		}
		for len(s) > 0 {
			n, _ := m.space.next(s)
			if n < 1 || n > len(s) {
				t.Fatalf("a code of %d bytes in %d", n, len(s))
			}
			m.cid(s[:n])
			s = s[n:]
		}
	})
}
