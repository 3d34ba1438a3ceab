package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// listed writes layers one a line: number, name, state, state for printing
// where it differs, and what else is not as usual.
func listed(list []Layer) string {
	onOff := map[bool]string{true: "on", false: "off"}
	var b strings.Builder
	for _, l := range list {
		fmt.Fprintf(&b, "%d %s %s", l.Object, l.Name, onOff[l.On])
		if l.Print != l.On {
			fmt.Fprintf(&b, " print %s", onOff[l.Print])
		}
		if !l.Listed {
			b.WriteString(" unlisted")
		}
		if l.Locked {
			b.WriteString(" locked")
		}
		if intent := strings.Join(l.Intent, "+"); intent != "View" {
			b.WriteString(" intent " + intent)
		}
		b.WriteString("\n")
	}
	return b.String()
}

// TestProperties: the layers of a file and their states (8.11.4). A and B are
// the objects 5 and 6, 77 is missing.
func TestProperties(t *testing.T) {
	for _, c := range []struct {
		name, clause string
		properties   string
		objects      []testpdf.Object
		want         string
	}{
		{"all on", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <<>>>>", nil, "5 A on\n6 B on\n"},
		{"broken entries are passed over", "8.11.4.2 Table 100", "<</OCGs [null 77 0 R 3 29 5 0 R (x) <</Type /OCG /Name (X)>> 6 0 R] /D <</OFF [6 0 R]>>>>", nil, "5 A on\n6 B off\n"},
		{"indirect arrays", "7.3.10", "<</OCGs 30 0 R /D 31 0 R>>", []testpdf.Object{
			testpdf.Obj(30, "[5 0 R 6 0 R]"), testpdf.Obj(31, "<</OFF 32 0 R>>"), testpdf.Obj(32, "[6 0 R]"),
		}, "5 A on\n6 B off\n"},
		{"no list, OFF names a group", "8.11.4.2", "<</D <</OFF [6 0 R]>>>>", nil, "5 A on unlisted\n6 B off unlisted\n"},
		{"list is no array", "8.11.4.2", "<</OCGs 5 0 R /D <<>>>>", nil, "5 A on unlisted\n6 B on unlisted\n"},
		{"listed twice", "8.11.4.2", "<</OCGs [6 0 R 5 0 R 6 0 R] /D <<>>>>", nil, "6 B on\n5 A on\n"},
		{"order of the list", "8.11.4.2", "<</OCGs [6 0 R 5 0 R] /D <<>>>>", nil, "6 B on\n5 A on\n"},
		{"unlisted last", "8.11.3.2", "<</OCGs [6 0 R] /D <<>>>>", nil, "6 B on\n5 A on unlisted\n"},
		{"BaseState is for listed groups", "8.11.4.3", "<</OCGs [6 0 R] /D <</BaseState /OFF>>>>", nil, "6 B off\n5 A on unlisted\n"},
		{"listed without a type", "8.11.2.1 Table 98", "<</OCGs [5 0 R 40 0 R] /D <<>>>>", []testpdf.Object{
			testpdf.Obj(6, "null"), testpdf.Obj(40, "<</Name (X)>>"),
		}, "5 A on\n40 X on\n"},
		{"not listed, of another type", "8.11.2.1 Table 98", "<</OCGs [5 0 R] /D <<>>>>", []testpdf.Object{
			testpdf.Obj(6, "<</Type /Foo /Name (B)>>"), testpdf.Obj(40, "<</Name (X)>>"),
		}, "5 A on\n"},
		{"equal dictionaries are two groups", "8.11.3.2", "<</OCGs [5 0 R 40 0 R] /D <</OFF [40 0 R]>>>>", []testpdf.Object{
			testpdf.Obj(6, "null"), testpdf.Obj(40, "<</Type /OCG /Name (A)>>"),
		}, "5 A on\n40 A off\n"},
		{"BaseState off", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</BaseState /OFF /ON [5 0 R]>>>>", nil, "5 A on\n6 B off\n"},
		{"both on and off", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</ON [5 0 R 6 0 R] /OFF [6 0 R]>>>>", nil, "5 A on\n6 B off\n"},
		{"BaseState off, both on and off", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</BaseState /OFF /ON [5 0 R 6 0 R] /OFF [6 0 R]>>>>", nil, "5 A on\n6 B off\n"},
		{"BaseState unchanged", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</BaseState /Unchanged>>>>", nil, "5 A on\n6 B on\n"},
		{"BaseState in another case", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</BaseState /Off>>>>", nil, "5 A on\n6 B on\n"},
		{"BaseState is a string", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</BaseState (OFF)>>>>", nil, "5 A on\n6 B on\n"},
		{"broken entries in OFF", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</OFF [77 0 R null 29 0 R 3 6 0 R]>>>>", nil, "5 A on\n6 B off\n"},
		{"no configuration", "8.11.4.2 Table 100", "<</OCGs [5 0 R 6 0 R]>>", nil, "5 A on\n6 B on\n"},
		{"further configurations", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</OFF [6 0 R]>> /Configs [<</Intent /View /BaseState /OFF /OFF [5 0 R]>>]>>", nil, "5 A on\n6 B off\n"},
		{"locked", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</Locked [6 0 R]>>>>", nil, "5 A on\n6 B on locked\n"},
		{"radio buttons", "8.11.4.3", "<</OCGs [5 0 R 6 0 R] /D <</RBGroups [[5 0 R 6 0 R]]>>>>", nil, "5 A on\n6 B on\n"},
		{"intent", "8.11.2.3", "<</OCGs [5 0 R 6 0 R] /D <</Intent /View>>>>", []testpdf.Object{
			testpdf.Obj(5, "<</Type /OCG /Name (A) /Intent [/View /Design]>>"), testpdf.Obj(6, "<</Type /OCG /Name (B) /Intent /Design>>"),
		}, "5 A on intent View+Design\n6 B on intent Design\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc := open(t, testpdf.Build(testpdf.Doc{
				Groups: []string{"A", "B"}, OCProperties: c.properties, Objects: c.objects,
			}))
			if diff := cmp.Diff(c.want, listed(doc.Layers())); diff != "" {
				t.Errorf("%s: -want +got\n%s", c.clause, diff)
			}
		})
	}
}

// TestPrintState: usage application dictionaries of the event Print change
// the state by default (8.11.4.4, Tables 102 and 103). B is the group.
func TestPrintState(t *testing.T) {
	for _, c := range []struct {
		name, usage, as, off string
		want                 string
	}{
		{"usage alone", "/Print <</PrintState /OFF>>", "", "", "on"},
		{"off for printing", "/Print <</PrintState /OFF>>", "<</Event /Print /OCGs [6 0 R] /Category [/Print]>>", "", "on print off"},
		{"on for printing", "/Print <</PrintState /ON>>", "<</Event /Print /OCGs [6 0 R] /Category [/Print]>>", "6 0 R", "off print on"},
		{"event View", "/Print <</PrintState /OFF>> /View <</ViewState /OFF>>", "<</Event /View /OCGs [6 0 R] /Category [/View /Print]>>", "", "on"},
		{"event Export", "/Export <</ExportState /OFF>>", "<</Event /Export /OCGs [6 0 R] /Category [/Export]>>", "", "on"},
		{"event is missing", "/Print <</PrintState /OFF>>", "<</OCGs [6 0 R] /Category [/Print]>>", "", "on"},
		{"group is not in it", "/Print <</PrintState /OFF>>", "<</Event /Print /OCGs [5 0 R] /Category [/Print]>>", "", "on"},
		{"no category", "/Print <</PrintState /OFF>>", "<</Event /Print /OCGs [6 0 R] /Category []>>", "", "on"},
		{"category without an entry", "/View <</ViewState /OFF>>", "<</Event /Print /OCGs [6 0 R] /Category [/Print]>>", "", "on"},
		{"category without an entry, off", "/View <</ViewState /ON>>", "<</Event /Print /OCGs [6 0 R] /Category [/Print]>>", "6 0 R", "off"},
		{"category View for printing", "/View <</ViewState /OFF>>", "<</Event /Print /OCGs [6 0 R] /Category [/View]>>", "", "on print off"},
		{"all have to say on", "/View <</ViewState /OFF>> /Print <</PrintState /ON>>", "<</Event /Print /OCGs [6 0 R] /Category [/View /Print]>>", "", "on print off"},
		{"whatever comes first", "/View <</ViewState /OFF>> /Print <</PrintState /ON>>", "<</Event /Print /OCGs [6 0 R] /Category [/Print /View]>>", "", "on print off"},
		{"all say on", "/View <</ViewState /ON>> /Print <</PrintState /ON>>", "<</Event /Print /OCGs [6 0 R] /Category [/View /Print]>>", "6 0 R", "off print on"},
		{"two dictionaries", "/View <</ViewState /OFF>> /Print <</PrintState /ON>>",
			"<</Event /Print /OCGs [6 0 R] /Category [/Print]>> null 3 <</Event /Print /OCGs [6 0 R] /Category [/View]>>", "", "on print off"},
		{"no state at all, off", "/Print <</PrintState /Maybe>>", "<</Event /Print /OCGs [6 0 R] /Category [/Print]>>", "6 0 R", "off"},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc := open(t, testpdf.Build(testpdf.Doc{
				Groups:       []string{"A", "B"},
				OCProperties: "<</OCGs [5 0 R 6 0 R] /D <</OFF [" + c.off + "] /AS [" + c.as + "]>>>>",
				Objects:      []testpdf.Object{testpdf.Obj(6, "<</Type /OCG /Name (B) /Usage <<"+c.usage+">>>>")},
			}))
			if got, want := listed(doc.Layers()), "5 A on\n6 B "+c.want+"\n"; got != want {
				t.Errorf("got %q, want %q", got, want)
			}
		})
	}
}

// TestUsage: what a usage dictionary says (Table 102).
func TestUsage(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: []testpdf.Object{
		testpdf.Obj(6, "<</Type /OCG /Name (B) /Usage 40 0 R>>"),
		testpdf.Obj(40, "<</View <</ViewState /OFF>> /Print 41 0 R /Export <</ExportState /ON>> /PageElement <</Subtype /BG>>"+
			" /CreatorInfo <</Creator <FEFF00E9>>> /Zoom <</min 2>>>>"),
		testpdf.Obj(41, "<</PrintState /ON /Subtype /Watermark>>"),
	}}))
	want := []Usage{{}, {View: "OFF", Print: "ON", Export: "ON", Subtype: "Watermark", Element: "BG", Creator: "é"}}
	for i, l := range doc.Layers() {
		if diff := cmp.Diff(want[i], l.Usage); diff != "" {
			t.Errorf("layer %s: -want +got\n%s", l.Name, diff)
		}
	}
}

// TestGroupNames: text strings in all encodings (7.9.2.2; UTF-16LE is met,
// though no standard allows it).
func TestGroupNames(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"PDFDocEncoding", `/Name (\200 \366)`, "• ö"},
		{"UTF-16BE", "/Name <FEFF004C00310000>", "L1"},
		{"UTF-16BE, odd last byte", "/Name <FEFF004C0031FF>", "L1"},
		{"UTF-16BE beyond the basic plane", "/Name <FEFFD83EDDF5>", "🧵"},
		{"lone surrogate", "/Name <FEFF004CD83E>", "L\uFFFD"},
		{"UTF-16BE with a language", "/Name <FEFF001B0065006E001B004C>", "L"},
		{"UTF-16LE", "/Name <FFFE4C00>", "L"},
		{"UTF-8", "/Name <EFBBBFC3A9>", "é"},
		{"trailing NUL", `/Name (L\000)`, "L"},
		{"escapes", `/Name (a\(b\)\134c)`, `a(b)\c`},
		{"indirect", "/Name 40 0 R", "L1"},
		{"name object", "/Name /Size#2014", "Size 14"},
		{"missing", "", ""},
		{"number", "/Name 14", ""},
	} {
		doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A"}, Objects: []testpdf.Object{
			testpdf.Obj(5, "<</Type /OCG "+c.text+">>"), testpdf.Obj(40, "(L1)"),
		}}))
		if got := Names(doc.Layers())[0]; got != c.want {
			t.Errorf("%s: %s reads %q, want %q", c.name, c.text, got, c.want)
		}
	}
}

// TestNamesAreCopied: the bytes of a name stay, whatever their encoding.
func TestNamesAreCopied(t *testing.T) {
	const name = "\xFF\xFEL\x00\x1B\x00"
	out, _ := isolate(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: []testpdf.Object{
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

// TestUnlistedWarning: a layer that the list leaves out is named in a warning.
func TestUnlistedWarning(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, OCProperties: "<</OCGs [5 0 R] /D <<>>>>"}))
	list := doc.Warnings()
	if len(list) != 1 || !strings.Contains(list[0].Text, `"B"`) || !strings.Contains(list[0].Text, "6") {
		t.Errorf("warnings %v, want one that names B and object 6", list)
	}
}

// TestUnlistedWarnings: several are named in one warning.
func TestUnlistedWarnings(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{Groups: strings.Split("A B C D E F G H I", " "), OCProperties: "<</OCGs [5 0 R] /D <<>>>>"}))
	const want = `8 layers are missing from the file's list of layers: "B" (object 6), "C" (object 7), "D" (object 8), "E" (object 9), "F" (object 10), "G" (object 11) and 2 more; they are treated like the others`
	if list := doc.Warnings(); len(list) != 1 || list[0].Text != want {
		t.Errorf("warnings %v, want one, %s", list, want)
	}
}

// TestLayersAreTheCallersOwn: changing what Layers gave changes nothing.
func TestLayersAreTheCallersOwn(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A"}, OCProperties: "<</OCGs [5 0 R] /D <</Order [[(Head) 5 0 R]]>>>>",
	}))
	list := doc.Layers()
	list[0].Name, list[0].On = "Z", false
	list[0].Intent[0], list[0].Parents[0] = "Z", "Z"
	if got := doc.Layers()[0]; got.Name != "A" || !got.On || got.Intent[0] != "View" || got.Parents[0] != "Head" {
		t.Errorf("the document changed with the slice of its caller: %+v", got)
	}
}

// TestGroupWithLength: a key that streams have too is nothing special in a
// dictionary, also within an object stream (7.3.7, 7.5.7).
func TestGroupWithLength(t *testing.T) {
	for _, layout := range []testpdf.Layout{{}, {ObjectStreams: true}} {
		file := testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, Layout: layout, Objects: []testpdf.Object{testpdf.Obj(5, "<</Type /OCG /Name (A) /Length 0>>")},
		})
		if got, want := listed(open(t, file).Layers()), "5 A on\n6 B on\n"; got != want {
			t.Errorf("%+v: layers %q, want %q", layout, got, want)
			continue
		}
		out, _ := isolate(t, file, "A")
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
		out, _ := isolate(t, file, "A")
		if n := len(open(t, out).Pages()); n != 1 {
			t.Errorf("without %q: %d pages are left", types, n)
		}
	}
}
