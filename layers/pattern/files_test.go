package pattern_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// TestChoiceInFiles chooses the first size of each of the layer lists, with the chart beside it or
// without, and wants every layer to be kept, removed or left as it is, as the table says; where a
// size is in doubt, or there is none, a file without a chart is refused.
func TestChoiceInFiles(t *testing.T) {
	for _, list := range testpdf.LayerLists(t, "../../testdata/files/layer-names.txt") {
		if len(list.Names) > 24 {
			t.Fatalf("%s: more layers than the builder takes", list.Why)
		}
		data := testpdf.Build(testpdf.Doc{Groups: textStrings(list.Names), Pages: []testpdf.Page{{Content: "P1"}}})
		doc, err := layers.Open(context.Background(), bytes.NewReader(data), nil)
		if err != nil {
			t.Fatal(err)
		}
		var chart *sizes.Chart
		if list.Labels != nil {
			chart = &sizes.Chart{}
			for _, label := range list.Labels {
				chart.Sizes = append(chart.Sizes, sizes.Size{Label: label})
			}
		}
		wanted, doubt := firstSize(list)
		choice, err := pattern.New(doc, chart).Choose(context.Background(),
			pattern.Want{Sizes: sizes.Want{Labels: []string{wanted}}})
		var none *pattern.NoSizesError
		if chart == nil && (doubt || wanted == "none") {
			if !errors.As(err, &none) {
				t.Errorf("%s: size %s: %v, want a NoSizesError", list.Why, wanted, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: size %s: %v", list.Why, wanted, err)
			continue
		}
		sel := choice.Selection()
		for i, is := range list.Are {
			want := "removed"
			switch is {
			case wanted, "keep":
				want = "kept"
			case "?", "!":
				want = "unchanged"
			}
			got := "removed"
			if slices.Contains(sel.Layers, i) {
				got = "kept"
			}
			if slices.Contains(sel.Unchanged, i) {
				got = strings.TrimPrefix(got+" unchanged", "removed ")
			}
			if got != want {
				t.Errorf("%s: size %s: %q is %s, want %s", list.Why, wanted, list.Names[i], got, want)
			}
		}
		var others []string
		for _, o := range choice.Pick.Others {
			others = append(others, "+"+o.Label)
		}
		if want := beyond(list); fmt.Sprint(others) != fmt.Sprint(want) {
			t.Errorf("%s: other sizes are %q, want %q", list.Why, others, want)
		}
	}
}

// textStrings marks names as UTF-8, as PDF 2.0 has it (ISO 32000-2, 7.9.2.2.1).
func textStrings(names []string) (marked []string) {
	for _, name := range names {
		marked = append(marked, "\ufeff"+name)
	}
	return marked
}

// firstSize is the first size that a list has, "none" for none, and whether a size is in doubt.
func firstSize(list testpdf.LayerList) (label string, doubt bool) {
	label = "none"
	for _, is := range list.Are {
		switch {
		case is == "!":
			doubt = true
		case label == "none" && is != "?" && is != "keep" && is[0] != '+':
			label = is
		}
	}
	return label, doubt
}

// beyond are the other sizes of a list, each once, in the order of the list.
func beyond(list testpdf.LayerList) (labels []string) {
	for _, is := range list.Are {
		if is[0] == '+' && !slices.Contains(labels, is) {
			labels = append(labels, is)
		}
	}
	return labels
}
