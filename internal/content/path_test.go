package content

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// pathOf builds the path of a stream, cm included.
func pathOf(in string) *Path {
	m := NewMachine(Identity(), Everywhere())
	var op Operation
	for s := NewScanner([]byte(in)); s.Next(&op); {
		m.Apply(&op)
	}
	return &m.Path
}

func TestPath(t *testing.T) {
	cases := []struct {
		name, in string
		extent   Rect
		segments int
	}{
		{"empty", "", EmptyRect(), 0},
		{"move alone", "5 5 m", EmptyRect(), 0},
		{"moves before and after count for nothing", "-9 -9 m 1 1 m 2 3 l 99 99 m", Rect{1, 1, 2, 3}, 1},
		{"closed point, 8.5.3.2", "5 5 m h", Rect{5, 5, 5, 5}, 1},
		{"lines", "0 0 m 10 0 l 10 5 l", Rect{0, 0, 10, 5}, 2},
		{"closed triangle", "0 0 m 10 0 l 10 5 l h", Rect{0, 0, 10, 5}, 3},
		{"closed twice", "0 0 m 10 0 l 10 5 l h h", Rect{0, 0, 10, 5}, 3},
		{"line after h starts at the start, 8.5.2.1", "1 1 m 2 1 l 2 2 l h 5 5 l", Rect{1, 1, 5, 5}, 4},
		{"c", "0 0 m 0 1 1 1 1 0 c", Rect{0, 0, 1, 0.75}, 1},
		{"v: current point is the first control point", "0 0 m 2 0 0 0 v", Rect{0, 0, 8.0 / 9, 0}, 1},
		{"y: end is the second control point", "0 0 m 2 0 0 0 y", Rect{0, 0, 8.0 / 9, 0}, 1},
		{"re", "1 2 3 4 re", Rect{1, 2, 4, 6}, 4},
		{"re with negative size", "1 2 -3 -4 re", Rect{-2, -2, 1, 2}, 4},
		{"re without height", "1 2 3 0 re", Rect{1, 2, 4, 2}, 4},
		{"line after re starts at its corner", "1 2 3 4 re 9 9 l", Rect{1, 2, 9, 9}, 5},
		{"two re", "1 2 3 4 re 1 2 3 4 re", Rect{1, 2, 4, 6}, 8},
		{"rectangle of lines", "0 0 m 0 2 l 3 2 l 3 0 l h", Rect{0, 0, 3, 2}, 4},
		{"rectangle of lines, not closed", "0 0 m 0 2 l 3 2 l 3 0 l", Rect{0, 0, 3, 2}, 3},
		{"rectangle of lines, drawn to its start", "0 0 m 0 2 l 3 2 l 3 0 l 0 0 l", Rect{0, 0, 3, 2}, 4},
		{"the same and h", "0 0 m 0 2 l 3 2 l 3 0 l 0 0 l h", Rect{0, 0, 3, 2}, 5},
		{"four lines to elsewhere", "0 0 m 0 2 l 3 2 l 3 0 l 1 0 l", Rect{0, 0, 3, 2}, 4},
		{"trapezium", "0 0 m 0 2 l 3 2 l 4 0 l h", Rect{0, 0, 4, 2}, 4},
		{"re turned by a quarter", "0 1 -1 0 0 0 cm 1 2 3 4 re", Rect{-6, 1, -2, 4}, 4},
		{"re turned by an eighth", "1 1 -1 1 0 0 cm 0 0 1 1 re", Rect{-1, 0, 1, 2}, 4},
		{"cm inside a path moves what comes after", "0 0 m 1 0 0 1 10 0 cm 0 5 l", Rect{0, 0, 10, 5}, 1},
		{"segment without current point", "5 5 l 1 2 3 4 5 6 c h", EmptyRect(), 0},
		{"operand missing", "0 0 m 5 l 7 7 l", Rect{0, 0, 7, 7}, 1},
		{"q and Q leave the path alone", "q 0 0 m Q 1 1 l", Rect{0, 0, 1, 1}, 1},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := pathOf(c.in)
			if diff := cmp.Diff(c.extent, p.Extent(), near); diff != "" {
				t.Errorf("extent (-want +got):\n%s", diff)
			}
			if p.Segments() != c.segments {
				t.Errorf("%d segments, want %d", p.Segments(), c.segments)
			}
		})
	}
}

func TestPathCurrent(t *testing.T) {
	if pathOf("").started {
		t.Error("an empty path has a current point")
	}
	// 8.5.2.1: after h, and so after re, the start of the subpath.
	if p := pathOf("1 2 3 4 re"); !p.started || p.at != (Point{1, 2}) {
		t.Errorf("after re at %v, want (1, 2)", p.at)
	}
	if pathOf("1 2 3 4 re f").started {
		t.Error("there is a current point after a path-painting operator")
	}
}

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
		if s := NewScanner([]byte(c.in)); s.NextSegment(&seg, scaling(10, 10)) {
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
	take := func(list *[]string, pos int) {
		word := string(op.Raw())
		if s, ok := op.Segment(m); ok {
			word = segmentWords(s)
		}
		*list = append(*list, fmt.Sprint(word, " ends at ", pos))
	}
	all := NewScanner([]byte(in))
	for all.Next(&op) {
		take(&want, all.pos)
	}
	fast := NewScanner([]byte(in))
	for more := true; more; {
		for s := (Segment{}); fast.NextSegment(&s, m); {
			got = append(got, fmt.Sprint(segmentWords(s), " ends at ", fast.pos))
		}
		if more = fast.Next(&op); more {
			take(&got, fast.pos)
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("%q (-Next +NextSegment):\n%s", in, diff)
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
