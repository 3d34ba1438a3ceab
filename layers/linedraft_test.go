package layers

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/demo"
	"github.com/sizeply/sizeply/sizes"
)

// What is proposed for each demo file is what its chart states, size by size.
func TestProposeLines(t *testing.T) {
	for _, f := range demo.Files() {
		t.Run(f.Name, func(t *testing.T) {
			file, err := os.ReadFile(filepath.Join("../testdata", f.Name))
			if err != nil {
				t.Fatal(err)
			}
			found, err := open(t, file).Lines(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			var got, want []*sizes.Line
			for _, p := range ProposeLines(found.Styles) {
				got = append(got, &sizes.Line{Colour: p.Spec.Colour, Dash: p.Spec.Dash, Width: p.Spec.Width, Text: p.Spec.Text})
			}
			for _, s := range demoChart(t, f.Chart).Sizes {
				if f.Layered { // its colours tell all
					s.Line.Dash = nil
				}
				want = append(want, s.Line)
			}
			if diff := cmp.Diff(want, got, near); diff != "" {
				t.Errorf("lines (-chart +proposed):\n%s", diff)
			}
		})
	}
}

func TestProposeLinesOfNothing(t *testing.T) {
	for _, content := range []string{"", "0 0 m 9 9 l S", "0 0 m 90 90 l S 1 0 0 RG 0 0 m 1 1 l S", "BT /F 9 Tf (x) Tj ET"} {
		if got := ProposeLines(foundLines(t, content, "")); got != nil {
			t.Errorf("%q: %v", content, got)
		}
	}
}
