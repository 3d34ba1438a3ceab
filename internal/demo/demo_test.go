package demo_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/sizeply/sizeply/internal/demo"
	"github.com/sizeply/sizeply/internal/demo/draft"
	"github.com/sizeply/sizeply/sizes"
)

const testdata = "../../testdata"

func chart(t *testing.T) *sizes.Chart {
	t.Helper()
	return chartNamed(t, "tollmere.yaml")
}

func chartNamed(t *testing.T, name string) *sizes.Chart {
	t.Helper()
	path := filepath.Join(testdata, "charts", name)
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	c, err := sizes.Read(file, path)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func bodies(t *testing.T) []draft.Body {
	t.Helper()
	b, err := demo.Bodies(chart(t))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The committed file is what the code gives, byte for byte.
func TestFilesAreCurrent(t *testing.T) {
	for _, f := range demo.Files() {
		t.Run(f.Name, func(t *testing.T) {
			var got bytes.Buffer
			if err := f.Write(&got, bodies(t)); err != nil {
				t.Fatal(err)
			}
			want, err := os.ReadFile(filepath.Join(testdata, f.Name))
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got.Bytes(), want) {
				t.Errorf("testdata/%s is not what the code gives: run go generate ./internal/demo", f.Name)
			}
			if len(want) >= 200_000 {
				t.Errorf("testdata/%s has %d bytes: at 200,000 it becomes a burden to every clone", f.Name, len(want))
			}
		})
	}
}

// The charts state the lines that the files have: colours to the digit, dashes in
// millimetres. Files in pairs of colours, and in ink, have labels for every size.
func TestChartsStateTheLines(t *testing.T) {
	for _, f := range demo.Files() {
		t.Run(f.Name, func(t *testing.T) {
			c := chartNamed(t, f.Chart)
			if len(c.Sizes) != len(f.Scheme.Lines) {
				t.Fatalf("%d sizes, %d lines", len(c.Sizes), len(f.Scheme.Lines))
			}
			for i, size := range c.Sizes {
				line := f.Scheme.Lines[i]
				want := &sizes.Line{Colour: fmt.Sprintf("#%02x%02x%02x", line.Colour.R, line.Colour.G, line.Colour.B), Dash: line.Dash, Text: f.Scheme.Coloured}
				switch {
				case f.Chart == "tollmere-dash.yaml":
					want.Colour = ""
				case f.Chart == "tollmere-colour.yaml":
					want.Dash = nil
				case want.Dash == nil:
					want.Dash = []float64{} // solid
				}
				if diff := cmp.Diff(want, size.Line); diff != "" {
					t.Errorf("size %s (-file +chart):\n%s", size.Label, diff)
				}
			}
		})
	}
}

// The layers of the file are named as the chart has it.
func TestSkirtLayersMatchChart(t *testing.T) {
	file, err := os.ReadFile(filepath.Join(testdata, "tollmere-skirt.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	c := chart(t)
	for _, size := range c.Sizes {
		name := strings.ReplaceAll(c.Names, "{label}", size.Label)
		if !bytes.Contains(file, []byte("/Type/OCG/Name("+name+")")) {
			t.Errorf("no layer %q in the file", name)
		}
	}
}

func TestBodies(t *testing.T) {
	body := func(waist, hip float64) map[string]float64 {
		return map[string]float64{"waist": waist, "hip": hip}
	}
	for _, tc := range []struct {
		name  string
		chart sizes.Chart
		want  []draft.Body // nil: refused
	}{
		{"centimetres", sizes.Chart{Unit: "cm", Sizes: []sizes.Size{{Label: "S", Body: body(66, 90)}, {Label: "M", Body: body(70, 94.5)}}},
			[]draft.Body{{Label: "S", Waist: 660, Hip: 900}, {Label: "M", Waist: 700, Hip: 945}}},
		{"inches", sizes.Chart{Unit: "in", Sizes: []sizes.Size{{Label: "S", Body: body(25, 35)}}},
			[]draft.Body{{Label: "S", Waist: 635, Hip: 889}}},
		{"no hip", sizes.Chart{Unit: "cm", Sizes: []sizes.Size{{Label: "S", Body: map[string]float64{"waist": 66}}}}, nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := demo.Bodies(&tc.chart)
			if (err != nil) != (tc.want == nil) {
				t.Fatalf("error %v", err)
			}
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Errorf("bodies (-want +got):\n%s", diff)
			}
		})
	}
}
