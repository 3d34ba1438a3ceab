package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// The pages of a file in these tests: the second and the last are taken out.
var fourPages = testpdf.Doc{Pages: make([]testpdf.Page, 4)}

// page is the object number of one of fourPages, from 1.
func page(n int) int { return fourPages.PageObject(n - 1) }

// A pagePlant is one place in which something leads to a page that is taken out, or
// belongs to it. What has to go has SECRET in it, what has to stay KEEP.
type pagePlant struct {
	name    string
	groups  []string
	content [4]string
	entries [4]string // of the pages
	shared  string    // resources of all pages
	catalog string
	objects []testpdf.Object
}

// pagePlants lists every place that KeepPages clears. %d stand for pages.
func pagePlants() []pagePlant {
	obj := func(num int, format string, pages ...any) testpdf.Object {
		for i := range pages {
			pages[i] = page(pages[i].(int))
		}
		return testpdf.Obj(num, fmt.Sprintf(format, pages...))
	}
	entry := func(n int, format string, pages ...any) (list [4]string) {
		for i := range pages {
			pages[i] = page(pages[i].(int))
		}
		list[n-1] = fmt.Sprintf(format, pages...)
		return list
	}
	return []pagePlant{
		{name: "content", content: [4]string{"BT /F 9 Tf (KEEP) Tj ET", "BT /F 9 Tf (SECRET) Tj ET", "", "% SECRET\n"}},
		{name: "a font in shared resources", shared: "<</Font <</F 29 0 R /G <</Type /Font /Subtype /Type1 /BaseFont /SECRET>>>>>>",
			content: [4]string{"BT /F 9 Tf (KEEP) Tj ET", "BT /G 9 Tf (x) Tj ET"}},
		{name: "annotation", entries: entry(2, "/Annots [40 0 R]"),
			objects: []testpdf.Object{obj(40, "<</Subtype /Text /Contents (SECRET) /Rect [0 0 9 9]>>")}},
		{name: "reply to it on another page", entries: [4]string{"/Annots [41 0 R 42 0 R]", "/Annots [40 0 R]"}, objects: []testpdf.Object{
			obj(40, "<</Subtype /Text /Contents (SECRET) /Rect [0 0 9 9]>>"),
			obj(41, "<</Subtype /Text /Contents (KEEP) /IRT 40 0 R /Rect [0 0 9 9]>>"),
			obj(42, "<</Subtype /Text /Contents (KEEP) /Rect [0 0 9 9]>>")}},
		{name: "link", entries: entry(1, "/Annots [<</Subtype /Link /Border [0 0 0] /Rect [0 0 9 9] /Contents (SECRET) /Dest [%d 0 R /Fit]>> <</Subtype /Link /Border [0 0 0] /Rect [0 0 9 9] /Contents (KEEP) /Dest [%d 0 R /Fit]>>]", 2, 3)},
		{name: "link that is seen", entries: entry(1, "/Annots [<</Subtype /Link /Rect [10 10 60 60] /Contents (SECRET) /Dest [%d 0 R /SECRET]>>]", 2)},
		{name: "link by an action", entries: entry(3, "/Annots [40 0 R]"), objects: []testpdf.Object{
			obj(40, "<</Subtype /Link /Border [0 0 0] /Rect [0 0 9 9] /Contents (SECRET) /A <</S /GoTo /D [%d 0 R /Fit]>>>>", 4)}},
		{name: "link by a name", entries: entry(1, "/Annots [<</Subtype /Link /Border [0 0 0] /Rect [0 0 9 9] /Contents (SECRET) /Dest (SECRET)>> <</Subtype /Link /Border [0 0 0] /Rect [0 0 9 9] /Contents (KEEP) /Dest (here)>>]"),
			catalog: "/Names <</Dests 40 0 R>>", objects: []testpdf.Object{
				obj(40, "<</Kids [41 0 R]>>"), obj(41, "<</Limits [(SECRET) (here)] /Names [(SECRET) <</D [%d 0 R /Fit]>> (here) [%d 0 R /Fit]]>>", 2, 3)}},
		{name: "link by a name of old", entries: entry(1, "/Annots [<</Subtype /Link /BS <</W 0>> /Rect [0 0 9 9] /Dest /SECRET>>]"),
			catalog: "/Dests 40 0 R", objects: []testpdf.Object{obj(40, "<</SECRET [%d 0 R /Fit] /KEEP [%d 0 R /Fit]>>", 2, 1)}},
		{name: "link by a number", entries: entry(1, "/Annots [<</Subtype /Link /Border [0 0 0] /Rect [0 0 9 9] /Contents (SECRET) /Dest [2 /Fit]>>]")},
		{name: "action before another", entries: entry(1, "/Annots [<</Subtype /Widget /Rect [0 0 9 9] /A <</S /GoTo /D [%d 0 R /SECRET] /Next <</S /URI /URI (KEEP)>>>>>>]", 2)},
		{name: "first action", catalog: fmt.Sprintf("/OpenAction [%d 0 R /SECRET]", page(2))},
		{name: "first action as a dictionary", catalog: fmt.Sprintf("/OpenAction <</S /GoTo /D [%d 0 R /SECRET]>>", page(4))},
		{name: "outline", catalog: "/Outlines 40 0 R /PageMode /UseOutlines", objects: []testpdf.Object{
			obj(40, "<</First 41 0 R /Last 45 0 R /Count 6>>"),
			obj(41, "<</Title (KEEP) /Parent 40 0 R /Next 42 0 R /Dest [%d 0 R /SECRET] /First 46 0 R /Last 47 0 R /Count 2>>", 2),
			obj(42, "<</Title (SECRET) /Parent 40 0 R /Prev 41 0 R /Next 43 0 R /Dest [%d 0 R /Fit]>>", 4),
			obj(43, "<</Title (SECRET) /Parent 40 0 R /Prev 42 0 R /Next 45 0 R /First 48 0 R /Last 48 0 R /Count -1>>"),
			obj(45, "<</Title (a heading) /Parent 40 0 R /Prev 43 0 R>>"),
			obj(46, "<</Title (SECRET) /Parent 41 0 R /Next 47 0 R /A <</S /GoTo /D [%d 0 R /Fit]>>>>", 2),
			obj(47, "<</Title (inner) /Parent 41 0 R /Prev 46 0 R /Dest [%d 0 R /Fit]>>", 3),
			obj(48, "<</Title (SECRET) /Parent 43 0 R /Dest [%d 0 R /Fit]>>", 4)}},
		{name: "outline of which nothing is left", catalog: "/Outlines 40 0 R /PageMode /UseOutlines", objects: []testpdf.Object{
			obj(40, "<</First 41 0 R /Last 41 0 R /Count 1>>"), obj(41, "<</Title (SECRET) /Parent 40 0 R /Dest [%d 0 R /Fit]>>", 2)}},
		{name: "labels", catalog: "/PageLabels <</Nums [0 <</S /r /P (KEEP)>> 1 <</P (SECRET)>> 2 <</S /D /St 7>> 3 <</P (SECRET)>>]>>"},
		{name: "structure", catalog: "/StructTreeRoot 40 0 R /MarkInfo <</Marked true>>",
			entries: [4]string{"/StructParents 0", "/StructParents 1"},
			content: [4]string{"/P <</MCID 0>> BDC P1 EMC", "/P <</MCID 0>> BDC P1 EMC"},
			objects: []testpdf.Object{
				obj(40, "<</Type /StructTreeRoot /K 41 0 R /ParentTree <</Nums [0 [42 0 R] 1 [43 0 R]]>>>>"),
				obj(41, "<</Type /StructElem /S /Part /P 40 0 R /K [42 0 R 43 0 R 44 0 R]>>"),
				obj(42, "<</Type /StructElem /S /P /P 41 0 R /Pg %d 0 R /K 0 /ActualText (KEEP)>>", 1),
				obj(43, "<</Type /StructElem /S /P /P 41 0 R /Pg %d 0 R /K 0 /ActualText (SECRET)>>", 2),
				obj(44, "<</Type /StructElem /S /P /P 41 0 R /Pg %d 0 R /ActualText (SECRET)>>", 2)}},
		{name: "structure that is listed and not in the tree", catalog: "/StructTreeRoot 40 0 R", entries: [4]string{"/StructParents 0", "/StructParents 1"},
			content: [4]string{"/P <</MCID 0>> BDC P1 EMC", "/P <</MCID 0>> BDC P1 EMC"},
			objects: []testpdf.Object{
				obj(40, "<</Type /StructTreeRoot /K 42 0 R /ParentTree <</Nums [0 [42 0 R] 1 [43 0 R]]>>>>"),
				obj(42, "<</Type /StructElem /S /P /P 40 0 R /Pg %d 0 R /K 0 /ActualText (KEEP)>>", 1),
				obj(43, "<</Type /StructElem /S /P /P 40 0 R /Pg %d 0 R /K 0 /ActualText (SECRET)>>", 2)}},
		{name: "form field", catalog: "/AcroForm <</Fields [40 0 R 41 0 R]>>", entries: [4]string{"/Annots [40 0 R]", "/Annots [41 0 R]"}, objects: []testpdf.Object{
			obj(40, "<</Subtype /Widget /FT /Tx /T (KEEP) /Rect [0 0 9 9]>>"), obj(41, "<</Subtype /Widget /FT /Tx /T (SECRET) /V (SECRET) /Rect [0 0 9 9]>>")}},
		{name: "article thread", catalog: "/Threads [40 0 R]", entries: [4]string{"/B [41 0 R]", "/B [42 0 R]"}, objects: []testpdf.Object{
			obj(40, "<</F 41 0 R /I <</Title (SECRET)>>>>"),
			obj(41, "<</T 40 0 R /N 42 0 R /V 42 0 R /P %d 0 R /R [0 0 9 9]>>", 1), obj(42, "<</N 41 0 R /V 41 0 R /P %d 0 R /R [0 0 9 9]>>", 2)}},
		{name: "layer", groups: []string{"KEEP", "SECRET"}, content: [4]string{"/OC /KEEP BDC P1 EMC", "/OC /SECRET BDC P2 EMC"}},
		{name: "thumbnail and private data", entries: [4]string{"", "/Thumb 40 0 R /PieceInfo <</A <</Private (SECRET)>>>>"}, objects: []testpdf.Object{testpdf.Stream(40, "", "SECRET")}},
	}
}

// build makes the file of a plant, with a page tree of two nodes.
func (p pagePlant) build() []byte {
	d := testpdf.Doc{Groups: p.groups, Catalog: p.catalog, Objects: slices.Clone(p.objects)}
	for i := range 4 {
		one := testpdf.Page{Content: p.content[i], Entries: p.entries[i] + fmt.Sprintf(" /Rotate %d", 90*(i%2))}
		if p.shared != "" {
			one.Resources = "62 0 R"
		}
		d.Pages = append(d.Pages, one)
	}
	d.Objects = append(d.Objects,
		testpdf.Obj(2, "<</Type /Pages /Kids [8 0 R 9 0 R] /Count 4>>"),
		testpdf.Obj(8, fmt.Sprintf("<</Type /Pages /Parent 2 0 R /Kids [%d 0 R %d 0 R] /Count 2>>", page(1), page(2))),
		testpdf.Obj(9, fmt.Sprintf("<</Type /Pages /Parent 2 0 R /Kids [%d 0 R %d 0 R] /Count 2>>", page(3), page(4))),
	)
	if p.shared != "" {
		d.Objects = append(d.Objects, testpdf.Obj(62, p.shared))
	}
	file := testpdf.Build(d)
	for i := range 4 { // their parents, which Build gives, are those nodes
		at := bytes.Index(file, fmt.Appendf(nil, "\n%d 0 obj", page(i+1)))
		copy(file[at+bytes.Index(file[at:], []byte("/Parent 2")):], fmt.Sprintf("/Parent %d", 8+i/2))
	}
	return file
}

// keepPages isolates some pages of a file, with all their layers.
func keepPages(tb testing.TB, file []byte, numbers ...int) []byte {
	tb.Helper()
	ctx := context.Background()
	doc, err := open(tb, file).KeepPages(ctx, numbers)
	if err != nil {
		tb.Fatal(err)
	}
	sel := Selection{Lines: []LineStyle{}}
	for i := range doc.Layers() {
		sel.Unchanged = append(sel.Unchanged, i)
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, sel, nil)
	if err != nil {
		tb.Fatal(err)
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		tb.Errorf("the check: %v", err)
	}
	if err := Verify(ctx, bytes.NewReader(out.Bytes()), doc, sel, nil); err != nil {
		tb.Errorf("verifying: %v", err)
	}
	return out.Bytes()
}

// TestKeepPages: nothing of pages that are taken out stays, and nothing that leads to
// them; what leads elsewhere stays. qpdf finds nothing wrong with the result.
func TestKeepPages(t *testing.T) {
	for _, p := range pagePlants() {
		t.Run(p.name, func(t *testing.T) {
			file := p.build()
			if !find(t, file).has("SECRET") {
				t.Fatal("there is nothing to be taken out")
			}
			out := keepPages(t, file, 1, 3)
			if !bytes.Equal(out, keepPages(t, file, 3, 1, 3)) {
				t.Error("the same pages give other bytes")
			}
			got := find(t, out)
			if places := got.where("SECRET"); len(places) > 0 {
				t.Errorf("SECRET is left in %v:\n%s", places, got.places[places[0]])
			}
			if find(t, file).has("KEEP") && !got.has("KEEP") {
				t.Error("KEEP is gone")
			}
			if n := len(open(t, out).Pages()); n != 2 {
				t.Errorf("there are %d pages", n)
			}
			testpdf.Tool(t, "qpdf")
			if err := testpdf.QPDF(out); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestKeptLabels: pages keep the labels that they had (12.4.2).
func TestKeptLabels(t *testing.T) {
	const nums = "0 <</S /r>> 1 <</S /D /P (A-)>> 3 <</P (end)>>"
	file := testpdf.Build(testpdf.Doc{Pages: make([]testpdf.Page, 5), Catalog: "/PageLabels <</Nums [" + nums + "]>>"})
	for _, tt := range []struct {
		kept []int
		want string
	}{
		{[]int{1, 2, 3}, "[0 <</S /r >> 1 <</P (A-) /S /D >> ]"},
		{[]int{3, 4}, "[0 <</P (A-) /S /D /St 2 >> 1 <</P (end) >> ]"},
		{[]int{2, 5}, "[0 <</P (A-) /S /D >> 1 <</P (end) >> ]"},
	} {
		doc := open(t, keepPages(t, file, tt.kept...)).file.PDF
		root, _ := doc.Root()
		if got := spelled(resolved(doc, pdf.AsDict(doc, root["PageLabels"])["Nums"])); got != tt.want {
			t.Errorf("pages %v: the labels are %s, want %s", tt.kept, got, tt.want)
		}
	}
}

// resolved is an array with the dictionaries that it refers to.
func resolved(src pdf.Objects, o pdf.Object) pdf.Object {
	list := slices.Clone(pdf.AsArray(src, o))
	for i := range list {
		list[i] = pdf.Resolve(src, list[i])
	}
	return list
}

// TestKeptOutline: items are linked to those that are left, and counted (12.3.3).
func TestKeptOutline(t *testing.T) {
	at := slices.IndexFunc(pagePlants(), func(p pagePlant) bool { return p.name == "outline" })
	doc := open(t, keepPages(t, pagePlants()[at].build(), 1, 3)).file.PDF
	root, _ := doc.Root()
	outline := pdf.AsDict(doc, root["Outlines"])
	first, last := pdf.AsDict(doc, outline["First"]), pdf.AsDict(doc, outline["Last"])
	inner := pdf.AsDict(doc, first["First"])
	for what, ok := range map[string]bool{
		"count":        pdf.AsInt(doc, outline["Count"], 0) == 3 && pdf.AsInt(doc, first["Count"], 0) == 1,
		"next":         first["Next"] == outline["Last"] && last["Prev"] == outline["First"],
		"ends":         first["Prev"] == nil && last["Next"] == nil && inner["Prev"] == nil && inner["Next"] == nil,
		"below":        first["First"] == first["Last"] && spelled(inner["Title"]) == "(inner)",
		"where it led": first["Dest"] == nil && inner["Dest"] != nil,
	} {
		if !ok {
			t.Errorf("%s: %s %s", what, spelled(outline), spelled(first))
		}
	}
}

// TestKeepPagesRefused: pages that are not there; all of them are the document.
func TestKeepPagesRefused(t *testing.T) {
	doc := open(t, pagePlants()[0].build())
	ctx := context.Background()
	for _, numbers := range [][]int{{}, {0}, {5}, {1, -1}} {
		var wrong *PageError
		if _, err := doc.KeepPages(ctx, numbers); !errors.As(err, &wrong) {
			t.Errorf("pages %v: got %v", numbers, err)
		}
	}
	if same, err := doc.KeepPages(ctx, []int{4, 3, 2, 1}); err != nil || same.Fingerprint() != doc.Fingerprint() {
		t.Errorf("all pages are another document (%v)", err)
	}
	one, _ := doc.KeepPages(ctx, []int{1})
	other, _ := doc.KeepPages(ctx, []int{2})
	if prints := []string{one.Fingerprint(), other.Fingerprint(), doc.Fingerprint()}; len(slices.Compact(slices.Sorted(slices.Values(prints)))) != 3 {
		t.Error("different pages have one fingerprint")
	}
	if n := len(doc.Pages()); n != 4 {
		t.Errorf("the document has %d pages now", n)
	}
	ended, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := doc.KeepPages(ended, []int{1}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: got %v", err)
	}
}

// TestKeepPagesTwice: pages of pages are pages, and a layer keeps its number.
func TestKeepPagesTwice(t *testing.T) {
	file := pagePlant{groups: []string{"A", "B"}, content: [4]string{"/OC /A BDC P1 EMC", "/OC /B BDC P1 EMC", "/OC /A BDC P2 EMC", "/OC /B BDC P2 EMC"}}.build()
	ctx := context.Background()
	some, err := open(t, file).KeepPages(ctx, []int{2, 3, 4})
	if err != nil {
		t.Fatal(err)
	}
	fewer, err := some.KeepPages(ctx, []int{1, 3})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if _, err := fewer.Isolate(ctx, &out, Selection{Layers: []int{0}}, nil); err != nil {
		t.Fatal(err)
	}
	if list := fewer.Layers(); len(list) != 1 || list[0].Name != "B" || list[0].Object != testpdf.GroupObject+1 {
		t.Errorf("the layers are %v", list)
	}
	if n := len(open(t, out.Bytes()).Pages()); n != 2 {
		t.Errorf("there are %d pages", n)
	}
}

// TestKeptPagesRender: pages that stay look as they did, to two renderers.
func TestKeptPagesRender(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	files := map[string][]byte{}
	for _, p := range pagePlants() {
		for i := range p.content {
			p.content[i] += fmt.Sprintf(" 0 0 %d 30 re f", 10+20*i)
		}
		files[p.name] = p.build()
	}
	demo, err := os.ReadFile("../testdata/tollmere-skirt-a4.pdf")
	if err != nil {
		t.Fatal(err)
	}
	files["demo"] = demo
	for program, draw := range map[string]func([]byte, int) ([]*image.RGBA, error){"pdftocairo": testpdf.Poppler, "mutool": testpdf.MuPDF} {
		testpdf.Tool(t, program)
		for name, file := range files {
			was, err := draw(file, 20)
			if err != nil {
				t.Fatalf("%s: %s: %v", program, name, err)
			}
			now, err := draw(keepPages(t, file, 1, 3), 20)
			if err != nil || len(now) != 2 {
				t.Fatalf("%s: %s: %d pages (%v)", program, name, len(now), err)
			}
			for i, n := range []int{0, 2} {
				if d := testpdf.Compare(was[n], now[i]); !d.Equal() {
					t.Errorf("%s: %s: page %d: %v", program, name, n+1, d)
				}
			}
		}
	}
}

// TestKeptPagesKey: what is written for some pages has a key of its own.
func TestKeptPagesKey(t *testing.T) {
	file := pagePlant{groups: []string{"A"}, content: [4]string{"/OC /A BDC P1 EMC", "/OC /A BDC P1 EMC"}}.build()
	doc := open(t, file)
	part, err := doc.KeepPages(context.Background(), []int{1})
	if err != nil {
		t.Fatal(err)
	}
	sel := Selection{Layers: []int{0}}
	one, err := doc.Key(sel, nil)
	other, err2 := part.Key(sel, nil)
	if one == other || err != nil || err2 != nil {
		t.Errorf("the keys are %s and %s (%v, %v)", one, other, err, err2)
	}
	bound, err := part.Bind(sel)
	if err != nil {
		t.Fatal(err)
	}
	var wrong *WrongDocumentError
	if _, err := doc.Isolate(context.Background(), io.Discard, bound, nil); !errors.As(err, &wrong) {
		t.Errorf("a selection for some pages serves the whole: %v", err)
	}
	if strings.Contains(part.Fingerprint(), " ") {
		t.Error("the fingerprint is no number")
	}
}

// TestKeepPagesEncrypted: pages of an encrypted file are encrypted as it is.
func TestKeepPagesEncrypted(t *testing.T) {
	testpdf.Tool(t, "qpdf")
	file, err := testpdf.Encrypt(pagePlants()[0].build(), "", "owner")
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	doc, err := openWith(t, file, "owner").KeepPages(ctx, []int{1, 3})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, Selection{Lines: []LineStyle{}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		t.Error(err)
	}
	if err := testpdf.QPDF(out.Bytes()); err != nil {
		t.Error(err)
	}
	got := openWith(t, out.Bytes(), "owner")
	if e := got.Encryption(); e == nil || len(got.Pages()) != 2 || find(t, out.Bytes()).has("SECRET") {
		t.Errorf("encrypted: %v, %d pages", e, len(got.Pages()))
	}
}
