package layers

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// scaledFile draws squares of 2 in, of a part of that, each in a section of a
// layer.
func scaledFile(part float64, layers ...string) []byte {
	var content strings.Builder
	for i, l := range layers {
		fmt.Fprintf(&content, "/OC /%s BDC q 1 0 0 1 %d 300 cm 0 0 %.4[3]f %.4[3]f re S Q %s EMC ", l, 300*(i+1), 144*part, at(float64(300*(i+1)+10), 340, "2 in"))
	}
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C"},
		Pages: []testpdf.Page{
			{Entries: "/MediaBox [0 0 2000 2000]", Content: "0 0 m 9 9 l S"},
			{Entries: "/MediaBox [0 0 2000 2000]", Content: content.String()},
		},
	})
}

// TestScale: the report holds the test squares that stay, and warns where the
// drawing is not of true size, and where nothing is left to measure.
func TestScale(t *testing.T) {
	const gone, untrue = "went with the rest", "not of true size"
	for _, c := range []struct {
		name   string
		file   []byte
		keep   []string
		stay   int
		warned []string
	}{
		{"it stays", scaledFile(1, "A"), []string{"A"}, 1, nil},
		{"it goes", scaledFile(1, "A"), []string{"B"}, 0, []string{`the test squares (layer "A") ` + gone}},
		{"one of two stays", scaledFile(1, "A", "B"), []string{"B"}, 1, nil},
		{"both go", scaledFile(1, "A", "B"), []string{"C"}, 0, []string{`the test squares (layer "A") ` + gone}},
		{"not true", scaledFile(0.94, "A"), []string{"A"}, 1, []string{untrue}},
		{"not true, and goes", scaledFile(0.94, "A"), []string{"B"}, 0, []string{untrue, gone}},
		{"all layers stay", scaledFile(0.94, "A"), []string{"A", "B", "C"}, 1, []string{untrue}},
		{"there is none", scaledFile(1), []string{"A"}, 0, nil},
	} {
		_, r := isolateNamed(t, c.file, c.keep...)
		if len(r.Squares) != c.stay || r.Squares == nil {
			t.Errorf("%s: %d squares stay, want %d", c.name, len(r.Squares), c.stay)
		}
		for _, s := range r.Squares {
			if s.Page != 2 {
				t.Errorf("%s: a square on page %d", c.name, s.Page)
			}
		}
		if len(r.Warnings) != len(c.warned) {
			t.Errorf("%s: warnings %v", c.name, r.Warnings)
			continue
		}
		for i, w := range r.Warnings {
			if !strings.Contains(w.Text, c.warned[i]) {
				t.Errorf("%s: the warning %q does not say %q", c.name, w.Text, c.warned[i])
			}
		}
	}
}

// TestScaleAgain: the second output of a document tells the same.
func TestScaleAgain(t *testing.T) {
	doc := open(t, scaledFile(0.94, "A", "B"))
	for range 2 {
		for position, stay := range []int{1, 1, 0} {
			var out strings.Builder
			r, err := doc.Isolate(t.Context(), &out, Selection{Layers: []int{position}}, nil)
			if err != nil {
				t.Fatal(err)
			}
			untrue := slices.IndexFunc(r.Warnings, func(w Warning) bool { return strings.Contains(w.Text, "true size") })
			if len(r.Squares) != stay || untrue != 0 {
				t.Errorf("layer %d: %d squares, warnings %v", position, len(r.Squares), r.Warnings)
			}
		}
	}
}

// TestScaleTooMuch: where the pages draw more than can be searched, whatever
// came before, nothing is said of squares, and the result is there.
func TestScaleTooMuch(t *testing.T) {
	d := testpdf.Doc{
		Groups: []string{"A", "B"},
		Pages: []testpdf.Page{
			{Entries: "/MediaBox [0 0 2000 2000]", Content: "/OC /A BDC 300 300 144 144 re S EMC"},
			{Entries: "/MediaBox [0 0 2000 2000]", Resources: "<</XObject <</X 30 0 R>>>>", Content: "/OC /B BDC /X Do EMC /X Do"},
		},
	}
	for i := range 24 {
		d.Objects = append(d.Objects, testpdf.Form(30+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R>>>>", 31+i), "/X Do /X Do"))
	}
	d.Objects = append(d.Objects, testpdf.Form(54, "", "1 2 m 3 4 l S"))
	_, r := isolateNamed(t, testpdf.Build(d), "A")
	if len(r.Squares) != 0 {
		t.Errorf("%d squares", len(r.Squares))
	}
}
