package pdf

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/layers/failure"
)

// summary is what a test compares of a page.
type summary struct {
	Ref       Ref
	Resources Object
	Media     Rect
	Crop      Rect
	Rotate    int
	Unit      float64
}

func summaries(doc *Document) (list []summary) {
	for _, p := range doc.Pages() {
		list = append(list, summary{p.Ref, p.Resources, p.MediaBox, p.CropBox, p.Rotate, p.UserUnit})
	}
	return list
}

// a4 is what the pages of these tests have where nothing else is said.
var a4 = Rect{0, 0, 595, 842}

func TestPages(t *testing.T) {
	base := summary{Media: a4, Crop: a4, Unit: 1}
	at := func(ref Ref, change func(*summary)) summary {
		s := base
		if s.Ref = ref; change != nil {
			change(&s)
		}
		return s
	}
	tests := []struct {
		name string
		// objects are those from 2 on, the root of the page tree.
		objects []string
		want    []summary
		warning string
	}{
		{"two pages inherit a media box",
			[]string{"<</Type/Pages/Kids[3 0 R 4 0 R]/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(3, nil), at(4, nil)}, ""},
		{"Kids in an object of its own",
			[]string{"<</Type/Pages/Kids 4 0 R/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>", "[3 0 R]"},
			[]summary{at(3, nil)}, ""},
		{"no Type anywhere",
			[]string{"<</Kids[3 0 R]/MediaBox[0 0 595 842]>>", "<</Kids[4 0 R]/Parent 2 0 R>>", "<</Parent 3 0 R>>"},
			[]summary{at(4, nil)}, ""},
		{"one page is the whole tree",
			[]string{"<</Type/Page/MediaBox[0 0 595 842]>>"},
			[]summary{at(2, nil)}, ""},
		{"same page twice",
			[]string{"<</Kids[3 0 R 4 0 R 3 0 R]/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(3, nil), at(4, nil), at(5, nil)}, ""},
		{"a node leads back to the root",
			[]string{"<</Kids[3 0 R 2 0 R 4 0 R]/MediaBox[0 0 595 842]>>", "<</Kids[2 0 R 3 0 R]>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(4, nil)}, "met again"},
		{"a node under two parents",
			[]string{"<</Kids[3 0 R 3 0 R]/MediaBox[0 0 595 842]>>", "<</Kids[4 0 R]/Parent 2 0 R>>", "<</Type/Page/Parent 3 0 R>>"},
			[]summary{at(4, nil)}, "met again"},
		{"kids that are missing, direct or of another kind",
			[]string{"<</Kids[9 0 R null 7 4 0 R<</Type/Page/Parent 2 0 R>>3 0 R]/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>", "(x)"},
			[]summary{at(3, nil)}, "left out"},
		{"Count is too high",
			[]string{"<</Type/Pages/Kids[3 0 R]/Count 77/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(3, nil)}, "counts 77 pages and leads to 1"},
		{"Count is too low",
			[]string{"<</Type/Pages/Kids[3 0 R 4 0 R]/Count 1/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(3, nil), at(4, nil)}, "counts 1 pages and leads to 2"},
		{"kids that are missing and not counted",
			[]string{"<</Type/Pages/Kids[null 3 0 R 9 0 R]/Count 1/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(3, nil)}, "left out"},
		{"kids of other types, not counted",
			[]string{"<</Type/Pages/Kids[4 0 R 3 0 R 5 0 R]/Count 1/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>",
				"<</Type/OCG/Name(A)>>", "<</Type/Pages/Contents 3 0 R>>"},
			[]summary{at(3, nil)}, `of the type "OCG"`},
		{"a page of another type",
			[]string{"<</Type/Pages/Kids[3 0 R]/Count 1/MediaBox[0 0 595 842]>>", "<</Type/Foo/Parent 2 0 R/Contents 4 0 R>>"},
			[]summary{at(3, nil)}, ""},
		{"the root says that it is a page",
			[]string{"<</Type/Page/Kids[3 0 R]/Count 1/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(3, nil)}, ""},
		{"nodes that are no objects of their own",
			[]string{"<</Type/Pages/Kids[<</Kids[3 0 R]>>null]/Count 1/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(3, nil)}, "left out"},
		{"the parent of a page is none",
			[]string{"<</Type/Pages/Kids[3 0 R]/Count 1>>", "<</Type/Page/Parent 4 0 R/MediaBox[0 0 595 842]>>", "<</Type/OCG>>"},
			[]summary{at(3, nil)}, "the parent of page 1 is not"},
		{"own attributes replace inherited ones (7.7.3.4)",
			[]string{"<</Kids[3 0 R 4 0 R]/MediaBox[0 0 595 842]/CropBox[0 0 9 9]/Rotate 90/Resources 5 0 R>>",
				"<</Type/Page/Parent 2 0 R>>", "<</Type/Page/Parent 2 0 R/MediaBox[0 0 50 60]/CropBox[0 0 20 30]/Rotate 0/Resources<</A 1>>>>", "<<>>"},
			[]summary{
				at(3, func(s *summary) { s.Crop, s.Rotate, s.Resources = Rect{0, 0, 9, 9}, 90, Ref(5) }),
				at(4, func(s *summary) {
					s.Media, s.Crop, s.Resources = Rect{0, 0, 50, 60}, Rect{0, 0, 20, 30}, Dict{"A": Integer(1)}
				}),
			}, ""},
		{"corners in another order (7.9.5), in objects of their own",
			[]string{"<</Kids[3 0 R]>>", "<</Type/Page/Parent 2 0 R/MediaBox 4 0 R>>", "[595 5 0 R 0 0]", "842"},
			[]summary{at(3, nil)}, ""},
		{"crop box is cut to the media box (14.11.2)",
			[]string{"<</Kids[3 0 R]/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R/CropBox[-10 10.5 999 20]>>"},
			[]summary{at(3, func(s *summary) { s.Crop = Rect{0, 10.5, 595, 20} })}, ""},
		{"crop box outside the media box",
			[]string{"<</Kids[3 0 R]/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R/CropBox[1000 0 1100 10]>>"},
			[]summary{at(3, nil)}, "crop box outside"},
		{"no media box",
			[]string{"<</Kids[3 0 R]>>", "<</Type/Page/Parent 2 0 R>>"},
			[]summary{at(3, func(s *summary) { s.Media, s.Crop = usLetter, usLetter })}, "US Letter"},
		{"media box of three numbers",
			[]string{"<</Kids[3 0 R]>>", "<</Type/Page/Parent 2 0 R/MediaBox[0 0 595]>>"},
			[]summary{at(3, func(s *summary) { s.Media, s.Crop = usLetter, usLetter })}, "US Letter"},
		{"broken media box does not replace an inherited one",
			[]string{"<</Kids[3 0 R]/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R/MediaBox[0 0 0 0]/CropBox[/A]>>"},
			[]summary{at(3, nil)}, ""},
		{"rotation below zero and past a turn",
			[]string{"<</Kids[3 0 R 4 0 R]/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R/Rotate -90>>", "<</Type/Page/Parent 2 0 R/Rotate 450>>"},
			[]summary{at(3, func(s *summary) { s.Rotate = 270 }), at(4, func(s *summary) { s.Rotate = 90 })}, ""},
		{"rotation by no multiple of 90",
			[]string{"<</Kids[3 0 R]/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R/Rotate 45>>"},
			[]summary{at(3, nil)}, "rotation"},
		{"user unit is not inherited (Table 30)",
			[]string{"<</Kids[3 0 R 4 0 R]/UserUnit 3/MediaBox[0 0 595 842]>>", "<</Type/Page/Parent 2 0 R/UserUnit 2.5>>", "<</Type/Page/Parent 2 0 R/UserUnit 0>>"},
			[]summary{at(3, func(s *summary) { s.Unit = 2.5 }), at(4, nil)}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := source{objects: append([]string{catalog}, tt.objects...)}
			doc := open(t, s.bytes())
			if diff := cmp.Diff(tt.want, summaries(doc)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			for i, p := range doc.Pages() {
				if p.Number != i+1 || p.Dict == nil {
					t.Errorf("page %d has number %d, dictionary %v", i+1, p.Number, p.Dict)
				}
			}
			if tt.warning == "" && len(doc.Warnings()) > 0 || !hasWarning(doc, tt.warning) && tt.warning != "" {
				t.Errorf("warnings %q, want %q", doc.Warnings(), tt.warning)
			}
			checkRewrite(t, doc)
		})
	}
}

// TestPageTreeMended: what is written has a page tree that needs no mending, which
// qpdf 11.3 warns of, or MuPDF and PDFium draw no further than, where it does.
func TestPageTreeMended(t *testing.T) {
	s := source{objects: []string{
		"<</Type/Catalog/Pages<</Kids[3 0 R<</Kids[null 4 0 R]>>5 0 R]>>>>", "7",
		"<</MediaBox[0 0 9 9]>>", "<</Type/Foo/MediaBox[0 0 9 9]>>", "<</Kids[6 0 R]/Parent 3 0 R>>",
		"<</Type/Page/Parent 4 0 R/MediaBox[0 0 9 9]>>",
	}}
	data, _ := write(t, open(t, s.bytes()).Edit())
	doc := open(t, data)
	root, _ := doc.Root()
	top := AsDict(doc, root["Pages"])
	kids := AsArray(doc, top["Kids"])
	if len(kids) != 3 || AsInt(doc, top["Count"], 0) != 3 || len(doc.Pages()) != 3 || len(doc.Warnings()) > 0 {
		t.Fatalf("the tree is %v with %d pages, warnings %q", top, len(doc.Pages()), doc.Warnings())
	}
	for i, node := range []Dict{top, AsDict(doc, kids[1]), AsDict(doc, kids[2])} {
		want := []int{3, 1, 1}[i]
		if AsInt(doc, node["Count"], 0) != want || node["Type"] != Name("Pages") {
			t.Errorf("node %d is %v", i, node)
		}
	}
	for _, p := range doc.Pages() {
		if p.Dict["Type"] != Name("Page") {
			t.Errorf("page %d is %v", p.Number, p.Dict)
		}
	}
	if _, last := AsDict(doc, kids[2]), doc.Pages()[2]; last.Dict["Parent"] != kids[2] {
		t.Errorf("the parent of the last page is %v, not %v", last.Dict["Parent"], kids[2])
	}
}

// TestPageTreeRefused: a page that the tree counts and that cannot be read is a
// page of the pattern that is missing. Renderers draw such files up to there, or
// with an empty page in its place.
func TestPageTreeRefused(t *testing.T) {
	const good = "<</Type/Page/MediaBox[0 0 9 9]>>"
	for _, tt := range []struct{ name, kids, four string }{
		{"leads to nothing", "3 0 R 9 0 R", good},
		{"null", "3 0 R null", good},
		{"a number", "3 0 R 4 0 R", "7"},
		{"it cannot be read", "3 0 R 4 0 R", "<</Type/Page/A(x"},
		{"a stream", "3 0 R 4 0 R", stream("/Type/Page", "q")},
		{"no object of its own", "3 0 R" + good, good},
		{"a group", "3 0 R 4 0 R", "<</Type/OCG/Name(A)>>"},
		{"a node without kids", "3 0 R 4 0 R", "<</Type/Pages/MediaBox[0 0 9 9]>>"},
		{"a node whose kids are no list", "3 0 R 4 0 R", "<</MediaBox[0 0 9 9]/Kids/Pages>>"},
		{"both page and node", "3 0 R 4 0 R", "<</Type/Page/Contents 9 0 R/Kids[3 0 R]>>"},
		{"the root again", "3 0 R 2 0 R", good},
		{"a node twice", "4 0 R 4 0 R", "<</Type/Pages/Kids[3 0 R]/Count 1>>"},
	} {
		s := source{objects: []string{catalog, "<</Type/Pages/Count 2/Kids[" + tt.kids + "]>>", good, tt.four}}
		_, err := OpenBytes(context.Background(), s.bytes(), Options{})
		var broken *failure.FormatError
		if !errors.As(err, &broken) || !strings.Contains(err.Error(), "counts 2 pages, of which 1 can be read") {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// TestInherited: what a page inherits is in doubt where its Parent is not the node
// that has it among its kids: Poppler 22.12 draws by what is on the way down, PDFium
// and MuPDF 1.21 by what is on the way up.
func TestInherited(t *testing.T) {
	const root, node = "<</Type/Pages/Kids[3 0 R]/MediaBox[0 0 9 9]/Rotate 90>>", "<</Type/Pages/Kids[4 0 R]/Parent 2 0 R>>"
	for _, tt := range []struct {
		name    string
		objects []string // from 2 on
		want    string   // what is in doubt, "" for nothing
	}{
		{"sound", []string{root, node, "<</Type/Page/Parent 3 0 R>>"}, ""},
		{"no parent", []string{root, node, "<</Type/Page>>"}, "MediaBox"},
		{"no parent, a box of its own", []string{root, node, "<</Type/Page/MediaBox[0 0 5 5]>>"}, "Rotate"},
		{"no parent, all its own", []string{root, node, "<</Type/Page/MediaBox[0 0 5 5]/Rotate 0>>"}, ""},
		{"past a node that has nothing", []string{root, node, "<</Type/Page/Parent 2 0 R>>"}, ""},
		{"its own parent", []string{root, node, "<</Type/Page/Parent 4 0 R>>"}, "MediaBox"},
		{"a node that is its own parent", []string{root, "<</Kids[4 0 R]/Parent 3 0 R>>", "<</Type/Page/Parent 3 0 R>>"}, "MediaBox"},
		{"a node without a parent", []string{root, "<</Type/Pages/Kids[4 0 R]>>", "<</Type/Page/Parent 3 0 R>>"}, "MediaBox"},
		{"a parent above the root", []string{
			"<</Type/Pages/Kids[3 0 R]/MediaBox[0 0 9 9]/Parent 5 0 R>>", node, "<</Type/Page/Parent 3 0 R>>", "<</Rotate 90>>",
		}, "Rotate"},
	} {
		s := source{objects: append([]string{catalog}, tt.objects...)}
		_, err := OpenBytes(context.Background(), s.bytes(), Options{})
		var broken *failure.FormatError
		if errors.As(err, &broken) != (tt.want != "") || broken != nil && !strings.Contains(broken.Reason, "has its "+tt.want) {
			t.Errorf("%s: %v, want %q in doubt", tt.name, err, tt.want)
		}
	}
}

// TestPagesDeep has a chain of nodes each inside the one before.
func TestPagesDeep(t *testing.T) {
	const depth = 20_000
	s := source{objects: []string{catalog}}
	for i := range depth {
		s.objects = append(s.objects, fmt.Sprintf("<</Kids[%d 0 R]>>", i+3))
	}
	s.objects = append(s.objects, "<</Type/Page/MediaBox[0 0 9 9]>>")
	if n := len(open(t, s.bytes()).Pages()); n != 1 {
		t.Errorf("%d pages", n)
	}
}

// TestPagesShared has nodes whose kids are all the next node twice, which
// would be 2 to the power of 40 pages.
func TestPagesShared(t *testing.T) {
	s := source{objects: []string{catalog}}
	for i := range 40 {
		s.objects = append(s.objects, "<</Kids["+strings.Repeat(fmt.Sprintf("%d 0 R ", i+3), 2)+"]>>")
	}
	s.objects = append(s.objects, "<</Type/Page/MediaBox[0 0 9 9]>>")
	if n := len(open(t, s.bytes()).Pages()); n != 2 {
		t.Errorf("%d pages, want those of the last node", n)
	}
}

func TestPageContent(t *testing.T) {
	cut := zlibbed(t, strings.Repeat("0 0 m\n", 100))
	src := objects{
		1: &Stream{Dict: Dict{}, Raw: []byte("q")},
		2: &Stream{Dict: Dict{"Filter": Name("FlateDecode")}, Raw: []byte(zlibbed(t, "10 w Q"))},
		3: Array{Ref(1), Ref(2)},
		4: Dict{},
		5: &Stream{Dict: Dict{"Filter": Name("FlateDecode")}, Raw: []byte("no zlib")},
		6: &Stream{Dict: Dict{"Filter": Name("FlateDecode")}, Raw: []byte(cut[:len(cut)-6])},
		7: &Stream{Dict: Dict{}},
	}
	tests := []struct {
		name     string
		contents Object
		want     string
		parts    []Span
		faults   int
	}{
		{"none", nil, "", nil, 0},
		{"reference to nothing", Ref(9), "", nil, 1},
		{"one stream", Ref(1), "q", []Span{{0, 1}}, 0},
		{"parts are joined by a newline (7.8.2)", Array{Ref(1), Ref(2)}, "q\n10 w Q", []Span{{0, 1}, {2, 8}}, 0},
		{"array in another object", Ref(3), "q\n10 w Q", []Span{{0, 1}, {2, 8}}, 0},
		{"same stream twice", Array{Ref(1), Ref(1)}, "q\nq", []Span{{0, 1}, {2, 3}}, 0},
		{"empty stream", Array{Ref(7), Ref(1)}, "\nq", []Span{{0, 0}, {1, 2}}, 0},
		{"missing, null and no stream", Array{Ref(9), nil, Ref(4), Ref(1)}, "q", []Span{{0, 1}}, 3},
		{"damaged beyond use", Array{Ref(5), Ref(1)}, "\nq", []Span{{0, 0}, {1, 2}}, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := PageContent(context.Background(), src, Dict{"Contents": tt.contents}, Limits{})
			if err != nil || string(got.Data) != tt.want || len(got.Faults) != tt.faults {
				t.Errorf("got %q, %q, %v", got.Data, got.Faults, err)
			}
			if diff := cmp.Diff(tt.parts, got.Parts); diff != "" {
				t.Errorf("parts (-want +got):\n%s", diff)
			}
		})
	}
	got, err := PageContent(context.Background(), src, Dict{"Contents": Ref(6)}, Limits{})
	if err != nil || !strings.HasPrefix(string(got.Data), "0 0 m\n0") || len(got.Faults) != 1 {
		t.Errorf("damaged in the middle: %q, %q, %v", got.Data, got.Faults, err)
	}
}

func TestPageContentErrors(t *testing.T) {
	src := objects{
		1: &Stream{Dict: Dict{}, Raw: []byte(strings.Repeat("q ", 50))},
	}
	var limit *failure.LimitError
	_, err := PageContent(context.Background(), src, Dict{"Contents": Ref(1)}, Limits{StreamBytes: 99})
	if !errors.As(err, &limit) || limit.Limit != failure.LimitStreamBytes || limit.Bound != 99 {
		t.Errorf("stream past its limit: %v", err)
	}
	_, err = PageContent(context.Background(), src, Dict{"Contents": slicesOf(Ref(1), 1000)}, Limits{PageBytes: 5000})
	if !errors.As(err, &limit) || limit.Limit != failure.LimitPageBytes || limit.Bound != 5000 {
		t.Errorf("one stream a thousand times: %v", err)
	}
	for filter, want := range map[Object]string{Name("Unheard"): "Unheard", 1: "no name", Name("DCTDecode"): "image"} {
		src[2] = &Stream{Dict: Dict{"Filter": filter}, Raw: []byte("q")}
		got, err := PageContent(context.Background(), src, Dict{"Contents": Ref(2)}, Limits{})
		if err != nil || len(got.Data) > 0 || len(got.Faults) != 1 || !strings.Contains(got.Faults[0], want) {
			t.Errorf("filter %v: %q, %q, %v", filter, got.Data, got.Faults, err)
		}
	}
}
