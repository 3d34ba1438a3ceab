package layers

import (
	"bytes"
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestProgress: a step begins with 0 and ends with all; what a callback does
// to the context ends the work.
func TestProgress(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{
		{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}, {Content: "/OC /B BDC P2 EMC"},
	}}))
	var got []Progress
	opt := &IsolateOptions{Progress: func(p Progress) { got = append(got, p) }}
	sel := Selection{Layers: named(doc, "A")}
	var out bytes.Buffer
	if _, err := doc.Isolate(ctx, &out, sel, opt); err != nil {
		t.Fatal(err)
	}
	if err := Verify(ctx, bytes.NewReader(out.Bytes()), doc, sel, opt); err != nil {
		t.Fatal(err)
	}
	want := []Progress{
		{Step: "isolate", Page: 0, Pages: 2}, {Step: "isolate", Page: 1, Pages: 2}, {Step: "isolate", Page: 2, Pages: 2},
		{Step: "verify", Page: 0, Pages: 4}, {Step: "verify", Page: 1, Pages: 4}, {Step: "verify", Page: 2, Pages: 4},
		{Step: "verify", Page: 3, Pages: 4}, {Step: "verify", Page: 4, Pages: 4},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	opt.Progress = func(Progress) { cancel() }
	if _, err := doc.Isolate(ctx, &bytes.Buffer{}, sel, opt); err == nil {
		t.Error("a cancelled context does not end isolating")
	}
}
