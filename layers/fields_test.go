package layers

import (
	"bytes"
	"context"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

func TestSignatures(t *testing.T) {
	doc := testpdf.Doc{
		Groups: []string{"A", "B"}, Catalog: "/Perms <</DocMDP 41 0 R>> /DSS <<>> /AcroForm <</Fields [40 0 R] /SigFlags 3>>",
		Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC", Entries: "/Annots [40 0 R]"}},
		Objects: []testpdf.Object{
			testpdf.Obj(40, "<</Type /Annot /Subtype /Widget /Rect [0 0 9 9] /FT /Sig /T (signed) /V 41 0 R>>"),
			testpdf.Obj(41, "<</Type /Sig /Filter /Adobe.PPKLite /Contents (SECRET)>>"),
		},
	}
	out, report := isolateNamed(t, testpdf.Build(doc), "A")
	if where := find(t, out).where("SECRET"); len(where) > 0 {
		t.Errorf("the signature is left in %v", where)
	}
	if !warned(report, "the file was signed") {
		t.Errorf("warnings %v", report.Warnings)
	}
	now := open(t, out)
	root, _ := now.file.PDF.Root()
	form := pdf.AsDict(now.file.PDF, root["AcroForm"])
	if root["Perms"] != nil || root["DSS"] != nil || form["SigFlags"] != nil || len(pdf.AsArray(now.file.PDF, form["Fields"])) != 1 {
		t.Errorf("catalog %v, form %v", root, form)
	}

	doc.Catalog, doc.Objects[0] = "", testpdf.Obj(40, "<</Type /Annot /Subtype /Widget /Rect [0 0 9 9] /FT /Sig /T (blank)>>")
	if _, report := isolateNamed(t, testpdf.Build(doc), "A"); warned(report, "signed") {
		t.Errorf("an empty signature field is taken for a signature: %v", report.Warnings)
	}
}

// TestFieldsOfForm: a field goes with its last widget, and its value with it (12.7).
func TestFieldsOfForm(t *testing.T) {
	widget := "/Type /Annot /Subtype /Widget /Rect [0 0 9 9] "
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Catalog: "/AcroForm <</Fields [40 0 R 41 0 R 44 0 R] /CO [40 0 R 44 0 R]>>",
		Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC", Entries: "/Annots [40 0 R 42 0 R 43 0 R 45 0 R 46 0 R]"}},
		Objects: []testpdf.Object{
			testpdf.Obj(40, "<<"+widget+"/FT /Tx /T (one) /V (SECRET) /OC 6 0 R>>"),
			testpdf.Obj(41, "<</FT /Tx /T (two) /V (SECRET) /Kids [42 0 R 43 0 R]>>"),
			testpdf.Obj(42, "<<"+widget+"/Parent 41 0 R /OC 6 0 R>>"), testpdf.Obj(43, "<<"+widget+"/Parent 41 0 R /OC 6 0 R>>"),
			testpdf.Obj(44, "<</FT /Tx /T (three) /V (stays) /Kids [45 0 R 46 0 R]>>"),
			testpdf.Obj(45, "<<"+widget+"/Parent 44 0 R /OC 6 0 R>>"), testpdf.Obj(46, "<<"+widget+"/Parent 44 0 R>>"),
		},
	})
	out, report := isolateNamed(t, file, "A")
	if where := find(t, out).where("SECRET"); len(where) > 0 {
		t.Errorf("a value is left in %v", where)
	}
	doc := open(t, out)
	root, _ := doc.file.PDF.Root()
	form := pdf.AsDict(doc.file.PDF, root["AcroForm"])
	fields, order := pdf.AsArray(doc.file.PDF, form["Fields"]), pdf.AsArray(doc.file.PDF, form["CO"])
	if len(fields) != 1 || len(order) != 1 || fields[0] != order[0] {
		t.Fatalf("fields %v, order %v, want the third alone", fields, order)
	}
	if kids := pdf.AsArray(doc.file.PDF, pdf.AsDict(doc.file.PDF, fields[0])["Kids"]); len(kids) != 1 || pdf.AsDict(doc.file.PDF, kids[0]) == nil {
		t.Errorf("widgets %v, want one", kids)
	}
	if !warned(report, "form fields") {
		t.Errorf("warnings %v", report.Warnings)
	}
}

// TestFormStays: a form whose fields all stay is as it was.
func TestFormStays(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Catalog: "/AcroForm <</Fields [40 0 R] /DR <<>>>>",
		Pages:   []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC", Entries: "/Annots [40 0 R]"}},
		Objects: []testpdf.Object{testpdf.Obj(40, "<</Type /Annot /Subtype /Widget /Rect [0 0 9 9] /FT /Tx /T (one) /V (stays)>>")},
	})
	doc := open(t, file)
	var out bytes.Buffer
	report, err := doc.Isolate(context.Background(), &out, Selection{Layers: []int{0}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if warned(report, "form fields") {
		t.Errorf("warnings %v", report.Warnings)
	}
	if where := find(t, out.Bytes()).where("stays"); len(where) == 0 {
		t.Error("the value is gone")
	}
}

// TestFields: a form field whose only widget goes has no value left in the
// file (12.7.3).
func TestFields(t *testing.T) {
	doc := annotated("P1", []string{"/Subtype /Widget /FT /Tx /T (x) /V (SECRET) /OC 6 0 R"})
	doc.Catalog = "/AcroForm <</Fields [40 0 R]>>"
	out := isolated(t, doc, "A")
	if where := find(t, out.file).where("SECRET"); len(where) > 0 {
		t.Errorf("the value is left in %v", where)
	}
}
