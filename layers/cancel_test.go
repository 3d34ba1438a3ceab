package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// heavyFiles are files of which one step or the other takes long: see heavyFile; one
// page of a hundred megabytes, a million small objects, a hundred thousand layers; a
// share of all that alone.
func heavyFiles(share int) map[string][]byte {
	large := testpdf.Doc{Groups: []string{"A", "B"}}
	marks := "/OC /A BDC 0 0 m 9 9 l 3 4 5 6 7 8 c S EMC /OC /B BDC 0 0 m 9 9 l S EMC 7 7 9 9 re f %\n"
	const resources = "<</Properties <</A 5 0 R /B 6 0 R>> /XObject <</X 30 0 R>>>>"
	large.Pages = []testpdf.Page{{Content: "/X Do", Resources: resources}}
	large.Objects = []testpdf.Object{testpdf.Stream(30, "/Type /XObject /Subtype /Form /BBox [0 0 99 99] /Filter /FlateDecode",
		string(testpdf.Squeezed(testpdf.Repeated(marks, 1_200_000/share))))}

	many := testpdf.Doc{Groups: []string{"A", "B"}, Catalog: "/More 1000 0 R"}
	many.Pages = []testpdf.Page{{Content: "/OC /A BDC 1 2 m 3 4 l S EMC", Resources: resources}}
	var refs strings.Builder
	for i := range 1_000_000 / share {
		many.Objects = append(many.Objects, testpdf.Obj(1001+i, fmt.Sprintf("<</N %d /P [1000 0 R (text)]>>", i)))
		fmt.Fprintf(&refs, "%d 0 R ", 1001+i)
	}
	many.Objects = append(many.Objects, testpdf.Obj(1000, "["+refs.String()+"]"))

	layered := testpdf.Doc{Pages: []testpdf.Page{{
		Content: many.Pages[0].Content, Resources: "<</Properties <</A 1001 0 R /B 1002 0 R>>>>",
	}}}
	refs.Reset()
	for i := range 100_000 / share {
		layered.Objects = append(layered.Objects, testpdf.Obj(1001+i, fmt.Sprintf("<</Type /OCG /Name (Layer %d)>>", i)))
		fmt.Fprintf(&refs, "%d 0 R ", 1001+i)
	}
	layered.Objects = append(layered.Objects, testpdf.Obj(1000, "["+refs.String()+"]"))
	layered.Catalog = "/OCProperties <</OCGs 1000 0 R /D <</Order 1000 0 R /OFF 1000 0 R " +
		"/AS [<</Event /Print /Category [/Print] /OCGs 1000 0 R>>]>>>>"
	return map[string][]byte{
		"all": heavyFile(share), "large": testpdf.Build(large), "objects": testpdf.Build(many),
		"layers": testpdf.Build(layered),
	}
}

// heavyFile has much of everything that takes time: a large page and a large form,
// many pages, objects, glyphs and elements of a structure; of the objects, the
// elements and the form a share alone.
func heavyFile(share int) []byte {
	const pages = 150
	objects, elements := 60_000/share, 20_000/share
	marks := strings.Repeat("/OC /A BDC 0.5 0 0 RG 1 2 m 30.25 40.5 l 7 7 9 9 3 3 c S EMC /OC /B BDC 5 5 20 20 re S BT /F 9 Tf 3 4 Td (Front) Tj ET EMC\n", 4000)
	d := testpdf.Doc{Groups: []string{"A", "B"}, Catalog: "/StructTreeRoot 900000 0 R"}
	large := string(testpdf.Squeezed(testpdf.Repeated("0 0 m 9 9 l 3 4 5 6 7 8 c S\n", 2_000_000/share)))
	resources := "<</Font <</F 29 0 R>> /Properties <</A 5 0 R /B 6 0 R>> /XObject <</X 30 0 R>>>>"
	d.Pages = append(d.Pages, testpdf.Page{Content: strings.Repeat(marks, 20/share) + "/X Do", Resources: resources})
	for range pages {
		d.Pages = append(d.Pages, testpdf.Page{Content: marks[:len(marks)/100], Resources: resources})
	}
	d.Objects = append(d.Objects, testpdf.Stream(30, "/Type /XObject /Subtype /Form /BBox [0 0 99 99] /Filter /FlateDecode", large))
	var refs strings.Builder
	for i := range objects {
		d.Objects = append(d.Objects, testpdf.Obj(100_000+i, fmt.Sprintf("<</Type /Annot /Subtype /Link /Rect [0 0 %d 9] /A <</S /URI /URI (x%[1]d)>>>>", i)))
		fmt.Fprintf(&refs, "%d 0 R ", 100_000+i)
	}
	d.Pages[1].Entries = "/Annots [" + refs.String() + "]"
	refs.Reset()
	for i := range elements {
		d.Objects = append(d.Objects, testpdf.Obj(900_001+i, fmt.Sprintf("<</S /P /P 900000 0 R /Pg 3 0 R /K %d>>", i)))
		fmt.Fprintf(&refs, "%d 0 R ", 900_001+i)
	}
	d.Objects = append(d.Objects, testpdf.Obj(900_000, "<</Type /StructTreeRoot /K ["+refs.String()+"]>>"))
	return testpdf.Build(d)
}

// TestCancelled: a call ends soon after its context does, wherever it is. The
// bound is for a machine that does much else; with SIZEPLY_LONG the calls are cancelled
// at many moments, and the longest time is said.
func TestCancelled(t *testing.T) {
	bound, tries, share := 5*time.Second, 2, 20
	if long() {
		bound, tries, share = time.Second, 10, 1
	} else if testing.Short() {
		t.Skip("takes a large file many times")
	}
	for name, file := range heavyFiles(share) {
		t.Run(name, func(t *testing.T) { testCancelled(t, file, tries, bound) })
	}
}

// testCancelled cancels calls on one file at some moments.
func testCancelled(t *testing.T, file []byte, tries int, bound time.Duration) {
	doc := open(t, file)
	sel := Selection{Layers: []int{0}}
	var out bytes.Buffer
	report, err := doc.Isolate(context.Background(), &out, sel, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		call func(ctx context.Context) error
	}{
		{"Open", func(ctx context.Context) error { _, err := Open(ctx, bytes.NewReader(file), nil); return err }},
		{"Open without a table", func(ctx context.Context) error {
			_, err := Open(ctx, bytes.NewReader(file[:bytes.LastIndex(file, []byte("xref\n0"))]), nil)
			return err
		}},
		{"Inspect", func(ctx context.Context) error { _, err := doc.Inspect(ctx); return err }},
		{"Lines", func(ctx context.Context) error { _, err := doc.Lines(ctx); return err }},
		{"Isolate", func(ctx context.Context) error { _, err := doc.Isolate(ctx, io.Discard, sel, nil); return err }},
		{"Switch", func(ctx context.Context) error { return doc.Switch(ctx, io.Discard, sel) }},
		{"Check", func(ctx context.Context) error { return report.Check(ctx, bytes.NewReader(out.Bytes())) }},
		{"Verify", func(ctx context.Context) error { return Verify(ctx, bytes.NewReader(out.Bytes()), doc, sel, nil) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			begun := time.Now()
			if err := c.call(context.Background()); err != nil {
				t.Fatal(err)
			}
			whole, longest := time.Since(begun), time.Duration(0)
			random := rand.New(rand.NewPCG(1, 2))
			for range tries {
				ctx, cancel := context.WithCancel(context.Background())
				ended := make(chan time.Time, 1)
				timer := time.AfterFunc(time.Duration(random.Int64N(int64(whole))), func() {
					ended <- time.Now()
					cancel()
				})
				err := c.call(ctx)
				now := time.Now()
				if !timer.Stop() {
					longest = max(longest, now.Sub(<-ended))
					if err != nil && !errors.Is(err, context.Canceled) {
						t.Errorf("cancelled: %v", err)
					}
				}
				cancel()
			}
			t.Logf("%v in all; at most %v after it was cancelled", whole.Round(time.Millisecond), longest.Round(time.Millisecond))
			if longest > bound {
				t.Errorf("it ended %v after it was cancelled", longest)
			}
		})
	}
}
