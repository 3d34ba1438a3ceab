package optional

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// names are those of the layers of a document.
func names(doc *Document) (list []string) {
	for _, l := range doc.Layers() {
		list = append(list, l.Name)
	}
	return list
}

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
		{"no list, OFF names a group", "8.11.4.2", "<</D <</OFF [6 0 R]>>>>", nil, "5 A on unlisted\n6 B on unlisted\n"},
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
		if got := names(doc)[0]; got != c.want {
			t.Errorf("%s: %s reads %q, want %q", c.name, c.text, got, c.want)
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

// TestOrder: what stands above each layer (8.11.4.3, Table 101 with its two
// examples: a label heads an array, an array without one holds the children of
// the group before).
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name, order string
		objects     []testpdf.Object
		want        string // layers with parents, "layer: parents"
	}{
		{"flat", "[5 0 R 6 0 R]", nil, ""},
		{"labels", "[[(Front) 5 0 R 6 0 R] [(Back) 7 0 R]]", nil, "A: Front, B: Front, C: Back"},
		{"children", "[5 0 R [6 0 R 7 0 R] 8 0 R]", nil, "B: A, C: A"},
		{"children and label", "[5 0 R [6 0 R] [(Head) 7 0 R]]", nil, "B: A, C: Head"},
		{"grandchildren", "[5 0 R [6 0 R [7 0 R]]]", nil, "B: A, C: A/B"},
		{"labels in labels", "[[(Front) [(Left) 5 0 R] 6 0 R]]", nil, "A: Front/Left, B: Front"},
		{"children under a label", "[[(Front) 5 0 R [6 0 R]]]", nil, "A: Front, B: Front/A"},
		{"level without a name", "[[5 0 R 6 0 R] 7 0 R]", nil, ""},
		{"null in between", "[null 5 0 R null [null 6 0 R]]", nil, "B: A"},
		{"missing and other objects", "[77 0 R 29 0 R 3 5 0 R [(Head) 77 0 R 6 0 R]]", nil, "B: Head"},
		{"membership dictionary", "[40 0 R [5 0 R]]", []testpdf.Object{testpdf.Obj(40, "<</Type /OCMD /OCGs 6 0 R>>")}, ""},
		{"string at the top", "[(Stray) 5 0 R [(Head) 6 0 R]]", nil, "B: Head"},
		{"string in the middle", "[[5 0 R (Stray) 6 0 R]]", nil, ""},
		{"indirect arrays and strings", "40 0 R", []testpdf.Object{
			testpdf.Obj(40, "[41 0 R 5 0 R 43 0 R]"), testpdf.Obj(41, "[42 0 R 6 0 R]"), testpdf.Obj(42, "(Head)"), testpdf.Obj(43, "[7 0 R]"),
		}, "B: Head, C: A"},
		{"named twice, the first counts", "[[(One) 5 0 R] [(Two) 5 0 R]]", nil, "A: One"},
		{"empty arrays", "[[] 5 0 R [] [[]] [(Head)]]", nil, ""},
		{"label in UTF-16", "[[<FEFF00E9> 5 0 R]]", nil, "A: é"},
		{"not an array", "5 0 R", nil, ""},
		{"missing", "null", nil, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, l := range open(t, ordered(c.order, c.objects...)).Layers() {
				if len(l.Parents) > 0 {
					got = append(got, l.Name+": "+strings.Join(l.Parents, "/"))
				}
			}
			if diff := cmp.Diff(c.want, strings.Join(got, ", ")); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
		})
	}
}

// TestGroupWithLength: a key that streams have too is nothing special in a
// dictionary, also within an object stream (7.3.7, 7.5.7).
func TestGroupWithLength(t *testing.T) {
	for _, layout := range []testpdf.Layout{{}, {ObjectStreams: true}} {
		doc := open(t, testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, Layout: layout,
			Objects: []testpdf.Object{testpdf.Obj(5, "<</Type /OCG /Name (A) /Length 0>>")},
		}))
		if got, want := listed(doc.Layers()), "5 A on\n6 B on\n"; got != want {
			t.Errorf("%+v: layers %q, want %q", layout, got, want)
		}
	}
}
