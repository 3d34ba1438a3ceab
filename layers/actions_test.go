package layers

import (
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestActions: SetOCGState (12.6.4.12) loses the groups that go. A is object
// 5, B, which goes, 6.
func TestActions(t *testing.T) {
	next := "/Next <</S /URI /URI (u)>>"
	for _, c := range []struct{ name, action, want string }{
		{"groups that go", "/State [/OFF 6 0 R /Toggle 5 0 R 6 0 R]", "SetOCGState Toggle A"},
		{"nothing is left", "/State [/ON 6 0 R]", "none"},
		{"nothing is left, what comes next does", "/State [/ON 6 0 R] " + next, "URI"},
		{"nothing is left, several come next", "/State [/ON 6 0 R] /Next <</S /SetOCGState /State [/OFF 6 0 R] " + next + ">>", "URI"},
		{"nothing is left, a list comes next", "/State [/ON 6 0 R] /Next [<</S /URI /URI (u)>> <</S /Named /N /NextPage>>]", "URI then Named"},
		{"all stay", "/State [/ON 5 0 R] " + next, "SetOCGState ON A"},
		{"a name without groups", "/State [/ON /OFF 5 0 R]", "SetOCGState OFF A"},
	} {
		for _, place := range []string{"open action", "link", "indirect", "page event"} {
			t.Run(c.name+", "+place, func(t *testing.T) {
				action := "<</S /SetOCGState " + c.action + ">>"
				d := testpdf.Doc{Groups: []string{"A", "B"}}
				page := testpdf.Page{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}
				switch place {
				case "open action":
					d.Catalog = "/OpenAction " + action
				case "link":
					page.Entries = "/Annots [<</Type /Annot /Subtype /Link /Rect [0 0 9 9] /A " + action + ">>]"
				case "indirect":
					d.Catalog = "/OpenAction 40 0 R"
					d.Objects = []testpdf.Object{testpdf.Obj(40, action)}
				case "page event":
					page.Entries = "/AA <</O " + action + ">>"
				}
				d.Pages = []testpdf.Page{page}
				out, _ := isolateNamed(t, testpdf.Build(d), "A")
				if got := actionAt(open(t, out), place); got != c.want {
					t.Errorf("got %q, want %q", got, c.want)
				}
				flat, _ := flattened(t, testpdf.Build(d), Selection{Layers: []int{0}})
				if where := find(t, flat).where("SetOCGState"); len(where) > 0 {
					t.Errorf("flattened, an action is left in %v", where)
				}
			})
		}
	}
}

// TestActionsInARow: indirect actions that all go, up to one that stays.
func TestActionsInARow(t *testing.T) {
	out, _ := isolateNamed(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Catalog: "/OpenAction 40 0 R",
		Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}},
		Objects: []testpdf.Object{
			testpdf.Obj(40, "<</S /SetOCGState /State [/ON 6 0 R] /Next 41 0 R>>"),
			testpdf.Obj(41, "<</S /SetOCGState /State [/ON 6 0 R] /Next 42 0 R>>"),
			testpdf.Obj(42, "<</S /SetOCGState /State [/OFF 6 0 R 5 0 R] /Next 40 0 R>>"),
		},
	}), "A")
	if got := actionAt(open(t, out), "open action"); got != "SetOCGState OFF A" {
		t.Errorf("got %q", got)
	}
}

// actionAt describes the action at a place.
func actionAt(doc *Document, place string) string {
	root, _ := doc.file.PDF.Root()
	o := root["OpenAction"]
	page := doc.file.PDF.Pages()[0].Dict
	switch place {
	case "link":
		o = pdf.AsDict(doc.file.PDF, pdf.AsArray(doc.file.PDF, page["Annots"])[0])["A"]
	case "page event":
		o = pdf.AsDict(doc.file.PDF, page["AA"])["O"]
	}
	a := pdf.AsDict(doc.file.PDF, o)
	if a == nil {
		return "none"
	}
	text := string(pdf.AsName(doc.file.PDF, a["S"]))
	for _, v := range pdf.AsArray(doc.file.PDF, a["State"]) {
		if ref, ok := v.(pdf.Ref); ok {
			text += " " + doc.file.Group(ref).Layer.Name
			continue
		}
		text += " " + string(pdf.AsName(doc.file.PDF, v))
	}
	for _, v := range pdf.AsArray(doc.file.PDF, a["Next"]) {
		text += " then " + string(pdf.AsName(doc.file.PDF, pdf.AsDict(doc.file.PDF, v)["S"]))
	}
	return text
}
