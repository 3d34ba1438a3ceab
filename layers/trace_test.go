package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// traced is one visible mark with all of the graphics state that it needs, in
// words, and its numbers, which may be off by roundings.
type traced struct {
	what string
	nums []float64
}

// offGrid moves numbers, which have few digits in most files, off the borders
// of rounding.
const offGrid = 0.00317

func (m traced) String() string {
	var b strings.Builder
	b.WriteString(m.what)
	for _, v := range m.nums {
		fmt.Fprintf(&b, " %.2f", v+offGrid)
	}
	return b.String()
}

// tracer goes through the content of a document as ISO 32000-1 says it is
// executed (8.4, 8.5, 9.4, 8.10, 8.11.3) and notes what is painted. Groups are
// on or off as the default configuration says; there are no membership
// dictionaries: testpdf.Reference takes them out. It shares the scanner with
// the filter, and nothing else.
type tracer struct {
	src    *pdf.Document
	off    map[pdf.Ref]bool
	active map[*pdf.Stream]bool
	known  map[pdf.Ref]string
	depth  int
}

// like tells whether two marks are the same but for roundings.
func (m traced) like(n traced) bool {
	return m.what == n.what && slices.EqualFunc(m.nums, n.nums, func(a, b float64) bool { return math.Abs(a-b) <= 2e-3 })
}

// traceFont is what is known of a font.
type traceFont struct {
	name     string         // all of it in words, but for glyphs
	glyphs   map[int]string // of a Type 3 font, by code
	width    func(code int) float64
	two      bool // codes of two bytes
	vertical bool
	type3    bool
}

// traceFile traces all pages with their annotations.
func traceFile(t *testing.T, file []byte) [][]traced {
	t.Helper()
	doc := open(t, file)
	tr := &tracer{src: doc.file.PDF, off: map[pdf.Ref]bool{}, active: map[*pdf.Stream]bool{}, known: map[pdf.Ref]string{}}
	for _, l := range doc.Layers() {
		tr.off[pdf.Ref(l.Object)] = !l.On
	}
	var pages [][]traced
	for _, p := range doc.file.PDF.Pages() {
		c, err := pdf.PageContent(context.Background(), doc.file.PDF, p.Dict, pdf.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		r := tr.run(c.Data, []pdf.Object{p.Resources}, newTraceState())
		for _, o := range pdf.AsArray(doc.file.PDF, p.Dict["Annots"]) {
			a := pdf.AsDict(doc.file.PDF, o)
			if a == nil {
				continue
			}
			r = append(r, traced{what: fmt.Sprintf("annotation %s %s", a["Subtype"], tr.words(a["Rect"], 0))})
			n := pdf.AsDict(doc.file.PDF, a["AP"])["N"]
			if states := pdf.AsDict(doc.file.PDF, n); states != nil {
				n = states[pdf.AsName(doc.file.PDF, a["AS"])]
			}
			if st := pdf.AsStream(doc.file.PDF, n); st != nil {
				r = append(r, tr.form(st, nil, newTraceState())...)
			}
		}
		pages = append(pages, r)
	}
	return pages
}

func matrixNums(m content.Matrix) []float64 { return []float64{m.A, m.B, m.C, m.D, m.E, m.F} }

func matrixWords(m content.Matrix) string {
	return fmt.Sprintf("[%.4f %.4f %.4f %.4f %.4f %.4f]", m.A, m.B, m.C, m.D, m.E, m.F)
}

func (tr *tracer) matrixOf(o pdf.Object) content.Matrix {
	a := pdf.AsArray(tr.src, o)
	if len(a) < 6 {
		return content.Identity()
	}
	var v [6]float64
	for i := range v {
		v[i], _ = pdf.AsNumber(tr.src, a[i])
	}
	return content.Matrix{A: v[0], B: v[1], C: v[2], D: v[3], E: v[4], F: v[5]}
}

// form runs a form XObject in a state (8.10.1).
func (tr *tracer) form(st *pdf.Stream, outer []pdf.Object, s traceState) []traced {
	if tr.active[st] || tr.depth > 20 {
		return nil
	}
	tr.active[st] = true
	tr.depth++
	defer func() { delete(tr.active, st); tr.depth-- }()
	data, err := pdf.Decode(context.Background(), tr.src, st, 0)
	if err != nil {
		return []traced{{what: "undecodable"}}
	}
	s.ctm = tr.matrixOf(st.Dict["Matrix"]).Multiply(s.ctm)
	if b := pdf.AsArray(tr.src, st.Dict["BBox"]); b != nil {
		s.clip = hashed(s.clip + "BBox" + tr.words(b, 0) + matrixWords(s.ctm))
	}
	if g := pdf.AsDict(tr.src, st.Dict["Group"]); g != nil {
		s.groups = hashed(s.groups + tr.words(g, 0) + s.params("CA", "ca"))
		for k, v := range map[string]string{"SMask": "None", "BM": "Normal", "CA": "1", "ca": "1"} {
			s = s.with(k, v)
		}
	}
	names := outer
	if pdf.AsDict(tr.src, st.Dict["Resources"]) != nil {
		names = append([]pdf.Object{st.Dict["Resources"]}, outer...)
	}
	return tr.run(data, names, s)
}

// differ tells where two traces differ.
func differ(want, got []traced) string {
	for i := range max(len(want), len(got)) {
		var w, g traced
		if i < len(want) {
			w = want[i]
		}
		if i < len(got) {
			g = got[i]
		}
		if !w.like(g) {
			return fmt.Sprintf("mark %d of %d and %d:\nwant %v\ngot  %v", i, len(want), len(got), w, g)
		}
	}
	return ""
}

// TestPaintsAlike: what stays is painted with the very state that it had, in
// random documents and in wild ones. Nothing is drawn, so that renderers have no
// say. Text that moves by more than its numbers can say is refused.
func TestPaintsAlike(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and each part of it runs in a lighter test")
	}
	count := uint64(20)
	if long() {
		count = 2000
	}
	marks := 0
	for seed := range count {
		for name, doc := range map[string]testpdf.RandomDoc{
			"random": testpdf.RandomWith(seed, testpdf.RandomOptions{Everything: seed%2 == 1}), "wild": testpdf.Wild(seed),
		} {
			t.Run(fmt.Sprintf("%s document %d", name, seed), func(t *testing.T) {
				n := len(open(t, doc.Bytes).Layers())
				for k := range uint64(2) {
					marks += paintsAlike(t, doc.Bytes, randomSelection(2*seed+k, n), &IsolateOptions{Flatten: k == 1, AcceptDamage: true})
				}
			})
		}
	}
	if marks == 0 {
		t.Error("nothing was painted")
	}
}

// beforeAndAfter isolates, and traces what the original paints of that and what the
// result does: nothing where the file is refused since widths are unknown.
func beforeAndAfter(t *testing.T, file []byte, doc *Document, sel Selection, opt *IsolateOptions) (was, now [][]traced) {
	t.Helper()
	var out bytes.Buffer
	report, err := doc.Isolate(context.Background(), &out, sel, opt)
	var width *UnknownWidthError
	if errors.As(err, &width) {
		t.Logf("refused: %v", err)
		return nil, nil
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := report.Check(context.Background(), bytes.NewReader(out.Bytes())); err != nil {
		t.Errorf("check: %v", err)
	}
	return traceFile(t, inStates(t, file, shown(doc, sel))), traceFile(t, inStates(t, out.Bytes(), asTheyAre(t, out.Bytes())))
}

// paintsAlike isolates and compares what is painted.
func paintsAlike(t *testing.T, file []byte, sel Selection, opt *IsolateOptions) (marks int) {
	t.Helper()
	a, b := beforeAndAfter(t, file, open(t, file), sel, opt)
	if len(a) != len(b) {
		t.Fatalf("%d pages, not %d", len(b), len(a))
	}
	for i := range a {
		marks += len(a[i])
		if d := differ(a[i], b[i]); d != "" {
			t.Errorf("%v page %d: %s", sel, i+1, d)
		}
	}
	return marks
}

// inStates is a copy of a file for a tracer, with the groups in those states.
func inStates(t *testing.T, file []byte, state func(obj int) bool) []byte {
	t.Helper()
	copied, err := testpdf.Reference(file, state)
	if err != nil {
		t.Fatal(err)
	}
	return copied
}

// asTheyAre are the states of the groups in a file.
func asTheyAre(t *testing.T, file []byte) func(obj int) bool {
	t.Helper()
	on := map[int]bool{}
	for _, l := range open(t, file).Layers() {
		on[l.Object] = l.On
	}
	return func(obj int) bool { return on[obj] }
}
