package layers

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// fonts are two fonts, the second with a marker of its own.
var fonts = []testpdf.Object{
	testpdf.Obj(60, "<</Type /Font /Subtype /Type1 /BaseFont /Helvetica>>"),
	testpdf.Obj(61, "<</Type /Font /Subtype /Type1 /BaseFont /SECRET>>"),
}

// glyphs is a page's resources with the font of drawnGlyphs.
const glyphs = "/Font <</T 62 0 R>> /XObject <</X 30 0 R /Y 31 0 R>>"

// drawnGlyphs is a Type 3 font whose glyph draws X, with those entries.
func drawnGlyphs(entries string) []testpdf.Object {
	return []testpdf.Object{
		testpdf.Form(30, "", "P1"), testpdf.Form(31, markerOf, "P2"), testpdf.Stream(63, "", "1000 0 d0 /X Do"),
		testpdf.Obj(62, "<</Type /Font /Subtype /Type3 /FontMatrix [.001 0 0 .001 0 0] /FontBBox [0 0 1000 1000] /FirstChar 97 /LastChar 97"+
			" /Widths [1000] /Encoding <</Differences [97 /a]>> /CharProcs <</a 63 0 R>> "+entries+">>"),
	}
}

// TestPruning: a resource that only dropped content names goes, everything
// else stays (7.8.3). A is chosen of A and B.
func TestPruning(t *testing.T) {
	const both = "/Font <</F 60 0 R /FB 61 0 R>>"
	form := func(entries, content string) []testpdf.Object {
		return append(fonts[:2:2], testpdf.Form(30, entries, content))
	}
	for _, c := range []struct {
		name, content, resources string
		objects                  []testpdf.Object
		path, want               string // the names that stay
		gone                     bool   // nothing of the second font may be left
	}{
		{"dropped Do", "/X Do /OC /B BDC /Y Do EMC", "/XObject <</X 30 0 R /Y 31 0 R>>",
			[]testpdf.Object{testpdf.Form(30, "", "P1"), testpdf.Form(31, markerOf, "P2")}, "Resources/XObject", "X", true},
		{"dropped shading", "/S sh /OC /B BDC /T sh EMC", "/Shading <</S <<>> /T <</Marker (SECRET)>>>>", nil, "Resources/Shading", "S", true},
		{"dropped marked point", "P1 /OC /B BDC /Span /Q DP /Span /Q BDC EMC P2 EMC", "/Properties <</B 6 0 R /Q <</Marker (SECRET)>>>>", nil, "Resources", "", true},
		{"unused before", "P1 /OC /B BDC P2 EMC", both, fonts, "Resources/Font", "", true},
		{"used in state of dropped content", "BT /F 10 Tf (A) Tj /OC /B BDC /FB 10 Tf EMC (B) Tj ET", both, fonts, "Resources/Font", "F FB", false},
		{"used on both sides", "BT /F 10 Tf (A) Tj ET /OC /B BDC BT /F 9 Tf (B) Tj ET EMC", both, fonts, "Resources/Font", "F", true},
		{"named with an escape", "BT /#46 10 Tf (A) Tj ET /OC /B BDC P1 EMC", both, fonts, "Resources/Font", "F", true},
		{"no property list is left", "/OC /A BDC P1 EMC /OC /B BDC P2 EMC", "/Properties <</A 5 0 R /B 6 0 R /Z 7 0 R>>", nil, "Resources/Properties", "A", false},
		{"property list of another kind", "/P /M BDC P1 EMC /OC /B BDC P2 EMC", "/Properties <</B 6 0 R /M <</MCID 0>>>>", nil, "Resources/Properties", "M", false},
		{"colour spaces for device colours", "1 0 0 rg P1 /OC /B BDC /CS cs P2 EMC P3", "/ColorSpace <</DefaultRGB [/CalRGB <<>>] /DefaultGray [/CalGray <<>>] /DefaultCMYK [/ICCBased 29 0 R] /Other /DeviceGray /CS /DeviceRGB>>",
			nil, "Resources/ColorSpace", "CS DefaultCMYK DefaultGray DefaultRGB", false},
		{"colour space of an inline image", "BI /W 1 /H 1 /BPC 8 /CS /S ID x EI /OC /B BDC BI /W 1 /H 1 /BPC 8 /CS /T ID x EI EMC",
			"/ColorSpace <</S [/Indexed /DeviceRGB 0 <000000>] /T [/Indexed /DeviceRGB 0 (SECRET)]>>", nil, "Resources/ColorSpace", "S", true},
		{"categories that content does not name", "P1 /OC /B BDC P2 EMC", "/ProcSet [/PDF] /Extra <</Z 1>>", nil, "Resources", "ProcSet", false},
		{"form that uses the page's resources", "/X Do /OC /B BDC P2 EMC", both + " /XObject <</X 30 0 R>>",
			form("", "BT /F 10 Tf (A) Tj ET"), "Resources/Font", "F", true},
		{"section in a form that uses the page's resources", "/X Do", both + " /XObject <</X 30 0 R>>",
			form("", "BT /F 10 Tf (A) Tj ET /OC /B BDC P1 EMC"), "Resources/Font", "F", true},
		// 9.6.5, Table 112: a font without resources uses those of the page
		{"glyphs that use the page's resources", "BT /T 10 Tf (a) Tj ET /OC /B BDC /Y Do EMC", glyphs,
			drawnGlyphs(""), "Resources/XObject", "X", true},
		{"glyphs that use the page's resources beside their own", "BT /T 10 Tf (a) Tj ET /OC /B BDC /Y Do EMC", glyphs,
			drawnGlyphs("/Resources <</Font <</F 60 0 R>>>>"), "Resources/XObject", "X", true},
		{"glyphs of a font that a graphics state sets", "/G gs BT (a) Tj ET /OC /B BDC /Y Do EMC", glyphs + " /ExtGState <</G <</Font [62 0 R 9]>>>>",
			drawnGlyphs(""), "Resources/XObject", "X", true},
		{"form of its own resources", "/X Do", both + " /XObject <</X 30 0 R>>",
			form("/Resources <<"+both+">>", "BT /F 10 Tf (A) Tj ET /OC /B BDC P1 EMC"), "Resources/XObject/X/Resources/Font", "F", true},
		{"names of a form that goes", "P1 /X Do", both + " /XObject <</X 30 0 R>>",
			form("/Group <</S /Transparency>>", "/OC /B BDC BT /FB 10 Tf (B) Tj ET EMC"), "Resources/Font", "", true},
		{"names of a form that goes, two down", "P1 /X Do", both + " /XObject <</X 31 0 R /Y 30 0 R>>",
			append(form("", "/OC /B BDC BT /FB 10 Tf (B) Tj ET EMC"), testpdf.Form(31, "", "/Y Do")), "Resources/Font", "", true},
		{"font of a graphics state", "/G gs BT (A) Tj ET /OC /B BDC P1 EMC", both + " /ExtGState <</G <</Font [60 0 R 9]>> /H <</Font [61 0 R 9]>>>>",
			fonts, "Resources/ExtGState", "G", true},
		// 8.4.5: a part of what a dictionary sets may be needed
		{"opacity set with a font", "/OC /B BDC /G gs P1 EMC P2", both + " /ExtGState <</G <</Font [61 0 R 9] /ca .5>>>>", fonts, "Resources/ExtGState/G_2", "ca", true},
		{"opacity set with a mask", "/OC /B BDC /G gs P1 EMC q /H gs P2 Q P3", "/ExtGState <</G <</SMask <</S /Alpha /G 31 0 R>> /ca .5>> /H <</SMask /None>>>>",
			[]testpdf.Object{testpdf.Form(31, markerOf, "P2")}, "Resources/ExtGState", "G H", false},
		{"opacity set with a mask that another takes off", "/OC /B BDC /G gs P1 EMC /H gs P2 P3", "/ExtGState <</G_2 <<>> /G <</SMask <</S /Alpha /G 31 0 R>> /ca .5>> /H <</SMask /None>>>>",
			[]testpdf.Object{testpdf.Form(31, markerOf, "P2")}, "Resources/ExtGState", "G_3 H", true},
		{"the whole is needed elsewhere", "/OC /B BDC /G gs P1 EMC P2 /G gs BT (A) Tj ET", both + " /ExtGState <</G <</Font [60 0 R 9] /ca .5>>>>", fonts, "Resources/ExtGState", "G G_2", true},
		{"the font is needed", "/OC /B BDC /G gs P1 EMC BT (A) Tj ET", both + " /ExtGState <</G <</Font [60 0 R 9] /ca .5>>>>", fonts, "Resources/ExtGState", "G", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			resources := c.resources
			if !strings.Contains(resources, "/Properties") {
				resources += " /Properties <</A 5 0 R /B 6 0 R>>"
			}
			out := isolated(t, testpdf.Doc{
				Groups: []string{"A", "B"}, Objects: c.objects,
				Pages: []testpdf.Page{{Content: c.content, Resources: "<<" + resources + ">>"}},
			}, "A")
			if got := out.keys(0, c.path); got != c.want {
				t.Errorf("%s has %q, want %q", c.path, got, c.want)
			}
			if where := find(t, out.file).where("SECRET"); c.gone && len(where) > 0 {
				t.Errorf("the marker is left in %v", where)
			}
		})
	}
}

// TestSharedResources: pages that share a dictionary keep in theirs what each
// of them uses, and nothing else of it is left (7.7.3.4, 7.8.3).
func TestSharedResources(t *testing.T) {
	const dict = "<</Font <</F 60 0 R /FB 61 0 R>> /Properties <</A 5 0 R /B 6 0 R>>>>"
	pages := []testpdf.Page{
		{Content: "BT /F 9 Tf (A) Tj ET /OC /B BDC P1 EMC"},
		{Content: "P1 /OC /B BDC BT /FB 9 Tf (B) Tj ET EMC BT (A) Tj ET"},
		{Content: "P1"},
	}
	wants := []string{"F", "FB", ""}
	const noState = "P1 /OC /B BDC P2 EMC"
	for _, c := range []struct {
		name, page, tree string
		objects          []testpdf.Object
	}{
		{"one object", "70 0 R", "", []testpdf.Object{testpdf.Obj(70, dict)}},
		{"inherited object", "none", "/Resources 70 0 R", []testpdf.Object{testpdf.Obj(70, dict)}},
		{"inherited in place", "none", "/Resources " + dict, nil},
		{"shared category", "<</Font 71 0 R /Properties <</A 5 0 R /B 6 0 R>>>>", "", []testpdf.Object{testpdf.Obj(71, "<</F 60 0 R /FB 61 0 R>>")}},
	} {
		for _, last := range []string{pages[1].Content, noState} {
			t.Run(c.name, func(t *testing.T) {
				list := []testpdf.Page{pages[0], {Content: last}, pages[2]}
				for i := range list {
					list[i].Resources = c.page
				}
				out := isolated(t, testpdf.Doc{
					Groups: []string{"A", "B"}, Pages: list, Tree: c.tree, Objects: append(c.objects, fonts...),
				}, "A")
				for i, want := range wants {
					if last == noState && i == 1 {
						want = ""
					}
					if got := out.keys(i, "Resources/Font"); got != want {
						t.Errorf("page %d has the fonts %q, want %q", i+1, got, want)
					}
				}
				where := find(t, out.file).where("SECRET")
				if last == noState && len(where) > 0 {
					t.Errorf("a font that no page uses is left in %v", where)
				}
				if last != noState && len(where) == 0 {
					t.Error("a font that state uses is gone")
				}
			})
		}
	}
}

// TestPageOnTheTreeTwice: a page object that is two pages is filtered once.
func TestPageOnTheTreeTwice(t *testing.T) {
	out, report := isolateNamed(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "P1 /OC /B BDC P2 EMC"}},
		Objects: []testpdf.Object{testpdf.Obj(testpdf.PagesObject, "<</Type /Pages /Count 2 /Kids [3 0 R 3 0 R]>>")},
	}), "A")
	r := reopened(t, out)
	if n := len(r.doc.Pages()); n != 2 {
		t.Fatalf("%d pages, want 2", n)
	}
	for i := range 2 {
		if got := r.data(i, "Contents"); got != testpdf.Marks("P1") {
			t.Errorf("page %d: %q", i+1, got)
		}
		if p := report.Pages[i]; p != (PageReport{Page: i + 1, Kept: 1, Removed: 1}) {
			t.Errorf("page %d is reported as %+v", i+1, p)
		}
	}
}

// TestContentsArray: the streams of a Contents array are one stream (7.8.2);
// an array on a page that loses nothing stays as it is.
func TestContentsArray(t *testing.T) {
	for _, c := range []struct {
		parts []string
		want  string
	}{
		{[]string{"P1 /OC /B BDC", "P2", "EMC P3"}, "P1 P3"},
		{[]string{"/OC /B", "BDC P1 EMC P2"}, "P2"},
		{[]string{"/OC /B BDC", "P1", "EMC", "P2", "P3"}, "P2 P3"},
		{[]string{"/OC /B BDC P1", "", "P2 EMC"}, ""},
	} {
		out := isolated(t, testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Contents: c.parts}, {Contents: []string{"P1", "P2"}}}}, "A")
		if got := out.data(0, "Contents"); got != testpdf.Marks(c.want) {
			t.Errorf("%q: %q, want %q", c.parts, got, testpdf.Marks(c.want))
		}
		if a, b := out.data(1, "Contents/0"), out.data(1, "Contents/1"); a != testpdf.Marks("P1") || b != testpdf.Marks("P2") {
			t.Errorf("the page that loses nothing has %q and %q", a, b)
		}
	}
}

// TestSharedContents: one content stream on two pages whose properties differ
// (7.8.3).
func TestSharedContents(t *testing.T) {
	page := func(num int, group string) testpdf.Object {
		return testpdf.Obj(num, "<</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /Contents 4 0 R /Resources <</Properties <</V "+group+" 0 R>>>>>>")
	}
	out := isolated(t, testpdf.Doc{
		Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "P1 /OC /V BDC P2 EMC"}, {}},
		Objects: []testpdf.Object{page(3, "6"), page(1100, "5")},
	}, "A")
	for i, want := range []string{"P1", "P1 /OC /V BDC P2 EMC"} {
		if got := out.data(i, "Contents"); got != testpdf.Marks(want) {
			t.Errorf("page %d: %q, want %q", i+1, got, testpdf.Marks(want))
		}
	}
}

// TestRawBytes: a stream that loses nothing keeps its very bytes, in whatever
// way they are encoded.
func TestRawBytes(t *testing.T) {
	const hex = "31 30 20 31 30 20 38 20 38 20 72 65 20 66 > rest" // 10 10 8 8 re f
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"},
		Pages: []testpdf.Page{
			{Content: "/X Do /Y Do /I Do /OC /B BDC P1 EMC", Resources: "<</Properties <</B 6 0 R>> /XObject <</X 30 0 R /Y 31 0 R /I 32 0 R>>>>"},
			{Resources: "<</Font <</F 29 0 R>>>>", Entries: "/Contents 33 0 R"},
		},
		Objects: []testpdf.Object{
			testpdf.Stream(30, "/Subtype /Form /BBox [0 0 9 9] /Filter /ASCIIHexDecode", hex),
			// Its dictionary changes, its content does not.
			testpdf.Stream(31, "/Subtype /Form /BBox [0 0 9 9] /Filter /ASCIIHexDecode /OC <</Type /OCMD /OCGs 6 0 R /P /AllOff>> /Resources <</Font <</F 29 0 R>>>>", hex),
			testpdf.Stream(32, "/Subtype /Image /Width 1 /Height 1 /ImageMask true /BitsPerComponent 1 /Filter /ASCIIHexDecode /Alternates []", "8 0>"),
			testpdf.Stream(33, "/Filter /ASCIIHexDecode", hex),
			testpdf.Obj(1100, "<</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /Contents 33 0 R /Resources <</Font <</F 29 0 R>>>>>>"),
		},
	})
	out, report := isolateNamed(t, file, "A")
	was, now := reopened(t, file), reopened(t, out)
	for _, num := range []int{30, 31, 32, 33} {
		a, _ := was.doc.Object(pdf.Ref(num)).(*pdf.Stream)
		b, _ := now.doc.Object(pdf.Ref(report.Objects[num])).(*pdf.Stream)
		if a == nil || b == nil || !bytes.Equal(a.Raw, b.Raw) || len(a.Raw) == 0 {
			t.Errorf("object %d: the bytes are not as they were", num)
		}
	}
	if got := now.keys(0, "Resources/XObject/Y"); got != "BBox Filter Resources Subtype" && got != "BBox Filter Length Resources Subtype" {
		t.Errorf("the form whose group went has %q", got)
	}
	if got := now.keys(1, "Resources"); got != "" {
		t.Errorf("the page without text has the resources %q", got)
	}
}

// TestUnreadableForm: a form whose data cannot be decoded is refused; where that is
// accepted it is empty then, with a warning.
func TestUnreadableForm(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Objects: []testpdf.Object{testpdf.Form(30, "/Filter /NoSuchDecode", "BT /F 9 Tf (A) Tj ET")},
		Pages: []testpdf.Page{{Content: "/X Do /OC /B BDC P1 EMC", Resources: "<</Properties <</B 6 0 R>> /XObject <</X 30 0 R>>>>"}},
	}))
	var out bytes.Buffer
	var unreadable *UnreadableError
	if _, err := doc.Isolate(t.Context(), &out, Selection{Layers: []int{0}}, nil); !errors.As(err, &unreadable) || unreadable.Page != 1 {
		t.Errorf("by default: %v", err)
	}
	out.Reset()
	report, err := doc.Isolate(t.Context(), &out, Selection{Layers: []int{0}}, &acceptDamage)
	if err != nil {
		t.Fatal(err)
	}
	if err := report.Check(t.Context(), bytes.NewReader(out.Bytes())); err != nil {
		t.Error(err)
	}
	if len(report.Warnings) != 1 || report.Warnings[0].Page != 1 || bytes.Contains(out.Bytes(), []byte("NoSuchDecode")) {
		t.Errorf("warnings %v", report.Warnings)
	}
}

// TestMissingPieces: what a page names but does not have changes nothing.
func TestMissingPieces(t *testing.T) {
	const content = "/X Do /G gs BT /F 9 Tf (A) Tj ET /Pattern cs /P scn P1 /S sh /OC /M BDC P2 EMC /Span /N DP"
	for _, resources := range []string{"none", "<<>>", "null", "77 0 R", "<</XObject <</X 77 0 R>> /Font 3 /Pattern null /ExtGState [] /Properties <</M null>>>>"} {
		out := isolated(t, testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: content, Resources: resources}}}, "A")
		if got := out.data(0, "Contents"); got != testpdf.Marks(content) {
			t.Errorf("resources %s: %q", resources, got)
		}
	}
}

// TestDanglingReference: a reference to an object that is missing stays one to
// nothing (7.3.10), also where its number is the first that is free.
func TestDanglingReference(t *testing.T) {
	for _, num := range []string{"30", "31"} {
		file := testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "P1 /OC /B BDC P2 EMC"}},
			Objects: []testpdf.Object{
				testpdf.Obj(testpdf.PagesObject, "<</Type /Pages /Count 1 /Kids [3 0 R "+num+" 0 R]>>"),
				testpdf.Obj(28, "<</Font <</F 29 0 R>> /Properties <</A 5 0 R /B 6 0 R>>>>"),
				testpdf.Obj(3, "<</Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] /Resources 28 0 R /Contents 4 0 R /Trans "+num+" 0 R>>"),
			},
		})
		out, _ := isolateNamed(t, file, "A")
		r := reopened(t, out)
		if was, now := len(reopened(t, file).doc.Pages()), len(r.doc.Pages()); was != 1 || now != 1 {
			t.Errorf("%s: %d pages, and %d before", num, now, was)
		}
		if o := pdf.Resolve(r.doc, r.at(0, "Trans")); o != nil {
			t.Errorf("%s: the reference to nothing leads to %v", num, o)
		}
	}
}
