package bench

import (
	"bytes"
	"context"
	"slices"
	"testing"

	"github.com/sizeply/sizeply/layers"
)

// small are workloads of each layout with few pages.
func small() []Workload {
	return []Workload{{"sheets", 2, OnPages}, {"forms", 2, InForms}, {"tiles", 2, Tiled}}
}

// TestWorkloads: the files are what the measurements take them for: every page
// loses eleven of fifteen layers of 25 marks each.
func TestWorkloads(t *testing.T) {
	for _, w := range small() {
		t.Run(w.Name, func(t *testing.T) {
			doc := written(t, w)
			if got := layers.Names(doc.Layers()); !slices.Equal(got, Layers()) {
				t.Fatalf("the layers are %q", got)
			}
			report, err := doc.Isolate(context.Background(), &bytes.Buffer{}, kept(), nil)
			if err != nil {
				t.Fatal(err)
			}
			if len(report.Pages) != w.Pages {
				t.Fatalf("there are %d pages, not %d", len(report.Pages), w.Pages)
			}
			removed := int64(11 * curves)
			if w.Layout == InForms {
				removed = 11 // a form that goes whole is one mark
			}
			for _, p := range report.Pages {
				if p.Kept != 4*curves || p.Removed != removed {
					t.Errorf("page %d keeps %d marks and loses %d", p.Page, p.Kept, p.Removed)
				}
			}
		})
	}
}

// written writes a workload and opens it.
func written(t *testing.T, w Workload) *layers.Document {
	t.Helper()
	var a, b bytes.Buffer
	for _, out := range []*bytes.Buffer{&a, &b} {
		if err := w.Write(out, nil); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Fatal("writing it again gives other bytes")
	}
	doc, err := layers.Open(context.Background(), bytes.NewReader(a.Bytes()), nil)
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// kept is the selection of the measurements.
func kept() (sel layers.Selection) {
	for i, name := range Layers() {
		if slices.Contains(Kept(), name) {
			sel.Layers = append(sel.Layers, i)
		}
	}
	return sel
}

// TestWorkloadOff: with the other layers off, what is shown is what is kept.
func TestWorkloadOff(t *testing.T) {
	var b bytes.Buffer
	if err := (Workload{"sheets", 1, OnPages}).Write(&b, Layers()[:5]); err != nil {
		t.Fatal(err)
	}
	doc, err := layers.Open(context.Background(), bytes.NewReader(b.Bytes()), nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, l := range doc.Layers() {
		if l.On != (i >= 5) {
			t.Errorf("layer %q: on is %t", l.Name, l.On)
		}
	}
}
