package layers

import (
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestWithin: which of the layers A and B, on which nothing is drawn, stand
// within something that the page uses.
func TestWithin(t *testing.T) {
	section, both := "/OC /A BDC P1 EMC", "/Resources <</Properties <</A 5 0 R>>>>"
	mask := testpdf.Form(30, both, section)
	for _, c := range []struct {
		name, resources, content string
		entries                  string
		objects                  []testpdf.Object
		want                     string
	}{
		{name: "nothing", content: "P1"},
		{name: "a tiling pattern (8.7.3)", resources: "/Pattern <</P 30 0 R>>", objects: []testpdf.Object{cell(30, both, section)}, want: "A"},
		{name: "of two layers by one membership", resources: "/Pattern <</P 30 0 R>>",
			objects: []testpdf.Object{cell(30, "/Resources <</Properties <</M <</Type /OCMD /OCGs [5 0 R 6 0 R]>>>>>>", "/OC /M BDC P1 EMC")}, want: "A B"},
		{name: "a form with a group in a pattern", resources: "/Pattern <</P 30 0 R>>", objects: []testpdf.Object{
			cell(30, "/Resources <</XObject <</X 31 0 R>>>>", "/X Do"), testpdf.Form(31, "/OC 6 0 R", "P1"),
		}, want: "B"},
		{name: "an image with a group in a pattern", resources: "/Pattern <</P 30 0 R>>", objects: []testpdf.Object{
			cell(30, "/Resources <</XObject <</X 31 0 R>>>>", "/X Do"), picture(31, "/OC 6 0 R"),
		}, want: "B"},
		{name: "a soft mask (11.6.5.3)", resources: "/ExtGState <</G <</SMask <</S /Alpha /G 30 0 R>>>>>>", objects: []testpdf.Object{mask}, want: "A"},
		{name: "a soft mask with a group", resources: "/ExtGState <</G 31 0 R>>",
			objects: []testpdf.Object{testpdf.Form(30, "/OC 6 0 R", "P1"), testpdf.Obj(31, "<</SMask <</S /Alpha /G 30 0 R>>>>")}, want: "B"},
		{name: "glyphs (9.6.5)", resources: "/Font <</T 40 0 R>>", objects: type3(40, both, section, "P1"), want: "A"},
		{name: "glyphs by gs", resources: "/ExtGState <</G <</Font [40 0 R 9]>>>>", objects: type3(40, both, section, "P1"), want: "A"},
		{name: "a pattern in a form", resources: "/XObject <</X 31 0 R>>", content: "/X Do", objects: []testpdf.Object{
			testpdf.Form(31, "/Resources <</Pattern <</P 30 0 R>>>>", "P2"), cell(30, both, section),
		}, want: "A"},
		{name: "a form alone draws on the page", resources: "/XObject <</X 30 0 R>>", content: "/X Do", objects: []testpdf.Object{mask}},
		{name: "a pattern that no page has", objects: []testpdf.Object{cell(30, both, section)}},
		{name: "patterns in a ring", resources: "/Pattern <</P 30 0 R>>", objects: []testpdf.Object{
			cell(30, "/Resources <</Pattern <</P 31 0 R>>>>", "P1"), cell(31, "/Resources <</Pattern <</P 30 0 R>> /Properties <</A 5 0 R>>>>", section),
		}, want: "A"},
		{name: "an appearance's pattern", entries: "/Annots [<</Subtype /Square /Rect [0 0 9 9] /AP <</N 31 0 R>>>>]", objects: []testpdf.Object{
			testpdf.Form(31, "/Resources <</Pattern <</P 30 0 R>>>>", "P2"), cell(30, both, section),
		}, want: "A"},
		{name: "what is drawn on the page too", resources: "/Properties <</A 5 0 R>> /Pattern <</P 30 0 R>>", content: section,
			objects: []testpdf.Object{cell(30, "/Resources <</Properties <</A 5 0 R /B 6 0 R>>>>", section)}, want: "A B"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := inspect(t, testpdf.Build(testpdf.Doc{
				Groups: []string{"A", "B"}, Objects: c.objects,
				Pages: []testpdf.Page{{Content: c.content, Entries: c.entries, Resources: "<<" + c.resources + ">>"}},
			}))
			var got []string
			for _, l := range in.Layers {
				if l.Within {
					got = append(got, l.Name)
				}
			}
			if slices.Sort(got); strings.Join(got, " ") != c.want {
				t.Errorf("within: %q, want %q", got, c.want)
			}
		})
	}
}
