package pdf

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/filter"
)

func TestFilters(t *testing.T) {
	tests := []struct {
		name   string
		filter Name
		raw    string
		want   string
	}{
		// The example of 7.4.4.2: 45 45 45 45 45 65 45 45 45 66.
		{"LZW, example of 7.4.4.2", "LZWDecode", "\x80\x0B\x60\x50\x22\x0C\x0C\x85\x01", "-----A---B"},
		{"hexadecimal, lower and upper case, white space", "ASCIIHexDecode", "48 65\n6C6c 6F>ignored", "Hello"},
		{"hexadecimal, odd", "ASCIIHexDecode", "487>", "Hp"},
		{"hexadecimal without an end", "ASCIIHexDecode", "4865", "He"},
		{"ASCII85", "ASCII85Decode", "87cUR\nD]i,\"Ebo80~>", "Hello World!"},
		{"ASCII85, part of a group", "ASCII85Decode", "87cURDZ~>", "Hello"},
		{"ASCII85, zeros", "ASCII85Decode", "z!!~>", "\x00\x00\x00\x00\x00"},
		{"ASCII85 without an end", "ASCII85Decode", "87cURDZ", "Hello"},
		{"ASCII85 with its opening mark", "ASCII85Decode", "<~87cURDZ~>", "Hello"},
		{"run lengths", "RunLengthDecode", "\x02abc\xFEx\x00d\x80ignored", "abcxxxd"},
		{"run lengths without an end", "RunLengthDecode", "\x00a", "a"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := Decode(noObjects{}, &Stream{Dict: Dict{"Filter": tt.filter}, Raw: []byte(tt.raw)}, 0)
			if err != nil || string(got) != tt.want {
				t.Errorf("got %q, %v, want %q", got, err, tt.want)
			}
		})
	}
}

// TestFiltersAgree decodes what pdfcpu encodes.
func TestFiltersAgree(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	noise := make([]byte, 50_000)
	for i := range noise {
		noise[i] = byte(random.Uint32())
	}
	inputs := map[string]string{
		"nothing": "", "one byte": "a", "text": strings.Repeat(square+"\n", 1000), "noise": string(noise),
		"zeros": strings.Repeat("\x00", 70_000),
	}
	for input, data := range inputs {
		for _, early := range []int{0, 1} {
			raw := encodedBy(t, filter.LZW, map[string]int{"EarlyChange": early}, data)
			checkDecodes(t, input, Dict{"Filter": Name("LZWDecode"), "DecodeParms": Dict{"EarlyChange": Integer(early)}}, raw, data)
		}
		for _, name := range []string{filter.ASCII85, filter.ASCIIHex, filter.RunLength, filter.Flate} {
			checkDecodes(t, input, Dict{"Filter": Name(name)}, encodedBy(t, name, nil, data), data)
		}
	}
}

func checkDecodes(t *testing.T, input string, d Dict, raw, want string) {
	t.Helper()
	got, err := Decode(noObjects{}, &Stream{Dict: d, Raw: []byte(raw)}, 0)
	if err != nil || string(got) != want {
		t.Errorf("%s by %v: %d bytes, %v, want %d", input, d, len(got), err, len(want))
	}
}

// TestRunLengthSize: the size is that of what is decoded, of any bytes.
func TestRunLengthSize(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		data := make([]byte, r.IntN(40))
		for i := range data {
			data[i] = byte(r.IntN(8) * r.IntN(37))
		}
		out, _ := unRunLength(data, 1<<20)
		if size := runLengthSize(data); size != int64(len(out)) {
			t.Fatalf("%v decodes to %d bytes, not %d", data, len(out), size)
		}
	}
}
