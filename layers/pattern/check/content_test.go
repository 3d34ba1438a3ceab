package check

import "testing"

func TestPagesOf(t *testing.T) {
	for _, c := range []struct {
		pages []int
		want  string
	}{
		{[]int{3}, "page 3"},
		{[]int{3, 4}, "pages 3 and 4"},
		{[]int{3, 4, 5}, "pages 3 to 5"},
		{[]int{1, 2, 3, 5, 7, 8, 9, 10}, "pages 1 to 3, 5 and 7 to 10"},
		{[]int{1, 3, 5, 7, 9, 11, 13, 15, 17, 18, 19}, "pages 1, 3, 5, 7, 9, 11, 13, 15 and 3 more"},
	} {
		if got := pagesOf(c.pages); got != c.want {
			t.Errorf("%v: %q, not %q", c.pages, got, c.want)
		}
	}
}
