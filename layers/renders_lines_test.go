package layers

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/sizeply/sizeply/internal/demo"
	"github.com/sizeply/sizeply/internal/isolate"
	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
	"github.com/sizeply/sizeply/sizes"
)

// TestRendersDemoLines: each size of each demo file with its neighbours, isolated
// by line, looks as the same artwork with layers does, isolated by layer.
func TestRendersDemoLines(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	for _, f := range demo.Files() {
		t.Run(f.Name, func(t *testing.T) {
			chart := demoChart(t, f.Chart)
			bodies, err := demo.Bodies(chart)
			if err != nil {
				t.Fatal(err)
			}
			var layered bytes.Buffer
			if err := f.WriteLayered(&layered, bodies); err != nil {
				t.Fatal(err)
			}
			file, err := os.ReadFile(filepath.Join("../testdata", f.Name))
			if err != nil {
				t.Fatal(err)
			}
			compareLines(t, open(t, file), open(t, layered.Bytes()), chart)
		})
	}
}

func demoChart(tb testing.TB, name string) *sizes.Chart {
	tb.Helper()
	file, err := os.Open(filepath.Join("../testdata/charts", name))
	if err != nil {
		tb.Fatal(err)
	}
	defer file.Close()
	chart, err := sizes.Read(file, name)
	if err != nil {
		tb.Fatal(err)
	}
	return chart
}

// demoMatch holds the styles of a document against the lines of a chart.
func demoMatch(tb testing.TB, doc *Document, chart *sizes.Chart) *LineMatch {
	tb.Helper()
	found, err := doc.Lines(context.Background())
	if err != nil {
		tb.Fatal(err)
	}
	var specs []LineSpec
	for _, s := range chart.Sizes {
		specs = append(specs, LineSpec{Colour: s.Line.Colour, Dash: s.Line.Dash, Width: s.Line.Width, Text: s.Line.Text})
	}
	m, err := MatchLines(found.Styles, specs)
	if err != nil {
		tb.Fatal(err)
	}
	if list := m.Ambiguous(); len(list) > 0 {
		tb.Fatalf("ambiguous styles %v", list)
	}
	return m
}

// compareLines isolates every size with its neighbours both ways; of ten sizes four
// but for a long run.
func compareLines(t *testing.T, byLine, byLayer *Document, chart *sizes.Chart) {
	m := demoMatch(t, byLine, chart)
	for at := range chart.Sizes {
		if at%3 > 0 && !long() {
			continue
		}
		stay := []int{}
		for i := max(0, at-1); i <= min(at+1, len(chart.Sizes)-1); i++ {
			stay = append(stay, i)
		}
		sel := Selection{Lines: m.Without(stay)}
		for i := range byLine.Layers() {
			sel.Unchanged = append(sel.Unchanged, i)
		}
		var keep []int
		for i := range byLayer.Layers() {
			if i >= len(chart.Sizes) || slices.Contains(stay, i) {
				keep = append(keep, i)
			}
		}
		if len(m.Serves(at)) == 0 || len(sel.Lines) < len(chart.Sizes)-3 {
			t.Errorf("size %s has %d styles, %d go", chart.Sizes[at].Label, len(m.Serves(at)), len(sel.Lines))
		}
		got := isolateSelection(t, byLine, sel)
		want := isolateSelection(t, byLayer, Selection{Layers: keep})
		for _, r := range oracle.Renderers(t) {
			if f := difference(r, want, got, 36); f.text != "" {
				t.Errorf("size %s in %s: %s", chart.Sizes[at].Label, r.Name, f.text)
				keepFiles(t, fmt.Sprintf("lines %s", chart.Sizes[at].Label), want, got)
			}
		}
	}
}

// isolateSelection isolates and verifies.
func isolateSelection(tb testing.TB, doc *Document, sel Selection) []byte {
	tb.Helper()
	var out bytes.Buffer
	if _, err := doc.Isolate(context.Background(), &out, sel, nil); err != nil {
		tb.Fatal(err)
	}
	if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, nil); err != nil {
		tb.Error(err)
	}
	return out.Bytes()
}

// TestRendersRandomLines: every other style of random documents goes; it looks the
// same whether the state that is not needed any more goes too or stays.
func TestRendersRandomLines(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	count := 20 / every()
	if long() {
		count = 300
	}
	compared := 0
	for seed := range uint64(count) {
		random := testpdf.RandomWith(seed, testpdf.RandomOptions{Opaque: seed%2 == 1})
		doc := open(t, random.Bytes)
		found, err := doc.Lines(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		sel := Selection{NoLayers: true}
		for i, s := range found.Styles {
			if i%2 == int(seed/2)%2 {
				sel.Lines = append(sel.Lines, s)
			}
		}
		for i := range doc.Layers() {
			sel.Unchanged = append(sel.Unchanged, i)
		}
		var got, want bytes.Buffer
		_, err = doc.Isolate(context.Background(), &got, sel, nil)
		plain := isolate.Isolator{Document: doc.file, KeepState: true}
		_, errKept := plain.Isolate(context.Background(), &want, sel, nil)
		if err != nil || errKept != nil {
			t.Logf("random document %d is refused: %v, %v", seed, err, errKept)
			continue
		}
		if err := Verify(context.Background(), bytes.NewReader(got.Bytes()), doc, sel, nil); err != nil {
			t.Errorf("random document %d: %v", seed, err)
		}
		for _, r := range oracle.Renderers(t) {
			compared++
			f := difference(r, want.Bytes(), got.Bytes(), 100)
			if f.text != "" && explain(f, []finding{f}, subject{features: random.Features}, true) == "" {
				t.Errorf("random document %d in %s: %s", seed, r.Name, f.text)
				keepFiles(t, fmt.Sprintf("lines of random %d", seed), want.Bytes(), got.Bytes())
			}
		}
	}
	if compared == 0 {
		t.Error("nothing was compared")
	}
}
