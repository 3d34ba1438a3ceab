package sizes

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestNeighbours(t *testing.T) {
	numbers := testCharts()["numbers"]
	cases := []struct {
		name, label  string
		below, above int
		want         []string
	}{
		{"none", "14", 0, 0, []string{"14"}},
		{"one on each side", "14", 1, 1, []string{"12", "14", "16"}},
		{"uneven", "14", 0, 2, []string{"14", "16", "18"}},
		{"fewer at the lower end", "8", 3, 1, []string{"6", "8", "10"}},
		{"fewer at the upper end", "24", 1, 2, []string{"22", "24"}},
		{"more than there are", "14", 1 << 40, 1 << 40, numbers.Labels()},
		{"a negative number is none", "14", -1, -1, []string{"14"}},
		{"another spelling", "Size 08", 1, 0, []string{"6", "8"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := numbers.Neighbours(c.label, c.below, c.above)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestNeighboursRefuses(t *testing.T) {
	numbers := testCharts()["numbers"]
	if _, err := numbers.Neighbours("13", 1, 1); !errors.As(err, new(*UnknownSizeError)) {
		t.Errorf("13: error %v, want an UnknownSizeError", err)
	}
	if _, err := numbers.Neighbours("10-14", 1, 1); !errors.As(err, new(*AmbiguousSizeError)) {
		t.Errorf("10-14: error %v, want an AmbiguousSizeError", err)
	}
}

// A chart's order is its own: values of labels do not count.
func TestNeighboursFollowTheChart(t *testing.T) {
	c := &Chart{Sizes: []Size{{Label: "20"}, {Label: "3"}, {Label: "green"}, {Label: "1"}}}
	got, err := c.Neighbours("3", 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]string{"20", "3", "green"}, got); diff != "" {
		t.Error(diff)
	}
}
