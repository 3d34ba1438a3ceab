package layers

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// found is everything that a file holds: each object as text, the decoded data
// of each stream, and the bytes of the file itself.
type found struct{ places map[string]string }

// find reads a file with the packages below this one and gives all of it.
func find(tb testing.TB, file []byte) found {
	tb.Helper()
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		tb.Fatalf("open the output: %v", err)
	}
	f := found{map[string]string{"bytes of the file": string(file)}}
	for _, ref := range doc.Refs() {
		o := doc.Object(ref)
		if st, ok := o.(*pdf.Stream); ok {
			data, err := pdf.Decode(context.Background(), doc, st, 0)
			if err != nil {
				data = st.Raw
			}
			f.places[fmt.Sprintf("data of object %d", ref)] = string(data)
			o = st.Dict
		}
		f.places[fmt.Sprintf("object %d", ref)] = spelled(o)
	}
	return f
}

// spelled is an object as text with its strings and names as they are.
func spelled(o pdf.Object) string {
	var b strings.Builder
	switch o := o.(type) {
	case pdf.Array:
		for _, v := range o {
			b.WriteString(spelled(v) + " ")
		}
		return "[" + b.String() + "]"
	case pdf.Dict:
		for _, k := range o.Keys() {
			b.WriteString("/" + string(k) + " " + spelled(o[k]) + " ")
		}
		return "<<" + b.String() + ">>"
	case pdf.Name:
		return "/" + string(o)
	case pdf.String:
		return "(" + string(o) + ")"
	case pdf.Ref:
		return fmt.Sprintf("%d 0 R", o)
	default:
		return fmt.Sprint(o)
	}
}

// has tells whether a text is anywhere.
func (f found) has(text string) bool { return len(f.where(text)) > 0 }

// where lists the places of a text.
func (f found) where(text string) []string {
	var list []string
	for place, s := range f.places {
		if strings.Contains(s, text) {
			list = append(list, place)
		}
	}
	return list
}

// planted is one place in which something of the layer B is hidden. Every
// marker begins with SECRET and a number.
type planted struct {
	name    string
	content string
	// resources are entries by category.
	resources map[string]string
	objects   []testpdf.Object
	page      string // entries of the page
	catalog   string // entries of the catalog
	config    string // entries of the default configuration
}

// planting lists every place that Isolate clears.
func planting() []planted {
	in := func(category, entry string) map[string]string { return map[string]string{category: entry} }
	return []planted{
		{name: "text", content: "/OC /B BDC BT /F 9 Tf (SECRET) Tj ET EMC"},
		{name: "adjusted text", content: "/OC /B BDC BT /F 9 Tf [(x) 3 (SECRET)] TJ ET EMC"},
		{name: "text on a new line", content: "/OC /B BDC BT /F 9 Tf (SECRET) ' 1 2 (SECRET) \" ET EMC"},
		{name: "text before kept text", content: "/OC /B BDC BT /F 9 Tf (SECRET) Tj EMC (A) Tj ET"},
		{name: "comment", content: "/OC /B BDC % SECRET\n1 0 0 rg % SECRET\nEMC"},
		{name: "property list in place", content: "/OC /B BDC /Span <</ActualText (SECRET)>> BDC EMC EMC"},
		{name: "marked point", content: "/OC /B BDC /SECRET MP /SECRET <</K (SECRET)>> DP EMC"},
		{name: "unknown operator", content: "/OC /B BDC BX (SECRET) zz EX EMC"},
		{name: "inline image", content: "/OC /B BDC BI /W 6 /H 1 /BPC 8 /CS /G ID SECRET EI EMC"},
		{name: "section within", content: "/OC /B BDC /OC /A BDC BT /F 9 Tf (SECRET) Tj ET EMC EMC"},
		{name: "property list by name", content: "/OC /B BDC /Span /Q BDC EMC EMC", resources: in("Properties", "/Q <</ActualText (SECRET)>>")},
		{name: "section with another tag", content: "/Span /B BDC EMC"},
		{name: "section never closed", content: "/X0 Do", resources: in("XObject", "/X0 127 0 R"),
			objects: []testpdf.Object{testpdf.Form(127, "", "P1 q /OC /B BDC BT /F 9 Tf (SECRET) Tj ET Q")}},
		{name: "font", content: "/OC /B BDC q EMC Q", resources: in("Font", "/SECRET <</Type /Font /BaseFont /SECRET>>")},
		{name: "graphics state", resources: in("ExtGState", "/SECRET <</Type /ExtGState /Name (SECRET)>>")},
		{name: "colour space", resources: in("ColorSpace", "/SECRET [/Separation /SECRET /DeviceGray 29 0 R]")},
		{name: "form", content: "/OC /B BDC /SECRET Do EMC", resources: in("XObject", "/SECRET 100 0 R"),
			objects: []testpdf.Object{testpdf.Form(100, "/Resources <</Font <</G <</BaseFont /SECRET>>>>>>", "BT /G 9 Tf (SECRET) Tj ET")}},
		{name: "form of its own", content: "/X1 Do", resources: in("XObject", "/X1 101 0 R"),
			objects: []testpdf.Object{testpdf.Form(101, "/OC 6 0 R", "% SECRET")}},
		{name: "section in a form", content: "/X2 Do", resources: in("XObject", "/X2 102 0 R"),
			objects: []testpdf.Object{testpdf.Form(102, "/Resources <</Properties <</SECRET 6 0 R>>>>", "P1 /OC /SECRET BDC P2 % SECRET\nEMC")}},
		{name: "image", content: "/OC /B BDC /I3 Do EMC", resources: in("XObject", "/I3 103 0 R"), objects: []testpdf.Object{picture(103, "/Marker (SECRET)")}},
		{name: "alternate", content: "/I4 Do", resources: in("XObject", "/I4 104 0 R"),
			objects: []testpdf.Object{picture(104, "/Alternates [<</Image 105 0 R>>]"), picture(105, "/Marker (SECRET)")}},
		{name: "shading", content: "/OC /B BDC /SECRET sh EMC", resources: in("Shading", "/SECRET <</ShadingType 2 /Marker (SECRET)>>")},
		{name: "pattern", resources: in("Pattern", "/SECRET 106 0 R"), objects: []testpdf.Object{cell(106, "/Marker (SECRET)", "% SECRET")}},
		{name: "section in a pattern", content: "q /Pattern cs /P7 scn P1 Q", resources: in("Pattern", "/P7 107 0 R"),
			objects: []testpdf.Object{cell(107, "/Resources <</Properties <</SECRET 6 0 R>>>>", "/OC /SECRET BDC P1 % SECRET\nEMC")}},
		{name: "section in a glyph", content: "BT /T8 9 Tf (b) Tj ET", resources: in("Font", "/T8 110 0 R"),
			objects: type3(110, "/Resources <</Properties <</SECRET 6 0 R>>>>", "1000 0 d0", "1000 0 d0 /OC /SECRET BDC P2 % SECRET\nEMC")},
		{name: "section in a soft mask", content: "q /G9 gs P1 Q", resources: in("ExtGState", "/G9 <</SMask <</S /Alpha /G 113 0 R>>>>"),
			objects: []testpdf.Object{testpdf.Form(113, "/Resources <</Properties <</SECRET 6 0 R>>>>", "/OC /SECRET BDC P2 % SECRET\nEMC")}},
		{name: "annotation", page: "/Annots [114 0 R 115 0 R]", objects: []testpdf.Object{
			testpdf.Obj(114, "<</Subtype /Text /OC 6 0 R /Contents (SECRET) /Popup 115 0 R /Rect [0 0 9 9]>>"),
			testpdf.Obj(115, "<</Subtype /Popup /Parent 114 0 R /Contents (SECRET) /Rect [0 0 9 9]>>"),
		}},
		{name: "appearance", page: "/Annots [116 0 R]", objects: []testpdf.Object{
			testpdf.Obj(116, "<</Subtype /Square /AP <</N 117 0 R>> /Rect [0 0 9 9]>>"),
			testpdf.Form(117, "/Resources <</Properties <</SECRET 6 0 R>>>>", "/OC /SECRET BDC P2 % SECRET\nEMC"),
		}},
		{name: "membership", content: "/OC /M BDC P1 EMC", resources: in("Properties", "/M <</Type /OCMD /OCGs [5 0 R 6 0 R] /VE [/Or 5 0 R [/And 6 0 R 7 0 R]]>>")},
		{name: "membership of a page", page: "/OC 118 0 R", objects: []testpdf.Object{testpdf.Obj(118, "<</Type /OCMD /OCGs 6 0 R /Marker (SECRET)>>")}},
		{name: "label and order", config: "/Order [[(SECRET) 6 0 R] 5 0 R]"},
		{name: "applications of usage", config: "/AS [<</Event /View /OCGs [6 0 R] /Marker (SECRET)>>]"},
		{name: "name of the configuration's further keys", config: "/Private (SECRET)"},
		{name: "private data of a page", page: "/PieceInfo <</Drawing <</Private 119 0 R>>>>", objects: []testpdf.Object{testpdf.Stream(119, "", "SECRET")}},
		{name: "private data of the catalog", catalog: "/PieceInfo 120 0 R", objects: []testpdf.Object{testpdf.Obj(120, "<</Drawing (SECRET)>>")}},
		{name: "private data of a form", content: "/X21 Do", resources: in("XObject", "/X21 121 0 R"),
			objects: []testpdf.Object{testpdf.Form(121, "/PieceInfo <</Drawing (SECRET)>>", "P1")}},
		{name: "private data of an image", content: "/I22 Do", resources: in("XObject", "/I22 122 0 R"), objects: []testpdf.Object{picture(122, "/PieceInfo <</Drawing (SECRET)>>")}},
		{name: "thumbnail", page: "/Thumb 123 0 R", objects: []testpdf.Object{picture(123, "/Marker (SECRET)")}},
		{name: "object that nothing refers to", objects: []testpdf.Object{testpdf.Stream(124, "", "SECRET"), testpdf.Obj(125, "(SECRET)")}},
		{name: "group", objects: []testpdf.Object{testpdf.Obj(6, "<</Type /OCG /Name (SECRET) /Usage <</CreatorInfo <</Creator (SECRET)>>>> /Metadata 126 0 R>>"),
			testpdf.Stream(126, "/Type /Metadata /Subtype /XML", "SECRET")}},
	}
}

// doc puts one place, or several, into a document of A, B and C.
func plant(list ...planted) testpdf.Doc {
	var content, page, catalog, config string
	var objects []testpdf.Object
	categories := map[string]string{"Properties": "/A 5 0 R /B 6 0 R ", "Font": "/F 29 0 R "}
	for _, p := range list {
		content += p.content + "\n"
		page, catalog, config = page+" "+p.page, catalog+" "+p.catalog, config+" "+p.config
		objects = append(objects, p.objects...)
		for k, v := range p.resources {
			categories[k] += v + " "
		}
	}
	resources := ""
	for _, k := range []string{"ColorSpace", "ExtGState", "Font", "Pattern", "Properties", "Shading", "XObject"} {
		resources += "/" + k + " <<" + categories[k] + ">> "
	}
	return testpdf.Doc{
		Groups: []string{"A", "SECRET", "C"}, Objects: objects, Catalog: catalog,
		OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R] /D <<" + config + ">>>>",
		Pages:        []testpdf.Page{{Content: content + "P5 /OC /B BDC P6 EMC", Entries: page, Resources: "<<" + resources + ">>"}},
	}
}

// TestGone plants markers of a dropped layer in every place, alone and all
// together, and looks for them in everything that the output holds.
func TestGone(t *testing.T) {
	var all []planted
	used := map[string]bool{}
	for _, p := range planting() {
		t.Run(p.name, func(t *testing.T) {
			file := testpdf.Build(plant(p))
			if !find(t, file).has("SECRET") {
				t.Fatal("the marker is not in the input")
			}
			out, _ := isolateNamed(t, file, "A", "C")
			if where := find(t, out).where("SECRET"); len(where) > 0 {
				t.Errorf("the marker is left in %v", where)
			}
			if got := pageContent(t, out, 0); !strings.Contains(got, testpdf.Marks("P5")) || strings.Contains(got, testpdf.Marks("P6")) {
				t.Errorf("content %q", got)
			}
		})
		// A second entry of one key would hide the first.
		if key := strings.Fields(p.page + p.catalog + " -")[0]; key == "-" || !used[key] {
			used[key] = true
			all = append(all, p)
		}
	}
	for _, layout := range []testpdf.Layout{{}, {ObjectStreams: true, Compress: true}} {
		d := plant(all...)
		d.Layout = layout
		out, _ := isolateNamed(t, testpdf.Build(d), "A", "C")
		if where := find(t, out).where("SECRET"); len(where) > 0 {
			t.Errorf("all together, %+v: the marker is left in %v", layout, where)
		}
	}
}

// TestGoneWithPages: private data and thumbnails go whatever the page object
// says of its type, and from each copy of a form.
func TestGoneWithPages(t *testing.T) {
	for _, c := range []struct {
		name string
		doc  testpdf.Doc
	}{
		{"thumbnail of a page without a type", testpdf.Doc{Objects: []testpdf.Object{
			testpdf.Obj(3, "<</Parent 2 0 R /MediaBox [0 0 9 9] /Contents 4 0 R /Thumb 30 0 R /Resources <</Properties <</B 6 0 R>>>>>>"), picture(30, markerOf),
		}, Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC"}}}},
		{"private data of a form that becomes two", testpdf.Doc{Objects: []testpdf.Object{
			testpdf.Form(30, "/PieceInfo <</Drawing (SECRET)>>", "P1 /OC /V BDC P2 EMC"),
		}, Pages: []testpdf.Page{
			{Content: "/X Do", Resources: "<</Properties <</V 6 0 R>> /XObject <</X 30 0 R>>>>"},
			{Content: "/X Do", Resources: "<</Properties <</V 5 0 R>> /XObject <</X 30 0 R>>>>"},
		}}},
		{"text of the first of two revisions", testpdf.Doc{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.doc.Groups = []string{"A", "B"}
			file := testpdf.Build(c.doc)
			if c.doc.Pages == nil {
				file = twoRevisions()
			}
			if !bytes.Contains(file, []byte("SECRET")) {
				t.Fatal("the marker is not in the input")
			}
			out, _ := isolateNamed(t, file, "A")
			if where := find(t, out).where("SECRET"); len(where) > 0 {
				t.Errorf("the marker is left in %v", where)
			}
		})
	}
}

// twoRevisions is a file whose page content was replaced by an update (7.5.6).
func twoRevisions() []byte {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "/OC /B BDC BT /F 9 Tf (SECRET) Tj ET EMC"}},
	})
	first := bytes.LastIndex(file, []byte("startxref\n"))
	var prev int
	fmt.Sscan(string(file[first+len("startxref\n"):]), &prev)
	at := len(file)
	file = append(file, "4 0 obj\n<</Length 13>>\nstream\n1 1 7 7 re f Q\nendstream\nendobj\n"...)
	table := len(file)
	return fmt.Appendf(file, "xref\n4 1\n%010d 00000 n \ntrailer\n<</Size 30 /Root 1 0 R /Prev %d>>\nstartxref\n%d\n%%%%EOF\n", at, prev, table)
}

// TestKept: what is in no layer, or says nothing of one, stays where a layer
// goes.
func TestKept(t *testing.T) {
	doc := plant(planting()...)
	doc.Catalog = "/Lang (en-GB) /Outlines 140 0 R /ViewerPreferences <</DisplayDocTitle true>> /OutputIntents [<</S /GTS_PDFX /OutputConditionIdentifier (KEPT1)>>]"
	doc.Pages[0].Entries = "/Rotate 90 /UserUnit 2 /CropBox [1 2 90 80] /TrimBox [3 3 50 50] /Group <</S /Transparency>> /Annots [141 0 R]"
	doc.Objects = append(doc.Objects,
		testpdf.Obj(140, "<</First 142 0 R /Last 142 0 R /Count 1>>"), testpdf.Obj(142, "<</Title (KEPT2) /Parent 140 0 R /Dest [3 0 R /Fit]>>"),
		testpdf.Obj(141, "<</Subtype /Link /Rect [0 0 9 9] /A <</S /URI /URI (KEPT3)>>>>"))
	file := testpdf.Build(doc)
	out, _ := isolateNamed(t, file, "A", "C")
	for _, text := range []string{"KEPT1", "KEPT2", "KEPT3", "en-GB", "DisplayDocTitle"} {
		if !find(t, out).has(text) {
			t.Errorf("%s is gone", text)
		}
	}
	was, now := reopened(t, file), reopened(t, out)
	a, b := was.doc.Pages()[0], now.doc.Pages()[0]
	if a.MediaBox != b.MediaBox || a.CropBox != b.CropBox || a.Rotate != b.Rotate || a.UserUnit != b.UserUnit {
		t.Errorf("the page was %+v and is %+v", a, b)
	}
	if got, want := spelled(now.at(0, "TrimBox")), spelled(was.at(0, "TrimBox")); got != want {
		t.Errorf("trim box %s, want %s", got, want)
	}
	if now.keys(0, "Group") != "S" {
		t.Error("the page's transparency group is gone")
	}
	if d := pdf.AsArray(now.doc, pdf.AsDict(now.doc, now.doc.Object(b.Ref))["Annots"]); len(d) != 1 {
		t.Errorf("annotations %v", d)
	}
}
