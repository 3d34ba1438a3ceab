package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	geometry "image"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
)

// The tests of this file draw what Isolate writes and compare it, pixel for
// pixel, with a copy of the original that has its own bytes and an appended
// update in which the chosen layers are on and the others off (see
// testpdf.Reference; no code of internal/pdf or of this package is in it).
// They draw with PDFium and, where it is installed, with Poppler (cairo); with
// SIZEPLY_WITNESSES=1 also with current MuPDF and pdf.js. With SIZEPLY_LONG=1
// they draw everything, else a sample; see every.

// TestRendersDemo: each size of the demo pattern with its neighbours.
func TestRendersDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	file, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	var c comparison
	n := len(open(t, file).Layers())
	for at := 0; at < 10; at += every() {
		var keep []int
		for i := range n {
			if i >= at-1 && i <= at+1 || i >= 10 && i < 14 {
				keep = append(keep, i)
			}
		}
		c.compare(t, subject{name: fmt.Sprintf("size %d of ten", at+1), file: file, dpi: 36}, Selection{Layers: keep})
	}
	c.log(t)
}

// TestRendersCases: what the content cases leave looks as it must.
func TestRendersCases(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	var c comparison
	for i, cc := range contentCases {
		if i%every() > 0 {
			continue
		}
		file := cc.build()
		c.compare(t, subject{name: cc.name, file: file, dpi: 150, features: cc.features}, Selection{Layers: []int{0, 2}})
	}
	c.log(t)
}

// TestRendersRandom: random selections of random documents.
func TestRendersRandom(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	count := 40 / every()
	if long() {
		count = 600
	}
	var c comparison
	for seed := range uint64(count) {
		doc := testpdf.RandomWith(seed, testpdf.RandomOptions{Opaque: seed%2 == 1})
		c.compare(t, subject{name: fmt.Sprintf("random document %d", seed), file: doc.Bytes, dpi: 150, features: doc.Features},
			randomSelection(seed, len(open(t, doc.Bytes).Layers())))
	}
	c.log(t)
}

// TestRendersGhostscript: random selections of files that another producer
// writes.
func TestRendersGhostscript(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	testpdf.Tool(t, "gs")
	count, selections := 4, 3/every()
	if long() {
		count, selections = 25, 8
	}
	var c comparison
	for seed := range uint64(count) {
		file, err := testpdf.Ghostscript(seed)
		if err != nil {
			t.Fatal(err)
		}
		for i := range uint64(selections) {
			c.compare(t, subject{name: fmt.Sprintf("Ghostscript %d", seed), file: file, dpi: 100},
				randomSelection(seed<<8+i, len(open(t, file).Layers())))
		}
	}
	c.log(t)
}

// TestRendersCorpus: random selections of files that others made, from the
// folder that SIZEPLY_CORPUS names.
func TestRendersCorpus(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	dir := os.Getenv("SIZEPLY_CORPUS")
	if dir == "" {
		t.Skip("SIZEPLY_CORPUS names no folder of layered PDFs")
	}
	selections := 3
	if long() {
		selections = 12
	}
	compareFiles(t, pdfFiles(t, dir), selections)
}

// TestRendersSamples: the layered files that come with pdfcpu (Apache-2.0),
// both states of their single group.
func TestRendersSamples(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	if err != nil || len(out) == 0 {
		t.Skipf("the module pdfcpu is not here: %v", err)
	}
	files := pdfFiles(t, strings.TrimSpace(string(out)))
	files = slices.DeleteFunc(files, func(name string) bool {
		return !layered(name) || os.Getenv("ZZ") != "" && !strings.Contains(filepath.Base(name), "Image")
	})
	if !long() {
		files = everyNth(files, 12*every())
	}
	compareFiles(t, files, 2)
}

// long tells whether to draw everything.
func long() bool { return os.Getenv("SIZEPLY_LONG") == "1" }

// every is the step by which tests go through what they draw: what is drawn by
// go test alone is a third of what .ci/run draws, with SIZEPLY_WITNESSES=1.
func every() int {
	if long() || os.Getenv("SIZEPLY_WITNESSES") == "1" {
		return 1
	}
	return 3
}

// everyNth gives one file in n.
func everyNth(files []string, n int) []string {
	var some []string
	for i := 0; i < len(files); i += n {
		some = append(some, files[i])
	}
	return some
}

// layered tells whether a file has layers and can be opened.
func layered(name string) bool {
	f, err := os.Open(name)
	if err != nil {
		return false
	}
	defer f.Close()
	doc, err := Open(context.Background(), f, nil)
	return err == nil && len(doc.Layers()) > 0
}

// pdfFiles are the PDF files below a folder, in order.
func pdfFiles(t *testing.T, dir string) []string {
	t.Helper()
	var files []string
	err := filepath.WalkDir(dir, func(name string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() && strings.EqualFold(filepath.Ext(name), ".pdf") {
			files = append(files, name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// compareFiles compares selections of files: all layers, none, and random
// ones.
func compareFiles(t *testing.T, files []string, selections int) {
	var c comparison
	for i, name := range files {
		file, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := Open(context.Background(), bytes.NewReader(file), nil)
		if err != nil {
			t.Logf("%s is not opened: %v", filepath.Base(name), err)
			continue
		}
		n := len(doc.Layers())
		if n == 0 {
			t.Logf("%s has no layers", filepath.Base(name))
			continue
		}
		if pages := len(doc.Pages()); pages > 8 && !long() {
			t.Logf("%s has %d pages: drawn with SIZEPLY_LONG=1 only", filepath.Base(name), pages)
			continue
		}
		for k := range selections {
			sel := Selection{NoLayers: true}
			switch k {
			case 0: // none
			case 1:
				for j := range n {
					sel.Layers = append(sel.Layers, j)
				}
			default:
				sel = randomSelection(uint64(100*i+k), n)
			}
			c.compare(t, subject{name: filepath.Base(name), file: file, dpi: 40, features: features[filepath.Base(name)]}, sel)
		}
	}
	c.log(t)
}

// randomSelection chooses each layer, leaves it unchanged, or lets it go.
func randomSelection(seed uint64, layers int) Selection {
	r := rand.New(rand.NewPCG(seed, 0x73697a65))
	sel := Selection{NoLayers: true}
	for i := range layers {
		switch r.IntN(5) {
		case 0, 1:
			sel.Layers = append(sel.Layers, i)
		case 2:
			sel.Unchanged = append(sel.Unchanged, i)
		}
	}
	return sel
}

// subject is a file to be isolated and drawn.
type subject struct {
	name     string
	file     []byte
	dpi      int
	features []string // that renderers are known to miss; see testpdf.Gaps
}

// comparison counts.
type comparison struct {
	compared, identical, explained int
	checked                        int // by qpdf
	flatten                        bool
}

func (c *comparison) log(t *testing.T) {
	t.Helper()
	t.Logf("compared %d renderings: %d identical, %d explained; %d outputs checked by qpdf", c.compared, c.identical, c.explained, c.checked)
	if c.compared == 0 {
		t.Error("nothing was compared")
	}
}

// compare isolates and draws. A difference fails unless the renderer is known
// not to implement a feature of the file, or the file and renderer are listed
// in known with the reason.
func (c *comparison) compare(t *testing.T, s subject, sel Selection) {
	t.Helper()
	doc := open(t, s.file)
	var out bytes.Buffer
	_, err := doc.Isolate(context.Background(), &out, sel, &IsolateOptions{Flatten: c.flatten})
	var width *UnknownWidthError
	if errors.As(err, &width) {
		t.Logf("%s %v is refused: %v", s.name, sel, err)
		return
	}
	if err != nil {
		t.Errorf("%s %v: %v", s.name, sel, err)
		return
	}
	if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, &IsolateOptions{Flatten: c.flatten}); err != nil {
		t.Errorf("%s %v: %v", s.name, sel, err)
	}
	c.check(t, s, sel, out.Bytes())
	want, err := testpdf.Reference(s.file, shown(doc, sel))
	if err != nil {
		t.Errorf("%s: no reference: %v", s.name, err)
		return
	}
	var found []finding
	renderers := oracle.Renderers(t)
	for _, r := range renderers {
		c.compared++
		if f := difference(r, want, out.Bytes(), s.dpi); f.text != "" {
			found = append(found, f)
		}
	}
	c.identical += len(renderers) - len(found)
	for _, f := range found {
		if why := explain(f, found, s, staysOff(doc, sel)); why != "" {
			c.explained++
			t.Logf("%s %v in %s: %s; explained: %s", s.name, sel, f.renderer, f.text, why)
			continue
		}
		t.Errorf("%s %v in %s: %s", s.name, sel, f.renderer, f.text)
		keepFiles(t, s.name, want, out.Bytes())
	}
}

// check has qpdf, where it is installed, check the output of an input that it
// accepts without a warning.
func (c *comparison) check(t *testing.T, s subject, sel Selection, out []byte) {
	t.Helper()
	if _, err := exec.LookPath("qpdf"); err != nil && os.Getenv("SIZEPLY_REQUIRE_TOOLS") != "1" {
		return
	}
	if testpdf.QPDF(s.file) != nil {
		return
	}
	c.checked++
	if err := testpdf.QPDF(out); err != nil {
		t.Errorf("%s %v: qpdf accepts the input, of the output it says: %v", s.name, sel, err)
	}
}

// finding is how two files differ in one renderer.
type finding struct {
	renderer, text string
	places         map[place]int // with the largest difference of a channel there
}

// place is one of cells times cells parts of a page.
type place struct{ page, x, y int }

const cells = 64

// meets tells whether two renderers see a difference at the same place, or
// next to it, each more than its least.
func (f finding) meets(g finding, leastF, leastG int) bool {
	for p, d := range f.places {
		if d <= leastF {
			continue
		}
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				if g.places[place{p.page, p.x + dx, p.y + dy}] > leastG {
					return true
				}
			}
		}
	}
	return false
}

// add notes where two pictures of a page differ.
func (f *finding) add(page int, a, b *geometry.RGBA) {
	size := a.Rect.Size()
	for y := range size.Y {
		for x := range size.X {
			i := y*a.Stride + 4*x
			at := place{page, x * cells / size.X, y * cells / size.Y}
			for k, j := 0, y*b.Stride+4*x; k < 4; k++ {
				if d := max(a.Pix[i+k], b.Pix[j+k]) - min(a.Pix[i+k], b.Pix[j+k]); int(d) > f.places[at] {
					f.places[at] = int(d)
				}
			}
		}
	}
}

// staysOff tells whether a layer that stays is off.
func staysOff(doc *Document, sel Selection) bool {
	list := doc.Layers()
	return slices.ContainsFunc(sel.Unchanged, func(i int) bool { return !list[i].Print })
}

// shown is the state of each group that a selection asks for.
func shown(doc *Document, sel Selection) func(obj int) bool {
	on := map[int]bool{}
	list := doc.Layers()
	for _, i := range sel.Unchanged {
		on[list[i].Object] = list[i].Print
	}
	for _, i := range sel.Layers {
		on[list[i].Object] = true
	}
	return func(obj int) bool { return on[obj] }
}

// difference draws two files and says how they differ; its text is "" where
// they do not.
func difference(r oracle.Renderer, want, got []byte, dpi int) finding {
	var a, b rendering
	a.pages, a.err = r.Draw(want, dpi)
	b.pages, b.err = r.Draw(got, dpi)
	return contrast(r.Name, a, b)
}

// rendering is what a renderer made of a file.
type rendering struct {
	pages []*geometry.RGBA
	err   error
}

// contrast says how two renderings differ.
func contrast(renderer string, want, got rendering) finding {
	f := finding{renderer: renderer, places: map[place]int{}}
	a, b := want.pages, got.pages
	switch {
	case want.err != nil && got.err != nil:
		return f // draws neither
	case want.err != nil || got.err != nil:
		f.text = fmt.Sprintf("is drawn only once: %v, %v", want.err, got.err)
		return f
	case len(a) != len(b):
		f.text = fmt.Sprintf("%d pages, not %d", len(b), len(a))
		return f
	}
	for i := range a {
		d := testpdf.Compare(a[i], b[i])
		if d.Equal() {
			continue
		}
		if f.text == "" {
			f.text = fmt.Sprintf("page %d: %v", i+1, d)
		}
		if !d.Sizes {
			f.add(i+1, a[i], b[i])
		}
	}
	return f
}

// explain names what a renderer does not implement. That a renderer is unsteady
// counts where no other that implements all features sees a difference at the
// same place: a mistake of ours shows there in all of them.
func explain(f finding, all []finding, s subject, off bool) string {
	gaps := s.gaps(f.renderer, off)
	alone := !slices.ContainsFunc(all, func(g finding) bool {
		if g.renderer == f.renderer || len(s.gaps(g.renderer, off)) > 0 {
			return false
		}
		return f.meets(g, s.least(f.renderer), s.least(g.renderer))
	})
	if alone && len(f.places) > 0 {
		gaps = append(gaps, testpdf.Unsteady(f.renderer, s.features)...)
	}
	if len(gaps) > 0 {
		return gaps[0].Feature + ": " + gaps[0].Reason
	}
	return ""
}

// gaps are what of the file's features a renderer does not implement. Gaps that
// references go round count where something stays and is hidden: in a layer
// that is off, or by an expression that wants one off.
func (s subject) gaps(renderer string, off bool) []testpdf.Gap {
	gaps := testpdf.Unfit(renderer, s.features)
	for _, feature := range []string{testpdf.FeatureMembership, testpdf.FeatureExpression} {
		off = off || slices.Contains(s.features, feature)
	}
	for _, g := range testpdf.Gaps(renderer) {
		if g.Original && off && slices.Contains(s.features, g.Feature) {
			gaps = append(gaps, g)
		}
	}
	return gaps
}

// least is the difference, in levels of 255, that an unsteady renderer makes on
// the edges of things.
func (s subject) least(renderer string) int {
	if len(testpdf.Unsteady(renderer, s.features)) > 0 {
		return 3
	}
	return 0
}

// features lists what files of others hold that renderers are known to miss.
var features = map[string][]string{
	"issue15716.pdf":             {testpdf.FeaturePatternOC},
	"visibility_expressions.pdf": {testpdf.FeatureExpression},
	"issue17679.pdf":             {testpdf.FeatureAlpha}, // a blend mode in the layer

	// An image with a soft mask in the layer.
	"ImageAbsScaling.pdf":                   {testpdf.FeatureAlpha},
	"ImagePosBottomLeftWithOffset.pdf":      {testpdf.FeatureAlpha},
	"ImageRotate90.pdf":                     {testpdf.FeatureAlpha},
	"ImageWithLink.pdf":                     {testpdf.FeatureAlpha},
	"ImagesTextAndPDFWMViaWatermarkMap.pdf": {testpdf.FeatureAlpha},
}

// keepFiles keeps two files that are drawn differently, for a look at them.
func keepFiles(t *testing.T, name string, want, got []byte) {
	t.Helper()
	dir := os.Getenv("SIZEPLY_KEEP")
	if dir == "" {
		return
	}
	for suffix, data := range map[string][]byte{"want": want, "got": got} {
		file := filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+"."+suffix+".pdf")
		if err := os.WriteFile(file, data, 0o666); err != nil {
			t.Log(err)
		}
	}
}
