package pdf

import (
	"bytes"
	"compress/zlib"
	"context"
	"errors"
	"runtime"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/filter"

	"github.com/sizeply/sizeply/layers/failure"
)

// zlibbed compresses by the standard library, which serves as the outside
// source of these tests.
func zlibbed(t testing.TB, data string) string {
	t.Helper()
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	if _, err := w.Write([]byte(data)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// objects is a source made of a map.
type objects map[Ref]Object

func (o objects) Object(r Ref) Object { return o[r] }

func TestDecode(t *testing.T) {
	z := zlibbed(t, square)
	others := objects{1: Array{Name("FlateDecode")}, 2: Name("FlateDecode"), 3: Dict{"Predictor": Ref(4)}, 4: Integer(1)}
	tests := []struct {
		name string
		dict Dict
		raw  string
		want string
	}{
		{"no filter", Dict{}, square, square},
		{"empty array", Dict{"Filter": Array{}}, square, square},
		{"Flate", Dict{"Filter": Name("FlateDecode")}, z, square},
		{"abbreviated", Dict{"Filter": Array{Name("AHx"), Name("Fl")}}, asciiHex(z), square},
		{"chain", Dict{"Filter": Array{Name("ASCIIHexDecode"), Name("FlateDecode")}}, asciiHex(z), square},
		{"filter in another object", Dict{"Filter": Ref(1)}, z, square},
		{"element in another object", Dict{"Filter": Array{Ref(2)}}, z, square},
		{"parameters in other objects", Dict{"Filter": Ref(1), "DecodeParms": Ref(3)}, z, square},
		{"parameters with null", Dict{"Filter": Array{Name("AHx"), Name("Fl")}, "DecodeParms": Array{nil, Ref(3)}}, asciiHex(z), square},
		{"more parameters than filters", Dict{"Filter": Name("Fl"), "DecodeParms": Array{nil, nil}}, z, square},
		{"Crypt without a name does nothing (Table 14)", Dict{"Filter": Name("Crypt")}, square, square},
		{"nothing encoded", Dict{"Filter": Name("FlateDecode")}, "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			raw := []byte(tt.raw)
			got, err := Decode(context.Background(), others, &Stream{Dict: tt.dict, Raw: raw}, 0)
			if err != nil || string(got) != tt.want {
				t.Errorf("got %q, %v", got, err)
			}
			if string(raw) != tt.raw {
				t.Error("the raw data was changed")
			}
		})
	}
}

func TestDecodeDamaged(t *testing.T) {
	long := strings.Repeat(square+"\n", 100)
	z := zlibbed(t, long)
	checksum := []byte(z)
	checksum[len(z)-1] ^= 1
	tests := []struct {
		name   string
		filter string
		raw    string
		// want is the least that has to be decoded.
		want string
		// whole says that this is no damage.
		whole bool
	}{
		{"checksum cut off", "FlateDecode", z[:len(z)-4], long, true},
		{"part of the checksum cut off", "FlateDecode", z[:len(z)-2], long, true},
		{"junk after the data", "FlateDecode", z + "\r\n", long, true},
		{"wrong checksum", "FlateDecode", string(checksum), long, false},
		{"data cut off", "FlateDecode", z[:len(z)-8], long[:16], false},
		{"wrong zlib header", "FlateDecode", "\x00\x00" + z[2:], long, false},
		{"no zlib header", "FlateDecode", z[2:], long, false},
		{"not Flate at all", "FlateDecode", "hello", "", false},
		{"ASCII85 with a bad character", "ASCII85Decode", "87cURD\x7f", "Hello"[:4], false},
		{"hexadecimal with a bad character", "ASCIIHexDecode", "48x65>", "He", false},
		{"run cut off", "RunLengthDecode", "\x04Hel", "Hel", false},
		{"repeat cut off", "RunLengthDecode", "\x01He\xFF", "He", false},
		{"LZW with a code that does not exist", "LZWDecode", "\x80\x0B\x7F\xFF", "-", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Decode(context.Background(), noObjects{}, &Stream{Dict: Dict{"Filter": Name(tt.filter)}, Raw: []byte(tt.raw)}, 0)
			var damage *DamageError
			if !strings.HasPrefix(string(got), tt.want) || tt.whole && string(got) != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
			if tt.whole != (err == nil) || err != nil && (!errors.As(err, &damage) || damage.Filter != Name(tt.filter)) {
				t.Errorf("error is %v", err)
			}
		})
	}
}

func TestDecodeErrors(t *testing.T) {
	bomb := zlibbed(t, strings.Repeat("0", 1<<20))
	tests := []struct {
		name   string
		filter Object
		raw    string
		want   string
	}{
		{"image", Name("DCTDecode"), "x", "gives an image"},
		{"image at the end of a chain", Array{Name("AHx"), Name("JPXDecode")}, "41>", "gives an image"},
		{"unknown", Name("Brotli"), "x", "unknown"},
		{"not a name", Array{Integer(1)}, "x", "no name"},
		{"Flate bomb", Name("FlateDecode"), bomb, "limit of 1000 decoded bytes"},
		{"bomb in the middle of a chain", Array{Name("FlateDecode"), Name("AHx")}, bomb, "limit of 1000 decoded bytes"},
		{"run length bomb", Name("RunLengthDecode"), strings.Repeat("\x81x", 20), "limit of 1000 decoded bytes"},
		{"ASCII85 bomb", Name("ASCII85Decode"), strings.Repeat("z", 999), "limit of 1000 decoded bytes"},
		{"LZW bomb", Name("LZWDecode"), lzwed(t, strings.Repeat("0", 1<<16)), "limit of 1000 decoded bytes"},
		{"facsimile", Name("CCITTFaxDecode"), "\x80\x08\x00\x80", "gives an image"},
		{"no filter", nil, strings.Repeat("x", 1001), "limit of 1000 decoded bytes"},
		{"many filters", slicesOf(Name("AHx"), 9), "x", "limit of 8 filters"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := &Stream{Dict: Dict{"Filter": tt.filter, "DecodeParms": Dict{"Name": Name("Std"), "K": Integer(-1)}}, Raw: []byte(tt.raw)}
			data, err := Decode(context.Background(), noObjects{}, s, 1000)
			if err == nil || !strings.Contains(err.Error(), tt.want) || data != nil {
				t.Errorf("got %d bytes, %v", len(data), err)
			}
			if len(data) > 1000 {
				t.Errorf("%d bytes pass the limit", len(data))
			}
		})
	}
}

// TestDecodeAllocates: a bomb that is refused leaves little behind.
func TestDecodeAllocates(t *testing.T) {
	const limit = 16 << 20
	for name, raw := range map[string]string{
		"RunLengthDecode": strings.Repeat("\x81x", limit/100),
		"ASCII85Decode":   strings.Repeat("z", limit/3),
		"LZWDecode":       lzwed(t, strings.Repeat("0", 2*limit)),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Decode(context.Background(), noObjects{}, &Stream{Dict: Dict{"Filter": Name(name)}, Raw: []byte(raw)}, limit)
		runtime.ReadMemStats(&after)
		var e *failure.LimitError
		if used := after.TotalAlloc - before.TotalAlloc; !errors.As(err, &e) || used > 4*limit {
			t.Errorf("%s: %d bytes for a limit of %d: %v", name, used, limit, err)
		}
	}
}

func slicesOf(o Object, n int) (a Array) {
	for range n {
		a = append(a, o)
	}
	return a
}

// lzwed compresses by pdfcpu, which serves as the outside source.
func lzwed(t testing.TB, data string) string {
	t.Helper()
	return encodedBy(t, filter.LZW, nil, data)
}

func encodedBy(t testing.TB, name string, parms map[string]int, data string) string {
	t.Helper()
	f, err := filter.NewFilter(name, parms)
	if err != nil {
		t.Fatal(err)
	}
	r, err := f.Encode(strings.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if _, err := b.ReadFrom(r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestPredictor(t *testing.T) {
	tests := []struct {
		name  string
		parms Dict
		in    string
		want  string
	}{
		{"none", Dict{"Predictor": Integer(1)}, "abc", "abc"},
		// PNG, clause 9.2: filter types 0 to 4.
		{"PNG none and up", png(3, 1), "\x00abc\x02\x01\x01\x01", "abcbcd"},
		{"PNG sub", png(3, 1), "\x01a\x01\x01", "abc"},
		{"PNG sub, two colours", png(2, 2), "\x01ab\x01\x01", "abbc"},
		{"PNG average", png(2, 1), "\x00\x0A\x14\x03\x05\x05", "\x0A\x14\x0A\x14"},
		{"PNG Paeth", png(2, 1), "\x00\x0A\x14\x04\x01\x01", "\x0A\x14\x0B\x15"},
		{"PNG, last row cut short", png(3, 1), "\x00abc\x02\x01", "abcb"},
		{"PNG, row without data", png(3, 1), "\x00abc\x02", "abc"},
		{"TIFF, 8 bits", tiff(3, 1, 8), "a\x01\x01a\x01\x01", "abcabc"},
		{"TIFF, 8 bits, two colours", tiff(2, 2, 8), "ab\x01\x01", "abbc"},
		{"TIFF, 16 bits", tiff(2, 1, 16), "\x00\xFF\x00\x01", "\x00\xFF\x01\x00"},
		{"TIFF, 4 bits", tiff(2, 1, 4), "\x1F", "\x10"},
		{"TIFF, 1 bit", tiff(8, 1, 1), "\x81", "\xFE"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, name := range []Name{"FlateDecode", "LZWDecode"} {
				raw := zlibbed(t, tt.in)
				if name == "LZWDecode" {
					raw = lzwed(t, tt.in)
				}
				got, err := Decode(context.Background(), noObjects{}, &Stream{Dict: Dict{"Filter": name, "DecodeParms": tt.parms}, Raw: []byte(raw)}, 0)
				if err != nil || string(got) != tt.want {
					t.Errorf("%s: got %q, %v, want %q", name, got, err, tt.want)
				}
			}
		})
	}
}

func png(columns, colours int) Dict {
	return Dict{"Predictor": Integer(15), "Columns": Integer(columns), "Colors": Integer(colours)}
}

func tiff(columns, colours, bits int) Dict {
	return Dict{"Predictor": Integer(2), "Columns": Integer(columns), "Colors": Integer(colours), "BitsPerComponent": Integer(bits)}
}

func TestPredictorDamaged(t *testing.T) {
	tests := []struct {
		name  string
		parms Dict
		in    string
		want  string
	}{
		{"no such PNG filter", png(3, 1), "\x09abc\x00def", "abcdef"},
		{"no columns", png(0, 1), "abc", "abc"},
		{"endless columns", png(1<<30, 1), "abc", "abc"},
		{"negative colours", png(1, -1), "abc", "abc"},
		{"three bits", tiff(1, 1, 3), "abc", "abc"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := &Stream{Dict: Dict{"Filter": Name("FlateDecode"), "DecodeParms": tt.parms}, Raw: []byte(zlibbed(t, tt.in))}
			got, err := Decode(context.Background(), noObjects{}, s, 0)
			var damage *DamageError
			if !errors.As(err, &damage) || string(got) != tt.want {
				t.Errorf("got %q, %v", got, err)
			}
		})
	}
}
