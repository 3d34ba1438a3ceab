package layers

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"runtime"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// surveyFiles are files of many pages, with forms, texts and squares.
func surveyFiles() map[string][]byte {
	files := map[string][]byte{"sheets": sheets(20), "every place": testpdf.Build(plant(planting()...))}
	for seed := range uint64(6) {
		files[fmt.Sprintf("random %d", seed)], _ = random(seed)
	}
	return files
}

// TestSurveyCores: what Inspect and Lines tell does not depend on the number of
// cores.
func TestSurveyCores(t *testing.T) {
	for name, file := range surveyFiles() {
		doc := open(t, file)
		var first string
		for _, cores := range []int{1, 8, 2} {
			got := surveyed(t, cores, doc)
			if first == "" {
				first = got
			}
			if diff := cmp.Diff(first, got); diff != "" {
				t.Errorf("%s: on %d cores (-one +more):\n%s", name, cores, diff)
			}
		}
	}
}

func surveyed(t *testing.T, cores int, doc *Document) string {
	t.Helper()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	ctx := context.Background()
	things, err := doc.Inspect(ctx)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := doc.Lines(ctx)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", " ")
	for _, v := range []any{things, things.Shown, lines} {
		if err := enc.Encode(v); err != nil {
			t.Fatal(err)
		}
	}
	return b.String()
}

// TestSurveyBudget: the pages have the operations that would be left for them
// if they were read one after another, wherever the budget ends, and the survey
// ends there.
func TestSurveyBudget(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(8))
	doc := open(t, sheets(12))
	ctx := context.Background()
	for _, budget := range []int{0, 1, 449, 450, 451, 3_000, 10_000, 25_000, 1_000_000} {
		var want, got []string
		word := func(f *findings) string {
			text, err := json.Marshal(f.uses)
			return fmt.Sprint(f.page, f.count, string(text), f.err, err)
		}
		one := newSurvey(ctx, doc.file, aims{uses: true})
		left := budget
		for _, p := range doc.file.PDF.Pages() {
			f := one.page(p, left)
			if want = append(want, word(f)); f.err != nil {
				break
			}
			left -= f.count
		}
		all := newSurvey(ctx, doc.file, aims{uses: true})
		all.left = budget
		warnings, err := all.pages(func(f *findings) error {
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

// TestSurveyEnds with the context's error.
func TestSurveyEnds(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	doc := open(t, sheets(8))
	n := 0
	_, err := newSurvey(ctx, doc.file, aims{uses: true}).pages(func(*findings) error {
		if n++; n == 3 {
			stop()
		}
		return nil
	})
	if err != context.Canceled || n != 3 {
		t.Errorf("%v after %d pages", err, n)
	}
}
