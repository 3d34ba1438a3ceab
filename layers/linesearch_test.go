package layers

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestKeptLines: the report tells of the lines that stay what Lines finds in the
// output.
func TestKeptLines(t *testing.T) {
	skirt, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	// What is in no layer has a colour of its own.
	d := testpdf.Doc{Groups: []string{"A", "B"}, Objects: []testpdf.Object{
		testpdf.Form(30, "/Resources <</Properties <</A 5 0 R /B 6 0 R>>>>",
			"0 0 m 7 7 l S 0 G /OC /A BDC 3 w 0 0 m 8 8 l S EMC /OC /B BDC 4 w 0 0 m 9 9 l S EMC"),
	}}
	for i := range 12 {
		d.Pages = append(d.Pages, testpdf.Page{
			Resources: "<</Properties <</A 5 0 R /B 6 0 R>> /XObject <</X 30 0 R>>>>",
			Content: fmt.Sprintf("/OC /B BDC 0 0 20 20 re W n 1 0 0 RG 0 0 m 9 9 l S EMC 0 1 0 RG 0 0 m 5 5 l 0 0 m 30 30 l S "+
				"0 0 1 RG /OC /A BDC 0 0 m %d 30 l S /X Do EMC 0 1 0 RG /OC /B BDC /X Do 1 2 m 3 4 l 5 6 l\nW n 0 0 m 9 9 l S EMC", i),
		})
	}
	cases := testpdf.Build(d)
	for _, c := range []struct {
		name string
		file []byte
		keep []string
	}{
		{"the demo", skirt, []string{"Size 12", "Size 14", "Notches"}},
		{"the demo, all", skirt, nil},
		{"clips, forms, sections within", cases, []string{"A"}},
	} {
		doc := open(t, c.file)
		sel := Selection{}
		for i, l := range doc.Layers() {
			if c.keep == nil || slices.Contains(c.keep, l.Name) {
				sel.Layers = append(sel.Layers, i)
			}
		}
		var out bytes.Buffer
		report, err := doc.Isolate(context.Background(), &out, sel, &IsolateOptions{KeptLines: true})
		if err != nil {
			t.Fatal(err)
		}
		lines, err := open(t, out.Bytes()).Lines(context.Background())
		if err != nil || lines.Incomplete {
			t.Fatal(err, lines.Warnings)
		}
		want := lines.Styles // the output numbers its layers anew
		got := slices.Clone(report.KeptLines)
		for i := range got {
			got[i].Layers = slices.Clone(got[i].Layers)
			for k, was := range got[i].Layers {
				got[i].Layers[k] = report.Objects[was]
			}
			if !slices.IsSorted(got[i].Layers) {
				t.Fatalf("%s: the numbers %v do not keep their order", c.name, got[i].Layers)
			}
		}
		if len(want) == 0 {
			t.Errorf("%s: no layer has lines", c.name)
		}
		if diff := cmp.Diff(want, got, near, cmpopts.IgnoreUnexported(LineStyle{})); diff != "" {
			t.Errorf("%s (-in the output +of the report):\n%s", c.name, diff)
		}
	}
	if _, r := isolateNamed(t, cases, "A"); r.KeptLines != nil {
		t.Error("the report has lines that nobody asked for")
	}
}
