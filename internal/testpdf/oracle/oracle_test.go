package oracle

import (
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// drawn is a layered page, and what is to be seen of it when A and C are
// chosen and B is not.
type drawn struct {
	name, reason string
	content      string
	want         string
	objects      []testpdf.Object // from number 30; the page has them as XObjects X30, … and properties M30, …
	annots       string
	properties   string
	features     []string
}

// The expected content follows from ISO 32000-1, 8.11, rule by rule; nothing
// here was taken from a renderer.
var drawnCases = []drawn{
	{name: "section", reason: "8.11.3.2", content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC P3", want: "P1 P3"},
	{name: "nested in hidden", reason: "8.11.3.2 note 2", content: "/OC /B BDC /OC /A BDC P1 EMC P2 EMC P3", want: "P3"},
	{name: "neutral sections balance", reason: "14.6.1", content: "/OC /B BDC /Artifact BMC P1 EMC P2 EMC P3", want: "P3"},
	{name: "state survives", reason: "8.11.3.1", content: "/OC /B BDC 1 0 0 rg 1 0 0 1 30 0 cm P1 EMC P2", want: "1 0 0 rg 1 0 0 1 30 0 cm P2"},
	{name: "clip survives", reason: "8.11.3.1, 8.5.4", content: "/OC /B BDC 10 10 15 5 re W f EMC P1 P2", want: "10 10 15 5 re W n P1 P2"},
	{name: "q and Q are apart from marks", reason: "8.4.2", content: "/OC /B BDC q 1 0 0 rg P1 EMC P2 Q P3", want: "q 1 0 0 rg P2 Q P3"},
	{name: "the painting operator decides", reason: "8.5.3", content: "/OC /B BDC 10 10 8 8 re EMC 20 10 8 8 re f", want: "10 10 8 8 re 20 10 8 8 re f"},
	{name: "hidden text advances", reason: "8.11.3.1, 9.4.4; (556 + 556 + 944) / 1000 of 20", content: "BT /F 20 Tf 5 50 Td /OC /B BDC (aaW) Tj EMC (n) Tj ET",
		want: "BT /F 20 Tf 46.12 50 Td (n) Tj ET", features: []string{testpdf.FeatureHiddenAdvance}},
	{name: "form with OC", reason: "8.11.3.3", content: "/X30 Do /X31 Do P3", want: "P1 P3",
		objects: []testpdf.Object{testpdf.Form(30, "/OC 5 0 R", "P1"), testpdf.Form(31, "/OC 6 0 R", "P2")}},
	{name: "form with its own section", reason: "8.11.3.2", content: "/X30 Do P3", want: "P1 P3",
		objects: []testpdf.Object{testpdf.Form(30, "/Resources <</Properties <</A 6 0 R>>>>", "P1 /OC /A BDC P2 EMC")}},
	{name: "AllOn of A and B", reason: "Table 99", content: "/OC /M30 BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AllOn>>")}},
	{name: "AnyOff of A and B", reason: "Table 99", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AnyOff>>")}},
	{name: "AllOff of B alone", reason: "Table 99; renderers ignore P of a single group", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs 6 0 R /P /AllOff>>")}},
	{name: "no groups", reason: "Table 99: no effect; renderers hide", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [null] /P /AnyOff>>")}},
	{name: "expression", reason: "8.11.2.2", content: "/OC /M30 BDC P1 EMC /OC /M31 BDC P2 EMC P3", want: "P1 P3", objects: []testpdf.Object{
		testpdf.Obj(30, "<</Type /OCMD /VE [/And 5 0 R [/Not 6 0 R]]>>"), testpdf.Obj(31, "<</Type /OCMD /VE [/And 5 0 R 6 0 R]>>")}},
	{name: "direct OCMD as property", reason: "Table 99", content: "/OC /D BDC P1 EMC P2", want: "P2",
		properties: "/D <</Type /OCMD /OCGs [6 0 R]>>"},
	{name: "direct OCMD on a form", reason: "8.11.3.3", content: "/X30 Do P2", want: "P2",
		objects: []testpdf.Object{testpdf.Form(30, "/OC <</Type /OCMD /OCGs 6 0 R>>", "P1")}},
	{name: "unlisted group", reason: "8.11.4.2 makes it malformed; it is off like any other", content: "/OC /M30 BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCG /Name (U)>>")}},
	{name: "usage does not matter", reason: "8.11.4.4: only with AS; an explicit choice overrides", content: "/OC /A BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(5, "<</Type /OCG /Name (A) /Usage <</View <</ViewState /OFF>> /Print <</PrintState /OFF>>>>>>")}},
	{name: "design intent", reason: "8.11.2.3; chosen like any other", content: "/OC /B BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(6, "<</Type /OCG /Name (B) /Intent /Design>>")}},
	{name: "group without a type", reason: "listed, so it is a group", content: "/OC /B BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(6, "<</Name (B)>>")}},
	{name: "annotation with OC", reason: "8.11.3.3", content: "P3", want: "P1 P3", annots: "[31 0 R 32 0 R]", objects: annotations()},
}

// annotations draw P1 in A and P2 in B.
func annotations() []testpdf.Object {
	return []testpdf.Object{
		testpdf.Form(33, "", "P1"), testpdf.Form(34, "", "P2"),
		testpdf.Obj(31, "<</Type /Annot /Subtype /Square /F 4 /Rect [0 0 100 100] /OC 5 0 R /AP <</N 33 0 R>>>>"),
		testpdf.Obj(32, "<</Type /Annot /Subtype /Square /F 4 /Rect [0 0 100 100] /OC 6 0 R /AP <</N 34 0 R>>>>"),
	}
}

func (c drawn) layered(layout testpdf.Layout) []byte {
	resources := "<</Font <</F 29 0 R>> /Properties <</A 5 0 R /B 6 0 R /C 7 0 R /M30 30 0 R /M31 31 0 R " + c.properties +
		">> /XObject <</X30 30 0 R /X31 31 0 R>>>>"
	entries := ""
	if c.annots != "" {
		entries = "/Annots " + c.annots
	}
	return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B", "C"}, Objects: c.objects, Layout: layout,
		Pages: []testpdf.Page{{Content: c.content, Resources: resources, Entries: entries}}})
}

func (c drawn) plain() []byte {
	return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: c.want}}})
}

// chosen is A and C, objects 5 and 7.
func chosen(obj int) bool { return obj == 5 || obj == 7 }

// The reference copy of a layered page must look like the page written by
// hand with only what is to be seen.
func TestReferenceShowsTheChosen(t *testing.T) {
	for i, c := range drawnCases {
		t.Run(c.name, func(t *testing.T) {
			layout := testpdf.Layout{ObjectStreams: i%2 == 1, Compress: i%3 == 1}
			got, err := testpdf.Reference(c.layered(layout), chosen)
			if err != nil {
				t.Fatal(err)
			}
			if Same(t, c.plain(), got, c.features...) == 0 {
				t.Error("no renderer was asked")
			}
		})
	}
}

// A comparison that cannot fail would prove nothing.
func TestSameSeesADifference(t *testing.T) {
	a, b := drawn{want: "P1 P2"}, drawn{want: "P1 P2 30 30 m 31 30 l S"}
	for _, r := range Renderers(t) {
		one, err1 := r.Draw(a.plain(), DPI)
		two, err2 := r.Draw(b.plain(), DPI)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if d := testpdf.Compare(one[0], two[0]); d.Equal() || d.Pixels > 20 {
			t.Errorf("%s: a line of one unit: %v", r.Name, d)
		}
	}
}
