package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// written is an object as text: groups by their names, strings in
// parentheses, dictionaries by key.
func written(doc *Document, o pdf.Object) string {
	if ref, ok := o.(pdf.Ref); ok && doc.file.Group(ref) != nil {
		return doc.file.Group(ref).Layer.Name
	}
	var b strings.Builder
	switch o := pdf.Resolve(doc.file.PDF, o).(type) {
	case nil:
		return "null"
	case pdf.Array:
		for i, v := range o {
			if i > 0 {
				b.WriteString(" ")
			}
			b.WriteString(written(doc, v))
		}
		return "[" + b.String() + "]"
	case pdf.Dict:
		for i, k := range o.Keys() {
			if i > 0 {
				b.WriteString(" ")
			}
			b.WriteString(string(k) + " " + written(doc, o[k]))
		}
		return "<<" + b.String() + ">>"
	case *pdf.Stream:
		return "stream " + written(doc, o.Dict)
	case pdf.Name:
		return "/" + string(o)
	case pdf.String:
		return "(" + string(o) + ")"
	default:
		return fmt.Sprint(o)
	}
}

// catalog is the optional content of a file.
func catalog(tb testing.TB, file []byte) string {
	tb.Helper()
	doc := open(tb, file)
	root, _ := doc.file.PDF.Root()
	return written(doc, root["OCProperties"])
}

// TestCatalog: the optional content of the output with A and C chosen of A, B
// and C (8.11.4.2, Tables 100 and 101).
func TestCatalog(t *testing.T) {
	for _, c := range []struct{ name, properties, want string }{
		{"plain", "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</Name (N) /Order [5 0 R 6 0 R 7 0 R]>>>>",
			"<<D <<Order [A C]>> OCGs [A C]>>"},
		{"chosen layers are on", "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</BaseState /OFF /ON [6 0 R] /OFF [5 0 R 7 0 R]>>>>",
			"<<D <<>> OCGs [A C]>>"},
		{"no configuration", "<</OCGs [5 0 R 6 0 R 7 0 R]>>", "<<D <<>> OCGs [A C]>>"},
		{"further configurations and applications go",
			"<</OCGs [5 0 R 6 0 R 7 0 R] /D <</AS [<</Event /Print /OCGs [5 0 R 6 0 R] /Category [/Print]>>] /Intent /Design>> /Configs [<</OFF [5 0 R 6 0 R]>>] /Private (6)>>",
			"<<D <<>> OCGs [A C]>>"},
		{"name and creator go, the list mode stays", "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</Name (N) /Creator (W) /ListMode /VisiblePages>>>>",
			"<<D <<ListMode /VisiblePages>> OCGs [A C]>>"},
		{"locked", "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</Locked [6 0 R 7 0 R null 7 0 R]>>>>", "<<D <<Locked [C]>> OCGs [A C]>>"},
		{"locked ones go", "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</Locked [6 0 R]>>>>", "<<D <<>> OCGs [A C]>>"},
		{"radio buttons of one", "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</RBGroups [[5 0 R 6 0 R] [6 0 R]]>>>>", "<<D <<>> OCGs [A C]>>"},
		{"radio buttons that are all on", "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</RBGroups [[5 0 R 6 0 R 7 0 R]]>>>>", "<<D <<>> OCGs [A C]>>"},
		{"unlisted groups are listed", "<</OCGs [7 0 R] /D <<>>>>", "<<D <<>> OCGs [C A]>>"},
		{"order without groups", "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</Order [[(Head) 6 0 R]]>>>>", "<<D <<>> OCGs [A C]>>"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, _ := isolateNamed(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B", "C"}, OCProperties: c.properties}), "A", "C")
			if diff := cmp.Diff(c.want, catalog(t, out)); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
		})
	}
}

// TestFilteredOrder: the order of the output with A and C chosen of A to D.
// Children of a layer that goes take its place, so that they do not become
// those of the layer before (8.11.4.3, Table 101).
func TestFilteredOrder(t *testing.T) {
	for _, c := range []struct{ name, order, want string }{
		{"flat", "[5 0 R 6 0 R 7 0 R]", "[A C]"},
		{"child of a removed layer", "[5 0 R 6 0 R [7 0 R]]", "[A C]"},
		{"child of a removed layer, label in between", "[5 0 R 6 0 R [7 0 R] [(H) 6 0 R]]", "[A C]"},
		{"removed child", "[5 0 R [6 0 R] 7 0 R]", "[A C]"},
		{"kept child", "[5 0 R [7 0 R]]", "[A [C]]"},
		{"one of two children", "[5 0 R [6 0 R 7 0 R]]", "[A [C]]"},
		{"grandchild of a removed child", "[5 0 R [6 0 R [7 0 R]]]", "[A [C]]"},
		{"label", "[[(H) 5 0 R 6 0 R] 7 0 R]", "[[(H) A] C]"},
		{"label without layers", "[5 0 R [(H) 6 0 R 8 0 R] 7 0 R]", "[A C]"},
		{"label of a label without layers", "[[(H) [(I) 6 0 R]] 5 0 R]", "[A]"},
		{"label after a removed layer", "[5 0 R 6 0 R [(H) 7 0 R]]", "[A [(H) C]]"},
		{"child within a label of a removed layer", "[[(H) 6 0 R [7 0 R]]]", "[[(H) C]]"},
		{"level without a name", "[[5 0 R] [6 0 R] [7 0 R]]", "[[A] [C]]"},
		{"empty arrays, nulls and others", "[[] null 5 0 R [null] 3 77 0 R 7 0 R]", "[A C]"},
		{"first of two removed with children", "[6 0 R [5 0 R] 8 0 R [7 0 R]]", "[A C]"},
		{"all removed", "[6 0 R [8 0 R]]", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, _ := isolateNamed(t, ordered(c.order), "A", "C")
			want := "<<D <<Order " + c.want + ">> OCGs [A C]>>"
			if c.want == "" {
				want = "<<D <<>> OCGs [A C]>>"
			}
			if diff := cmp.Diff(want, catalog(t, out)); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
		})
	}
}

// TestUnchangedLayers: they stay on or off as they are for printing; a
// position that is chosen too is on.
func TestUnchangedLayers(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C", "D"},
		OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R 8 0 R] /D <</OFF [6 0 R 8 0 R] /RBGroups [[5 0 R 6 0 R]]" +
			" /AS [<</Event /Print /OCGs [7 0 R] /Category [/Print]>>]>>>>",
		Objects: []testpdf.Object{testpdf.Obj(7, "<</Type /OCG /Name (C) /Usage <</Print <</PrintState /OFF>>>>>>")},
		Pages:   []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /OC /C BDC P3 EMC /OC /D BDC P4 EMC"}},
	})
	for _, c := range []struct {
		name string
		sel  Selection
		want string
		page string
	}{
		{"off by default, and off for printing", Selection{Layers: []int{0}, Unchanged: []int{1, 2}},
			"<<D <<OFF [B C] RBGroups [[A B]]>> OCGs [A B C]>>", "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /OC /C BDC P3 EMC"},
		{"chosen too", Selection{Layers: []int{1}, Unchanged: []int{0, 1}},
			"<<D <<>> OCGs [A B]>>", "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"},
		{"all unchanged", Selection{Unchanged: []int{0, 1, 2, 3}},
			"<<D <<OFF [B C D] RBGroups [[A B]]>> OCGs [A B C D]>>", "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /OC /C BDC P3 EMC /OC /D BDC P4 EMC"},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc := open(t, file)
			var out bytes.Buffer
			report, err := doc.Isolate(context.Background(), &out, c.sel, nil)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, catalog(t, out.Bytes())); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
			if got, want := fold(pageContent(t, out.Bytes(), 0)), testpdf.Marks(c.page); got != want {
				t.Errorf("content %q, want %q", got, want)
			}
			for _, l := range append(report.Kept, report.Unchanged...) {
				now := open(t, out.Bytes())
				if g := now.file.Group(pdf.Ref(l.Now)); g == nil || g.Layer.Name != l.Name || g.Layer.On != l.On {
					t.Errorf("the report says %+v, the output does not", l)
				}
			}
		})
	}
}

// TestKeptGroup: what engines take for the state of a layer goes from its
// dictionary (Table 102), and an intent that would make it have no effect
// (8.11.2.3).
func TestKeptGroup(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"/Type /OCG /Name (A)", "<<Name (A) Type /OCG>>"},
		{"/Name (A)", "<<Name (A) Type /OCG>>"},
		{"/Type /OCG /Name (A) /Intent /View", "<<Intent /View Name (A) Type /OCG>>"},
		{"/Type /OCG /Name (A) /Intent /All", "<<Intent /All Name (A) Type /OCG>>"},
		{"/Type /OCG /Name (A) /Intent [/View /Design]", "<<Intent [/View /Design] Name (A) Type /OCG>>"},
		{"/Type /OCG /Name (A) /Intent /Design", "<<Name (A) Type /OCG>>"},
		{"/Type /OCG /Name (A) /Usage <</View <</ViewState /OFF>> /Print <</PrintState /OFF>> /Export <</ExportState /OFF>>" +
			" /Zoom <</min 2>> /User <</Type /Ind>> /Language <</Lang (de)>>>>", "<<Name (A) Type /OCG>>"},
		{"/Type /OCG /Name (A) /Usage <</Print <</PrintState /OFF>> /PageElement <</Subtype /BG>>>>",
			"<<Name (A) Type /OCG Usage <<PageElement <<Subtype /BG>>>>>>"},
	} {
		out, report := isolateNamed(t, testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, Objects: []testpdf.Object{testpdf.Obj(5, "<<"+c.text+">>")},
		}), "A")
		doc := open(t, out)
		got := written(doc, doc.file.PDF.Object(pdf.Ref(report.Objects[5])))
		if got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.text, got, c.want)
		}
	}
}

// TestNoLayerLeft: without any layer the output has no optional content, and
// no panel of layers to open with (7.7.2, Table 28).
func TestNoLayerLeft(t *testing.T) {
	for _, c := range []struct {
		choose     []string
		mode, want string
	}{
		{nil, "/PageMode /UseOC", "null"}, {nil, "/PageMode /UseOutlines", "/UseOutlines"},
		{[]string{"A"}, "/PageMode /UseOC", "/UseOC"},
	} {
		out, _ := isolateNamed(t, testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, Catalog: c.mode, Pages: []testpdf.Page{{Content: "P1 /OC /A BDC P2 EMC"}},
		}), c.choose...)
		doc := open(t, out)
		root, _ := doc.file.PDF.Root()
		if got := written(doc, root["PageMode"]); got != c.want {
			t.Errorf("%v chosen, %s: %s, want %s", c.choose, c.mode, got, c.want)
		}
		if _, has := root["OCProperties"]; has != (c.choose != nil) {
			t.Errorf("%v chosen: OCProperties there: %t", c.choose, has)
		}
		if c.choose == nil && (find(t, out).has("OCG") || find(t, out).has("/OC")) {
			t.Error("optional content is left")
		}
	}
}

// TestRadioWarning: two chosen layers that exclude each other are both kept,
// with a warning (8.11.4.3).
func TestRadioWarning(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups:       []string{"A", "B", "C"},
		OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</RBGroups [[5 0 R 7 0 R]]>>>>",
		Pages:        []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /C BDC P2 EMC"}},
	})
	out, report := isolateNamed(t, file, "A", "C")
	if len(report.Warnings) != 1 || !strings.Contains(report.Warnings[0].Text, "exclude each other") {
		t.Errorf("warnings %v", report.Warnings)
	}
	if got, want := fold(pageContent(t, out, 0)), testpdf.Marks("/OC /A BDC P1 EMC /OC /C BDC P2 EMC"); got != want {
		t.Errorf("content %q, want %q", got, want)
	}
	if _, report = isolateNamed(t, file, "A", "B"); len(report.Warnings) != 0 {
		t.Errorf("one of them alone: warnings %v", report.Warnings)
	}
}

// TestNamesAreCopied: the bytes of a name stay, whatever their encoding.
func TestNamesAreCopied(t *testing.T) {
	const name = "\xFF\xFEL\x00\x1B\x00"
	out, _ := isolateNamed(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: []testpdf.Object{
		testpdf.Obj(5, fmt.Sprintf("<</Type /OCG /Name <%X>>>", name)),
	}}), "L")
	if !find(t, out).has(name) {
		t.Errorf("the name %q is not in the output", name)
	}
}

// TestNoProperties: without OCProperties nothing is optional content
// (8.11.4.2).
func TestNoProperties(t *testing.T) {
	for _, p := range []string{"none", "null", "77 0 R", "[5 0 R]"} {
		doc := open(t, testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, OCProperties: p, Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC"}},
		}))
		if list := doc.Layers(); len(list) > 0 {
			t.Errorf("OCProperties %s: layers %v", p, Names(list))
		}
		var out bytes.Buffer
		_, err := doc.Isolate(context.Background(), &out, Selection{}, nil)
		if !errors.Is(err, ErrNoLayers) || out.Len() > 0 {
			t.Errorf("OCProperties %s: error %v, want ErrNoLayers, and %d bytes", p, err, out.Len())
		}
		var lost *LostLayersError
		if list := doc.Warnings(); !errors.As(err, &lost) || !slices.Equal(lost.Names, []string{"A", "B"}) || len(list) != 1 || list[0].Text != err.Error() {
			t.Errorf("OCProperties %s: error %v, warnings %v, want both to name A and B", p, err, list)
		}
	}
}

// TestGroupWithLength: a key that streams have too is nothing special in a
// dictionary, also within an object stream (7.3.7, 7.5.7).
func TestGroupWithLength(t *testing.T) {
	for _, layout := range []testpdf.Layout{{}, {ObjectStreams: true}} {
		file := testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, Layout: layout, Objects: []testpdf.Object{testpdf.Obj(5, "<</Type /OCG /Name (A) /Length 0>>")},
		})
		if got := Names(open(t, file).Layers()); !slices.Equal(got, []string{"A", "B"}) {
			t.Errorf("%+v: layers %q", layout, got)
			continue
		}
		out, _ := isolateNamed(t, file, "A")
		if err := verify(t, out, file, "A"); err != nil {
			t.Errorf("%+v: %v", layout, err)
		}
	}
}

// TestListedOther: what a list of groups names and is another thing is no
// group, whatever is chosen: the catalog, a page (8.11.2.1, Table 98).
func TestListedOther(t *testing.T) {
	for _, types := range []string{"", "/Type /Catalog", "/Type /Catalog /Type /Pages /Type /Page"} {
		file := testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, OCProperties: "<</OCGs [1 0 R 5 0 R 2 0 R 3 0 R 6 0 R] /D <</OFF [1 0 R 3 0 R]>>>>",
			Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}},
		})
		for _, kind := range []string{"/Type /Catalog", "/Type /Pages", "/Type /Page"} {
			if strings.Contains(types, kind) {
				file = bytes.Replace(file, []byte(kind), []byte(strings.Repeat(" ", len(kind))), 1)
			}
		}
		if got := Names(open(t, file).Layers()); !slices.Equal(got, []string{"A", "B"}) {
			t.Errorf("without %q: layers %q", types, got)
		}
		out, _ := isolateNamed(t, file, "A")
		if n := len(open(t, out).Pages()); n != 1 {
			t.Errorf("without %q: %d pages are left", types, n)
		}
	}
}

// ordered is a document with four groups A to D, objects 5 to 8, in that
// order.
func ordered(order string, objects ...testpdf.Object) []byte {
	return testpdf.Build(testpdf.Doc{
		Groups:       []string{"A", "B", "C", "D"},
		OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R 8 0 R] /D <</Order " + order + ">>>>",
		Pages:        []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /OC /C BDC P3 EMC"}},
		Objects:      objects,
	})
}

// endless are orders that lead nowhere.
func endless() []struct {
	name, order string
	objects     []testpdf.Object
} {
	var wide []testpdf.Object
	for i := 40; i < 70; i++ {
		wide = append(wide, testpdf.Obj(i, fmt.Sprintf("[%[1]d 0 R %[1]d 0 R]", i+1)))
	}
	wide = append(wide, testpdf.Obj(70, "[5 0 R]"))
	return []struct {
		name, order string
		objects     []testpdf.Object
	}{
		{"within itself", "40 0 R", []testpdf.Object{testpdf.Obj(40, "[5 0 R 40 0 R]")}},
		{"within each other", "40 0 R", []testpdf.Object{testpdf.Obj(40, "[5 0 R 41 0 R]"), testpdf.Obj(41, "[(Head) 6 0 R 40 0 R]")}},
		{"deep", strings.Repeat("[", 200) + "5 0 R" + strings.Repeat("]", 200), nil},
		{"twice within itself", "40 0 R", []testpdf.Object{testpdf.Obj(40, "[5 0 R 40 0 R 40 0 R]")}},
		{"thirty levels of two", "40 0 R", wide},
	}
}

// TestEndlessOrder: orders within themselves end, on reading and on writing.
// The time only bounds a failure: reading takes milliseconds.
func TestEndlessOrder(t *testing.T) {
	for _, c := range endless() {
		t.Run(c.name, func(t *testing.T) {
			file := ordered(c.order, c.objects...)
			size, done := 0, make(chan struct{})
			go func() {
				defer close(done)
				doc, err := Open(context.Background(), bytes.NewReader(file), nil)
				if err != nil {
					t.Error(err)
					return
				}
				var out bytes.Buffer
				if _, err := doc.Isolate(context.Background(), &out, Selection{Layers: []int{0, 2}}, nil); err != nil {
					t.Error(err)
				}
				size = out.Len()
			}()
			select {
			case <-done:
				if size > 10*len(file) {
					t.Errorf("the output has %d bytes, the input %d", size, len(file))
				}
			case <-time.After(5 * time.Second):
				t.Error("no end after 5 s")
			}
		})
	}
}
