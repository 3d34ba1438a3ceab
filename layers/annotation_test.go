package layers

import (
	"fmt"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// annotated is a page with annotations, objects 40 and up, in that order; more
// objects may follow.
func annotated(content string, annotations []string, objects ...testpdf.Object) testpdf.Doc {
	var refs []string
	for i, a := range annotations {
		refs = append(refs, fmt.Sprintf("%d 0 R", 40+i))
		objects = append(objects, testpdf.Obj(40+i, "<</Type /Annot /Rect [10 20 30 60] "+a+">>"))
	}
	return testpdf.Doc{
		Groups: []string{"A", "B", "C"}, Objects: objects,
		Pages: []testpdf.Page{{Content: content, Entries: "/Annots [" + strings.Join(refs, " ") + "]"}},
	}
}

// kept are the subtypes and contents of a page's annotations.
func (r result) annotations(page int) string {
	var list []string
	for _, o := range pdf.AsArray(r.doc, r.at(page, "Annots")) {
		d := pdf.AsDict(r.doc, o)
		s, _ := pdf.AsString(r.doc, d["Contents"])
		list = append(list, string(pdf.AsName(r.doc, d["Subtype"]))+"("+string(s)+")")
	}
	return strings.Join(list, " ")
}

// TestAnnotations: an annotation of a dropped group goes with its pop-up
// window (8.11.3.3, 12.5.2, 12.5.6.14). A and C are chosen.
func TestAnnotations(t *testing.T) {
	for _, c := range []struct {
		name        string
		annotations []string
		want        string
	}{
		{"in no layer", []string{"/Subtype /Square /Contents (a)", "/Subtype /Link"}, "Square(a) Link()"},
		{"dropped", []string{"/Subtype /Square /OC 6 0 R /Contents (SECRET)", "/Subtype /Link"}, "Link()"},
		{"the only one", []string{"/Subtype /Square /OC 6 0 R /Contents (SECRET)"}, ""},
		{"kept", []string{"/Subtype /Square /OC 5 0 R /Contents (a)"}, "Square(a)"},
		{"dropped membership", []string{"/Subtype /Square /OC <</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AllOn>> /Contents (SECRET)"}, ""},
		{"membership that is true", []string{"/Subtype /Square /OC <</Type /OCMD /OCGs 6 0 R /P /AllOff>> /Contents (a)"}, "Square(a)"},
		{"flags do not count", []string{"/Subtype /Square /F 2 /OC 5 0 R", "/Subtype /Square /F 4 /OC 6 0 R /Contents (SECRET)"}, "Square()"},
		{"pop-up behind it", []string{"/Subtype /Text /OC 6 0 R /Popup 41 0 R /Contents (SECRET)", "/Subtype /Popup /Parent 40 0 R /Contents (SECRET)"}, ""},
		{"pop-up before it", []string{"/Subtype /Popup /Parent 41 0 R /Contents (SECRET)", "/Subtype /Text /OC 6 0 R /Popup 40 0 R /Contents (SECRET)", "/Subtype /Link"}, "Link()"},
		{"pop-up of a kept one", []string{"/Subtype /Text /OC 5 0 R /Popup 41 0 R", "/Subtype /Popup /Parent 40 0 R"}, "Text() Popup()"},
		{"appearance of a dropped one", []string{"/Subtype /Square /OC 6 0 R /AP <</N 60 0 R>>"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			out := isolated(t, annotated("P1", c.annotations, testpdf.Form(60, markerOf, "P1")), "A", "C")
			if got := out.annotations(0); got != c.want {
				t.Errorf("annotations %q, want %q", got, c.want)
			}
			if got := out.data(0, "Contents"); got != testpdf.Marks("P1") {
				t.Errorf("content %q", got)
			}
			if where := find(t, out.file).where("SECRET"); len(where) > 0 {
				t.Errorf("the marker is left in %v", where)
			}
		})
	}
}

// TestAnnotationMembership: the OC entry of an annotation that stays is
// brought up to date.
func TestAnnotationMembership(t *testing.T) {
	out := isolated(t, annotated("P1", []string{
		"/Subtype /Square /OC 5 0 R", "/Subtype /Square /OC <</Type /OCMD /OCGs [5 0 R 6 0 R]>>",
		"/Subtype /Square /OC <</Type /OCMD /OCGs 6 0 R /P /AllOff>>",
	}), "A", "C")
	for i, want := range []string{"A", "A", ""} {
		if got := out.group(0, fmt.Sprintf("Annots/%d/OC", i)); got != want {
			t.Errorf("annotation %d is in %q, want %q", i, got, want)
		}
	}
}

// TestAppearances: every appearance of every state is filtered like a form
// (12.5.5, Table 168).
func TestAppearances(t *testing.T) {
	stream := func(num int, n int) testpdf.Object {
		return testpdf.Form(num, "/Resources <<"+properties3+">>", fmt.Sprintf("/OC /B BDC P9 EMC P%d", n))
	}
	doc := annotated("P1 /OC /B BDC P2", []string{
		"/Subtype /Stamp /AP <</N 60 0 R /R 61 0 R /D 62 0 R>>",
		"/Subtype /Widget /AS /On /AP <</N <</On 63 0 R /Off 64 0 R>> /D 70 0 R>>",
		"/Subtype /Stamp /AP 71 0 R",
		"/Subtype /Stamp /AP <</N 67 0 R>>",
		"/Subtype /Stamp /AP <</N 68 0 R>>",
	}, stream(60, 1), stream(61, 2), stream(62, 3), stream(63, 4), stream(64, 5), stream(65, 6), stream(66, 7),
		testpdf.Obj(70, "<</On 65 0 R /Off null>>"), testpdf.Obj(71, "<</N 66 0 R>>"),
		testpdf.Form(67, "/OC 5 0 R /Resources <<"+properties3+">>", "/OC /B BDC P9 EMC P8"),
		testpdf.Form(68, "/OC 6 0 R /Resources <</Font <</F 29 0 R>>>> "+"/Group <</S /Transparency>>", "P9"))
	out, report := isolateNamed(t, testpdf.Build(doc), "A", "C")
	r := reopened(t, out)
	for path, want := range map[string]string{
		"Annots/0/AP/N": "P1", "Annots/0/AP/R": "P2", "Annots/0/AP/D": "P3",
		"Annots/1/AP/N/On": "P4", "Annots/1/AP/N/Off": "P5", "Annots/1/AP/D/On": "P6",
		"Annots/2/AP/N": "P7", "Annots/3/AP/N": "P8", "Annots/4/AP/N": "",
	} {
		if got := r.data(0, path); got != testpdf.Marks(want) {
			t.Errorf("%s is %q, want %q", path, got, testpdf.Marks(want))
		}
	}
	if got := r.data(0, "Contents"); got != testpdf.Marks("P1") {
		t.Errorf("content %q", got)
	}
	if find(t, out).has("90 10 8 8") {
		t.Error("a dropped mark is left")
	}
	if len(report.Warnings) != 1 || report.Warnings[0].Page != 1 || !strings.Contains(report.Warnings[0].Text, "appearance") {
		t.Errorf("warnings %v, want one about the appearance of a dropped group", report.Warnings)
	}
}
