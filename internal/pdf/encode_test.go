package pdf

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
)

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
		s := NewStream(dict, data)
		if diff := cmp.Diff(Dict{"Type": Name("XObject"), "Filter": Name("FlateDecode")}, s.Dict); diff != "" {
			t.Errorf("dictionary (-want +got):\n%s", diff)
		}
		got, err := Decode(noObjects{}, s, 0)
		if err != nil || !bytes.Equal(got, data) {
			t.Errorf("%d bytes come back as %d, %v", len(data), len(got), err)
		}
	}
	if len(dict) != 4 {
		t.Errorf("the dictionary given was changed: %v", dict)
	}
	if s := NewStream(nil, nil); len(s.Dict) != 1 {
		t.Errorf("no dictionary gives %v", s.Dict)
	}
}

// TestNewStreamPinned holds the compressed bytes to what they were: another
// version of the compressor that gives others changes all output files, which
// belongs in the change log.
func TestNewStreamPinned(t *testing.T) {
	raw := NewStream(nil, drawing(100_000)).Raw
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
				b.ReportMetric(float64(len(deflate(data, level)))/float64(len(data))*100, "%size")
			}
		})
	}
}

func BenchmarkDecode(b *testing.B) {
	data := drawing(8 << 20)
	s := NewStream(nil, data)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		if _, err := Decode(noObjects{}, s, 0); err != nil {
			b.Fatal(err)
		}
	}
}
