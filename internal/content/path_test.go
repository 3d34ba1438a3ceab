package content

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
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

// TestPolylines: the subpaths of straight lines that a path has under a painter: how
// many points each has, "o" for closed, and "#" for four corners.
func TestPolylines(t *testing.T) {
	for _, c := range []struct{ name, in, painter, want string }{
		{"nothing", "", "S", ""},
		{"point", "5 5 m h", "S", ""},
		{"rectangle", "1 2 3 4 re", "S", "4o#"},
		{"two", "1 2 3 4 re 1 2 3 4 re", "S", "4o#4o#"},
		{"line from its corner", "1 2 3 4 re 9 9 l", "S", "4o#2"},
		{"lines", "0 0 m 0 20 l 30 20 l 30 0 l h", "S", "4o#"},
		{"not closed", "0 0 m 0 20 l 30 20 l 30 0 l", "S", "4"},
		{"closed by s", "9 9 m 8 8 l 0 0 m 0 20 l 30 20 l 30 0 l", "s", "24o#"},
		{"closed by filling", "9 9 m 8 8 l 0 0 m 0 20 l 30 20 l 30 0 l", "f", "2o4o#"},
		{"drawn to its start", "0 0 m 0 20 l 30 20 l 30 0 l 0 0 l", "S", "5#"},
		{"drawn to elsewhere", "0 0 m 0 20 l 30 20 l 30 0 l 10 0 l", "S", "5"},
		{"begun in the middle of a side", "10 0 m 30 0 l 30 20 l 0 20 l 0 0 l h", "S", "5o#"},
		{"a side in parts", "0 0 m 10 0 l 30 0 l 30 20 l 0 20 l h", "S", "4o#"},
		{"turned", "1 1 -1 1 0 0 cm 0 0 10 10 re", "S", "4o#"},
		{"curve", "0 0 m 9 0 l 9 9 8 8 7 7 c 1 1 m 2 1 l", "S", "2"},
		{"too many corners", "0 0 m 1 0 l 1 1 l 2 1 l 2 2 l 3 2 l 3 3 l", "S", ""},
	} {
		m := NewMachine(Identity(), Everywhere())
		m.Path.Straight = true
		var op Operation
		for s := NewScanner([]byte(c.in)); s.Next(&op); {
			m.Apply(&op)
		}
		got := ""
		for _, l := range m.Path.Polylines(Lookup([]byte(c.painter))) {
			got += strconv.Itoa(len(l.Points()))
			if l.Closed() {
				got += "o"
			}
			if _, ok := l.Corners(); ok {
				got += "#"
			}
		}
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// measured builds a path that is measured.
func measured(in string) *Path {
	m := NewMachine(Identity(), Everywhere())
	m.Path.Measured = true
	var op Operation
	for s := NewScanner([]byte(in)); s.Next(&op); {
		m.Apply(&op)
	}
	return &m.Path
}

// kappa makes four curves of a circle that are off by at most 0.027 % of the
// radius (common practice, no source).
const kappa = 0.5522847498307936

// ellipse draws an ellipse around the origin.
func ellipse(a, b float64) string {
	return fmt.Sprintf("%[1]f 0 m %[1]f %[4]f %[3]f %[2]f 0 %[2]f c -%[3]f %[2]f -%[1]f %[4]f -%[1]f 0 c "+
		"-%[1]f -%[4]f -%[3]f -%[2]f 0 -%[2]f c %[3]f -%[2]f %[1]f -%[4]f %[1]f 0 c h", a, b, a*kappa, b*kappa)
}

// perimeter is that of an ellipse by the series of Ivory and Bessel,
// π(a+b) Σ C(½,n)² hⁿ with h = ((a-b)/(a+b))² (from memory; for a = b and for
// b = 0 it gives 2πa and 4a).
func perimeter(a, b float64) float64 {
	h := math.Pow((a-b)/(a+b), 2)
	sum, c, power := 0.0, 1.0, 1.0
	for n := range 200 {
		sum += c * c * power
		c *= (0.5 - float64(n)) / float64(n+1)
		power *= h
	}
	return math.Pi * (a + b) * sum
}

func TestLength(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		want          float64
	}{
		{"line", "0 0 m 30 40 l", 50},
		{"closed triangle", "0 0 m 30 0 l 30 40 l h", 120},
		{"closed where it ends", "0 0 m 3 0 l 0 0 l h h", 6},
		{"rectangle", "1 2 30 40 re", 140},
		{"rectangle and a line from its corner", "0 0 30 40 re 3 4 l", 145},
		{"line without a start", "3 4 l 5 6 l", 0},
		{"straight curve", "0 0 m 10 0 20 0 30 0 c", 30},
		{"curve that turns back", "0 0 m 20 0 20 0 0 0 c", 30}, // to t = ½: 60·¼
		{"v and y", "0 0 m 10 0 20 0 v 30 0 40 0 y", 40},
		{"circle", ellipse(100, 100), 2 * math.Pi * 100},
		{"ellipse of 2 to 1", ellipse(100, 50), perimeter(100, 50)},
		{"ellipse of 10 to 1", ellipse(100, 10), perimeter(100, 10)},
		{"turned by 30 degrees", ".8660254 .5 -.5 .8660254 7 8 cm " + ellipse(100, 50), perimeter(100, 50)},
		{"scaled", "2.5 0 0 2.5 0 0 cm " + ellipse(100, 50), perimeter(250, 125)},
		{"a circle scaled to an ellipse", "3 0 0 1 0 0 cm " + ellipse(50, 50), perimeter(150, 50)},
		{"skewed line", "1 0 1 1 0 0 cm 0 0 m 0 10 l", 10 * math.Sqrt2},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := measured(tc.content)
			if off := math.Abs(p.Length() - tc.want); off > 0.001*tc.want {
				t.Errorf("length %v, want %v within 0.1 %%", p.Length(), tc.want)
			}
		})
	}
}

// The series itself, against the two ends that are known.
func TestPerimeter(t *testing.T) {
	if got := perimeter(1, 1); math.Abs(got-2*math.Pi) > 1e-12 {
		t.Errorf("circle %v, want %v", got, 2*math.Pi)
	}
	if got := perimeter(1, 0); math.Abs(got-4) > 1e-2 { // it converges slowly there
		t.Errorf("a line there and back %v, want 4", got)
	}
}

// Where subpaths begin and end, and whether they close (8.5.2.1).
func TestSubpaths(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		want          []Subpath
		closes        bool
	}{
		{"one line", "0 0 m 9 9 l", []Subpath{{Ends{Point{}, Point{9, 9}}, Rect{0, 0, 9, 9}, 0, 1}}, false},
		{"a mere point", "1 1 m 0 0 m 9 0 l", []Subpath{{Ends{Point{}, Point{9, 0}}, Rect{0, 0, 9, 0}, 0, 1}}, false},
		{"bent", "0 0 m 9 9 l 18 0 l", []Subpath{{Ends{Point{}, Point{18, 0}}, Rect{0, 0, 18, 9}, -81, 2}}, false},
		{"closed", "0 0 m 9 9 l 18 0 l h", []Subpath{{Ends{}, Rect{0, 0, 18, 9}, -81, 3}}, true},
		{"closed by a line", "0 0 m 9 9 l 18 0 l 0 0 l", []Subpath{{Ends{}, Rect{0, 0, 18, 9}, -81, 3}}, true},
		{"curve", "0 0 m 0 0 3 3 3 3 c", []Subpath{{Ends{Point{}, Point{3, 3}}, Rect{0, 0, 3, 3}, 0, 1}}, false},
		{"rectangle", "1 2 9 8 re", []Subpath{{Ends{Point{1, 2}, Point{1, 2}}, Rect{1, 2, 10, 10}, 72, 4}}, true},
		{"nothing", "0 0 m", nil, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			p := measured(tc.content)
			got := p.Subpaths()
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Fatalf("(-want +got):\n%s", diff)
			}
			if len(got) > 0 && got[0].Closes() != tc.closes {
				t.Errorf("closes: %v", got[0].Closes())
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
