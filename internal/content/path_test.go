package content

import (
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
		name, in           string
		extent             Rect
		segments, subpaths int
		rect               bool
	}{
		{"empty", "", EmptyRect(), 0, 0, false},
		{"move alone", "5 5 m", EmptyRect(), 0, 0, false},
		{"moves before and after count for nothing", "-9 -9 m 1 1 m 2 3 l 99 99 m", Rect{1, 1, 2, 3}, 1, 1, false},
		{"closed point, 8.5.3.2", "5 5 m h", Rect{5, 5, 5, 5}, 1, 1, false},
		{"lines", "0 0 m 10 0 l 10 5 l", Rect{0, 0, 10, 5}, 2, 1, false},
		{"closed triangle", "0 0 m 10 0 l 10 5 l h", Rect{0, 0, 10, 5}, 3, 1, false},
		{"closed twice", "0 0 m 10 0 l 10 5 l h h", Rect{0, 0, 10, 5}, 3, 1, false},
		{"line after h starts at the start, 8.5.2.1", "1 1 m 2 1 l 2 2 l h 5 5 l", Rect{1, 1, 5, 5}, 4, 2, false},
		{"c", "0 0 m 0 1 1 1 1 0 c", Rect{0, 0, 1, 0.75}, 1, 1, false},
		{"v: current point is the first control point", "0 0 m 2 0 0 0 v", Rect{0, 0, 8.0 / 9, 0}, 1, 1, false},
		{"y: end is the second control point", "0 0 m 2 0 0 0 y", Rect{0, 0, 8.0 / 9, 0}, 1, 1, false},
		{"re", "1 2 3 4 re", Rect{1, 2, 4, 6}, 4, 1, true},
		{"re with negative size", "1 2 -3 -4 re", Rect{-2, -2, 1, 2}, 4, 1, true},
		{"re without height", "1 2 3 0 re", Rect{1, 2, 4, 2}, 4, 1, true},
		{"line after re starts at its corner", "1 2 3 4 re 9 9 l", Rect{1, 2, 9, 9}, 5, 2, false},
		{"two re", "1 2 3 4 re 1 2 3 4 re", Rect{1, 2, 4, 6}, 8, 2, false},
		{"rectangle of lines", "0 0 m 0 2 l 3 2 l 3 0 l h", Rect{0, 0, 3, 2}, 4, 1, true},
		{"rectangle of lines, not closed", "0 0 m 0 2 l 3 2 l 3 0 l", Rect{0, 0, 3, 2}, 3, 1, true},
		{"rectangle of lines, drawn to its start", "0 0 m 0 2 l 3 2 l 3 0 l 0 0 l", Rect{0, 0, 3, 2}, 4, 1, true},
		{"the same and h", "0 0 m 0 2 l 3 2 l 3 0 l 0 0 l h", Rect{0, 0, 3, 2}, 5, 1, false},
		{"four lines to elsewhere", "0 0 m 0 2 l 3 2 l 3 0 l 1 0 l", Rect{0, 0, 3, 2}, 4, 1, false},
		{"trapezium", "0 0 m 0 2 l 3 2 l 4 0 l h", Rect{0, 0, 4, 2}, 4, 1, false},
		{"re turned by a quarter", "0 1 -1 0 0 0 cm 1 2 3 4 re", Rect{-6, 1, -2, 4}, 4, 1, true},
		{"re turned by an eighth", "1 1 -1 1 0 0 cm 0 0 1 1 re", Rect{-1, 0, 1, 2}, 4, 1, false},
		{"cm inside a path moves what comes after", "0 0 m 1 0 0 1 10 0 cm 0 5 l", Rect{0, 0, 10, 5}, 1, 1, false},
		{"segment without current point", "5 5 l 1 2 3 4 5 6 c h", EmptyRect(), 0, 0, false},
		{"operand missing", "0 0 m 5 l 7 7 l", Rect{0, 0, 7, 7}, 1, 1, false},
		{"q and Q leave the path alone", "q 0 0 m Q 1 1 l", Rect{0, 0, 1, 1}, 1, 1, false},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := pathOf(c.in)
			if diff := cmp.Diff(c.extent, p.Extent(), near); diff != "" {
				t.Errorf("extent (-want +got):\n%s", diff)
			}
			if p.Segments() != c.segments || p.Subpaths() != c.subpaths {
				t.Errorf("%d segments in %d subpaths, want %d in %d", p.Segments(), p.Subpaths(), c.segments, c.subpaths)
			}
			if r, ok := p.IsRect(); ok != c.rect || ok && r != c.extent {
				t.Errorf("rectangle %v (%v), want %v", r, ok, c.rect)
			}
		})
	}
}

func TestPathCurrent(t *testing.T) {
	if _, ok := pathOf("").Current(); ok {
		t.Error("an empty path has a current point")
	}
	// 8.5.2.1: after h, and so after re, the start of the subpath.
	if at, ok := pathOf("1 2 3 4 re").Current(); !ok || at != (Point{1, 2}) {
		t.Errorf("after re at %v, want (1, 2)", at)
	}
	if _, ok := pathOf("1 2 3 4 re f").Current(); ok {
		t.Error("there is a current point after a path-painting operator")
	}
}
