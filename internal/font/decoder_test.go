package font

import (
	"math/rand/v2"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
)

// exampleToUnicode has the entries of the example in ISO 32000-1, 9.10.3, and
// a range of one byte.
const exampleToUnicode = `1 begincodespacerange <0000> <FFFF> endcodespacerange
2 beginbfrange
<0000> <005E> <0020>
<005F> <0061> [<00660066> <00660069> <00660066006C>]
endbfrange
1 beginbfchar <3A51> <D840DC3E> endbfchar
1 beginbfrange <41> <43> <0031> endbfrange`

var decoderCases = []struct {
	name string
	font pdf.Dict
	s    string
	want string
}{
	{"standard font", pdf.Dict{"BaseFont": pdf.Name("Helvetica")}, "2 in", "2 in"},
	{"code 39 by StandardEncoding", pdf.Dict{"BaseFont": pdf.Name("Helvetica")}, "2'", "2’"},
	{"code 39 by WinAnsiEncoding", pdf.Dict{"BaseFont": pdf.Name("Helvetica"), "Encoding": pdf.Name("WinAnsiEncoding")}, "2'\x94", "2'”"},
	{"Latin-1", pdf.Dict{"Encoding": pdf.Name("WinAnsiEncoding")}, "5 cm \xd7 5 cm, \xbd", "5 cm × 5 cm, ½"},
	{"differences", pdf.Dict{"Encoding": pdf.Dict{"Differences": pdf.Array{pdf.Integer(1), pdf.Name("five"), pdf.Name("c"), pdf.Name("m"), pdf.Name("uni00D7"), pdf.Name("u2033"), pdf.Name("five.lf")}}},
		"\x01\x02\x03\x04\x05\x06", "5cm×″5"},
	{"names without a meaning", pdf.Dict{"Encoding": pdf.Dict{"Differences": pdf.Array{pdf.Integer(1), pdf.Name("g12"), pdf.Name("uniD800"), pdf.Name("u12345678")}}}, "\x01\x02\x03x", "x"},
	{"TrueType without an encoding", pdf.Dict{"Subtype": pdf.Name("TrueType")}, "4\"", "4\""},
	{"ToUnicode goes before names", pdf.Dict{"ToUnicode": stream(exampleToUnicode)}, "ABCD", "123D"},
	{"two bytes, ranges, lists and pairs of surrogates", pdf.Dict{"Subtype": pdf.Name("Type0"), "Encoding": pdf.Name("Identity-H"), "ToUnicode": stream(exampleToUnicode)},
		"\x00\x12\x00\x60\x3a\x51\x77\x77", "2fi\U0002003e"},
	{"a predefined CMap of Unicode", pdf.Dict{"Subtype": pdf.Name("Type0"), "Encoding": pdf.Name("UniJIS-UCS2-H")}, "\x00\x35\x00\x63", "5c"},
	{"Identity without ToUnicode", pdf.Dict{"Subtype": pdf.Name("Type0"), "Encoding": pdf.Name("Identity-H")}, "\x00\x35", ""},
	{"no font", nil, "5 cm", "5 cm"},
}

func TestDecoder(t *testing.T) {
	for _, c := range decoderCases {
		if got := NewLibrary(nil).Decoder(c.font).Text([]byte(c.s)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// FuzzDecoder: the text of a string is that of its parts, whatever the font.
func FuzzDecoder(f *testing.F) {
	for i := range decoderCases {
		f.Add(uint64(i), []byte(exampleToUnicode), "\x00\x12AB\xd7")
	}
	fonts, scraps := fuzzObjects()
	for _, c := range decoderCases {
		fonts = append(fonts, c.font)
	}
	f.Fuzz(func(t *testing.T, seed uint64, cmap []byte, s string) {
		rnd := rand.New(rand.NewPCG(seed, 1))
		s = s[:min(len(s), 100)] // every cut of it is tried
		dict := mutated(rnd, fonts[seed%uint64(len(fonts))], scraps).Clone()
		dict["ToUnicode"] = stream(string(cmap))
		d := NewLibrary(nil).Decoder(dict)
		if d.single == nil {
			d.Text([]byte(s))
			return
		}
		whole := d.Text([]byte(s))
		for i := range s {
			if a, b := d.Text([]byte(s[:i])), d.Text([]byte(s[i:])); a+b != whole {
				t.Fatalf("%q and %q, together %q", a, b, whole)
			}
		}
	})
}
