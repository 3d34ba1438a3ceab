package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// three is a page with a mark in each of three layers and one outside.
func three() []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C"},
		Pages:  []testpdf.Page{{Content: "P1 /OC /A BDC P2 EMC /OC /B BDC P3 EMC /OC /C BDC P4 EMC"}},
	})
}

// TestSelectionErrors: a position that the file does not have is refused, and
// nothing is written.
func TestSelectionErrors(t *testing.T) {
	doc := open(t, three())
	for _, sel := range []Selection{
		{Layers: []int{3}}, {Layers: []int{-1}}, {Unchanged: []int{3}}, {Layers: []int{0, 1 << 40}}, {Layers: []int{0}, Unchanged: []int{-5}},
	} {
		var out bytes.Buffer
		report, err := doc.Isolate(context.Background(), &out, sel, nil)
		if err == nil || report != nil || out.Len() > 0 {
			t.Errorf("%+v: error %v, report %v, %d bytes", sel, err, report, out.Len())
		} else if !strings.Contains(err.Error(), "3") {
			t.Errorf("%+v: the error %q does not say how many layers there are", sel, err)
		}
	}
}

// TestNotOpened: a document that Open did not give is an error, or empty.
func TestNotOpened(t *testing.T) {
	ctx := context.Background()
	for _, doc := range []*Document{nil, {}} {
		_, errIsolate := doc.Isolate(ctx, io.Discard, Selection{}, nil)
		_, errBind := doc.Bind(Selection{})
		_, errLines := doc.Lines(ctx)
		_, errInspect := doc.Inspect(ctx)
		errSwitch := doc.Switch(ctx, io.Discard, Selection{})
		errVerify := Verify(ctx, bytes.NewReader(three()), doc, Selection{}, nil)
		for i, err := range []error{errIsolate, errBind, errLines, errInspect, errSwitch, errVerify, doc.NoLayers()} {
			if !errors.Is(err, ErrNotOpened) {
				t.Errorf("call %d gives %v", i, err)
			}
		}
		if len(doc.Layers())+len(doc.Pages())+len(doc.Boxes())+len(doc.Warnings())+len(doc.Fingerprint()) > 0 || doc.Encryption() != nil {
			t.Error("it has something")
		}
	}
}

// TestNegativeLimits: a limit below zero is a mistake, not the default.
func TestNegativeLimits(t *testing.T) {
	for _, opt := range []OpenOptions{
		{MaxFileBytes: -1}, {MaxStreamBytes: -1}, {MaxPageBytes: -1}, {MaxContentBytes: -1}, {MaxObjects: -1}, {MaxObjectBytes: -1},
	} {
		if _, err := Open(context.Background(), bytes.NewReader(three()), &opt); err == nil {
			t.Errorf("%+v opens", opt)
		}
	}
}

// TestContentOfAllPages: many pages pass by default, and count together against
// MaxContentBytes where that is set.
func TestContentOfAllPages(t *testing.T) {
	const pages = 80
	d := testpdf.Doc{Groups: []string{"A", "B"}}
	content := "/OC /A BDC P1 EMC /OC /B BDC P2 EMC " + strings.Repeat("0 0 m 9 9 l S ", 1000)
	for range pages {
		d.Pages = append(d.Pages, testpdf.Page{Content: content})
	}
	file := testpdf.Build(d)
	whole := int64(pages * (len(content) + 99)) // with what the marks are written as
	for _, c := range []struct {
		limit int64
		want  error
	}{{0, nil}, {2 * whole, nil}, {whole / 2, &LimitError{Limit: LimitContentBytes, Bound: whole / 2}}} {
		doc, err := Open(context.Background(), bytes.NewReader(file), &OpenOptions{MaxContentBytes: c.limit})
		if err != nil {
			t.Fatal(err)
		}
		_, err = doc.Isolate(context.Background(), io.Discard, Selection{Layers: []int{0}}, nil)
		if limit := (*LimitError)(nil); c.want == nil && err != nil || c.want != nil && (!errors.As(err, &limit) || limit.Error() != c.want.Error()) {
			t.Errorf("with a limit of %d: %v, want %v", c.limit, err, c.want)
		}
	}
}

// TestManyPaths: paths that are kept take nothing to remember, however many they are.
func TestManyPaths(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and each part of it runs in a lighter test")
	}
	content := "/OC /A BDC P1 EMC /OC /B BDC P2 EMC " + strings.Repeat("0 0 m 9 9 l S ", 1_100_000)
	isolateNamed(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: content}}}), "A")
}

// TestManyStates: neither does the state that is set between paths that are removed.
func TestManyStates(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and each part of it runs in a lighter test")
	}
	const paths = 410_000
	content := "/OC /A BDC P1 EMC /OC /B BDC " + strings.Repeat("q 1 0 0 1 5 5 cm 1 w 0 g Q 0 0 m S ", paths) + "EMC P2"
	isolateNamed(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: content}}}), "A")
}

// TestNothingKept: a selection that keeps no layer has to ask for it.
func TestNothingKept(t *testing.T) {
	ctx, doc := context.Background(), open(t, three())
	for _, sel := range []Selection{{}, {Layers: []int{}}, {Lines: []LineStyle{}}} {
		var out bytes.Buffer
		if _, err := doc.Isolate(ctx, &out, sel, nil); !errors.Is(err, ErrNothingKept) || out.Len() > 0 {
			t.Errorf("isolating %+v gives %v and %d bytes", sel, err, out.Len())
		}
		if err := doc.Switch(ctx, &out, sel); !errors.Is(err, ErrNothingKept) {
			t.Errorf("switching %+v gives %v", sel, err)
		}
		if err := Verify(ctx, bytes.NewReader(three()), doc, sel, nil); !errors.Is(err, ErrNothingKept) {
			t.Errorf("verifying %+v gives %v", sel, err)
		}
	}
}

// TestSelections: what stays of three layers.
func TestSelections(t *testing.T) {
	for _, c := range []struct {
		name string
		sel  Selection
		want string
	}{
		{"nothing", Selection{NoLayers: true}, "P1"},
		{"one", Selection{Layers: []int{1}}, "P1 /OC /B BDC P3 EMC"},
		{"in any order, twice", Selection{Layers: []int{2, 0, 2}}, "P1 /OC /A BDC P2 EMC /OC /C BDC P4 EMC"},
		{"unchanged alone", Selection{Unchanged: []int{0}}, "P1 /OC /A BDC P2 EMC"},
		{"all", Selection{Layers: []int{0, 1, 2}}, "P1 /OC /A BDC P2 EMC /OC /B BDC P3 EMC /OC /C BDC P4 EMC"},
	} {
		var out bytes.Buffer
		if _, err := open(t, three()).Isolate(context.Background(), &out, c.sel, nil); err != nil {
			t.Fatal(err)
		}
		if got := fold(pageContent(t, out.Bytes(), 0)); got != testpdf.Marks(c.want) {
			t.Errorf("%s: got %q, want %q", c.name, got, testpdf.Marks(c.want))
		}
	}
}

// TestSelectionByName: two layers of one name are both chosen by it, and one of
// them alone by its position: names are no identity (8.11.3.2).
func TestSelectionByName(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"X", "X", "Y"},
		Pages:  []testpdf.Page{{Content: "/OC /a BDC P1 EMC /OC /b BDC P2 EMC /OC /c BDC P3 EMC", Resources: "<</Properties <</a 5 0 R /b 6 0 R /c 7 0 R>>>>"}},
	})
	both, _ := isolateNamed(t, file, "X")
	if got, want := fold(pageContent(t, both, 0)), testpdf.Marks("/OC /a BDC P1 EMC /OC /b BDC P2 EMC"); got != want {
		t.Errorf("by name: %q, want %q", got, want)
	}
	var one bytes.Buffer
	if _, err := open(t, file).Isolate(context.Background(), &one, Selection{Layers: []int{1}}, nil); err != nil {
		t.Fatal(err)
	}
	if got, want := fold(pageContent(t, one.Bytes(), 0)), testpdf.Marks("/OC /b BDC P2 EMC"); got != want {
		t.Errorf("by position: %q, want %q", got, want)
	}
}

// TestReport: what a report says of a small file.
func TestReport(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C", "D"}, OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R 8 0 R] /D <</OFF [7 0 R]>>>>",
		Pages: []testpdf.Page{
			{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 P3 EMC /X Do /Y Do /Y Do P4",
				Resources: "<</Properties <</A 5 0 R /B 6 0 R>> /XObject <</X 30 0 R /Y 31 0 R>>>>"},
			{Content: "/OC /B BDC P1 /Y Do EMC"},
			{Content: "/OC /B BDC BT /F 9 Tf 7 Tr (A) Tj ET 0 0 9 9 re W f EMC P1"},
			{Content: ""},
		},
		Objects: []testpdf.Object{
			testpdf.Form(30, "/OC 6 0 R", "P1 P2 P3"),
			testpdf.Form(31, "/Resources <</Properties <</B 6 0 R>> /Font <</G 29 0 R>>>>", "P1 /OC /B BDC BT /G 9 Tf (A) Tj ET P2 EMC BT 9 9 Td (A) Tj ET"),
		},
	})
	doc := open(t, file)
	var out bytes.Buffer
	report, err := doc.Isolate(context.Background(), &out, Selection{Layers: []int{0}, Unchanged: []int{2}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	now := func(was int) int { return report.Objects[was] }
	want := &Report{
		Kept:      []ReportedLayer{{Object: 5, Name: "A", Now: now(5), On: true}},
		Unchanged: []ReportedLayer{{Object: 7, Name: "C", Now: now(7)}},
		Removed:   []ReportedLayer{{Object: 6, Name: "B"}, {Object: 8, Name: "D"}},
		// Page 1: A, P4 and two in each drawing of Y stay; P2, P3, the form X,
		// and two in each drawing of Y go.
		Pages:   []PageReport{{Page: 1, Kept: 6, Removed: 7}, {Page: 2, Removed: 2}, {Page: 3, Kept: 1, Removed: 2}, {Page: 4}},
		Squares: []TestSquare{},
		Others:  map[string]int{"form": 1}, // X
		Residue: []Residue{{Page: 1, Kind: "state", Name: "G"}, {Page: 3, Kind: "text clip"}, {Page: 3, Kind: "clip"}, {Page: 3, Kind: "state", Name: "F"}},
		Objects: report.Objects,
	}
	inAnyOrder := cmpopts.SortSlices(func(a, b Residue) bool { return fmt.Sprint(a) < fmt.Sprint(b) })
	if diff := cmp.Diff(want, report, inAnyOrder, cmpopts.IgnoreUnexported(Report{})); diff != "" {
		t.Errorf("-want +got\n%s", diff)
	}
	if diff := cmp.Diff([]int{2}, report.EmptyPages()); diff != "" {
		t.Errorf("empty pages: -want +got\n%s", diff)
	}
	if now(5) == 0 || now(7) == 0 || now(6) != 0 || now(30) != 0 {
		t.Errorf("numbers %v", report.Objects)
	}
}

// TestUnknownWidth: text that goes and is followed by text that stays, in a
// font whose widths are unknown, is refused; anywhere else it just goes
// (9.4.4).
func TestUnknownWidth(t *testing.T) {
	// A composite font without the CMap that its encoding names.
	const font = "/Font <</F 29 0 R /U <</Type /Font /Subtype /Type0 /Encoding /No-Such-CMap /DescendantFonts [<</Subtype /CIDFontType2>>]>>>>"
	for _, c := range []struct {
		name, content string
		refused       bool
	}{
		{"followed by text", "BT /U 9 Tf /OC /B BDC (ab) Tj EMC /F 9 Tf (A) Tj ET", true},
		{"followed by adjusted text", "BT /U 9 Tf /OC /B BDC [(ab) 3] TJ EMC /F 9 Tf [(A)] TJ ET", true},
		{"in a form", "/X Do", true},
		{"followed by a move", "BT /U 9 Tf /OC /B BDC (ab) Tj EMC /F 9 Tf 9 9 Td (A) Tj ET", false},
		{"followed by a new line", "BT /U 9 Tf /OC /B BDC (ab) Tj EMC /F 9 Tf (A) ' ET", false},
		{"followed by the end", "BT /U 9 Tf /OC /B BDC (ab) Tj EMC ET BT /F 9 Tf (A) Tj ET", false},
		{"followed by hidden text", "BT /U 9 Tf /OC /B BDC (ab) Tj (cd) Tj EMC ET", false},
		{"empty", "BT /U 9 Tf /OC /B BDC () Tj EMC /F 9 Tf (A) Tj ET", false},
		{"in a layer that stays", "BT /U 9 Tf /OC /A BDC (ab) Tj EMC /F 9 Tf (A) Tj ET", false},
		{"no font at all", "BT /OC /B BDC (ab) Tj EMC /F 9 Tf (A) Tj ET", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc := open(t, testpdf.Build(testpdf.Doc{
				Groups:  []string{"A", "B"},
				Pages:   []testpdf.Page{{}, {Content: c.content, Resources: "<<" + properties3 + font + " /XObject <</X 30 0 R>>>>"}},
				Objects: []testpdf.Object{testpdf.Form(30, "", "BT /U 9 Tf /OC /B BDC (ab) Tj EMC /F 9 Tf (A) Tj ET")},
			}))
			report, err := doc.Isolate(context.Background(), io.Discard, Selection{Layers: []int{0}}, nil)
			var unknown *UnknownWidthError
			if errors.As(err, &unknown) != c.refused || (err != nil) != c.refused || (report == nil) != c.refused {
				t.Errorf("error %v, report there: %t", err, report != nil)
			}
			if err != nil && !strings.Contains(err.Error(), "page 2") {
				t.Errorf("the error %q does not name the page", err)
			}
		})
	}
}

// TestDisplacements: positions of what stays after hidden text, where it is
// not in the table of content cases (9.3.6, 9.4.4). What is wanted is what
// shows or moves text, in order.
func TestDisplacements(t *testing.T) {
	for _, c := range []struct{ name, content, want string }{
		{"hidden text before hidden text that clips", "/OC /B BDC BT /F 10 Tf 5 20 Td (W) Tj 7 Tr (AV) Tj ET EMC P1", "[-944] TJ (AV) Tj"},
		{"hidden text that clips before visible text", "BT /F 10 Tf 7 Tr 5 20 Td /OC /B BDC (W) Tj EMC (A) Tj ET P1", "(W) Tj (A) Tj"},
		{"hidden text between hidden text that clips", "/OC /B BDC BT /F 10 Tf 7 Tr (V) Tj 0 Tr (W) Tj 7 Tr (A) Tj ET EMC P1", "(V) Tj [-944] TJ (A) Tj"},
		{"text that clips on the next line", "/OC /B BDC BT /F 10 Tf 9 TL 4 Tr (W) Tj 1 2 (A) \" ET EMC P1", "(W) Tj 1 2 (A) \""},
		{"numbers alone", "BT /F 10 Tf /OC /B BDC [-500] TJ EMC (A) Tj ET", "[-500] TJ (A) Tj"},
		{"there and back", "BT /F 10 Tf /OC /B BDC [(a) 556] TJ EMC (A) Tj ET", "(A) Tj"},
		{"font set by gs", "BT /G gs /OC /B BDC (a) Tj EMC (A) Tj ET", "[-556] TJ (A) Tj"},
		{"visible text in between", "BT /F 10 Tf /OC /B BDC (a) Tj EMC /OC /A BDC (A) Tj EMC /OC /B BDC (i) Tj EMC (A) Tj ET", "[-556] TJ (A) Tj [-222] TJ (A) Tj"},
		{"q inside a text object", "BT /F 10 Tf q 2 Tc Q /OC /B BDC (a) Tj EMC (A) Tj ET", "[-556] TJ (A) Tj"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out := isolated(t, testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{
				Content: c.content, Resources: "<<" + properties3 + "/Font <</F 29 0 R>> /ExtGState <</G <</Font [29 0 R 10]>>>>>>",
			}}}, "A")
			var got []string
			data := []byte(out.data(0, "Contents"))
			var op content.Operation
			for scan := content.NewScanner(data); scan.Next(&op); {
				if op.Op.Class() == content.ClassTextShow {
					got = append(got, string(data[op.Start:op.End]))
				}
			}
			if got := strings.Join(got, " "); got != c.want {
				t.Errorf("got %q\nwant %q in %q", got, c.want, data)
			}
		})
	}
}

// TestSizeZeroSetByGS: in size 0 a displacement can only be written in another
// size of the font; a font that gs sets has no name to write, so the page is
// refused or kept exact otherwise, but never given an operator without its
// operand.
func TestSizeZeroSetByGS(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{
		Content:   "BT /G gs 2 Tc /OC /B BDC (a) Tj EMC (A) Tj ET",
		Resources: "<<" + properties3 + "/ExtGState <</G <</Font [29 0 R 0]>>>>>>",
	}}}))
	var out bytes.Buffer
	if _, err := doc.Isolate(context.Background(), &out, Selection{Layers: []int{0}}, nil); err != nil {
		return
	}
	if got := fold(pageContent(t, out.Bytes(), 0)); strings.Contains(got, "2 Tc 1 Tf") {
		t.Errorf("a Tf without a font: %q", got)
	}
}

// TestNoResidue: what is drawn with something of a removed layer is refused
// where nothing of it may stay, and nothing is written.
func TestNoResidue(t *testing.T) {
	for _, c := range []struct {
		name, content string
		want          string // part of the error, "" for none
	}{
		{"nothing is shared", "/OC /A BDC P1 EMC /OC /B BDC q 0 0 9 9 re W n /F 9 Tf P2 Q EMC P3", ""},
		{"a font", "/OC /B BDC BT /F 9 Tf (A) Tj ET EMC BT (B) Tj ET", "the resource F (page 1)"},
		{"a clipping path", "/OC /B BDC 0 0 9 9 re W n EMC P1", "a clipping path (page 1)"},
		{"glyphs", "/OC /B BDC BT /F 9 Tf 7 Tr (A) Tj ET EMC P1", "text that clips (page 1)"},
		{"many", strings.Repeat("q /OC /B BDC 0 0 9 9 re W n EMC P1 Q ", 9), "and 4 more"},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: c.content}}}))
			sel, opt := Selection{Layers: []int{0}}, &IsolateOptions{NoResidue: true}
			var out bytes.Buffer
			_, err := doc.Isolate(context.Background(), &out, sel, opt)
			var refused *ResidueError
			if c.want == "" {
				if err != nil {
					t.Error(err)
				} else if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, opt); err != nil {
					t.Error(err)
				}
				return
			}
			if !errors.As(err, &refused) || !strings.Contains(err.Error(), c.want) || out.Len() > 0 {
				t.Errorf("%d bytes written, error %v, want one with %q", out.Len(), err, c.want)
			}
			if _, err := doc.Isolate(context.Background(), &out, sel, nil); err != nil {
				t.Fatal(err)
			}
			if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, opt); !errors.As(err, &refused) {
				t.Errorf("a result with residue is verified: %v", err)
			}
		})
	}
}

// TestProgress: a step begins with 0 and ends with all; what a callback does
// to the context ends the work.
func TestProgress(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{
		{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}, {Content: "/OC /B BDC P2 EMC"},
	}}))
	var got []Progress
	opt := &IsolateOptions{Progress: func(p Progress) { got = append(got, p) }}
	sel := Selection{Layers: named(doc, "A")}
	var out bytes.Buffer
	if _, err := doc.Isolate(ctx, &out, sel, opt); err != nil {
		t.Fatal(err)
	}
	if err := Verify(ctx, bytes.NewReader(out.Bytes()), doc, sel, opt); err != nil {
		t.Fatal(err)
	}
	want := []Progress{
		{Step: "isolate", Page: 0, Pages: 2}, {Step: "isolate", Page: 1, Pages: 2}, {Step: "isolate", Page: 2, Pages: 2},
		{Step: "verify", Page: 0, Pages: 4}, {Step: "verify", Page: 1, Pages: 4}, {Step: "verify", Page: 2, Pages: 4},
		{Step: "verify", Page: 3, Pages: 4}, {Step: "verify", Page: 4, Pages: 4},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	opt.Progress = func(Progress) { cancel() }
	if _, err := doc.Isolate(ctx, &bytes.Buffer{}, sel, opt); err == nil {
		t.Error("a cancelled context does not end isolating")
	}
}
