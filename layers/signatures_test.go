package layers

import (
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
