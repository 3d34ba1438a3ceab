package content

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"testing"
)

func TestParseNumber(t *testing.T) {
	cases := []struct {
		in   string
		want float64
	}{
		// ISO 32000-1, 7.3.3, examples 1 and 2.
		{"123", 123}, {"43445", 43445}, {"+17", 17}, {"-98", -98}, {"0", 0},
		{"34.5", 34.5}, {"-3.62", -3.62}, {"+123.6", 123.6}, {"4.", 4}, {"-.002", -0.002}, {"0.0", 0},
		// The forms numberEnd describes.
		{"-.5", -0.5}, {"+3", 3}, {"--5", -5}, {"6-3", 63}, {"1.2-3", 1.23}, {"-", 0}, {".", 0}, {"+", 0}, {"-.", 0},
		// Bounds.
		{"0.1", 0.1}, {"123456.789012345", 123456.789012345},
		{"00000000000000000000000000000000000000000000000001", 1},
		{"0.00000000000000000000000000000000000000000000001", 1e-47},
		{"100000000000000000000", 1e20},
		{"9999999999999999999999999999999999999999", maxReal},
		{"-9999999999999999999999999999999999999999999999999", -maxReal},
	}
	for _, c := range cases {
		if end := numberEnd([]byte(c.in), 0); end != len(c.in) {
			t.Errorf("%q ends at %d, want %d", c.in, end, len(c.in))
		}
		if got := parseNumber([]byte(c.in)); got != c.want {
			t.Errorf("%q is %v, want %v", c.in, got, c.want)
		}
	}
}

// strconv rounds correctly, and so must we for up to 15 digits.
func TestParseNumberLikeStrconv(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 100_000 {
		in := fmt.Sprintf("%.*f", random.IntN(9), (random.Float64()-0.5)*2e6)
		want, err := strconv.ParseFloat(in, 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := parseNumber([]byte(in)); got != want {
			t.Fatalf("%q is %v, want %v", in, got, want)
		}
	}
}
