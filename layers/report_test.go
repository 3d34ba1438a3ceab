package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
)

// TestOthers: what goes besides layers is counted by kind: what only B uses, or what
// may show it.
func TestOthers(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups:  []string{"A", "B"},
		Catalog: "/Metadata 40 0 R /Names <</JavaScript <</Names [(a) 41 0 R (b) 42 0 R]>> /EmbeddedFiles <</Names [(f) 43 0 R]>>>>",
		Pages: []testpdf.Page{{
			Content: "/OC /A BDC /Kept Do EMC /OC /B BDC /X Do /I Do BT /G 9 Tf (B) Tj ET EMC P1",
			Resources: "<</Properties <</A 5 0 R /B 6 0 R>> /XObject <</X 30 0 R /I 31 0 R /Kept 32 0 R>> " +
				"/Font <</G 33 0 R>>>>",
			Entries: "/Annots [<</Subtype /Square /Rect [0 0 9 9] /OC 6 0 R>> <</Subtype /Link /Rect [0 0 9 9]>> 45 0 R]",
		}},
		Objects: []testpdf.Object{
			testpdf.Form(30, "", "P1"), picture(31, ""), picture(32, ""),
			testpdf.Obj(33, "<</Type /Font /Subtype /Type1 /BaseFont /Courier>>"),
			testpdf.Stream(40, "/Type /Metadata /Subtype /XML", "no XML"),
			testpdf.Obj(41, "<</S /JavaScript /JS (1)>>"), testpdf.Obj(42, "<</S /JavaScript /JS (2)>>"),
			testpdf.Obj(43, "<</Type /Filespec /F (f) /EF <</F 44 0 R>>>>"), testpdf.Stream(44, "/Type /EmbeddedFile", "f"),
			testpdf.Obj(45, "<</Subtype /FileAttachment /Rect [0 0 9 9] /FS 43 0 R>>"),
		},
	})
	_, report := isolateNamed(t, file, "A")
	want := map[string]int{
		"annotation": 2, "attachment": 1, "font": 1, "form": 1, "image": 1, "metadata": 1, "script": 2,
	}
	if d := cmp.Diff(want, report.Others); d != "" {
		t.Errorf("-want +got\n%s", d)
	}
	if _, report := isolateNamed(t, file, "A", "B"); len(report.Others) != 0 {
		t.Errorf("where nothing is removed: %v", report.Others)
	}
}

// TestExtents: what is kept covers so much of a page of 100 points; B goes.
func TestExtents(t *testing.T) {
	const mm = 25.4 / 72 // 8.3.2.3
	const removed = " /OC /B BDC 0 0 100 100 re f EMC"
	for _, c := range []struct {
		name, content, entries string
		want                   *Extent
	}{
		{"a shape", "/OC /A BDC 10 20 30 40 re f EMC" + removed, "", &Extent{Left: 10 * mm, Bottom: 20 * mm, Width: 30 * mm, Height: 40 * mm}},
		{"two shapes", "10 10 5 5 re f /OC /A BDC 60 70 5 5 re f EMC" + removed, "", &Extent{Left: 10 * mm, Bottom: 10 * mm, Width: 55 * mm, Height: 65 * mm}},
		{"a curve's own extent (8.5.2.2)", "10 10 m 10 30 30 30 30 10 c f" + removed, "", &Extent{Left: 10 * mm, Bottom: 10 * mm, Width: 20 * mm, Height: 15 * mm}},
		{"cut by the page", "/OC /A BDC 90 90 30 30 re f EMC" + removed, "", &Extent{Left: 90 * mm, Bottom: 90 * mm, Width: 10 * mm, Height: 10 * mm}},
		{"cut by a clip", "q 0 0 15 15 re W n 10 10 30 30 re f Q" + removed, "", &Extent{Left: 10 * mm, Bottom: 10 * mm, Width: 5 * mm, Height: 5 * mm}},
		{"from the crop box (14.11.2)", "20 20 10 10 re f" + removed, "/CropBox [15 10 60 60]", &Extent{Left: 5 * mm, Bottom: 10 * mm, Width: 10 * mm, Height: 10 * mm}},
		{"in larger units (14.11.1)", "10 20 30 40 re f" + removed, "/UserUnit 2", &Extent{Left: 20 * mm, Bottom: 40 * mm, Width: 60 * mm, Height: 80 * mm}},
		{"nothing", removed, "", nil},
		{"nothing that is seen", "/OC /A BDC 110 10 9 9 re f EMC" + removed, "", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{
				{Content: c.content, Entries: c.entries, Resources: "<</Properties <</A 5 0 R /B 6 0 R>>>>"},
			}})
			doc := open(t, file)
			sel := Selection{Layers: []int{0}}
			report, err := doc.Isolate(context.Background(), &bytes.Buffer{}, sel, &IsolateOptions{Extents: true})
			if err != nil {
				t.Fatal(err)
			}
			near := cmpopts.EquateApprox(0, 1e-6)
			if d := cmp.Diff(c.want, report.Pages[0].Extent, near); d != "" {
				t.Errorf("-want +got\n%s", d)
			}
			report, err = doc.Isolate(context.Background(), &bytes.Buffer{}, sel, nil)
			if err != nil || report.Pages[0].Extent != nil {
				t.Errorf("not asked for: %v, %v", report.Pages[0].Extent, err)
			}
		})
	}
}

// TestExtentOfDemo: what is kept of the demo pattern covers what PDFium draws of it.
func TestExtentOfDemo(t *testing.T) {
	const dpi, slack = 36, 2.0 // mm: lines are wide, edges are smoothed
	doc := open(t, skirt(t))
	var out bytes.Buffer
	sel := Selection{Layers: named(doc, "Size 12")}
	report, err := doc.Isolate(context.Background(), &out, sel, &IsolateOptions{Extents: true})
	if err != nil {
		t.Fatal(err)
	}
	images, err := oracle.PDFium(t).Draw(out.Bytes(), dpi)
	if err != nil {
		t.Fatal(err)
	}
	drawn := image.Rectangle{}
	for y := range images[0].Rect.Dy() {
		for x := range images[0].Rect.Dx() {
			if c := images[0].RGBAAt(x, y); c.R < 0xF0 || c.G < 0xF0 || c.B < 0xF0 {
				drawn = drawn.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	x, mm := report.Pages[0].Extent, func(pixels int) float64 { return float64(pixels) / dpi * 25.4 }
	height := mm(images[0].Rect.Dy())
	got := []float64{x.Left, height - x.Bottom - x.Height, x.Left + x.Width, height - x.Bottom}
	want := []float64{mm(drawn.Min.X), mm(drawn.Min.Y), mm(drawn.Max.X), mm(drawn.Max.Y)}
	if d := cmp.Diff(want, got, cmpopts.EquateApprox(0, slack)); d != "" {
		t.Errorf("-drawn +told, in mm\n%s", d)
	}
}

// TestTrace: each step begins once and ends once, with sizes that are right.
func TestTrace(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}}})
	var got []string
	ctx := WithTrace(context.Background(), func(step string, size int64) func(int64, error) {
		got = append(got, fmt.Sprintf("%s %d", step, size))
		return func(size int64, err error) {
			got = append(got, fmt.Sprintf("%s ends %d %v", step, size, err))
		}
	})
	doc, err := Open(ctx, Bytes(file), nil)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, Selection{Layers: []int{0}}, nil)
	if err == nil {
		err = report.Check(ctx, Bytes(out.Bytes()))
	}
	if err != nil {
		t.Fatal(err)
	}
	was, now := len(file), out.Len()
	want := []string{
		"read 0", fmt.Sprintf("read ends %d <nil>", was), fmt.Sprintf("open %d", was), "open ends 0 <nil>",
		"pages 0", "pages ends 0 <nil>", "objects 0", "objects ends 0 <nil>", "write 0", fmt.Sprintf("write ends %d <nil>", now),
		fmt.Sprintf("check %d", now), "check ends 0 <nil>",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("-want +got\n%s", d)
	}
	ended, cancel := context.WithCancel(context.Background())
	var cause error
	ended = WithTrace(ended, func(step string, _ int64) func(int64, error) {
		cancel()
		return func(_ int64, err error) { cause = err }
	})
	if _, err := doc.Isolate(ended, &out, Selection{Layers: []int{0}}, nil); !errors.Is(err, context.Canceled) ||
		!errors.Is(cause, context.Canceled) {
		t.Errorf("of a call that is cancelled: %v, the step ends by %v", err, cause)
	}
	silent := WithTrace(context.Background(), func(string, int64) func(int64, error) { return nil })
	if _, err := Open(silent, Bytes(file), nil); err != nil {
		t.Error(err)
	}
}

func skirt(tb testing.TB) []byte {
	tb.Helper()
	file, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		tb.Fatal(err)
	}
	return file
}

// TestBytes: a file in memory opens as one that is read, and stays what it was.
func TestBytes(t *testing.T) {
	file := skirt(t)
	was := bytes.Clone(file)
	doc, err := Open(context.Background(), Bytes(file), nil)
	if err != nil {
		t.Fatal(err)
	}
	var one, two bytes.Buffer
	sel := Selection{Layers: []int{0}}
	if _, err := doc.Isolate(context.Background(), &one, sel, nil); err != nil {
		t.Fatal(err)
	}
	if _, err := open(t, file).Isolate(context.Background(), &two, sel, nil); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(one.Bytes(), two.Bytes()) || !bytes.Equal(file, was) {
		t.Error("what was opened from memory gives another result, or was changed")
	}
}
