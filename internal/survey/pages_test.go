package survey

import (
	"context"
	"encoding/json"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// sheets is a document of many pages of three layers, which share a form.
func sheets(t *testing.T, pages int) *optional.Document {
	t.Helper()
	d := testpdf.Doc{Groups: []string{"A", "B", "C"}}
	for i := range pages {
		content := fmt.Sprintf("/OC /A BDC %d 2 3 4 re f EMC /OC /B BDC 1 %[1]d m 5 6 l S EMC /X Do ", i)
		d.Pages = append(d.Pages, testpdf.Page{Content: strings.Repeat(content, 50*(i+1)),
			Resources: "<</Properties <</A 5 0 R /B 6 0 R>> /XObject <</X 30 0 R>>>>"})
	}
	d.Objects = []testpdf.Object{testpdf.Form(30, "/Resources <</Properties <</C 7 0 R /B 6 0 R>>>>", "P5 /OC /B BDC P6 EMC")}
	doc, err := optional.Open(context.Background(), testpdf.Build(d), "", pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// TestBudget: the pages have the operations that would be left for them
// if they were read one after another, wherever the budget ends, and the survey
// ends there.
func TestBudget(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(8))
	doc := sheets(t, 12)
	ctx := context.Background()
	for _, budget := range []int{0, 1, 449, 450, 451, 3_000, 10_000, 25_000, 1_000_000} {
		var want, got []string
		word := func(f *findings) string {
			text, err := json.Marshal(f.uses)
			return fmt.Sprint(f.page, f.count, string(text), f.err, err)
		}
		one := newReader(ctx, doc, aims{uses: true})
		left := budget
		for _, p := range doc.PDF.Pages() {
			f := one.contents(p, left)
			if want = append(want, word(f)); f.err != nil {
				break
			}
			left -= f.count
		}
		warnings, err := newReader(ctx, doc, aims{uses: true}).all(budget, func(f *findings) error {
			got = append(got, word(f))
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("budget %d (-one after another +survey):\n%s", budget, diff)
		}
		if told := len(warnings) > 0; told != (len(want) < 12) {
			t.Errorf("budget %d: %d pages are read, warnings %v", budget, len(want), warnings)
		}
	}
}

// TestReaderEnds with the context's error.
func TestReaderEnds(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	doc := sheets(t, 8)
	n := 0
	_, err := newReader(ctx, doc, aims{uses: true}).all(maxOperations, func(*findings) error {
		if n++; n == 3 {
			stop()
		}
		return nil
	})
	if err != context.Canceled || n != 3 {
		t.Errorf("%v after %d pages", err, n)
	}
}
