package testpdf

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// layeredDoc has everything that Reference rewrites: 5 to 7 are the groups A
// to C, 30 is not listed.
var layeredDoc = Doc{
	Groups:       []string{"A", "B", "C"},
	OCProperties: "<</OCGs [null 5 0 R 6 0 R 6 0 R 7 0 R 77 0 R] /D <</BaseState /OFF /ON [5 0 R] /AS [<</Event /View>>]>> /Configs [<</OFF [5 0 R]>>]>>",
	Pages: []Page{{Content: "P1", Entries: "/Annots [40 0 R 41 0 R 42 0 R 43 0 R]",
		Resources: "<</Properties <</M 31 0 R /D <</Type /OCMD /OCGs [6 0 R]>>>>>>"}},
	Objects: []Object{
		Obj(30, "<</Type /OCG /Name (U) /Usage <</View <</ViewState /OFF>>>> /Intent /Design>>"),
		Obj(31, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AllOn>>"),
		Obj(40, "<</Type /Annot /OC 5 0 R>>"),
		Obj(41, "<</Type /Annot /OC 6 0 R>>"),
		Obj(42, "<</Type /Annot /Subtype /Popup /Parent 41 0 R>>"),
		Obj(43, "<</Type /Annot /AP <</N 44 0 R>>>>"),
		Form(44, "/OC <</Type /OCMD /OCGs 6 0 R>>", "P1"),
	},
}

func mustReference(t *testing.T, in []byte, on ...int) *file {
	t.Helper()
	out, err := Reference(in, func(obj int) bool {
		for _, num := range on {
			if num == obj {
				return true
			}
		}
		return false
	})
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(out, in) {
		t.Error("the original's bytes are not at the start")
	}
	f, err := openFile(out)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func text(o object) string {
	var b bytes.Buffer
	write(&b, o)
	return b.String()
}

// The objects of the copy with A and C on, in every layout, also where the
// tables of the original are broken.
func TestReference(t *testing.T) {
	want := map[int]string{
		1: "<</OCProperties <</D <</BaseState /ON/Name (reference)/OFF [6 0 R 30 0 R 31 0 R 1001 0 R]/ON [5 0 R 7 0 R]" +
			"/Order [5 0 R 6 0 R 7 0 R 30 0 R 31 0 R 1001 0 R]>>/OCGs [5 0 R 6 0 R 7 0 R 30 0 R 31 0 R 1001 0 R]>>/Pages 2 0 R/Type /Catalog>>",
		3: "<</Annots [40 0 R]/Contents 4 0 R/MediaBox [0 0 100 100]/Parent 2 0 R" +
			"/Resources <</Properties <</D 1001 0 R/M 31 0 R>>>>/Type /Page>>",
		6:    "<</Name (group 6)/Type /OCG>>",
		30:   "<</Name (group 30)/Type /OCG>>",
		31:   "<</Name (group 31)/Type /OCG>>",
		1001: "<</Name (group 1001)/Type /OCG>>",
	}
	for label, layout := range layouts {
		doc := layeredDoc
		doc.Layout = layout
		doc.Objects = append(doc.Objects[:len(doc.Objects):len(doc.Objects)], Obj(1000, "null"))
		whole := Build(doc)
		for state, in := range map[string][]byte{"whole": whole, "broken": bytes.Replace(whole, []byte("startxref\n"), []byte("startxref\n9"), 1)} {
			f := mustReference(t, in, 5, 7)
			if f.start < 0 {
				t.Errorf("%s, %s: the tables of the copy cannot be read", label, state)
			}
			for num, body := range want {
				if layout.ObjectStreams {
					body = strings.ReplaceAll(body, "1001 0 R", "1003 0 R")
				}
				if num == 1001 && layout.ObjectStreams {
					num, body = 1003, "<</Name (group 1003)/Type /OCG>>"
				}
				if got := text(f.get(num)); got != body {
					t.Errorf("%s, %s: object %d is\n%s, want\n%s", label, state, num, got, body)
				}
			}
			if form, ok := f.get(44).(*stream); !ok || text(form.dict["OC"]) == "" || string(mustDecode(t, form)) != "10 10 8 8 re f" {
				t.Errorf("%s, %s: the form was not copied whole", label, state)
			}
		}
	}
}

func mustDecode(t *testing.T, s *stream) []byte {
	t.Helper()
	data, err := decode(s)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Which annotations stay depends on the groups.
func TestReferenceAnnotations(t *testing.T) {
	cases := []struct {
		name string
		on   []int
		want string
	}{
		{"none on", nil, "[]"},
		{"A on", []int{5}, "[40 0 R]"},
		{"B on", []int{6}, "[41 0 R 42 0 R 43 0 R]"},
		{"all on", []int{5, 6, 7}, "[40 0 R 41 0 R 42 0 R 43 0 R]"},
	}
	for _, c := range cases {
		f := mustReference(t, Build(layeredDoc), c.on...)
		if got := text(f.dictOf(f.get(PageObject))["Annots"]); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestReferenceWithoutLayers(t *testing.T) {
	in := Build(Doc{Pages: []Page{{Content: "P1"}}})
	out, err := Reference(in, func(int) bool { return false })
	if err != nil || !bytes.Equal(in, out) {
		t.Errorf("a file without OCProperties changed, or error %v", err)
	}
}

func TestDefaultState(t *testing.T) {
	cases := []struct {
		name, d string
		want    map[int]bool
	}{
		{"no configuration", "", map[int]bool{5: true, 6: true, 30: true}},
		{"base state off", "/BaseState /OFF /ON [5 0 R]", map[int]bool{5: true, 6: false, 30: true}},
		{"off wins over on", "/ON [6 0 R] /OFF [6 0 R]", map[int]bool{5: true, 6: false, 30: true}},
		{"bad entries are passed over", "/OFF [null 77 0 R 6 0 R]", map[int]bool{5: true, 6: false, 30: true}},
		{"base state of another spelling", "/BaseState /Off", map[int]bool{5: true, 6: true, 30: true}},
		{"unlisted and off", "/OFF [30 0 R]", map[int]bool{5: true, 6: true, 30: false}},
	}
	for _, c := range cases {
		got, err := DefaultState(Build(Doc{Groups: []string{"A", "B"}, Objects: layeredDoc.Objects[:1],
			OCProperties: "<</OCGs [5 0 R 6 0 R] /D <<" + c.d + ">>>>"}))
		if diff := cmp.Diff(c.want, got); diff != "" || err != nil {
			t.Errorf("%s: %v (-want +got):\n%s", c.name, err, diff)
		}
	}
}

// FuzzReference holds that a copy begins with the original, is read back with
// its own tables, and says of every group what was asked.
func FuzzReference(f *testing.F) {
	for _, layout := range layouts {
		doc := layeredDoc
		doc.Layout = layout
		f.Add(Build(doc), uint64(5))
	}
	f.Fuzz(func(t *testing.T, in []byte, bits uint64) {
		state := func(obj int) bool { return bits>>(uint(obj)%64)&1 == 1 }
		out, err := Reference(in, state)
		if err != nil || bytes.Equal(in, out) {
			return
		}
		if !bytes.HasPrefix(out, in) {
			t.Fatal("the original's bytes are not at the start")
		}
		groups, err := Groups(in)
		if err != nil {
			t.Fatal(err)
		}
		got, err := DefaultState(out)
		if err != nil {
			t.Fatal(err)
		}
		for _, num := range groups {
			if on, ok := got[num]; !ok || on != state(num) {
				t.Errorf("group %d is %v in the copy (known %v), want %v", num, on, ok, state(num))
			}
		}
	})
}
