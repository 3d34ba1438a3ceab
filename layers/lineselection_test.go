package layers

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// A lineCase is a page's content before and after the lines of red (#ff0000) have
// gone; "=" says that the very bytes stay. Pn stands for a small painted square
// in black. The page has what lineResources says.
type lineCase struct {
	name, clause string
	content      string
	want         string
	text         bool // text and fills of red go too
}

const lineResources = "/Font <</F 29 0 R>> /ColorSpace <</Icc [/ICCBased 30 0 R] /Spot [/Separation /Cut /DeviceRGB 31 0 R] /Table [/Indexed /DeviceRGB 1 <000000FF0000>]>>" +
	" /ExtGState <</Thick <</LW 3>> /Dashed <</D [[3 1] 0]>>>> /XObject <</Line 40 0 R /Own 41 0 R /Nested 42 0 R /Mixed 43 0 R /Turned 44 0 R>>"

var lineObjects = []testpdf.Object{
	testpdf.Stream(30, "/N 3", "x"),
	testpdf.Obj(31, "<</FunctionType 2 /Domain [0 1] /C0 [1 1 1] /C1 [1 0 0] /N 1>>"),
	testpdf.Stream(40, "/Type /XObject /Subtype /Form /BBox [0 0 100 100]", "0 0 m 9 9 l S"),
	testpdf.Stream(41, "/Type /XObject /Subtype /Form /BBox [0 0 100 100]", "1 0 0 RG 0 0 m 9 9 l S 0 G 0 0 m 8 8 l S"),
	testpdf.Stream(42, "/Type /XObject /Subtype /Form /BBox [0 0 100 100] /Resources <</XObject <</Line 40 0 R>>>>", "/Line Do"),
	testpdf.Stream(43, "/Type /XObject /Subtype /Form /BBox [0 0 100 100]", "0 0 m 9 9 l S 0 0 m 7 7 l 7 0 l f"),
	testpdf.Stream(44, "/Type /XObject /Subtype /Form /BBox [0 0 100 100] /Matrix [0 2 -2 0 50 0]", "[2] 0 d 0 0 m 9 9 l S"),
}

var lineCases = []lineCase{
	{"a red line goes with its colour", "8.5.3.2", "1 0 0 RG 0 0 m 9 9 l S 0 G 1 1 m 8 8 l S", "0 G 1 1 m 8 8 l S", false},
	{"nothing is red", "", "0 0 1 RG 0 0 m 9 9 l S", "=", false},
	{"closed stroke", "8.5.3.1", "q 1 0 0 RG 0 0 m 9 9 l s Q P1", "P1", false},
	{"rectangle", "8.5.2.1", "q 1 0 0 RG 0 0 9 9 re S Q P1", "P1", false},
	{"fill and stroke lose the stroke", "8.5.3", "1 0 0 RG 0 0 9 9 re B P1", "0 0 9 9 re f P1", false},
	{"the same by the even-odd rule", "8.5.3", "1 0 0 RG 0 0 9 9 re B* P1", "0 0 9 9 re f* P1", false},
	{"closed first", "8.5.3", "1 0 0 RG 0 0 m 9 9 l 9 0 l b P1", "0 0 m 9 9 l 9 0 l f P1", false},
	{"closed first by the even-odd rule", "8.5.3", "1 0 0 RG 0 0 m 9 9 l 9 0 l b* P1", "0 0 m 9 9 l 9 0 l f* P1", false},
	{"a stroke around a red fill stays", "8.5.3", "1 0 0 rg 0 0 90 90 re B P1", "=", false},
	{"or loses the fill where fills go", "8.5.3", "1 0 0 rg 0 0 m 90 90 l 9 0 l b 0 g P1", "0 0 m 90 90 l 9 0 l s 0 g P1", true},
	{"both red", "8.5.3", "1 0 0 rg 1 0 0 RG 0 0 90 90 re B 0 g P1", "0 g P1", true},
	{"a red fill stays", "8.5.3.3", "1 0 0 rg 0 0 90 90 re f", "=", false},
	{"a red fill goes where fills do", "8.5.3.3", "q 1 0 0 rg 0 0 90 90 re f Q P1", "P1", true},
	{"a fill as thin as a line goes", "", "q 1 0 0 rg 0 0 90 1 re f Q P1", "P1", false},

	// Traps
	{"the same red as ICC profile", "8.6.5.5", "q /Icc CS 1 0 0 SC 0 0 m 9 9 l S Q P1", "P1", false},
	{"the same red as spot colour", "8.6.6.4", "q /Spot CS 0 0 m 9 9 l S Q P1", "P1", false},
	{"a tint of it is another", "8.6.6.4", "/Spot CS .2 SCN 0 0 m 9 9 l S", "=", false},
	{"the same red from a table", "8.6.6.3", "q /Table CS 1 SC 0 0 m 9 9 l S Q P1", "P1", false},
	{"the same red as CMYK", "10.3.5", "q 0 1 1 0 K 0 0 m 9 9 l S Q P1", "P1", false},
	{"any width", "8.4.3.2", "q 1 0 0 RG 5 0 0 5 0 0 cm 3 w 0 0 m 9 9 l S /Thick gs 0 0 m 9 9 l S Q P1", "P1", false},
	{"any dash and phase", "8.4.3.6", "q 1 0 0 RG [3 1] 2 d 0 0 m 9 9 l S /Dashed gs 0 0 m 9 9 l S Q P1", "P1", false},
	{"a path painted twice", "8.5.3", "1 0 0 RG 0 0 m 9 9 l S 0 0 1 RG 0 0 m 9 9 l S", "0 0 1 RG 0 0 m 9 9 l S", false},
	{"a clip made from a line stays", "8.5.4", "q 1 0 0 RG 0 0 50 50 re W S P1 Q P2", "q 0 0 50 50 re W n P1 Q P2", false},
	{"unless nothing is clipped", "8.5.4", "q 1 0 0 RG 0 0 50 50 re W S Q P2", "P2", false},
	{"a white line under a red one is another style", "", "1 G 5 w 0 0 m 9 9 l S 1 0 0 RG 1 w 0 0 m 9 9 l S", "1 G 5 w 0 0 m 9 9 l S", false},
	{"text outlines in red stay", "8.5.3.3", "1 0 0 rg 0 0 m 3 9 l 6 0 l 5 0 l f", "=", false},
	{"or go with text", "8.5.3.3", "q 1 0 0 rg 0 0 m 3 9 l 6 0 l 5 0 l f Q P1", "P1", true},
	{"a dark red is another", "", ".5 0 0 RG 0 0 m 9 9 l S", "=", false},
	{"almost the same red", "", "q .999 .001 0 RG 0 0 m 9 9 l S Q P1", "P1", false},

	// Text
	{"red text stays", "9.3.6", "BT /F 9 Tf 1 0 0 rg (14) Tj ET", "=", false},
	{"red text goes where text does", "9.3.6", "q BT /F 9 Tf 1 0 0 rg (14) Tj ET Q P1", "P1", true},
	{"red outlined text", "Table 106", "q BT /F 9 Tf 1 Tr 1 0 0 RG (14) Tj ET Q P1", "P1", true},
	{"half red text stays", "Table 106", "BT /F 9 Tf 2 Tr 1 0 0 RG (14) Tj ET", "=", true},
	{"invisible text stays", "Table 106", "BT /F 9 Tf 3 Tr 1 0 0 RG 1 0 0 rg (14) Tj ET", "=", true},
	{"text behind red text keeps its place", "9.4.4", "BT /F 10 Tf 1 0 0 rg (12) Tj 0 g ( 14) Tj ET", "BT /F 10 Tf 0 g [-1112] TJ ( 14) Tj ET", true},

	// Forms
	{"a form in red", "8.10.1", "q 1 0 0 RG /Line Do Q P1", "P1", false},
	{"a form drawn under two colours", "8.10.1", "1 0 0 RG /Line Do 0 0 1 RG /Line Do", "0 0 1 RG /Line Do", false},
	{"a form within a form under two colours", "8.10.1", "0 0 1 RG /Nested Do 1 0 0 RG /Nested Do 0 0 1 RG /Nested Do", "0 0 1 RG /Nested Do 0 0 1 RG /Nested Do", false},
	{"a form with a colour of its own", "8.10.1", "/Own Do /Own Do", "=", false},
	{"half of a form, under two colours", "8.10.1", "1 0 0 RG /Mixed Do 0 0 1 RG /Mixed Do", "1 0 0 RG /Mixed Do 0 0 1 RG /Mixed_2 Do", false},
	{"a form with a matrix", "8.10.1", "q 1 0 0 RG /Turned Do 0 1 -1 0 0 0 cm /Turned Do Q P1", "P1", false},
}

func (c lineCase) build() []byte {
	return testpdf.Build(testpdf.Doc{
		Pages:   []testpdf.Page{{Content: c.content, Resources: "<<" + lineResources + ">>"}},
		Objects: lineObjects,
	})
}

// selection takes out red.
func (c lineCase) selection(t testing.TB, doc *Document) Selection {
	t.Helper()
	return withoutSpec(t, doc, LineSpec{Colour: "#ff0000", Text: c.text})
}

func withoutSpec(t testing.TB, doc *Document, specs ...LineSpec) Selection {
	t.Helper()
	found, err := doc.Lines(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	m, err := MatchLines(found.Styles, specs)
	if err != nil {
		t.Fatal(err)
	}
	return Selection{Lines: m.Without(nil)}
}

func TestIsolateLines(t *testing.T) {
	for _, c := range lineCases {
		t.Run(c.name, func(t *testing.T) {
			doc := open(t, c.build())
			sel := c.selection(t, doc)
			if len(sel.Lines) == 0 {
				if c.want != "=" {
					t.Fatal("no style goes")
				}
				return
			}
			var out bytes.Buffer
			if _, err := doc.Isolate(context.Background(), &out, sel, nil); err != nil {
				t.Fatal(err)
			}
			if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, nil); err != nil {
				t.Error(err)
			}
			contentCase{content: c.content, clause: c.clause}.check(t, c.want, pageContent(t, out.Bytes(), 0))
		})
	}
}

// A form that is drawn under colours that all stay remains one.
func TestFormsStayOne(t *testing.T) {
	c := lineCase{content: "0 0 1 RG /Line Do 0 1 0 RG /Line Do 2 0 0 2 0 0 cm /Line Do 1 0 0 RG /Line Do"}
	doc := open(t, c.build())
	var out bytes.Buffer
	if _, err := doc.Isolate(context.Background(), &out, c.selection(t, doc), nil); err != nil {
		t.Fatal(err)
	}
	forms := 0
	now := open(t, out.Bytes())
	for _, ref := range now.file.PDF.Refs() {
		if st := pdf.AsStream(now.file.PDF, ref); st != nil && pdf.AsName(now.file.PDF, st.Dict["Subtype"]) == "Form" {
			forms++
		}
	}
	if diff := cmp.Diff(1, forms); diff != "" {
		t.Errorf("forms (-want +got):\n%s", diff)
	}
}

// Forms within each other that are drawn in ever more states are refused, not
// followed for ever.
func TestFormsWithoutEnd(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and each part of it runs in a lighter test")
	}
	const depth = 40
	var objects []testpdf.Object
	for i := range depth {
		content := "q 2 0 0 1 0 0 cm /Next Do Q q .8 .6 -.6 .8 0 0 cm /Next Do Q"
		if i == depth-1 {
			content = "1 0 0 RG 0 0 m 9 9 l S"
		}
		objects = append(objects, testpdf.Stream(100+i, fmt.Sprintf("/Subtype /Form /BBox [0 0 9 9] /Resources <</XObject <</Next %d 0 R>>>>", 101+i), content))
	}
	doc := open(t, testpdf.Build(testpdf.Doc{
		Pages:   []testpdf.Page{{Content: "1 0 0 RG 0 0 m 9 9 l S /Next Do", Resources: "<</XObject <</Next 100 0 R>>>>"}},
		Objects: objects,
	}))
	found, err := doc.Lines(context.Background())
	if err != nil || !found.Incomplete || !strings.Contains(found.Warnings[0].Text, "more than can be counted") {
		t.Fatalf("%v, %v", found.Warnings, err)
	}
	_, err = doc.Isolate(context.Background(), &bytes.Buffer{}, Selection{Lines: found.Styles[:1]}, nil)
	var limit *LimitError // of what all of it may draw, or of states
	if err == nil || !errors.As(err, &limit) && !strings.Contains(err.Error(), "different states") {
		t.Errorf("got %v", err)
	}
}

// FuzzIsolateLines: whatever the content, what Isolate writes without red passes
// Verify, has no red line left, and does not change any more; the document stays
// as it is.
func FuzzIsolateLines(f *testing.F) {
	for _, c := range lineCases {
		f.Add(c.content, c.text)
	}
	for _, c := range contentCases {
		f.Add("1 0 0 RG "+testpdf.Marks(c.content), true)
	}
	f.Fuzz(func(t *testing.T, content string, text bool) {
		c := lineCase{content: content, text: text}
		doc := open(t, c.build())
		spec := LineSpec{Colour: "#ff0000", Text: text}
		sel := withoutSpec(t, doc, spec)
		if len(sel.Lines) == 0 {
			return
		}
		once := isolateLines(t, doc, sel)
		if once == nil {
			return
		}
		now := open(t, once)
		left := withoutSpec(t, now, spec)
		if reds(left.Lines) > 0 {
			t.Errorf("red is left: %v", brief(left.Lines))
		}
		if len(left.Lines) == 0 {
			left.Lines = []LineStyle{}
		}
		if twice := isolateLines(t, now, left); twice != nil && pageContent(t, twice, 0) != pageContent(t, once, 0) {
			t.Errorf("isolated twice:\n got %q\nwant %q", pageContent(t, twice, 0), pageContent(t, once, 0))
		}
		if again := isolateLines(t, doc, sel); !bytes.Equal(once, again) {
			t.Error("the same selection gives other bytes the second time")
		}
	})
}

// reds counts the styles that are drawn whole: text in two colours may stay for
// the one that does.
func reds(styles []LineStyle) (n int) {
	for _, s := range styles {
		if s.Kind != ShownText {
			n++
		}
	}
	return n
}

// isolateLines isolates and verifies; it gives nil where widths are unknown or
// content is damaged.
func isolateLines(t *testing.T, doc *Document, sel Selection) []byte {
	t.Helper()
	var out bytes.Buffer
	_, err := doc.Isolate(context.Background(), &out, sel, nil)
	var unknown *UnknownWidthError
	var unreadable *UnreadableError
	if errors.As(err, &unknown) || errors.As(err, &unreadable) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, nil); err != nil {
		t.Error(err)
	}
	return out.Bytes()
}

// Styles that were not found in the file are refused: made by hand, read from JSON
// by themselves, or found in another file that looks the same.
func TestForeignStyles(t *testing.T) {
	c := lineCase{content: "1 0 0 RG 2.834646 w [28.34646 14.17323] 0 d 0 0 m 9 9 l S 0 g P1"}
	doc, other := open(t, c.build()), open(t, append(c.build(), '\n'))
	made := LineStyle{Kind: StrokedLine, Colour: "#ff0000", Opacity: 1, Width: 1, Cap: "butt", Dash: []float64{10, 5}}
	found := c.selection(t, doc).Lines
	data, err := json.Marshal(found)
	if err != nil {
		t.Fatal(err)
	}
	var read []LineStyle
	if err := json.Unmarshal(data, &read); err != nil {
		t.Fatal(err)
	}
	for name, lines := range map[string][]LineStyle{"made": {made}, "empty": {{}}, "read": read, "of another": c.selection(t, other).Lines} {
		var foreign *ForeignLineError
		sel := Selection{Lines: lines}
		if _, err := doc.Isolate(context.Background(), &bytes.Buffer{}, sel, nil); !errors.As(err, &foreign) {
			t.Errorf("%s: isolating gives %v", name, err)
		}
		if err := doc.Switch(context.Background(), &bytes.Buffer{}, sel); !errors.As(err, &foreign) {
			t.Errorf("%s: switching gives %v", name, err)
		}
		if _, err := doc.Bind(sel); !errors.As(err, &foreign) {
			t.Errorf("%s: binding gives %v", name, err)
		}
	}
	if again := open(t, c.build()); !bytes.Equal(isolateLines(t, again, Selection{Lines: found}), isolateLines(t, doc, Selection{Lines: found})) {
		t.Error("styles found in an equal file remove something else")
	}
}

// A bound selection goes through JSON and still chooses what it did, of this file
// and of no other.
func TestSelectionThroughJSON(t *testing.T) {
	c := lineCase{content: "1 0 0 RG .7 w [3.3 1] 0 d 0 0 m 9 9 l S 1 0 0 rg 0 0 90 1 re f 0 g P1"}
	subjects := map[string][]byte{"lines": c.build()}
	for seed := range randomSeeds() {
		subjects[fmt.Sprintf("random document %d", seed)] = testpdf.Random(seed).Bytes
	}
	for name, file := range subjects {
		doc := open(t, file)
		found, err := doc.Lines(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		for k := range uint64(3) {
			sel := randomSelection(k, len(doc.Layers()))
			r := rand.New(rand.NewPCG(k, 5))
			if sel.Lines = []LineStyle{}; k == 0 && len(doc.Layers()) > 0 {
				sel.Lines = nil
			}
			for _, l := range found.Styles {
				if sel.Lines != nil && r.IntN(2) == 0 {
					sel.Lines = append(sel.Lines, l)
				}
			}
			checkThroughJSON(t, name, doc, sel)
		}
	}
}

func checkThroughJSON(t *testing.T, name string, doc *Document, sel Selection) {
	t.Helper()
	if _, err := json.Marshal(sel); err == nil {
		t.Errorf("%s: a selection for any file is written", name)
	}
	bound, err := doc.Bind(sel)
	if err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(bound)
	if err != nil {
		t.Fatal(err)
	}
	var back Selection
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatalf("%v\n%s", err, data)
	}
	var want, got bytes.Buffer
	_, err = doc.Isolate(context.Background(), &want, sel, nil)
	_, errBack := doc.Isolate(context.Background(), &got, back, nil)
	if (err == nil) != (errBack == nil) || err == nil && !bytes.Equal(want.Bytes(), got.Bytes()) {
		t.Errorf("%s: errors %v and %v, %d and %d bytes", name, err, errBack, want.Len(), got.Len())
	}
	if a, b := key(t, doc, sel, nil), key(t, doc, back, nil); a != b {
		t.Errorf("%s: the key is %s, through JSON %s", name, a, b)
	}
	other := open(t, three())
	var wrong *WrongDocumentError
	if _, err := other.Isolate(context.Background(), &got, back, nil); !errors.As(err, &wrong) {
		t.Errorf("%s: another file takes the selection: %v", name, err)
	}
}

// writtenSelection is a selection as it is written; once a version is released, its
// form has to be read for good (see "Stability" in the package comment).
const writtenSelection = `{"document":"FINGERPRINT","layers":[],"unchanged":[],"lines":[{"kind":"line","colour":"#ff0000",` +
	`"name":"red","written":["RGB 1 0 0"],"opacity":1,"width":0.247,"cap":"butt","dash":[1.164,0.353],"phase":0,"marks":1,` +
	`"length":0.004490128060534577,"uses":[{"page":1,"marks":1,"bounds":{"left":0,"bottom":0,"right":9,"top":9}}],` +
	`"layers":[0],"layerLengths":[0.004490128060534577],"members":[{"kind":"stroke","colour":"#ff0000",` +
	`"opacity":100,"cap":0,"width":247,"dash":"1164 353"}]}]}`

// A selection that was written once, in this form, is read as what it was.
func TestWrittenSelection(t *testing.T) {
	c := lineCase{content: "1 0 0 RG .7 w [3.3 1] 0 d 0 0 m 9 9 l S 0 g P1"}
	doc := open(t, c.build())
	var sel Selection
	written := strings.Replace(writtenSelection, "FINGERPRINT", doc.Fingerprint(), 1)
	if err := json.Unmarshal([]byte(written), &sel); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(isolateLines(t, doc, sel), isolateLines(t, doc, c.selection(t, doc))) {
		t.Error("it removes something else")
	}
}

// Where all lines stay, a file without layers is written as it is.
func TestSelectionOfEveryLine(t *testing.T) {
	doc := open(t, lineCase{content: "1 0 0 RG 0 0 m 9 9 l S"}.build())
	sel := Selection{Lines: []LineStyle{}}
	if got := string(pageContent(t, isolateLines(t, doc, sel), 0)); !strings.Contains(got, "1 0 0 RG 0 0 m 9 9 l S") {
		t.Errorf("content %q", got)
	}
	if err := doc.Switch(context.Background(), &bytes.Buffer{}, sel); err != nil {
		t.Error(err)
	}
}

// One open document serves several at once, and stays as it is.
func TestLinesAtOnce(t *testing.T) {
	c := lineCase{content: "1 0 0 RG /Mixed Do 0 0 1 RG /Mixed Do /Spot CS 0 0 m 9 9 l S"}
	doc := open(t, c.build())
	want := isolateLines(t, doc, c.selection(t, doc))
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			if got := isolateLines(t, doc, c.selection(t, doc)); !bytes.Equal(got, want) {
				t.Error("other bytes than alone")
			}
		})
	}
	wait.Wait()
}

// What is found on a page goes from it, wherever its box begins and whatever its
// unit is.
func TestLinesOnAnyPage(t *testing.T) {
	for _, entries := range []string{"", "/UserUnit 3.3", "/MediaBox [-33.3 7.77 500 600] /CropBox [11.1 13.7 222.2 333.3]", "/Rotate 90 /UserUnit 1.7 /MediaBox [3 3 777 777]"} {
		c := lineCase{content: "q 1 0 0 rg 1 0 0 RG .33 .1 -.1 .33 3.3 4.4 cm 0 0 133.3 .77 re f 7 8 m 99 33 l S Q P1"}
		doc := open(t, testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: c.content, Entries: entries}}}))
		sel := c.selection(t, doc)
		contentCase{content: c.content}.check(t, "P1", pageContent(t, isolateLines(t, doc, sel), 0))
	}
}
