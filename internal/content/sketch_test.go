package content

import (
	"context"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestSketch(t *testing.T) {
	many := strings.Repeat(" 1 2 l", MaxSides+1)
	for _, c := range []struct{ name, in, want string }{
		{"a curve goes", "q 0 0 m 1 2 3 4 5 6 c S Q", "q  S Q"},
		{"a curve of two operands goes", "0 0 m 1 2 3 4 v 1 2 3 4 y h f", " f"},
		{"lines stay", "0 0 m 1 0 l 1 1 l 0 1 l h S", "0 0 m 1 0 l 1 1 l 0 1 l h S"},
		{"a rectangle stays", "1 2 3 4 re\nS", "1 2 3 4 re\nS"},
		{"many lines go", "0 0 m" + many + "\nS", "\nS"},
		{"as many as may be stay", "0 0 m" + many[6:] + " S", "0 0 m" + many[6:] + " S"},
		{"subpath by subpath", "0 0 m 1 2 3 4 5 6 c 7 7 m 8 8 l 9 9 m 1 2 3 4 v S", " 7 7 m 8 8 l S"},
		{"beside a rectangle", "1 2 3 4 re 0 0 m 1 2 3 4 5 6 c 1 2 3 4 re B", "1 2 3 4 re 1 2 3 4 re B"},
		{"what clips stays", "0 0 m 1 2 3 4 5 6 c W n 0 0 m 1 2 3 4 5 6 c n", "0 0 m 1 2 3 4 5 6 c W n  n"},
		{"what goes on after it was closed stays", "0 0 m 1 2 3 4 v h 5 5 l S", "0 0 m 1 2 3 4 v h 5 5 l S"},
		{"what goes on after a rectangle stays", "1 2 3 4 re 1 2 3 4 v S", "1 2 3 4 re 1 2 3 4 v S"},
		{"what is not begun stays", "1 2 3 4 v S", "1 2 3 4 v S"},
		{"an m without its operands", "0 0 m 5 m 1 2 3 4 v S", "0 0 m 5 m 1 2 3 4 v S"},
		{"a curve without its operands", "0 0 m c 1 2 3 4 5 c 1 2 3 v 5 l S", "0 0 m c 1 2 3 4 5 c 1 2 3 v 5 l S"},
		{"a curve with more operands goes", "0 0 m 0 1 2 3 4 5 6 c S", " S"},
		{"a path with something between", "0 0 m 1 2 3 4 v /N gs S", "0 0 m 1 2 3 4 v /N gs S"},
		{"a path without an end", "0 0 m 1 2 3 4 v", "0 0 m 1 2 3 4 v"},
		{"a comment before the painter", "0 0 m 1 2 3 4 v % x\nS", " % x\nS"},
		{"text stays", "BT (0 0 m 1 2 3 4 v S) Tj ET", "BT (0 0 m 1 2 3 4 v S) Tj ET"},
		{"nothing", "", ""},
	} {
		if got := string(Sketch(context.Background(), []byte(c.in))); got != c.want {
			t.Errorf("%s: %q gives %q, not %q", c.name, c.in, got, c.want)
		}
	}
}

// TestSketchRandom: the operations other than of paths are the same, and what
// a path operator leaves of a path is a part of it.
func TestSketchRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	words := strings.Fields("1 2 1-2 1.2.3 3 4 5 6 m l c v y h re S f n W q Q (x) /N % BI")
	for range 3000 {
		var b strings.Builder
		for range r.IntN(40) {
			b.WriteString(words[r.IntN(len(words))] + " ")
		}
		in := b.String()
		others := func(data []byte) (list []string) {
			var op Operation
			for s := NewScanner(data); s.Next(&op); {
				if op.Op.Class() != ClassPath {
					list = append(list, string(op.Raw()))
				}
			}
			return list
		}
		want, got := others([]byte(in)), others(Sketch(context.Background(), []byte(in)))
		if strings.Join(want, "|") != strings.Join(got, "|") {
			t.Fatalf("%q: the operations besides the paths are %q, not %q", in, got, want)
		}
	}
}

func BenchmarkSketch(b *testing.B) {
	data := benchmarkStream(50_000)
	b.SetBytes(int64(len(data)))
	for b.Loop() {
		Sketch(context.Background(), data)
	}
}
