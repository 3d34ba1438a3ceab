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

func TestHardToTell(t *testing.T) {
	for _, c := range []struct {
		name  string
		specs []LineSpec
		want  []AlikeLines
	}{
		{"black and white", []LineSpec{{Colour: "#000000"}, {Colour: "#ffffff"}}, nil},
		{"two reds", []LineSpec{{Colour: "#ff0000"}, {Colour: "#ff0000"}}, []AlikeLines{{0, 1, 0, 0, false}}},
		{"two reds in two dashes", []LineSpec{{Colour: "#ff0000", Dash: []float64{}}, {Colour: "#ff0000", Dash: []float64{6, 2}}}, nil},
		{"two reds in one dash", []LineSpec{{Colour: "#ff0000", Dash: []float64{6, 2}}, {Colour: "#ff0000", Dash: []float64{6.2, 2}}}, []AlikeLines{{0, 1, 0, 0, false}}},
		{"dashes alone", []LineSpec{{Dash: []float64{6, 2}}, {Dash: []float64{2, 2}}, {Dash: []float64{}}}, nil},
	} {
		got, err := HardToTell(c.specs)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
	// Lightness of sRGB red 53.2, green (#008000) 46.2: far apart in colour, near
	// in grey (L* from the tests of go-colorful and by the formula).
	got, err := HardToTell([]LineSpec{{Colour: "#ff0000"}, {Colour: "#008000"}})
	if err != nil || len(got) != 1 || !got[0].OnlyGrey || got[0].Colour < 50 || got[0].Grey > 8 {
		t.Errorf("red and green: %+v, %v", got, err)
	}
	if _, err := HardToTell([]LineSpec{{Colour: "mauve"}}); err == nil {
		t.Error("mauve is a colour")
	}
}
