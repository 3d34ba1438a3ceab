package layers

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// chosen are the positions whose bit is set in mask.
func chosen(doc *Document, mask uint64) Selection {
	sel := Selection{NoLayers: true}
	for i := range doc.Layers() {
		if mask&(1<<(i%64)) != 0 {
			sel.Layers = append(sel.Layers, i)
		}
	}
	return sel
}

// acceptDamage lets pass what is no operator with its operands, and missing forms.
var acceptDamage = IsolateOptions{AcceptDamage: true}

// isolateMask keeps the layers of a mask; it gives nil where the file may be
// refused: for unknown widths, and where limited for its size or its damage.
func isolateMask(tb testing.TB, doc *Document, mask uint64, limited bool) []byte {
	tb.Helper()
	var out bytes.Buffer
	_, err := doc.Isolate(context.Background(), &out, chosen(doc, mask), &acceptDamage)
	var unknown *UnknownWidthError
	if err != nil && !limited && !errors.As(err, &unknown) {
		tb.Fatalf("isolate: %v", err)
	}
	if err != nil {
		return nil
	}
	return out.Bytes()
}

// painted lists what a content stream paints and what it shows, as written but for
// operands that do not belong to the operator; numbers alone in a TJ array show
// nothing.
func painted(data []byte) []string {
	var list []string
	var op content.Operation
	scan := content.NewScanner(data)
	for scan.Next(&op) {
		if op.DropExtra(); !op.Fits() {
			continue
		}
		switch op.Op.Class() {
		case content.ClassTextShow:
			text := ""
			op.EachString(func(s []byte) { text += string(s) }, func(float64) {})
			if text != "" {
				list = append(list, text)
			}
		case content.ClassPaint:
			if op.Op != content.OpEndPath {
				list = append(list, op.Op.String())
			}
		case content.ClassXObject:
			// A form that becomes two has a number behind its name.
			name, _ := op.Name(0)
			name, _, _ = strings.Cut(name, "_")
			list = append(list, name+" Do")
		case content.ClassShading, content.ClassInlineImage:
			list = append(list, strings.TrimSpace(string(data[op.Start:op.End]))) // one without an end takes what is behind it
		}
	}
	return list
}

// marks counts the marks of a content stream whose forms are of one mark, as where
// damage is accepted: an operation whose operands do not fit is none.
func marks(data []byte) (n int64) {
	var op content.Operation
	scan := content.NewScanner(data)
	for scan.Next(&op) {
		if op.DropExtra(); !op.Fits() {
			continue
		}
		switch op.Op.Class() {
		case content.ClassPaint:
			if op.Op != content.OpEndPath {
				n++
			}
		case content.ClassTextShow, content.ClassShading, content.ClassXObject, content.ClassInlineImage:
			n++
		}
	}
	return n
}

// balanced tells whether marked content is balanced (14.6.1).
func balanced(data []byte) bool {
	depth := 0
	var op content.Operation
	scan := content.NewScanner(data)
	for scan.Next(&op) {
		switch op.Op {
		case content.OpBeginMarked, content.OpBeginMarkedProps:
			depth++
		case content.OpEndMarked:
			if depth--; depth < 0 {
				return false
			}
		}
	}
	return depth == 0
}

// subsequence tells whether all of part stands in whole in the same order.
func subsequence(part, whole []string) bool {
	for _, s := range whole {
		if len(part) > 0 && part[0] == s {
			part = part[1:]
		}
	}
	return len(part) == 0
}

// contents are the contents of all pages.
func contents(tb testing.TB, file []byte) []string {
	tb.Helper()
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		tb.Fatalf("open: %v", err)
	}
	var list []string
	for _, p := range doc.Pages() {
		c, err := pdf.PageContent(context.Background(), doc, p.Dict, pdf.Limits{})
		if err != nil {
			tb.Fatalf("page %d: %v", p.Number, err)
		}
		list = append(list, string(c.Data))
	}
	return list
}

// holds checks what is promised of isolating the layers of a mask.
func holds(tb testing.TB, file []byte, mask uint64, limited bool) {
	tb.Helper()
	doc := open(tb, file)
	before := documentHash(doc)
	out := isolateMask(tb, doc, mask, limited)
	if documentHash(doc) != before {
		tb.Error("the open document changed")
	}
	if out == nil {
		return
	}
	if again := isolateMask(tb, doc, mask, limited); !bytes.Equal(again, out) {
		tb.Error("a second run gives other bytes")
	}
	sel := chosen(doc, mask)
	if err := Verify(context.Background(), bytes.NewReader(out), doc, sel, &acceptDamage); err != nil {
		tb.Errorf("verify: %v", err)
	}
	now := open(tb, out)
	if got, want := len(now.Layers()), len(sel.Layers); got != want {
		tb.Errorf("%d layers, want %d", got, want)
	}
	streams(tb, file, out, len(sel.Layers) == len(doc.Layers()))
	if len(sel.Layers) == 0 {
		return
	}
	if twice := isolateMask(tb, now, ^uint64(0), limited); !slices.Equal(contents(tb, twice), contents(tb, out)) {
		tb.Error("isolating again changes the pages")
	}
}

// streams holds the pages of an output against those of its input.
func streams(tb testing.TB, file, out []byte, all bool) {
	tb.Helper()
	was, now := contents(tb, file), contents(tb, out)
	if len(was) != len(now) {
		tb.Fatalf("%d pages, want %d", len(now), len(was))
	}
	for i := range was {
		if was[i] == now[i] {
			continue
		}
		if all {
			tb.Errorf("page %d changed though every layer is kept", i+1)
		}
		if !balanced([]byte(now[i])) {
			tb.Errorf("page %d: marked content is not balanced: %q", i+1, now[i])
		}
		if part := painted([]byte(now[i])); !subsequence(part, painted([]byte(was[i]))) {
			tb.Errorf("page %d paints %q, which it did not before: %q", i+1, part, painted([]byte(was[i])))
		}
	}
}

// seeds is how many random documents are tried.
const seeds = 20

// randomSeeds are the seeds of random documents, a few of them with -short.
func randomSeeds() uint64 {
	if testing.Short() {
		return seeds / 5
	}
	return seeds
}

// random is a random document and masks to try on it: none, all, and two more.
func random(seed uint64) (file []byte, masks []uint64) {
	d := testpdf.RandomWith(seed, testpdf.RandomOptions{Everything: seed%2 == 1})
	return d.Bytes, []uint64{0, ^uint64(0), seed*0x9E3779B97F4A7C15 | 1, ^(seed * 0x9E3779B97F4A7C15)}
}

// TestRandom: what is promised holds for random documents.
func TestRandom(t *testing.T) {
	for seed := range randomSeeds() {
		file, masks := random(seed)
		for _, mask := range masks {
			t.Run(fmt.Sprintf("%d/%x", seed, mask&0xFF), func(t *testing.T) { holds(t, file, mask, false) })
		}
	}
}

// TestRandomInSteps: choosing among what was chosen paints what choosing at
// once does, without what shows only where a layer of the first choice is off
// (8.11.2.2: AllOff, AnyOff, Not).
func TestRandomInSteps(t *testing.T) {
	for seed := range randomSeeds() {
		file, masks := random(seed)
		doc := open(t, file)
		wide, narrow := chosen(doc, masks[2]), Selection{NoLayers: true}
		var within uint64 // positions of narrow in wide
		for i, at := range wide.Layers {
			if i%2 == 0 {
				narrow.Layers = append(narrow.Layers, at)
				within |= 1 << i
			}
		}
		first := isolateMask(t, doc, masks[2], false)
		var once bytes.Buffer
		if _, err := doc.Isolate(context.Background(), &once, narrow, nil); err != nil || first == nil {
			continue // widths are unknown
		}
		steps := isolateMask(t, open(t, first), within, false)
		a, b := contents(t, once.Bytes()), contents(t, steps)
		for i := range a {
			once, steps := painted([]byte(a[i])), painted([]byte(b[i]))
			if !subsequence(steps, once) {
				t.Errorf("seed %d, page %d: in steps it paints %q, at once %q", seed, i+1, steps, once)
			}
		}
	}
}

// TestMarksAddUp: the marks that stay and those that go are those that were
// there.
func TestMarksAddUp(t *testing.T) {
	for _, c := range contentCases {
		_, report := isolateNamed(t, c.build(), "A", "C")
		if p, want := report.Pages[0], marks([]byte(testpdf.Marks(c.content))); p.Kept+p.Removed != want {
			t.Errorf("%s: %d kept and %d removed of %d", c.name, p.Kept, p.Removed, want)
		}
	}
}

// TestConcurrent: one open document gives the same bytes to callers at the
// same time, and stays as it is. Run it with -race.
func TestConcurrent(t *testing.T) {
	files := [][]byte{verifiable(), testpdf.Build(plant(planting()...))}
	for seed := range uint64(4) {
		file, _ := random(seed)
		files = append(files, file)
	}
	for i, file := range files {
		doc := open(t, file)
		before := documentHash(doc)
		masks := []uint64{0, 1, 2, 5, ^uint64(0)}
		var want [][]byte
		for _, mask := range masks {
			want = append(want, isolateMask(t, doc, mask, false))
		}
		var wait sync.WaitGroup
		for range 3 {
			for k, mask := range masks {
				wait.Go(func() {
					var out bytes.Buffer
					_, err := doc.Isolate(context.Background(), &out, chosen(doc, mask), &acceptDamage)
					if (err == nil) != (want[k] != nil) || err == nil && !bytes.Equal(out.Bytes(), want[k]) {
						t.Errorf("file %d, mask %x: other bytes at the same time (error %v)", i, mask, err)
					}
					if _, err := doc.Inspect(context.Background()); err != nil {
						t.Errorf("file %d: inspect: %v", i, err)
					}
				})
			}
		}
		wait.Wait()
		if documentHash(doc) != before {
			t.Errorf("file %d: the open document changed", i)
		}
	}
}

// failing is a writer that fails after some bytes.
type failing struct{ left int }

var errFull = errors.New("no space is left")

func (w *failing) Write(b []byte) (int, error) {
	if w.left -= len(b); w.left < 0 {
		return 0, errFull
	}
	return len(b), nil
}

// TestFailingWriter: the error of the writer comes out, and the document can
// still be isolated.
func TestFailingWriter(t *testing.T) {
	doc := open(t, verifiable())
	for _, n := range []int{0, 500} {
		if _, err := doc.Isolate(context.Background(), &failing{n}, Selection{Layers: []int{0}}, nil); !errors.Is(err, errFull) {
			t.Errorf("after %d bytes: error %v, want %v", n, err, errFull)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := doc.Isolate(ctx, &bytes.Buffer{}, Selection{Layers: []int{0}}, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("an ended context gives %v", err)
	}
	holds(t, verifiable(), 1, false)
}

// fuzzed is a document with that page content and one of everything to name.
func fuzzed(text string) []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C"},
		Pages: []testpdf.Page{{Content: text, Resources: "<<" + properties3 +
			"/Font <</F 29 0 R>> /XObject <</X 30 0 R /I 31 0 R>> /ExtGState <</G <</Font [29 0 R 7]>>>>>>"}},
		Objects: []testpdf.Object{testpdf.Form(30, "/Resources <<>>", "P1"), picture(31, "")},
	})
}

// FuzzIsolate holds isolating against what is promised of it, for any page
// content.
func FuzzIsolate(f *testing.F) {
	for _, c := range contentCases {
		f.Add(c.content)
	}
	for _, c := range formCases {
		f.Add(c.content)
	}
	// An inline image without an end: what is written behind it is its data.
	f.Add("/OC /B BDC P1 EMC /OC /A BDC BI /W 1 /H 1 /CS /G /BPC 8 ID")
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1<<16 {
			return
		}
		file := fuzzed(text)
		for _, mask := range []uint64{0b101, 0b111} {
			holds(t, file, mask, false)
		}
		doc := open(t, file)
		report, err := doc.Isolate(context.Background(), &bytes.Buffer{}, chosen(doc, 0b101), &acceptDamage)
		if err != nil {
			return // widths are unknown
		}
		was := contents(t, file)[0]
		if p, want := report.Pages[0], marks([]byte(was)); p.Kept+p.Removed != want {
			t.Errorf("%d marks kept and %d removed of %d in %q", p.Kept, p.Removed, want, was)
		}
	})
}

// FuzzFile does so for whole files: none may make a panic or no end, and what
// is written holds.
func FuzzFile(f *testing.F) {
	f.Add(verifiable(), uint8(5))
	f.Add(testpdf.Build(plant(planting()...)), uint8(5))
	for _, c := range formCases {
		f.Add(testpdf.Build(c.doc()), uint8(5))
	}
	for _, c := range endless() {
		f.Add(ordered(c.order, c.objects...), uint8(1))
	}
	for seed := range uint64(4) {
		file, masks := random(seed)
		f.Add(file, uint8(masks[2]))
	}
	f.Fuzz(func(t *testing.T, file []byte, mask uint8) {
		doc, err := Open(context.Background(), bytes.NewReader(file), &OpenOptions{MaxFileBytes: 1 << 20, MaxStreamBytes: 1 << 20, MaxPageBytes: 1 << 20})
		if err != nil || len(doc.Layers()) == 0 {
			return
		}
		if _, err := doc.Inspect(context.Background()); err != nil {
			t.Errorf("inspect: %v", err)
		}
		var out bytes.Buffer
		sel := chosen(doc, uint64(mask))
		if _, err := doc.Isolate(context.Background(), &out, sel, nil); err != nil {
			return
		}
		if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, nil); err != nil {
			t.Errorf("verify: %v", err)
		}
	})
}

// TestPainted checks the yardstick of this file.
func TestPainted(t *testing.T) {
	got := strings.Join(painted([]byte("1 1 m 2 2 l S n BT (a) Tj [3] TJ [(b) 3 (c)] TJ ET /X_2 Do q Q /S sh BI /W 1 /H 1 /CS /G /BPC 8 ID x EI")), "|")
	if want := "S|a|bc|X Do|/S sh|BI /W 1 /H 1 /CS /G /BPC 8 ID x EI"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if !subsequence([]string{"a", "c"}, []string{"a", "b", "c"}) || subsequence([]string{"c", "a"}, []string{"a", "b", "c"}) {
		t.Error("subsequence")
	}
	if !balanced([]byte("/T BMC EMC")) || balanced([]byte("EMC /T BMC")) || balanced([]byte("/T BMC")) {
		t.Error("balanced")
	}
}

// documentHash is a hash over all objects of the file and the raw data of all
// streams.
func documentHash(doc *Document) [32]byte {
	sum := sha256.New()
	for _, r := range doc.file.PDF.Refs() {
		o := doc.file.PDF.Object(r)
		if st, ok := o.(*pdf.Stream); ok {
			fmt.Fprintf(sum, "%d:%s", len(st.Raw), st.Raw)
			o = st.Dict
		}
		fmt.Fprintf(sum, "%d %#v\n", r, o)
	}
	return [32]byte(sum.Sum(nil))
}
