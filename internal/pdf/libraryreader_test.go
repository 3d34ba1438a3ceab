package pdf

import (
	"io"
	"math/rand/v2"
	"strings"
	"testing"
)

// TestEvenHex: white space within hexadecimal strings is read behind their
// digits (7.3.4.3), in whatever portions, and nothing else changes.
func TestEvenHex(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, c := range []struct{ in, want string }{
		{"<4 1>", "<41 >"},
		{"x<4\n1 5>y<41><a\x00b>", "x<415  >y<41><ab >"},
		{"<< /A <4 1> >>", "<< /A <41 > >>"},
		{"<4 g>< 41><41", "<4 g>< 41><41"},
		{"", ""},
	} {
		in, want := strings.Repeat(c.in, 50), strings.Repeat(c.want, 50)
		read := evenHex([]byte(in))
		if got, err := io.ReadAll(read); err != nil || string(got) != want {
			t.Errorf("%q is read as %q (%v), want %q", c.in, got[:len(c.want)], err, c.want)
		}
		for range 500 {
			from := r.IntN(len(in) + 1)
			buf := make([]byte, r.IntN(20))
			if _, err := read.Seek(int64(from), io.SeekStart); err != nil {
				t.Fatal(err)
			}
			n, _ := io.ReadFull(read, buf)
			if string(buf[:n]) != want[from:from+n] {
				t.Fatalf("%q from %d: %q, want %q", c.in, from, buf[:n], want[from:from+n])
			}
		}
	}
}
