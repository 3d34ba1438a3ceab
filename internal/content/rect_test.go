package content

import (
	"math"
	"testing"
)

func TestRectEmpty(t *testing.T) {
	e, r := EmptyRect(), Rect{1, 2, 3, 4}
	switch {
	case !e.Empty() || r.Empty() || (Rect{1, 1, 1, 1}).Empty() || !(Rect{2, 0, 1, 9}).Empty():
		t.Error("wrong rectangles are empty")
	case e.Union(r) != r || r.Union(e) != r || !e.Union(e).Empty():
		t.Error("the empty rectangle adds to a union")
	case !e.Intersect(r).Empty() || !r.Intersect(Rect{5, 5, 6, 6}).Empty():
		t.Error("an intersection is not empty")
	case !e.Transform(Scaling(-1, -1)).Empty() || !e.Grow(9).Empty():
		t.Error("the empty rectangle grows")
	case e.Width() != 0 || e.Height() != 0 || e.Contains(Point{}):
		t.Error("the empty rectangle has a size")
	case e.Include(Point{7, 8}) != Rect{7, 8, 7, 8}:
		t.Error("the first point does not make the rectangle")
	}
}

func TestRect(t *testing.T) {
	r := NewRect(3, 4, 1, 2)
	cases := []struct {
		name      string
		got, want Rect
	}{
		{"corners in order, 7.9.5", r, Rect{1, 2, 3, 4}},
		{"union", r.Union(Rect{0, 3, 2, 9}), Rect{0, 2, 3, 9}},
		{"intersection", r.Intersect(Rect{0, 3, 2, 9}), Rect{1, 3, 2, 4}},
		{"common edge", r.Intersect(Rect{3, 0, 9, 9}), Rect{3, 2, 3, 4}},
		{"everywhere", r.Intersect(Everywhere()), r},
		{"quarter turn", r.Transform(Matrix{0, 1, -1, 0, 0, 0}), Rect{-4, 1, -2, 3}},
		{"mirrored", r.Transform(Scaling(-1, 2)), Rect{-3, 4, -1, 8}},
		{"bounds of an eighth turn", (Rect{0, 0, 1, 1}).Transform(Matrix{1, 1, -1, 1, 0, 0}), Rect{-1, 0, 1, 2}},
		{"everywhere transformed", Everywhere().Transform(Matrix{}), Everywhere()},
		{"grown", r.Grow(1), Rect{0, 1, 4, 5}},
		{"bounds", Bounds(Point{5, 1}, Point{2, 7}), Rect{2, 1, 5, 7}},
	}
	for _, c := range cases {
		if c.got != c.want {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	if r.Width() != 2 || r.Height() != 2 || math.IsNaN(Everywhere().Width()) {
		t.Error("wrong size")
	}
}
