package pattern

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/layers"
)

func TestShownOrder(t *testing.T) {
	for _, c := range []struct {
		name   string
		places []int
		want   []int
	}{
		{"none", nil, []int{}},
		{"no list", []int{0, 0, 0}, []int{0, 1, 2}},
		{"another order", []int{3, 1, 2}, []int{1, 2, 0}},
		{"some are not listed", []int{0, 2, 0, 1}, []int{3, 1, 0, 2}},
	} {
		list := make([]layers.Layer, len(c.places))
		for i, p := range c.places {
			list[i].Place = p
		}
		if diff := cmp.Diff(c.want, ShownOrder(list)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}
