package layers

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// build makes the document of a content case.
func (c contentCase) build() []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C"},
		Pages:  []testpdf.Page{{Content: c.content}},
	})
}

func TestIsolateContent(t *testing.T) {
	for _, c := range contentCases {
		t.Run(c.name, func(t *testing.T) {
			if c.clause == "" {
				t.Fatal("the case names no clause")
			}
			out, _ := isolateNamed(t, c.build(), "A", "C")
			c.check(t, c.want, pageContent(t, out, 0))
			if c.verbatim == "" {
				c.verbatim = c.want
			}
			c.check(t, c.verbatim, pageContent(t, verbatim(t, c.build(), "A", "C"), 0))
		})
	}
}

// check compares content with what is wanted.
func (c contentCase) check(t *testing.T, want, got string) {
	t.Helper()
	if want == "=" {
		if want = testpdf.Marks(c.content); got != want {
			t.Errorf("content changed (%s):\n got %q\nwant %q", c.clause, got, want)
		}
		return
	}
	if diff := cmp.Diff(fold(testpdf.Marks(want)), fold(got)); diff != "" {
		t.Errorf("%s (%s): -want +got\n%s", c.content, c.clause, diff)
	}
}

// verbatim keeps the layers with those names and all state in place.
func verbatim(tb testing.TB, file []byte, names ...string) []byte {
	tb.Helper()
	doc := open(tb, file)
	var out bytes.Buffer
	doc.isolator.KeepState = true
	_, err := doc.Isolate(context.Background(), &out, Selection{Layers: named(doc, names...), NoLayers: true}, nil)
	if err != nil {
		tb.Fatalf("isolate: %v", err)
	}
	return out.Bytes()
}

// TestIsolateTwice: what has been isolated does not change any more.
func TestIsolateTwice(t *testing.T) {
	for _, c := range contentCases {
		once, _ := isolateNamed(t, c.build(), "A", "C")
		twice, _ := isolateNamed(t, once, "A", "C")
		if got, want := pageContent(t, twice, 0), pageContent(t, once, 0); got != want {
			t.Errorf("%s: isolated twice:\n got %q\nwant %q", c.name, got, want)
		}
	}
}

// TestIsolateInSteps: choosing among what was chosen is choosing at once.
func TestIsolateInSteps(t *testing.T) {
	for _, c := range contentCases {
		at, _ := isolateNamed(t, c.build(), "A")
		wide, _ := isolateNamed(t, c.build(), "A", "C")
		steps, _ := isolateNamed(t, wide, "A")
		if got, want := fold(pageContent(t, steps, 0)), fold(pageContent(t, at, 0)); got != want {
			t.Errorf("%s: A and C, then A:\n got %q\nwant %q", c.name, got, want)
		}
	}
}

// TestIsolateAll: where every layer is chosen, every stream stays as it is.
func TestIsolateAll(t *testing.T) {
	for _, c := range contentCases {
		out, _ := isolateNamed(t, c.build(), "A", "B", "C")
		if got, want := pageContent(t, out, 0), testpdf.Marks(c.content); got != want {
			t.Errorf("%s: all layers chosen:\n got %q\nwant %q", c.name, got, want)
		}
	}
}

// isolateNamed keeps the layers with those names.
func isolateNamed(tb testing.TB, file []byte, names ...string) ([]byte, *Report) {
	tb.Helper()
	doc := open(tb, file)
	var out bytes.Buffer
	report, err := doc.Isolate(context.Background(), &out, Selection{Layers: named(doc, names...), NoLayers: true}, nil)
	if err != nil {
		tb.Fatalf("isolate: %v", err)
	}
	return out.Bytes(), report
}

func open(tb testing.TB, file []byte) *Document {
	tb.Helper()
	doc, err := Open(context.Background(), bytes.NewReader(file), nil)
	if err != nil {
		tb.Fatalf("open: %v", err)
	}
	return doc
}

// named gives the positions of the layers with those names.
func named(doc *Document, names ...string) []int {
	positions := []int{}
	for i, l := range doc.Layers() {
		for _, n := range names {
			if l.Name == n {
				positions = append(positions, i)
			}
		}
	}
	return positions
}

// pageContent is the content of a page, its streams joined.
func pageContent(tb testing.TB, file []byte, page int) string {
	tb.Helper()
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		tb.Fatalf("open the output: %v", err)
	}
	c, err := pdf.PageContent(context.Background(), doc, doc.Pages()[page].Dict, pdf.Limits{})
	if err != nil {
		tb.Fatalf("content of the output: %v", err)
	}
	return string(c.Data)
}

// fold writes white space as single spaces.
func fold(s string) string { return strings.Join(strings.Fields(s), " ") }

// TestIsolateMembership: the content of a membership dictionary, with A and C
// chosen of A, B and C (8.11.2.2).
func TestIsolateMembership(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"one group, AllOff", "/OCGs 6 0 R /P /AllOff", "P1"},
		{"one chosen group, AnyOff", "/OCGs 5 0 R /P /AnyOff", ""},
		{"both, AllOn", "/OCGs [5 0 R 6 0 R] /P /AllOn", ""},
		{"both, AnyOn", "/OCGs [5 0 R 6 0 R] /P /AnyOn", "/OC /M BDC P1 EMC"},
		{"both, AnyOff", "/OCGs [5 0 R 6 0 R] /P /AnyOff", "P1"},
		{"both, AllOff", "/OCGs [5 0 R 6 0 R] /P /AllOff", ""},
		{"chosen ones, AllOn", "/OCGs [5 0 R 7 0 R] /P /AllOn", "/OC /M BDC P1 EMC"},
		{"chosen ones, AnyOff", "/OCGs [5 0 R 7 0 R] /P /AnyOff", ""},
		{"no groups", "/OCGs [] /P /AllOff", "P1"},
		{"no entry", "", "P1"},
		{"null and missing alone", "/OCGs [null 77 0 R] /P /AnyOff", "P1"},
		{"null and a group, AnyOn", "/OCGs [null 6 0 R]", ""},
		{"null and a group, AllOff", "/OCGs [null 6 0 R] /P /AllOff", "P1"},
		{"unknown policy", "/OCGs [5 0 R] /P /Bogus", "/OC /M BDC P1 EMC"},
		{"removed group under AnyOn", "/OCGs [6 0 R] /P /AnyOn", ""},
		{"expression", "/OCGs 6 0 R /P /AllOn /VE [/Not 6 0 R]", "P1"},
		{"expression of three", "/VE [/And 5 0 R [/Not 6 0 R] [/Or 6 0 R 7 0 R]]", "/OC /M BDC P1 EMC"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, direct := range []bool{false, true} {
				dict, m := "<</Type /OCMD "+c.text+">>", "40 0 R"
				if direct {
					m = dict
				}
				out, _ := isolateNamed(t, testpdf.Build(testpdf.Doc{
					Groups: []string{"A", "B", "C"},
					Pages: []testpdf.Page{{
						Content:   "/OC /M BDC P1 EMC /OC /B BDC P2 EMC",
						Resources: "<</Properties <</B 6 0 R /M " + m + ">>>>",
					}},
					Objects: []testpdf.Object{testpdf.Obj(40, dict)},
				}), "A", "C")
				if got, want := fold(pageContent(t, out, 0)), fold(testpdf.Marks(c.want)); got != want {
					t.Errorf("in place %t: got %q, want %q", direct, got, want)
				}
			}
		})
	}
}

// TestUnlistedInMembership: a group that the list leaves out has a state like
// the others (8.11.4.2; engines differ).
func TestUnlistedInMembership(t *testing.T) {
	out, _ := isolateNamed(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A"},
		Pages: []testpdf.Page{{
			Content:   "/OC /M BDC P1 EMC /OC /N BDC P2 EMC",
			Resources: "<</Properties <</M <</Type /OCMD /OCGs 50 0 R /P /AllOff>> /N <</Type /OCMD /OCGs 50 0 R>>>>>>",
		}},
		Objects: []testpdf.Object{testpdf.Obj(50, "<</Type /OCG /Name (U)>>")},
	}), "A")
	if got, want := fold(pageContent(t, out, 0)), testpdf.Marks("P1"); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
