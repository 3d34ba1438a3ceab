package layers

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/survey"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// near lets pass what binary arithmetic makes of decimal figures.
var near = cmpopts.EquateApprox(0, 1e-9)

// inspect inspects a file, and wants the search for squares alone to find the
// same ones.
func inspect(tb testing.TB, file []byte) *Inspection {
	tb.Helper()
	doc := open(tb, file)
	in, err := doc.Inspect(context.Background())
	if err != nil {
		tb.Fatalf("inspect: %v", err)
	}
	if found, err := survey.SearchSquares(context.Background(), doc.file).Squares(); err != nil || !cmp.Equal(in.Squares, found) {
		tb.Fatalf("searched alone, the test squares differ (%v):\n%s", err, cmp.Diff(in.Squares, found))
	}
	return in
}

// usesOf are what a layer holds; of no layer for "".
func usesOf(in *Inspection, name string) []Use {
	if name == "" {
		return in.Outside
	}
	for _, l := range in.Layers {
		if l.Name == name {
			return l.Uses
		}
	}
	return nil
}

// rect is a rectangle in points.
func rect(left, bottom, right, top float64) Rect {
	return Rect{Left: left, Bottom: bottom, Right: right, Top: top}
}

// drawn is what one layer holds on the only page.
func drawn(paths, texts, images int, left, bottom, right, top float64) []Use {
	return []Use{{Page: 1, Paths: paths, Texts: texts, Images: images, Bounds: rect(left, bottom, right, top)}}
}

// TestInspect: counts and bounds of the layer A on a page of 100 by 100.
func TestInspect(t *testing.T) {
	// 9.4.4 with the published widths: W 944, a 556, i 222; no descriptor, so
	// descent and ascent are -0.2 and 0.8 (package font).
	for _, c := range []struct {
		name, content, entries, resources string
		objects                           []testpdf.Object
		want                              []Use
	}{
		{name: "rectangle", content: "/OC /A BDC P1 EMC P2", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "two rectangles", content: "/OC /A BDC P1 EMC P5 /OC /A BDC P2 EMC", want: drawn(2, 0, 0, 10, 10, 28, 18)},
		{name: "line", content: "/OC /A BDC 10 w 10 20 m 30 20 l S EMC", want: drawn(1, 0, 0, 10, 20, 30, 20)},
		// y(t) = 10 + 180 t(1-t) has its maximum 55 at 1/2.
		{name: "curve", content: "/OC /A BDC 10 10 m 10 70 90 70 90 10 c S EMC", want: drawn(1, 0, 0, 10, 10, 90, 55)},
		// y(t) = 270 t(1-t)^2 has its maximum 40 at 1/3; x(t) = 90 t.
		{name: "curve with one lever", content: "/OC /A BDC 0 0 m 30 90 60 0 90 0 c S EMC", want: drawn(1, 0, 0, 0, 0, 90, 40)},
		// v: the first control point is the current point; y(t) = 270 t^2(1-t), at 2/3.
		{name: "v", content: "/OC /A BDC 0 0 m 60 90 90 0 v S EMC", want: drawn(1, 0, 0, 0, 0, 90, 40)},
		// y: the second is the end point: y(t) = 270 t(1-t)^2.
		{name: "y", content: "/OC /A BDC 0 0 m 60 90 90 0 y S EMC", want: drawn(1, 0, 0, 0, 0, 90, 40)},
		{name: "path without painter", content: "/OC /A BDC P1 10 10 m 90 90 l n EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "painter without path", content: "/OC /A BDC f S P1 EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "path begun outside", content: "10 10 m 20 20 l /OC /A BDC S EMC", want: drawn(1, 0, 0, 10, 10, 20, 20)},
		{name: "path painted outside", content: "/OC /A BDC 10 10 m 20 20 l EMC S", want: nil},
		{name: "matrix", content: "2 0 0 2 5 6 cm /OC /A BDC P1 EMC", want: drawn(1, 0, 0, 25, 26, 41, 42)},
		{name: "turned by 90 degrees", content: "0 1 -1 0 50 0 cm /OC /A BDC P1 EMC", want: drawn(1, 0, 0, 32, 10, 40, 18)},
		{name: "matrix set in a section", content: "/OC /A BDC 1 0 0 1 5 0 cm P1 EMC /OC /A BDC P1 EMC", want: drawn(2, 0, 0, 15, 10, 23, 18)},
		{name: "clip", content: "q 12 0 4 100 re W n /OC /A BDC P1 EMC Q", want: drawn(1, 0, 0, 12, 10, 16, 18)},
		{name: "clip of a section", content: "/OC /A BDC 12 0 4 100 re W f P1 EMC", want: drawn(2, 0, 0, 12, 0, 16, 100)},
		{name: "clip ends with Q", content: "q 0 0 1 1 re W n Q /OC /A BDC P1 EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "clip to nothing", content: "0 0 1 1 re W n /OC /A BDC P1 EMC", want: drawn(1, 0, 0, math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1))},
		{name: "beyond the page", content: "/OC /A BDC -10 -10 m 300 50 l S EMC", want: drawn(1, 0, 0, 0, 0, 100, 50)},
		{name: "UserUnit", entries: "/UserUnit 2.5", content: "/OC /A BDC P1 EMC", want: drawn(1, 0, 0, 25, 25, 45, 45)},
		{name: "crop box", entries: "/CropBox [8 9 90 90]", content: "/OC /A BDC P1 EMC", want: drawn(1, 0, 0, 2, 1, 10, 9)},
		{name: "crop box and UserUnit", entries: "/CropBox [12 9 90 90] /UserUnit 2", content: "/OC /A BDC P1 EMC", want: drawn(1, 0, 0, 0, 2, 12, 18)},
		{name: "rotation counts for nothing", entries: "/Rotate 90", content: "/OC /A BDC P1 EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "media box off the origin", entries: "/MediaBox [-50 -50 50 50]", content: "/OC /A BDC P1 EMC", want: drawn(1, 0, 0, 60, 60, 68, 68)},

		{name: "text", content: "BT /F 10 Tf 5 50 Td /OC /A BDC (Wai) Tj EMC ET", want: drawn(0, 1, 0, 5, 48, 22.22, 58)},
		{name: "text after text", content: "BT /F 10 Tf 5 50 Td (Wai) Tj /OC /A BDC (i) Tj EMC ET", want: drawn(0, 1, 0, 22.22, 48, 24.44, 58)},
		{name: "adjusted text", content: "BT /F 10 Tf 5 50 Td /OC /A BDC [(W) -1000 (i)] TJ EMC ET", want: drawn(0, 1, 0, 5, 48, 26.66, 58)},
		{name: "spacing, scaling and rise", content: "BT /F 10 Tf 1 Tc 2 Tw 50 Tz 3 Ts 10 50 Td /OC /A BDC (a a) Tj EMC ET",
			want: drawn(0, 1, 0, 10, 51, 10+(5.56+1+2.78+1+2+5.56+1)/2, 61)},
		{name: "next lines", content: "BT /F 10 Tf 20 TL 5 50 Td /OC /A BDC (i) ' 0 0 (i) \" EMC ET", want: drawn(0, 2, 0, 5, 8, 7.22, 38)},
		{name: "text that is turned", content: "BT /F 10 Tf 0 1 -1 0 50 5 Tm /OC /A BDC (Wai) Tj EMC ET", want: drawn(0, 1, 0, 42, 5, 52, 22.22)},
		{name: "invisible text", content: "BT /F 10 Tf 3 Tr 5 50 Td /OC /A BDC (i) Tj EMC ET", want: drawn(0, 1, 0, 5, 48, 7.22, 58)},
		{name: "font set by gs", resources: "/ExtGState <</G <</Font [29 0 R 10]>>>>", content: "BT /G gs 5 50 Td /OC /A BDC (i) Tj EMC ET", want: drawn(0, 1, 0, 5, 48, 7.22, 58)},
		{name: "text in a font that is missing", content: "BT /Nowhere 10 Tf 5 50 Td /OC /A BDC (i) Tj EMC ET",
			want: drawn(0, 1, 0, 5, 50, 5, 50)},

		{name: "image", resources: "/XObject <</I 30 0 R>>", objects: []testpdf.Object{picture(30, "")},
			content: "/OC /A BDC q 20 0 0 30 5 6 cm /I Do Q EMC", want: drawn(0, 0, 1, 5, 6, 25, 36)},
		{name: "image with a group", resources: "/XObject <</I 30 0 R>>", objects: []testpdf.Object{picture(30, "/OC 5 0 R")},
			content: "20 0 0 30 5 6 cm /I Do", want: drawn(0, 0, 1, 5, 6, 25, 36)},
		{name: "inline image", content: "/OC /A BDC q 0 20 -30 0 50 6 cm BI /W 1 /H 1 /CS /G /BPC 8 ID x EI Q EMC", want: drawn(0, 0, 1, 20, 6, 50, 26)},
		{name: "missing XObject", content: "/OC /A BDC /Nowhere Do P1 EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "shading", resources: "/Shading <</S <</ShadingType 2>>>>", content: "/OC /A BDC q 5 5 20 30 re W n /S sh Q EMC", want: drawn(1, 0, 0, 5, 5, 25, 35)},

		{name: "form", resources: "/XObject <</X 30 0 R>>", objects: []testpdf.Object{testpdf.Form(30, "", "P1 P2")},
			content: "/OC /A BDC /X Do EMC", want: drawn(2, 0, 0, 10, 10, 28, 18)},
		{name: "form with a group", resources: "/XObject <</X 30 0 R>>", objects: []testpdf.Object{testpdf.Form(30, "/OC 5 0 R", "P1")},
			content: "/X Do P2", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "form with a matrix, its box cuts", resources: "/XObject <</X 30 0 R>>",
			objects: []testpdf.Object{testpdf.Stream(30, "/Subtype /Form /BBox [0 0 15 15] /Matrix [2 0 0 2 1 1]", "10 10 8 8 re f")},
			content: "1 0 0 1 3 4 cm /OC /A BDC /X Do EMC", want: drawn(1, 0, 0, 24, 25, 34, 35)},
		{name: "form drawn twice", resources: "/XObject <</X 30 0 R>>", objects: []testpdf.Object{testpdf.Form(30, "", "P1")},
			content: "/OC /A BDC /X Do 1 0 0 1 30 0 cm /X Do EMC", want: drawn(2, 0, 0, 10, 10, 48, 18)},
		{name: "section in a form", resources: "/XObject <</X 30 0 R>>", objects: []testpdf.Object{testpdf.Form(30, "", "P1 /OC /A BDC P2 EMC")},
			content: "/X Do", want: drawn(1, 0, 0, 20, 10, 28, 18)},
		{name: "section that a form leaves open", resources: "/XObject <</X 30 0 R>>", objects: []testpdf.Object{testpdf.Form(30, "", "/OC /A BDC P1")},
			content: "/X Do P2", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "EMC too many in a form", resources: "/XObject <</X 30 0 R>>", objects: []testpdf.Object{testpdf.Form(30, "", "EMC P1")},
			content: "/OC /A BDC /X Do P2 EMC", want: drawn(2, 0, 0, 10, 10, 28, 18)},
		{name: "form that inherits the font", resources: "/XObject <</X 30 0 R>>",
			objects: []testpdf.Object{testpdf.Form(30, "/Resources <</Font <<>>>>", "BT 5 50 Td (i) Tj ET")},
			content: "BT /F 10 Tf ET /OC /A BDC /X Do EMC", want: drawn(0, 1, 0, 5, 48, 7.22, 58)},
		{name: "form within itself", resources: "/XObject <</X 30 0 R>>", objects: []testpdf.Object{testpdf.Form(30, "", "P1 /X Do")},
			content: "/OC /A BDC /X Do EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},

		{name: "nested sections", content: "/OC /B BDC P1 /OC /A BDC P2 EMC EMC", want: drawn(1, 0, 0, 20, 10, 28, 18)},
		{name: "nested sections, outer one", content: "/OC /A BDC P1 /OC /B BDC P2 EMC EMC", want: drawn(2, 0, 0, 10, 10, 28, 18)},
		{name: "in itself", content: "/OC /A BDC /OC /A BDC P1 EMC EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "membership", resources: "/Properties <</A 5 0 R /M <</Type /OCMD /OCGs [5 0 R 6 0 R]>>>>", content: "/OC /M BDC P1 EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "expression that turns it round", resources: "/Properties <</M <</Type /OCMD /VE [/And [/Not 5 0 R] 6 0 R]>>>>", content: "/OC /M BDC P1 EMC", want: drawn(1, 0, 0, 10, 10, 18, 18)},
		{name: "section never closed", content: "P1 /OC /A BDC P2", want: drawn(1, 0, 0, 20, 10, 28, 18)},
		{name: "another tag", content: "/Span /A BDC P1 EMC", want: nil},

		{name: "annotation", entries: "/Annots [40 0 R]", objects: []testpdf.Object{
			testpdf.Obj(40, "<</Subtype /Square /OC 5 0 R /Rect [10 20 30 60] /AP <</N 41 0 R>>>>"),
			testpdf.Stream(41, "/Subtype /Form /BBox [0 0 10 10]", "1 1 8 8 re f"),
		}, want: drawn(1, 0, 0, 12, 24, 28, 56)},
		{name: "annotation with a matrix and states", entries: "/Annots [40 0 R]", objects: []testpdf.Object{
			testpdf.Obj(40, "<</Subtype /Widget /AS /On /OC 5 0 R /Rect [50 50 70 60] /AP <</N <</On 41 0 R /Off 42 0 R>>>>>>"),
			testpdf.Stream(41, "/Subtype /Form /BBox [0 0 10 20] /Matrix [0 1 -1 0 0 0]", "0 0 5 20 re f"),
			testpdf.Stream(42, "/Subtype /Form /BBox [0 0 10 20]", "0 0 1 1 re f 0 0 1 1 re f"),
		}, want: drawn(1, 0, 0, 50, 50, 70, 55)},
		{name: "annotation after a section never closed", content: "/OC /A BDC P1", entries: "/Annots [40 0 R]", objects: []testpdf.Object{
			testpdf.Obj(40, "<</Subtype /Square /Rect [50 50 60 60] /AP <</N 41 0 R>>>>"),
			testpdf.Stream(41, "/Subtype /Form /BBox [0 0 10 10]", "1 1 8 8 re f"),
		}, want: drawn(1, 0, 0, 10, 10, 18, 18)},
	} {
		t.Run(c.name, func(t *testing.T) {
			properties := "/Properties <</A 5 0 R /B 6 0 R>> "
			if strings.Contains(c.resources, "/Properties") {
				properties = ""
			}
			in := inspect(t, testpdf.Build(testpdf.Doc{
				Groups: []string{"A", "B"}, Objects: c.objects,
				Pages: []testpdf.Page{{Content: c.content, Entries: c.entries, Resources: "<<" + properties + "/Font <</F 29 0 R>> " + c.resources + ">>"}},
			}))
			if diff := cmp.Diff(c.want, usesOf(in, "A"), near); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
		})
	}
}

// TestInspectPages: what lies in no layer, pages of several sizes, and layers
// on some of them.
func TestInspectPages(t *testing.T) {
	in := inspect(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{
		{Content: "P1 /OC /A BDC P2 EMC"},
		{Content: "/OC /A BDC P3 EMC", Entries: "/Rotate 90 /UserUnit 2 /CropBox [10 10 40 90]"},
		{Content: "/Span /B BDC P4 EMC /OC /Nowhere BDC P5 EMC"},
	}}))
	want := &Inspection{
		Pages: []Page{{Number: 1, Width: 100, Height: 100}, {Number: 2, Width: 160, Height: 60}, {Number: 3, Width: 100, Height: 100}},
		Layers: []Layer{
			{Object: 5, Name: "A", Place: 1, Listed: true, On: true, Print: true, Intent: []string{"View"}, Uses: []Use{
				{Page: 1, Paths: 1, Bounds: rect(20, 10, 28, 18)}, {Page: 2, Paths: 1, Bounds: rect(40, 0, 56, 16)},
			}},
			{Object: 6, Name: "B", Place: 2, Listed: true, On: true, Print: true, Intent: []string{"View"}},
		},
		Outside: []Use{{Page: 1, Paths: 1, Bounds: rect(10, 10, 18, 18)}, {Page: 3, Paths: 2, Bounds: rect(40, 10, 58, 18)}},
	}
	if diff := cmp.Diff(want, in, near, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("-want +got\n%s", diff)
	}
}

// TestInspectEnds: an inspection ends with its context.
func TestInspectEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A"}, Pages: []testpdf.Page{{Content: strings.Repeat("P1\n", 3000)}}}))
	if _, err := doc.Inspect(ctx); err == nil {
		t.Error("an ended context gives no error")
	}
}

// TestInspectDamage: a page that cannot be read is a warning, the others are
// inspected.
func TestInspectDamage(t *testing.T) {
	in := inspect(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A"}, Pages: []testpdf.Page{{}, {Content: "/OC /A BDC P1 EMC"}},
		Objects: []testpdf.Object{testpdf.Stream(testpdf.ContentObject, "/Filter /NoSuchDecode", "x")},
	}))
	if len(in.Warnings) != 1 || in.Warnings[0].Page != 1 {
		t.Errorf("warnings %v, want one of page 1", in.Warnings)
	}
	if got := usesOf(in, "A"); len(got) != 1 || got[0].Page != 2 {
		t.Errorf("uses %v", got)
	}
}

// TestBoundsAsJSON: bounds that hold nothing are null, since JSON has no
// infinity.
func TestBoundsAsJSON(t *testing.T) {
	in := inspect(t, testpdf.Build(testpdf.Doc{Groups: []string{"A"}, Pages: []testpdf.Page{
		{Content: "/OC /A BDC 500 500 8 8 re f EMC"}, {Content: "/OC /A BDC 500 500 8 8 re f P1 EMC"},
	}}))
	got, err := json.Marshal(usesOf(in, "A"))
	if err != nil {
		t.Fatal(err)
	}
	want := `[{"page":1,"paths":1,"texts":0,"images":0,"bounds":null},` +
		`{"page":2,"paths":2,"texts":0,"images":0,"bounds":{"left":10,"bottom":10,"right":18,"top":18}}]`
	if diff := cmp.Diff(want, string(got)); diff != "" {
		t.Errorf("-want +got\n%s", diff)
	}
	if (Rect{}).IsEmpty() || !optional.EmptyRect().IsEmpty() {
		t.Error("a point is no empty rectangle")
	}
}
