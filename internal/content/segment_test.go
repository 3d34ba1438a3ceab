package content

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestNextSegment: what is left to Next is "", Table 59 for the operands.
func TestNextSegment(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"m", "1 2 m ", "m 10 20"},
		{"l", "\n-1.5 +.25 l\n", "l -15 2.5"},
		{"c", "1 2 3 4 5 6 c\n", "c 10 20 30 40 50 60"},
		{"v", "1 2 3 4 v\n", "v 10 20 30 40"},
		{"y", "1 2 3 4 y\n", "y 10 20 30 40"},
		{"h", " h ", "h"},
		{"re", "1 2 3 4 re\n", "re 10 20 40 20 40 60 10 60"},
		{"eighteen characters", "0.1234567890123456 -123456789012345678 l ", "l 1.234567890123456 -1.2345678901234568e+18"},
		{"no digits are 0", "- . l ", ""},
		{"a point alone is 0", ". -. l ", "l 0 0"},
		{"minus zero is 0", "-0 -0.0 l ", "l 0 0"},
		{"more", "1.23456789012345678 2 l ", ""},
		{"too few operands", "1 l ", ""},
		{"too many operands", "0 1 2 l ", ""},
		{"seven", "1 2 3 4 5 6 7 c ", ""},
		{"a minus inside", "6-3 1 l ", ""},
		{"a second point", "1.2.3 l ", ""},
		{"two signs", "--1 2 l ", ""},
		{"other operators", "1 w ", ""},
		{"a painter", "S ", ""},
		{"an operator that begins alike", "1 0 0 1 2 3 cm ", ""},
		{"a comment between", "1 %\n2 l ", ""},
		{"a delimiter behind", "1 2 l/N", ""},
		{"a number that ends with the stream", "1 2", ""},
		{"an operator that ends with the stream", "1 2 l", ""},
		{"nothing", "", ""},
	} {
		got := ""
		var seg Segment
		if s := NewScanner([]byte(c.in)); s.NextSegment(&seg, Scaling(10, 10)) {
			got = segmentWords(seg)
		}
		if got != c.want {
			t.Errorf("%s: %q, not %q", c.name, got, c.want)
		}
		compareSegments(t, c.in)
	}
}

// segmentWords are an operator and its points.
func segmentWords(s Segment) string {
	n := map[Op]int{OpMoveTo: 1, OpLineTo: 1, OpCurveTo: 3, OpCurveToV: 2, OpCurveToY: 2, OpRectangle: 4}[s.Op]
	words := []string{s.Op.String()}
	for _, p := range s.Points[:n] {
		words = append(words, fmt.Sprint(p.X), fmt.Sprint(p.Y))
	}
	return strings.Join(words, " ")
}

// compareSegments holds what NextSegment and Next in turn give of a stream to
// what Next alone does, to the last bit.
func compareSegments(t *testing.T, in string) {
	t.Helper()
	m := Matrix{0.1, 0.7, -0.3, 1.1, 5, 1e-3}
	var want, got []string
	var op Operation
	take := func(list *[]string) {
		word := string(op.Raw())
		if s, ok := op.Segment(m); ok {
			word = segmentWords(s)
		}
		*list = append(*list, word)
	}
	all := NewScanner([]byte(in))
	for all.Next(&op) {
		take(&want)
	}
	fast := NewScanner([]byte(in))
	for more := true; more; {
		for s := (Segment{}); fast.NextSegment(&s, m); {
			got = append(got, segmentWords(s))
		}
		if more = fast.Next(&op); more {
			take(&got)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("%q (-Next +NextSegment):\n%s", in, diff)
	}
	if a, b := all.damageCount, fast.damageCount; a != b {
		t.Errorf("%q: %d kinds of damage and %d", in, a, b)
	}
}

// TestNextSegmentRandom does the same for random streams.
func TestNextSegmentRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	words := strings.Fields("1 -2 .5 12.25 -0.125 123456789012345678901 1e5 m l c v y h re re S n W w (x) /N [1] % r e cm 1.2.3 5l 6-3 <</A 1>> BI ID EI")
	for range 20000 {
		var b strings.Builder
		for range r.IntN(30) {
			b.WriteString(words[r.IntN(len(words))])
			b.WriteString([]string{" ", "\n", "", "\r"}[min(r.IntN(12), 3)])
		}
		compareSegments(t, b.String())
	}
}

// TestNextSegmentAllocates nothing.
func TestNextSegmentAllocates(t *testing.T) {
	data := benchmarkStream(1000)
	if n := testing.AllocsPerRun(10, func() {
		s := Scanner{data: data}
		var seg Segment
		for s.NextSegment(&seg, Identity()) {
		}
	}); n > 0 {
		t.Errorf("%v allocations", n)
	}
}
