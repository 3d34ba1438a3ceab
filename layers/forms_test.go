package layers

import (
	"bytes"
	"context"
	"strconv"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// result is an isolated file, opened afresh.
type result struct {
	testing.TB
	file []byte
	doc  *pdf.Document
}

// isolated builds a document and keeps the layers with those names.
func isolated(tb testing.TB, d testpdf.Doc, names ...string) result {
	tb.Helper()
	out, _ := isolateNamed(tb, testpdf.Build(d), names...)
	return reopened(tb, out)
}

func reopened(tb testing.TB, file []byte) result {
	tb.Helper()
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		tb.Fatalf("open the output: %v", err)
	}
	return result{tb, file, doc}
}

// at follows a path of keys and indices from a page, such as
// "Resources/XObject/X"; the resources may be inherited.
func (r result) at(page int, path string) pdf.Object {
	p := r.doc.Pages()[page]
	at := pdf.Object(p.Dict)
	for i, step := range strings.Split(path, "/") {
		dict := pdf.AsDict(r.doc, at)
		if st := pdf.AsStream(r.doc, at); st != nil {
			dict = st.Dict
		}
		n, err := strconv.Atoi(step)
		list := pdf.AsArray(r.doc, at)
		switch {
		case i == 0 && step == "Resources":
			at = p.Resources
		case err == nil && n < len(list):
			at = list[n]
		default:
			at = dict[pdf.Name(step)]
		}
	}
	return at
}

// data is the decoded data of the stream at a path, white space folded; "none"
// without a stream.
func (r result) data(page int, path string) string {
	r.Helper()
	st := pdf.AsStream(r.doc, r.at(page, path))
	if st == nil {
		return "none"
	}
	data, err := pdf.Decode(context.Background(), r.doc, st, 0)
	if err != nil {
		r.Errorf("%s: %v", path, err)
	}
	return fold(string(data))
}

// keys are the names in the dictionary at a path.
func (r result) keys(page int, path string) string {
	d := pdf.AsDict(r.doc, r.at(page, path))
	if st := pdf.AsStream(r.doc, r.at(page, path)); st != nil {
		d = st.Dict
	}
	var list []string
	for _, k := range d.Keys() {
		list = append(list, string(k))
	}
	return strings.Join(list, " ")
}

// group is the name of the group at a path.
func (r result) group(page int, path string) string {
	s, _ := pdf.AsString(r.doc, pdf.AsDict(r.doc, r.at(page, path))["Name"])
	return string(s)
}

const properties3 = "/Properties <</A 5 0 R /B 6 0 R /C 7 0 R>> "

// picture is an image of one grey pixel.
func picture(num int, entries string) testpdf.Object {
	return testpdf.Stream(num, "/Type /XObject /Subtype /Image /Width 1 /Height 1 /ColorSpace /DeviceGray /BitsPerComponent 8 "+entries, "x")
}

// cell is a tiling pattern.
func cell(num int, entries, content string) testpdf.Object {
	return testpdf.Stream(num, "/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9 "+entries, testpdf.Marks(content))
}

// type3 is a Type 3 font with the glyphs a and b, the objects after it.
func type3(num int, entries, a, b string) []testpdf.Object {
	n := strconv.Itoa
	return []testpdf.Object{
		testpdf.Obj(num, "<</Type /Font /Subtype /Type3 /FontBBox [0 0 1000 1000] /FontMatrix [.001 0 0 .001 0 0] /FirstChar 97 /LastChar 98"+
			" /Widths [1000 1000] /Encoding <</Differences [97 /a /b]>> /CharProcs <</a "+n(num+1)+" 0 R /b "+n(num+2)+" 0 R>> "+entries+">>"),
		testpdf.Stream(num+1, "", testpdf.Marks(a)), testpdf.Stream(num+2, "", testpdf.Marks(b)),
	}
}

// A formCase is a page that draws other streams, before and after isolating A
// and C of A, B and C.
type formCase struct {
	name, clause string
	content      string
	resources    string // besides the properties A, B and C
	objects      []testpdf.Object
	want         string            // the page's content, "=" if it stays
	streams      map[string]string // content by path, "none" where it is gone
	gone         string            // a text that may be nowhere
}

const (
	xobjects = "/XObject <</X 30 0 R /Y 31 0 R /I 32 0 R>>"
	markerOf = "/Marker (SECRET) "
)

var formCases = []formCase{
	{"form of a dropped group", "8.11.3.3, 8.10.2", "P1 /X Do P2", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/OC 6 0 R "+markerOf, "P3")}, "P1 P2", map[string]string{"Resources/XObject/X": "none"}, "SECRET"},
	{"form of a dropped membership in place", "8.11.2.2", "P1 /X Do", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/OC <</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AllOn>> "+markerOf, "P3")}, "P1", nil, "SECRET"},
	{"image of a dropped membership", "8.9.5 Table 89", "P1 /I Do", xobjects,
		[]testpdf.Object{picture(32, "/OC 40 0 R "+markerOf), testpdf.Obj(40, "<</Type /OCMD /OCGs [6 0 R]>>")}, "P1", nil, "SECRET"},
	{"form of a kept group", "8.11.3.3", "P1 /X Do /OC /B BDC P2 EMC", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/OC 5 0 R", "P3")}, "P1 /X Do", map[string]string{"Resources/XObject/X": "P3"}, ""},
	{"form of a kept group in a dropped section", "8.11.3.3", "/OC /B BDC /X Do EMC P1", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/OC 5 0 R "+markerOf, "P3")}, "P1", nil, "SECRET"},
	{"kept form in a dropped form", "8.11.3.3", "/X Do P1", xobjects,
		[]testpdf.Object{
			testpdf.Form(30, "/OC 6 0 R /Resources <</XObject <</Y 31 0 R>>>>", "/Y Do"), testpdf.Form(31, "/OC 5 0 R "+markerOf, "P3"),
		}, "P1", map[string]string{"Resources/XObject/Y": "none"}, "SECRET"},
	{"dropped form in a kept form", "8.11.3.3", "/X Do P1", xobjects,
		[]testpdf.Object{
			testpdf.Form(30, "/Resources <</XObject <</Y 31 0 R>>>>", "P2 /Y Do"), testpdf.Form(31, "/OC 6 0 R "+markerOf, "P3"),
		}, "=", map[string]string{"Resources/XObject/X": "P2", "Resources/XObject/X/Resources/XObject/Y": "none"}, "SECRET"},
	{"section in a form", "8.11.3.2", "/X Do P1", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/Resources <<"+properties3+">>", "/OC /A BDC P2 EMC /OC /B BDC P3 EMC")},
		"=", map[string]string{"Resources/XObject/X": "/OC /A BDC P2 EMC"}, ""},
	{"section in a form in a form", "8.11.3.2", "/X Do", xobjects,
		[]testpdf.Object{
			testpdf.Form(30, "/Resources <</XObject <</Y 31 0 R>>>>", "/Y Do"),
			testpdf.Form(31, "/Resources <<"+properties3+">>", "P2 /OC /B BDC P3 EMC"),
		}, "=", map[string]string{"Resources/XObject/X/Resources/XObject/Y": "P2"}, ""},
	{"form drawn hidden and visible", "8.11.3.3", "/OC /B BDC /X Do EMC 1 0 0 1 0 9 cm /X Do", xobjects,
		[]testpdf.Object{testpdf.Form(30, "", "P2")}, "1 0 0 1 0 9 cm /X Do", map[string]string{"Resources/XObject/X": "P2"}, ""},
	{"form left empty", "8.10.1", "/X Do P1", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/Resources <<"+properties3+">> "+markerOf, "/OC /B BDC P2 EMC")}, "P1", nil, "SECRET"},
	{"form that was empty", "8.10.1", "/X Do /OC /B BDC P1 EMC", xobjects,
		[]testpdf.Object{testpdf.Form(30, "", "1 0 0 rg")}, "/X Do", map[string]string{"Resources/XObject/X": "1 0 0 rg"}, ""},
	{"form within itself", "8.10.1", "/X Do", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/Resources <<"+properties3+" /XObject <</X 30 0 R>>>>", "P2 /OC /B BDC P3 EMC /X Do")},
		"=", map[string]string{"Resources/XObject/X": "P2 /X Do"}, ""},
	{"forms within each other", "8.10.1", "/X Do", xobjects,
		[]testpdf.Object{
			testpdf.Form(30, "/Resources <<"+properties3+" /XObject <</Y 31 0 R>>>>", "P2 /OC /B BDC P3 EMC /Y Do"),
			testpdf.Form(31, "/Resources <<"+properties3+" /XObject <</X 30 0 R>>>>", "/OC /B BDC P4 EMC P5 /X Do"),
		}, "=", map[string]string{"Resources/XObject/X": "P2 /Y Do", "Resources/XObject/X/Resources/XObject/Y": "P5 /X Do"}, ""},
	{"section that a form leaves open", "14.6.1", "/X Do P3", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/Resources <<"+properties3+">>", "P1 /OC /B BDC P2")},
		"=", map[string]string{"Resources/XObject/X": "P1"}, ""},
	{"EMC too many in a form", "14.6.1", "/OC /A BDC P1 /X Do P3 EMC", xobjects,
		[]testpdf.Object{testpdf.Form(30, "", "EMC P2")}, "=", map[string]string{"Resources/XObject/X": "EMC P2"}, ""},
	{"EMC too many in a hidden form", "14.6.1", "/OC /B BDC P1 /X Do P3 EMC P4", xobjects,
		[]testpdf.Object{testpdf.Form(30, markerOf, "EMC P2")}, "P4", nil, "SECRET"},
	{"names of the page in a form without resources", "7.8.3", "/X Do", xobjects,
		[]testpdf.Object{testpdf.Form(30, "", "P1 /OC /B BDC P2 EMC")}, "=", map[string]string{"Resources/XObject/X": "P1"}, ""},
	{"names of the page in a form without properties", "7.8.3", "/X Do", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/Resources <</ProcSet [/PDF]>>", "P1 /OC /B BDC P2 EMC")}, "=", map[string]string{"Resources/XObject/X": "P1"}, ""},
	{"names of the page's caller two forms down", "7.8.3", "/X Do", xobjects,
		[]testpdf.Object{testpdf.Form(30, "", "/Y Do"), testpdf.Form(31, "", "P1 /OC /B BDC P2 EMC")},
		"=", map[string]string{"Resources/XObject/X": "/Y Do", "Resources/XObject/Y": "P1"}, ""},
	{"own names before those of the page", "7.8.3", "/X Do", xobjects,
		[]testpdf.Object{testpdf.Form(30, "/Resources <</Properties <</A 6 0 R /B 5 0 R>>>>", "/OC /A BDC P1 EMC /OC /B BDC P2 EMC")},
		"=", map[string]string{"Resources/XObject/X": "/OC /B BDC P2 EMC"}, ""},

	{"alternate of a dropped image", "8.9.5.4", "P1 /I Do", xobjects,
		[]testpdf.Object{picture(32, "/OC 6 0 R /Alternates [<</Image 33 0 R /OC 5 0 R>>]"), picture(33, markerOf)}, "P1", nil, "SECRET"},
	{"alternate of a kept image", "8.9.5.4", "/I Do /OC /B BDC P1 EMC", xobjects,
		[]testpdf.Object{picture(32, "/Alternates [<</Image 33 0 R>>]"), picture(33, markerOf)},
		"/I Do", map[string]string{"Resources/XObject/I": "x"}, "SECRET"},
	{"group of a mask image", "8.9.5", "/I Do /OC /B BDC P1 EMC", xobjects,
		[]testpdf.Object{picture(32, "/SMask 33 0 R"), picture(33, "/OC 6 0 R")},
		"/I Do", map[string]string{"Resources/XObject/I/SMask": "x"}, ""},

	{"section in a pattern", "8.7.3", "/Pattern cs /P scn P1", "/Pattern <</P 30 0 R>>",
		[]testpdf.Object{cell(30, "/Resources <<"+properties3+">>", "/OC /B BDC P2 EMC P3")},
		"=", map[string]string{"Resources/Pattern/P": "P3"}, ""},
	{"soft mask of a shading pattern", "8.7.4", "/Pattern cs /P scn P1", "/Pattern <</P <</PatternType 2 /Shading <<>> /ExtGState 31 0 R>>>>",
		[]testpdf.Object{testpdf.Obj(31, "<</SMask <</S /Alpha /G 30 0 R>>>>"), testpdf.Form(30, "/Resources <<"+properties3+">>", "/OC /B BDC P2 EMC P3")},
		"=", map[string]string{"Resources/Pattern/P/ExtGState/SMask/G": "P3"}, ""},
	{"form with alternates", "8.9.5.4", "/X Do", "/XObject <</X 30 0 R>>",
		[]testpdf.Object{testpdf.Form(30, "/Alternates [] /Resources <<"+properties3+">>", "/OC /B BDC P2 EMC P3")},
		"=", map[string]string{"Resources/XObject/X": "P3"}, ""},
	{"pattern left empty", "8.7.3", "/Pattern cs /P scn P1", "/Pattern <</P 30 0 R>>",
		[]testpdf.Object{cell(30, "/Resources <<"+properties3+">>", "/OC /B BDC P2 EMC")},
		"=", map[string]string{"Resources/Pattern/P": ""}, ""},
	{"pattern with a group", "8.11.3.3", "/Pattern cs /P scn P1", "/Pattern <</P 30 0 R>>",
		[]testpdf.Object{cell(30, "/Resources <<>> /OC 6 0 R", "P2")},
		"=", map[string]string{"Resources/Pattern/P": "P2", "Resources/Pattern/P/OC": "none"}, ""},
	{"pattern set in dropped content", "8.11.3.1", "/OC /B BDC /Pattern cs /P scn P1 EMC P2", "/Pattern <</P 30 0 R>>",
		[]testpdf.Object{cell(30, "/Resources <<>>", "P3")},
		"/Pattern cs /P scn P2", map[string]string{"Resources/Pattern/P": "P3"}, ""},
	{"section in a soft mask", "11.6.5.2", "/G gs P1", "/ExtGState <</G <</SMask <</S /Luminosity /G 30 0 R>>>>>>",
		[]testpdf.Object{testpdf.Form(30, "/Group <</S /Transparency>> /Resources <<"+properties3+">>", "1 g P2 /OC /B BDC P3 EMC")},
		"=", map[string]string{"Resources/ExtGState/G/SMask/G": "1 g P2"}, ""},
	{"soft mask left empty", "11.6.5.2", "/G gs P1", "/ExtGState <</G 31 0 R>>",
		[]testpdf.Object{
			testpdf.Obj(31, "<</SMask 32 0 R>>"), testpdf.Obj(32, "<</S /Luminosity /G 30 0 R>>"),
			testpdf.Form(30, "/Group <</S /Transparency>> /Resources <<"+properties3+">>", "/OC /B BDC P3 EMC"),
		}, "=", map[string]string{"Resources/ExtGState/G/SMask/G": ""}, ""},
	{"soft mask with a group", "8.11.3.3", "/G gs P1", "/ExtGState <</G <</SMask <</S /Luminosity /G 30 0 R>>>>>>",
		[]testpdf.Object{testpdf.Form(30, "/Group <</S /Transparency>> /OC 6 0 R", "P2")},
		"=", map[string]string{"Resources/ExtGState/G/SMask/G": "P2", "Resources/ExtGState/G/SMask/G/OC": "none"}, ""},
	{"section in a glyph", "9.6.5", "BT /T 10 Tf (bab) Tj ET", "/Font <</T 30 0 R>>",
		type3(30, "/Resources <<"+properties3+">>", "1000 0 d0 P1", "1000 0 d0 /OC /B BDC P2 EMC"),
		"=", map[string]string{"Resources/Font/T/CharProcs/a": "1000 0 d0 P1", "Resources/Font/T/CharProcs/b": "1000 0 d0"}, ""},
	{"whole glyph in a section", "9.6.5", "BT /T 10 Tf (b) Tj ET", "/Font <</T 30 0 R>>",
		type3(30, "/Resources <<"+properties3+">>", "1000 0 d0", "/OC /B BDC 1000 0 0 0 9 9 d1 P2 EMC P3"),
		"=", map[string]string{"Resources/Font/T/CharProcs/b": "1000 0 0 0 9 9 d1 P3"}, ""},
	{"names of the page in a glyph", "9.6.5 Table 112", "BT /T 10 Tf (b) Tj ET", "/Font <</T 30 0 R>>",
		type3(30, "", "1000 0 d0", "1000 0 d0 /OC /B BDC P2 EMC"),
		"=", map[string]string{"Resources/Font/T/CharProcs/b": "1000 0 d0"}, ""},
	{"form in a glyph", "9.6.5", "BT /T 10 Tf (b) Tj ET", "/Font <</T 30 0 R>>",
		append(type3(30, "/Resources <</XObject <</Z 40 0 R /I 41 0 R>>>>", "1000 0 d0 /I Do", "1000 0 d0 /Z Do"),
			testpdf.Form(40, "/OC 6 0 R "+markerOf, "P3"), picture(41, "")),
		"=", map[string]string{
			"Resources/Font/T/CharProcs/b": "1000 0 d0", "Resources/Font/T/Resources/XObject/Z": "none", "Resources/Font/T/Resources/XObject/I": "x",
		}, "SECRET"},
	{"glyph of a font that gs sets", "8.4.5 Table 58", "/G gs BT (b) Tj ET", "/ExtGState <</G <</Font [30 0 R 10]>>>>",
		type3(30, "/Resources <<"+properties3+">>", "1000 0 d0", "1000 0 d0 /OC /B BDC P2 EMC"),
		"=", map[string]string{"Resources/ExtGState/G/Font/0/CharProcs/b": "1000 0 d0"}, ""},
}

func TestForms(t *testing.T) {
	for _, c := range formCases {
		t.Run(c.name, func(t *testing.T) {
			out := isolated(t, c.doc(), "A", "C")
			want := c.want
			if want == "=" {
				want = c.content
			}
			if got := out.data(0, "Contents"); got != fold(testpdf.Marks(want)) {
				t.Errorf("%s: content %q, want %q", c.clause, got, fold(testpdf.Marks(want)))
			}
			for path, want := range c.streams {
				if got := out.data(0, path); got != fold(testpdf.Marks(want)) {
					t.Errorf("%s: %s is %q, want %q", c.clause, path, got, fold(testpdf.Marks(want)))
				}
			}
			if c.gone != "" && find(t, out.file).has(c.gone) {
				t.Errorf("%s is left in %v", c.gone, find(t, out.file).where(c.gone))
			}
			if find(t, out.file).has("(B)") {
				t.Error("the name of the dropped group is left")
			}
		})
	}
}

func (c formCase) doc() testpdf.Doc {
	return testpdf.Doc{
		Groups: []string{"A", "B", "C"}, Objects: c.objects,
		Pages: []testpdf.Page{{Content: c.content, Resources: "<<" + properties3 + c.resources + ">>"}},
	}
}

// TestFormMembership: the OC entry of a form that stays is brought up to date.
func TestFormMembership(t *testing.T) {
	for _, c := range []struct{ oc, group, keys string }{
		{"5 0 R", "A", "BBox Filter Length OC Resources Subtype Type"},
		{"40 0 R", "A", "BBox Filter Length OC Resources Subtype Type"},
		{"<</Type /OCMD /OCGs 6 0 R /P /AllOff>>", "", "BBox Filter Length Resources Subtype Type"},
		{"77 0 R", "", "BBox Filter Length Resources Subtype Type"},
	} {
		out := isolated(t, testpdf.Doc{
			Groups: []string{"A", "B"},
			Pages:  []testpdf.Page{{Content: "/X Do", Resources: "<</XObject <</X 30 0 R>>>>"}},
			Objects: []testpdf.Object{
				testpdf.Form(30, "/OC "+c.oc+" /Resources <</Properties <</B 6 0 R>>>>", "P1 /OC /B BDC P2 EMC"),
				testpdf.Obj(40, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AnyOn>>"),
			},
		}, "A")
		if got := out.group(0, "Resources/XObject/X/OC"); got != c.group {
			t.Errorf("OC %s: the group is %q, want %q", c.oc, got, c.group)
		}
		if got := out.keys(0, "Resources/XObject/X"); strings.ReplaceAll(got, "Length ", "") != strings.ReplaceAll(c.keys, "Length ", "") {
			t.Errorf("OC %s: keys %s, want %s", c.oc, got, c.keys)
		}
	}
}

// TestTwoCallers: a stream without resources of its own, used on pages whose
// property V means different groups, becomes two (7.8.3).
func TestTwoCallers(t *testing.T) {
	const section = "P1 /OC /V BDC P2 EMC"
	form := testpdf.Form(30, "", section)
	for _, c := range []struct {
		name, content, resources, path string
		objects                        []testpdf.Object
		before                         string // what the stream begins with
	}{
		{"form", "/X Do", "/XObject <</X 30 0 R>>", "Resources/XObject/X", []testpdf.Object{form}, ""},
		{"form in a form", "/X Do", "/XObject <</X 31 0 R /Y 30 0 R>>", "Resources/XObject/Y",
			[]testpdf.Object{form, testpdf.Form(31, "", "/Y Do")}, ""},
		{"form in a form with resources", "/X Do", "/XObject <</X 31 0 R>>", "Resources/XObject/X/Resources/XObject/Y",
			[]testpdf.Object{form, testpdf.Form(31, "/Resources <</XObject <</Y 30 0 R>>>>", "/Y Do")}, ""},
		{"form in a pattern", "/Pattern cs /P scn P1", "/Pattern <</P 31 0 R>> /XObject <</X 30 0 R>>", "Resources/XObject/X",
			[]testpdf.Object{form, cell(31, "", "/X Do")}, ""},
		{"pattern", "/Pattern cs /P scn P1", "/Pattern <</P 30 0 R>>", "Resources/Pattern/P", []testpdf.Object{cell(30, "", section)}, ""},
		{"soft mask", "/G gs P1", "/ExtGState <</G 31 0 R>>", "Resources/ExtGState/G/SMask/G",
			[]testpdf.Object{form, testpdf.Obj(31, "<</SMask <</S /Alpha /G 30 0 R>>>>")}, ""},
		{"glyph", "BT /T 10 Tf (b) Tj ET", "/Font <</T 30 0 R>>", "Resources/Font/T/CharProcs/b",
			type3(30, "", "1000 0 d0", "1000 0 d0 "+section), "1000 0 d0 "},
		{"font that gs sets", "/G gs BT (b) Tj ET", "/ExtGState <</G 40 0 R>>", "Resources/ExtGState/G/Font/0/CharProcs/b",
			append(type3(30, "", "1000 0 d0", "1000 0 d0 "+section), testpdf.Obj(40, "<</Font [30 0 R 9]>>")), "1000 0 d0 "},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := func(group string) testpdf.Page {
				return testpdf.Page{Content: c.content, Resources: "<</Properties <</V " + group + ">> " + c.resources + ">>"}
			}
			out := isolated(t, testpdf.Doc{
				Groups: []string{"A", "B"}, Objects: c.objects,
				Pages: []testpdf.Page{page("6 0 R"), page("5 0 R"), page("6 0 R"), page("5 0 R")},
			}, "A")
			for i, want := range []string{"P1", section, "P1", section} {
				if got := out.data(i, c.path); got != c.before+testpdf.Marks(want) {
					t.Errorf("page %d: %q, want %q", i+1, got, c.before+testpdf.Marks(want))
				}
			}
			if a, b := out.at(0, c.path), out.at(2, c.path); a != b {
				t.Errorf("pages 1 and 3 have %v and %v, which are alike", a, b)
			}
		})
	}
}

// TestRing: forms that draw each other, which no file should have (8.10.1), keep
// what they take from every page, whichever is met first.
func TestRing(t *testing.T) {
	resources := func(draw string) string {
		return "<</Properties <</A 5 0 R /B 6 0 R>> /Font <</F 29 0 R>> /XObject <</X 30 0 R /Y 31 0 R /Z 32 0 R /Draw " + draw + ">>>>"
	}
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"},
		Pages: []testpdf.Page{
			{Content: "/Draw Do /OC /B BDC P1 EMC", Resources: resources("30 0 R")},
			{Content: "/Draw Do /OC /B BDC P1 EMC", Resources: resources("31 0 R")},
			{Content: "/Draw Do /OC /B BDC P1 EMC", Resources: resources("32 0 R")},
		},
		Objects: []testpdf.Object{ // without resources of their own: those of the page (Table 95)
			testpdf.Form(30, "", "BT /F 10 Tf (x) Tj ET /Y Do"),
			testpdf.Form(31, "", "P2 /Z Do"),
			testpdf.Form(32, "", "P3 /X Do /Y Do"),
			testpdf.Obj(29, "<</Type /Font /Subtype /Type1 /BaseFont /Courier>>"),
		},
	})
	doc := open(t, file)
	for _, sel := range []Selection{chosen(doc, 0b01), chosen(doc, 0b11)} {
		var out bytes.Buffer
		report, err := doc.Isolate(context.Background(), &out, sel, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := report.Check(context.Background(), bytes.NewReader(out.Bytes())); err != nil {
			t.Error(err)
		}
		now := reopened(t, out.Bytes()).doc
		for _, p := range now.Pages() {
			fonts := pdf.AsDict(now, pdf.AsDict(now, p.Resources)["Font"])
			forms := pdf.AsDict(now, pdf.AsDict(now, p.Resources)["XObject"])
			for _, name := range []pdf.Name{"X", "Y", "Z"} {
				if fonts["F"] == nil || forms[name] == nil {
					t.Errorf("page %d: of the page's resources are left fonts %v and forms %v", p.Number, fonts, forms)
				}
			}
		}
	}
}
