package pdf

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
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
			got, err := Decode(context.Background(), noObjects{}, &Stream{Dict: Dict{"Filter": tt.filter}, Raw: []byte(tt.raw)}, 0)
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
	got, err := Decode(context.Background(), noObjects{}, &Stream{Dict: d, Raw: []byte(raw)}, 0)
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
		out, _ := unRunLength(context.Background(), data, 1<<20)
		if size := runLengthSize(data); size != int64(len(out)) {
			t.Fatalf("%v decodes to %d bytes, not %d", data, len(out), size)
		}
	}
}

// drawing is content as a pattern has it: curves of a few hundred points each.
func drawing(size int) []byte {
	random := rand.New(rand.NewPCG(14, 38))
	var b bytes.Buffer
	for x, y := 300.0, 400.0; b.Len() < size; {
		if random.IntN(200) == 0 {
			fmt.Fprintf(&b, "S\n%.2f w [%d %d] 0 d\n%.3f %.3f m\n", random.Float64(), random.IntN(9), random.IntN(9), x, y)
		}
		for range 3 {
			x, y = x+random.NormFloat64(), y+random.NormFloat64()
			fmt.Fprintf(&b, "%.3f %.3f ", x, y)
		}
		b.WriteString("c\n")
	}
	return b.Bytes()[:size]
}

func TestNewStream(t *testing.T) {
	dict := Dict{"Type": Name("XObject"), "Filter": Name("LZWDecode"), "DecodeParms": Dict{}, "Length": Integer(7)}
	for _, data := range [][]byte{nil, []byte(square), drawing(300_000)} {
		s := NewStream(context.Background(), dict, data)
		if diff := cmp.Diff(Dict{"Type": Name("XObject"), "Filter": Name("FlateDecode")}, s.Dict); diff != "" {
			t.Errorf("dictionary (-want +got):\n%s", diff)
		}
		got, err := Decode(context.Background(), noObjects{}, s, 0)
		if err != nil || !bytes.Equal(got, data) {
			t.Errorf("%d bytes come back as %d, %v", len(data), len(got), err)
		}
	}
	if len(dict) != 4 {
		t.Errorf("the dictionary given was changed: %v", dict)
	}
	if s := NewStream(context.Background(), nil, nil); len(s.Dict) != 1 {
		t.Errorf("no dictionary gives %v", s.Dict)
	}
}

// TestNewStreamPinned holds the compressed bytes to what they were: another
// version of the compressor that gives others changes all output files, which
// belongs in the change log.
func TestNewStreamPinned(t *testing.T) {
	raw := NewStream(context.Background(), nil, drawing(100_000)).Raw
	const want = "f2d45fb40e2ac2d6"
	if got := fmt.Sprintf("%x", sha256.Sum256(raw))[:16]; got != want {
		t.Errorf("%d bytes with hash %s, want %s", len(raw), got, want)
	}
}

// BenchmarkFlateLevels shows speed and size, from which flateLevel was chosen.
func BenchmarkFlateLevels(b *testing.B) {
	data := drawing(8 << 20)
	for level := 1; level <= 9; level++ {
		b.Run(fmt.Sprint(level), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				b.ReportMetric(float64(len(new(deflater).deflate(context.Background(), data, level)))/float64(len(data))*100, "%size")
			}
		})
	}
}

func BenchmarkDecode(b *testing.B) {
	data := drawing(8 << 20)
	s := NewStream(context.Background(), nil, data)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := Decode(context.Background(), noObjects{}, s, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// TestPacker: the streams are those of NewStream.
func TestPacker(t *testing.T) {
	p := NewPacker(context.Background(), 0)
	var got []*Stream
	for n := range 40 {
		got = append(got, p.Stream(Dict{"N": Integer(n), "DecodeParms": Dict{}}, drawing(1000*n), nil))
	}
	p.Wait()
	for n, s := range got {
		want := NewStream(context.Background(), Dict{"N": Integer(n)}, drawing(1000*n))
		if !bytes.Equal(s.Raw, want.Raw) || len(s.Dict) != 2 || s.Dict["N"] != want.Dict["N"] || s.Dict["Filter"] != want.Dict["Filter"] {
			t.Errorf("stream %d differs", n)
		}
	}
}
