package check

import (
	"testing"

	"github.com/sizeply/sizeply/layers"
)

// TestDifference: what two names differ in is said as closely as can be.
func TestDifference(t *testing.T) {
	for _, c := range []struct{ name, ref, want string }{
		{"Size  8", "Size 8", "spaces"},
		{"Size\u00a08", "Size 8", "spaces"},
		{"SIZE 8", "Size 8", "capitals"},
		{"size8", "Size 8", "spaces and capitals"},
		{"\u200fSize 8", "Size 8", "characters that do not show"},
		{"Gro\u0308ße 8", "Größe 8", "characters that are written in two ways"},
		{"Size ８", "Size 8", "characters that are written in two ways"},
		{"Size 08", "Size 8", "noughts before a number"},
		{"Size08", "Size 8", "spaces and noughts before a number"},
		{"Size_8", "Size 8", "signs between the words"},
		{"Size 8 copy 2", "Size 8", "what a drawing program adds to a copy"},
	} {
		if got := difference(&layer{Layer: layers.Layer{Name: c.name}}, c.ref); got != c.want {
			t.Errorf("%q and %q: %q, want %q", c.name, c.ref, got, c.want)
		}
	}
}
