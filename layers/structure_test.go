package layers

import (
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// tagged is a tagged document of A and B. Its structure: a part of three
// paragraphs; the first has marked content 0, the second 1, the third 2 and
// the annotation.
func tagged(content string) []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Catalog: "/StructTreeRoot 40 0 R /MarkInfo <</Marked true>>",
		Pages: []testpdf.Page{{Content: content, Entries: "/StructParents 0 /Annots [50 0 R]"}},
		Objects: []testpdf.Object{
			testpdf.Obj(40, "<</Type /StructTreeRoot /K 41 0 R /ParentTree <</Nums [0 46 0 R]>>>>"),
			testpdf.Obj(41, "<</Type /StructElem /S /Part /P 40 0 R /K [42 0 R 43 0 R 44 0 R] /Alt (part)>>"),
			testpdf.Obj(42, "<</Type /StructElem /S /P /P 41 0 R /Pg 3 0 R /K 0 /ActualText (first)>>"),
			testpdf.Obj(43, "<</Type /StructElem /S /P /P 41 0 R /Pg 3 0 R /K [1] /ActualText (second)>>"),
			testpdf.Obj(44, "<</Type /StructElem /S /P /P 41 0 R /K [<</Type /MCR /Pg 3 0 R /MCID 2>> <</Type /OBJR /Obj 50 0 R>>] /E (third)>>"),
			testpdf.Obj(46, "[42 0 R 43 0 R 44 0 R]"),
			testpdf.Obj(50, "<</Type /Annot /Subtype /Link /Rect [0 0 9 9] /OC 6 0 R /StructParent 1>>"),
		},
	})
}

// TestStructure: what goes from a page goes from the structure tree, with the
// elements that held nothing else and the text for it (14.7.4, 14.9).
func TestStructure(t *testing.T) {
	for _, c := range []struct {
		name, content string
		parents       string   // of the marked content by identifier: first, second, third, or - for null
		gone, left    []string // texts
	}{
		{"section with its mark inside", "/P <</MCID 0>> BDC P1 EMC /OC /B BDC /P <</MCID 1>> BDC P2 EMC EMC /P <</MCID 2>> BDC P3 EMC",
			"42 - 44", []string{"(second)", "(part)"}, []string{"(first)"}},
		{"mark with the section inside", "/P <</MCID 0>> BDC P1 EMC /P <</MCID 1>> BDC /OC /B BDC P2 EMC EMC /P <</MCID 2>> BDC P3 EMC",
			"42 - 44", []string{"(second)", "(part)"}, []string{"(first)"}},
		{"a part of the marked content", "/P <</MCID 0>> BDC P1 /OC /B BDC P4 EMC EMC /P <</MCID 1>> BDC P2 EMC /P <</MCID 2>> BDC P3 EMC",
			"42 43 44", []string{"(first)", "(part)"}, []string{"(second)"}},
		{"an element with other kids, which go too", "/P <</MCID 0>> BDC P1 EMC /P <</MCID 1>> BDC P2 EMC /OC /B BDC /P <</MCID 2>> BDC P3 EMC EMC",
			"42 43 -", []string{"(third)", "(part)"}, []string{"(first)", "(second)"}},
		{"everything", "/OC /B BDC /P <</MCID 0>> BDC P1 EMC /P <</MCID 1>> BDC P2 EMC /P <</MCID 2>> BDC P3 EMC EMC P4",
			"", []string{"(first)", "(second)", "(third)", "(part)", "(StructTreeRoot)", "(MarkInfo)", "(StructParents)"}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, report := isolateNamed(t, tagged(c.content), "A")
			doc := open(t, out)
			was := map[int]int{}
			for old, now := range report.Objects {
				was[now] = old
			}
			text := ""
			root, _ := doc.file.PDF.Root()
			tree := pdf.AsDict(doc.file.PDF, root["StructTreeRoot"])
			nums := pdf.AsArray(doc.file.PDF, pdf.AsDict(doc.file.PDF, tree["ParentTree"])["Nums"])
			if tree == nil {
				nums = pdf.Array{nil, nil} // nothing is left of the structure
			}
			for i, o := range pdf.AsArray(doc.file.PDF, nums[1]) {
				if i > 0 {
					text += " "
				}
				if ref, ok := o.(pdf.Ref); ok {
					text += string(rune('0'+was[int(ref)]/10)) + string(rune('0'+was[int(ref)]%10))
				} else {
					text += "-"
				}
			}
			if text != c.parents {
				t.Errorf("parent tree %q, want %q", text, c.parents)
			}
			for _, s := range c.gone {
				if where := find(t, out).where(s[1 : len(s)-1]); len(where) > 0 {
					t.Errorf("%s is left in %v", s, where)
				}
			}
			for _, s := range c.left {
				if len(find(t, out).where(s[1:len(s)-1])) == 0 {
					t.Errorf("%s is gone", s)
				}
			}
			for _, ref := range doc.file.PDF.Refs() {
				d, _ := doc.file.PDF.Object(ref).(pdf.Dict)
				if pdf.AsName(doc.file.PDF, d["Type"]) == "StructElem" && d["K"] == nil {
					t.Errorf("an element without kids is left: %v", d)
				}
			}
		})
	}
}
