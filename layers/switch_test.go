package layers

import (
	"bytes"
	"context"
	"errors"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
)

// switched is a document with its layers switched.
func switched(tb testing.TB, doc *Document, sel Selection) []byte {
	tb.Helper()
	var out bytes.Buffer
	if err := doc.Switch(context.Background(), &out, sel); err != nil {
		tb.Fatal(err)
	}
	return out.Bytes()
}

// TestSwitch: all layers are there in the states asked for, and the content
// is as it was.
func TestSwitch(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups:       []string{"A", "B", "C", "D"},
		OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R 8 0 R] /D <</OFF [5 0 R 7 0 R]>>>>",
		Pages:        []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}},
	})
	out := switched(t, open(t, file), Selection{Layers: []int{0}, Unchanged: []int{2, 3}})
	want := map[string]bool{"A": true, "B": false, "C": false, "D": true}
	for _, l := range open(t, out).Layers() {
		if l.On != want[l.Name] || l.Print != want[l.Name] {
			t.Errorf("layer %s: on is %t, printed %t", l.Name, l.On, l.Print)
		}
		delete(want, l.Name)
	}
	if len(want) > 0 {
		t.Errorf("layers are missing: %v", want)
	}
	if got, was := pageContent(t, out, 0), pageContent(t, file, 0); got != was {
		t.Errorf("content %q, want %q", got, was)
	}
}

func TestSwitchWithoutLayers(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: "P1"}}}))
	if err := doc.Switch(context.Background(), &bytes.Buffer{}, Selection{}); !errors.Is(err, ErrNoLayers) {
		t.Errorf("got %v", err)
	}
}

// TestRendersSwitched: it looks as the reference does, where the renderer
// implements what the document holds.
func TestRendersSwitched(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	r := oracle.PDFium(t)
	for seed := range uint64(6) {
		rd := testpdf.RandomWith(seed, testpdf.RandomOptions{Opaque: true})
		doc := open(t, rd.Bytes)
		sel := randomSelection(seed, len(doc.Layers()))
		want, err := testpdf.Reference(rd.Bytes, shown(doc, sel))
		if err != nil {
			t.Fatal(err)
		}
		if f := difference(r, want, switched(t, doc, sel), 100); f.text != "" {
			t.Errorf("random document %d: %s", seed, f.text)
		}
	}
}
