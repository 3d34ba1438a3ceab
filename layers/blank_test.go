package layers

import (
	"bytes"
	"context"
	"slices"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestBlank: pages on which nothing can be seen any more, of which A stays and B
// goes, C stays as it is, off.
func TestBlank(t *testing.T) {
	const gone = " /OC /B BDC 10 10 9 9 re f EMC"
	for _, c := range []struct {
		name, content string
		entries       string
		resources     string
		objects       []testpdf.Object
		seen          bool
	}{
		{name: "within", content: "/OC /A BDC 10 10 9 9 re f EMC" + gone, seen: true},
		{name: "outside of the page", content: "/OC /A BDC 110 10 9 9 re f EMC" + gone},
		{name: "partly outside", content: "/OC /A BDC 95 95 9 9 re f EMC" + gone, seen: true},
		{name: "outside of the crop box (14.11.2)", content: "/OC /A BDC 60 10 9 9 re f EMC" + gone, entries: "/CropBox [0 0 50 50]"},
		{name: "a wide line reaches in", content: "/OC /A BDC 20 w 105 0 m 105 50 l S EMC" + gone, seen: true},
		{name: "a miter reaches in", content: "/OC /A BDC 4 w 120 0 m 112 5 l 120 10 l S EMC" + gone, seen: true},
		{name: "a thin line does not", content: "/OC /A BDC 1 w 1 j 105 0 m 105 50 l S EMC" + gone},
		{name: "clipped away", content: "q 0 0 40 40 re W n /OC /A BDC 60 60 9 9 re f EMC Q" + gone},
		{name: "clipped away at first", content: "q 0 0 40 40 re W n /OC /A BDC 60 60 9 9 re f EMC Q 5 5 2 2 re f" + gone, seen: true},
		{name: "moved out", content: "1 0 0 1 200 0 cm /OC /A BDC 10 10 9 9 re f EMC" + gone},
		{name: "turned in (8.3.4)", content: "0 1 -1 0 120 0 cm /OC /A BDC 10 40 9 9 re f EMC" + gone, seen: true},
		{name: "in no layer", content: "10 10 9 9 re f" + gone, seen: true},
		{name: "that is off", content: "/OC /C BDC 10 10 9 9 re f EMC" + gone},
		{name: "text outside", content: "BT /F 10 Tf 10 -40 Td (W) Tj ET" + gone},
		{name: "text whose letters may reach in", content: "BT /F 10 Tf 10 -9 Td (W) Tj ET" + gone, seen: true},
		{name: "text in a font that is not there", content: "BT /Nowhere 10 Tf 10 -40 Td (W) Tj ET" + gone, seen: true},
		{name: "an image outside", content: "q 9 0 0 9 -20 0 cm /I Do Q" + gone, resources: "/XObject <</I 30 0 R>>", objects: []testpdf.Object{picture(30, "")}},
		{name: "an image", content: "q 9 0 0 9 -5 0 cm /I Do Q" + gone, resources: "/XObject <</I 30 0 R>>", objects: []testpdf.Object{picture(30, "")}, seen: true},
		{name: "a shading", content: "/S sh" + gone, resources: "/Shading <</S <</ShadingType 2>>>>", seen: true},
		{name: "a shading clipped away", content: "-9 -9 5 5 re W n /S sh" + gone, resources: "/Shading <</S <</ShadingType 2>>>>"},
		{name: "a sheet as a form, one tile of it", content: "q 1 0 0 1 -200 0 cm /X Do Q" + gone, resources: "/XObject <</X 30 0 R>>",
			objects: []testpdf.Object{testpdf.Form(30, "/Resources <</Properties <</A 5 0 R /B 6 0 R>>>>", "/OC /A BDC 10 10 9 9 re f EMC /OC /B BDC 210 10 9 9 re f EMC")}},
		{name: "and another tile", content: "q 1 0 0 1 0 0 cm /X Do Q" + gone, resources: "/XObject <</X 30 0 R>>",
			objects: []testpdf.Object{testpdf.Form(30, "/Resources <</Properties <</A 5 0 R /B 6 0 R>>>>", "/OC /A BDC 10 10 9 9 re f EMC /OC /B BDC 210 10 9 9 re f EMC")}, seen: true},
		{name: "an annotation", content: "/OC /A BDC 110 10 9 9 re f EMC" + gone, entries: "/Annots [40 0 R]", objects: []testpdf.Object{
			testpdf.Obj(40, "<</Subtype /Square /Rect [10 20 30 60] /AP <</N 41 0 R>>>>"), testpdf.Stream(41, "/Subtype /Form /BBox [0 0 10 10]", "1 1 8 8 re f"),
		}, seen: true},
		{name: "an annotation that goes", content: "/OC /A BDC 110 10 9 9 re f EMC" + gone, entries: "/Annots [40 0 R]", objects: []testpdf.Object{
			testpdf.Obj(40, "<</Subtype /Square /OC 6 0 R /Rect [10 20 30 60] /AP <</N 41 0 R>>>>"), testpdf.Stream(41, "/Subtype /Form /BBox [0 0 10 10]", "1 1 8 8 re f"),
		}},
		{name: "an annotation whose looks a viewer makes (12.5.5)", content: "/OC /A BDC 110 10 9 9 re f EMC" + gone, entries: "/Annots [<</Subtype /Square /Rect [10 20 30 60]>>]", seen: true},
		{name: "a window that is closed", content: "/OC /A BDC 110 10 9 9 re f EMC" + gone, entries: "/Annots [<</Subtype /Popup /Rect [10 20 30 60]>>]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := testpdf.Build(testpdf.Doc{
				Groups: []string{"A", "B", "C"}, OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</OFF [7 0 R]>>>>", Objects: c.objects,
				Pages: []testpdf.Page{{Content: c.content, Entries: c.entries,
					Resources: "<</Properties <</A 5 0 R /B 6 0 R /C 7 0 R>> /Font <</F 29 0 R>> " + c.resources + ">>"}},
			})
			var out bytes.Buffer
			report, err := open(t, file).Isolate(context.Background(), &out, Selection{Layers: []int{0}, Unchanged: []int{2}}, nil)
			if err != nil {
				t.Fatal(err)
			}
			if p := report.Pages[0]; p.Blank == c.seen || p.Kept == 0 || p.Removed == 0 || slices.Contains(report.EmptyPages(), 1) == c.seen {
				t.Errorf("%+v, empty %v", p, report.EmptyPages())
			}
		})
	}
}
