package pdf

import (
	"errors"
	"testing"
)

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
				got, err := Decode(noObjects{}, &Stream{Dict: Dict{"Filter": name, "DecodeParms": tt.parms}, Raw: []byte(raw)}, 0)
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
			got, err := Decode(noObjects{}, s, 0)
			var damage *DamageError
			if !errors.As(err, &damage) || string(got) != tt.want {
				t.Errorf("got %q, %v", got, err)
			}
		})
	}
}
