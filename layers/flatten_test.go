package layers

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// flattened keeps layers and makes plain content of them.
func flattened(tb testing.TB, file []byte, sel Selection) ([]byte, *Report) {
	tb.Helper()
	doc := open(tb, file)
	var out bytes.Buffer
	report, err := doc.Isolate(context.Background(), &out, sel, &IsolateOptions{Flatten: true})
	if err != nil {
		tb.Fatalf("isolate: %v", err)
	}
	err = Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, &IsolateOptions{Flatten: true})
	if err != nil {
		tb.Errorf("verify: %v", err)
	}
	return out.Bytes(), report
}

// withoutSections is content without the BDC and EMC of its OC sections.
func withoutSections(text string) string {
	var out []string
	var open []bool
	var op content.Operation
	for scan := content.NewScanner([]byte(text)); scan.Next(&op); {
		keep := true
		switch op.Op {
		case content.OpBeginMarked, content.OpBeginMarkedProps:
			tag, _ := op.Name(0)
			keep = tag != "OC" || op.Op == content.OpBeginMarked
			open = append(open, keep)
		case content.OpEndMarked:
			if n := len(open); n > 0 {
				keep, open = open[n-1], open[:n-1]
			}
		case content.OpMarkPointProps:
			tag, _ := op.Name(0)
			keep = tag != "OC"
		}
		if keep {
			out = append(out, string(op.Raw()))
		}
	}
	return strings.Join(out, " ")
}

// TestFlatten: what stays is what stays with layers, without their sections,
// and nothing of optional content is in the file (8.11.1).
func TestFlatten(t *testing.T) {
	for _, c := range contentCases {
		t.Run(c.name, func(t *testing.T) {
			out, _ := flattened(t, c.build(), Selection{Layers: []int{0, 2}})
			layered, _ := isolateNamed(t, c.build(), "A", "C")
			want := withoutSections(pageContent(t, layered, 0))
			got := pageContent(t, out, 0)
			if bare := withoutSections(got); strings.Contains(got, "BDC") && strings.Count(bare, "BDC") < strings.Count(got, "BDC") {
				t.Errorf("a section is left: %q", got)
			}
			// State in a section that stays can be dead with or without it.
			if strings.Join(painted([]byte(got)), "|") != strings.Join(painted([]byte(want)), "|") {
				t.Errorf("content %q, want the marks of %q", got, want)
			}
			for _, word := range []string{"OCG", "OCMD", "OCProperties"} {
				if where := find(t, out).where(word); len(where) > 0 {
					t.Errorf("%s is left in %v", word, where)
				}
			}
		})
	}
}

// TestFlattenUnchanged: a layer that stays unchanged goes where it is off.
func TestFlattenUnchanged(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups:       []string{"A", "B", "C"},
		OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</OFF [6 0 R]>>>>",
		Pages:        []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /OC /C BDC P3 EMC"}},
	})
	out, report := flattened(t, file, Selection{Layers: []int{0}, Unchanged: []int{1, 2}})
	if got, want := fold(pageContent(t, out, 0)), fold(testpdf.Marks("P1 P3")); got != want {
		t.Errorf("content %q, want %q", got, want)
	}
	if len(report.Removed) != 1 || report.Removed[0].Name != "B" {
		t.Errorf("removed %v, want B", report.Removed)
	}
}

// TestRendersFlattened: the demo pattern looks alike with layers and without.
func TestRendersFlattened(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	file, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	var c comparison
	c.flatten = true
	c.compare(t, subject{name: "sizes 12, 14, 16", file: file, dpi: 36}, Selection{Layers: []int{3, 4, 5, 10, 11, 12, 13}})
	for seed := range uint64(12 / every()) {
		doc := testpdf.RandomWith(seed, testpdf.RandomOptions{Opaque: true})
		c.compare(t, subject{name: "random document", file: doc.Bytes, dpi: 150, features: doc.Features},
			randomSelection(seed, len(open(t, doc.Bytes).Layers())))
	}
	c.log(t)
}

// TestNothingOptionalWhereItMeansNothing: entries of optional content that no
// renderer looks at go (8.9.5: those of a mask are ignored; 8.11.3.3 knows
// XObjects and annotations alone). A is chosen of A and B.
func TestNothingOptionalWhereItMeansNothing(t *testing.T) {
	const member = "/OC <</Type /OCMD /OCGs [6 0 R]>>"
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"},
		Pages: []testpdf.Page{{Content: "/X Do /Y Do /OC /B BDC P1 EMC BT /T 9 Tf (A) Tj ET /G gs P2", Entries: "/OC 6 0 R",
			Resources: "<</Properties <</B 6 0 R>> /XObject <</X 30 0 R /Y 31 0 R>> /Font <</T 33 0 R>> /ExtGState <</G <</ca .5 " + member + ">>>>>>"}},
		Objects: []testpdf.Object{
			testpdf.Stream(30, "/Subtype /Image /Width 1 /Height 1 /ColorSpace /DeviceGray /BitsPerComponent 8 /SMask 32 0 R", "x"),
			testpdf.Stream(31, "/Subtype /Image /Width 1 /Height 1 /ColorSpace /DeviceGray /BitsPerComponent 8 /Mask 34 0 R", "x"),
			testpdf.Stream(32, "/Subtype /Image /Width 1 /Height 1 /ColorSpace /DeviceGray /BitsPerComponent 8 "+member, "x"),
			testpdf.Stream(34, "/Subtype /Image /Width 1 /Height 1 /ImageMask true /OC 6 0 R", "x"),
			testpdf.Obj(33, "<</Type /Font /Subtype /Type1 /BaseFont /Helvetica "+member+">>"),
		},
	})
	out, _ := flattened(t, file, Selection{Layers: []int{0}})
	kept, _ := isolateNamed(t, file, "A")
	for name, file := range map[string][]byte{"flat": out, "with layers": kept} {
		doc := open(t, file)
		for _, ref := range doc.file.PDF.Refs() {
			if text := spelled(doc.file.PDF.Object(ref)); strings.Contains(text, "OCMD") || strings.Contains(text, "/OC ") {
				t.Errorf("%s: object %d has optional content: %s", name, ref, text)
			}
		}
	}
}
