package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
)

// twoSizes is a page with P1 in layer A and P2 in layer B, which is off, with P3
// in form 30 of A and P4 in form 31 of B, and with P9 in none. The groups are the
// objects 5 and 6.
func twoSizes(layout testpdf.Layout, entries string, objects ...testpdf.Object) string {
	return string(testpdf.Build(testpdf.Doc{
		Groups:       []string{"A", "B"},
		OCProperties: "<</OCGs [5 0 R 6 0 R] /D <</OFF [6 0 R]>>>>",
		Pages: []testpdf.Page{{
			Content:   "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /X30 Do /X31 Do P9",
			Resources: "<</Properties <</A 5 0 R /B 6 0 R>> /XObject <</X30 30 0 R /X31 31 0 R>>>>",
			Entries:   entries,
		}},
		Objects: append([]testpdf.Object{testpdf.Form(30, "/OC 5 0 R", "P3"), testpdf.Form(31, "/OC 6 0 R", "P4")}, objects...),
		Layout:  layout,
	}))
}

// exchanged is a file with two parts of it in each other's place.
func exchanged(file, a, b string) string {
	if !strings.Contains(file, a) || !strings.Contains(file, b) {
		panic(a + " or " + b + " is not there")
	}
	return strings.NewReplacer(a, b, b, a).Replace(file)
}

// entryOf is the entry of an object in the cross-reference table.
func entryOf(file string, num int) string {
	return fmt.Sprintf("%010d 00000 n", strings.Index(file, fmt.Sprintf("\n%d 0 obj", num))+1)
}

// TestRecovered: of a file with a wrong table or page tree A alone is isolated as if
// it were sound, with a warning, or the file is refused. So do MuPDF 1.21 and
// Poppler 22.12 read those that are isolated; PDFium loses the objects of a wrong
// entry, as it does not search for them.
func TestRecovered(t *testing.T) {
	t.Parallel()
	plain, packed := twoSizes(testpdf.Layout{}, ""), twoSizes(testpdf.Layout{ObjectStreams: true}, "")
	_, stream, _ := strings.Cut(packed, "/Type /ObjStm")
	_, header, _ := strings.Cut(stream, " 5 ") // of the object stream, from object 5 on
	header, _, _ = strings.Cut(header, " 29 ")
	five, six, _ := strings.Cut(header, " 6 ")
	for _, c := range []struct{ name, file, warning, refusal string }{
		{"sound", plain, "", ""},
		{"the entries of two forms exchanged", exchanged(plain, entryOf(plain, 30), entryOf(plain, 31)), "searching", ""},
		{"the entries of two groups exchanged", exchanged(plain, entryOf(plain, 5), entryOf(plain, 6)), "searching", ""},
		{"the entry of a group leads to another", strings.Replace(plain, entryOf(plain, 6), entryOf(plain, 5), 1), "searching", ""},
		{"the entry of a form leads to another", strings.Replace(plain, entryOf(plain, 30), entryOf(plain, 31), 1), "searching", ""},
		{"the entry of a page leads to a group", strings.Replace(plain, entryOf(plain, 3), entryOf(plain, 5), 1), "searching", ""},
		{"a form of the number of another", strings.Replace(plain, "\n31 0 obj", "\n30 0 obj", 1), "", "object 30: "},
		{"a group of the number of another", strings.Replace(plain, "\n6 0 obj", "\n5 0 obj", 1), "", "object 5: "},
		{"object stream", packed, "", ""},
		{"object stream, two indices exchanged", exchanged(packed, packedRow(packed, 5), packedRow(packed, 6)), "searching", ""},
		{"object stream, a number of another", strings.Replace(packed, header, five+" 5 "+six, 1), "", "object 5: "},
		{"the parent of the page is a group", twoSizes(testpdf.Layout{}, "/Parent 6 0 R"), "parent of page 1", ""},
		{"the page names itself as its parent", twoSizes(testpdf.Layout{}, "/Parent 3 0 R"), "parent of page 1", ""},
		{"the page is of another type", twoSizes(testpdf.Layout{}, "/Type /Foo"), "", ""},
		{"a second page cannot be read", twoSizes(testpdf.Layout{}, "", testpdf.Obj(2, "<</Type /Pages /Count 2 /Kids [3 0 R 77 0 R]>>")),
			"", "counts 2 pages, of which 1 can be read"},
		{"a group of another type", twoSizes(testpdf.Layout{}, "", testpdf.Obj(6, "<</Type /Foo /Name (B)>>")), "", "object 6: "},
	} {
		t.Run(c.name, func(t *testing.T) {
			written, warnings, err := isolateFirst(t, c.file)
			var broken *FormatError
			switch {
			case c.refusal != "":
				if !errors.As(err, &broken) || !strings.Contains(err.Error(), c.refusal) {
					t.Errorf("not refused, or otherwise: %v", err)
				}
				return
			case err != nil:
				t.Fatal(err)
			}
			if c.warning == "" && len(warnings) > 0 || !strings.Contains(fmt.Sprint(warnings), c.warning) {
				t.Errorf("warnings %v, want %q", warnings, c.warning)
			}
			if !testing.Short() {
				want := testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: "P1 P3 P9"}}})
				oracle.Same(t, want, written)
			}
		})
	}
}

// isolateFirst isolates the first layer of a file and checks what is written.
func isolateFirst(t *testing.T, file string) (written []byte, warnings []Warning, err error) {
	ctx := context.Background()
	doc, err := Open(ctx, strings.NewReader(file), nil)
	if err != nil {
		return nil, nil, err
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, Selection{Layers: []int{0}}, nil)
	if err != nil {
		return nil, nil, err
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		t.Errorf("what was written does not hold: %v", err)
	}
	return out.Bytes(), report.Warnings, nil
}

// packedRow is the entry of an object in the cross-reference stream, six bytes.
func packedRow(file string, num int) string {
	_, rest, _ := strings.Cut(file, "/Type /XRef")
	_, rows, _ := strings.Cut(rest, "stream\n")
	return rows[6*num : 6*num+6]
}
