package pattern_test

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/layers/warning"
	"github.com/sizeply/sizeply/sizes"
)

// A layer whose name may be a size of the print, but for a word of it, is asked about; where it may only
// be another size it is left out with a warning, and so is one that a word makes another size of a
// kept one. None of them is printed with every size.
func TestNamesInDoubt(t *testing.T) {
	names := []string{"Size 8", "Size 10", "Size 12", "Size 12 draped", "Size 10 curvy", "Text"}
	doc, err := layers.Open(context.Background(), bytes.NewReader(testpdf.Build(testpdf.Doc{Groups: names})), nil)
	if err != nil {
		t.Fatal(err)
	}
	chart := &sizes.Chart{Keep: []string{"Text"}}
	for _, label := range []string{"8", "10", "12"} {
		chart.Sizes = append(chart.Sizes, sizes.Size{Label: label})
	}
	for _, want := range []sizes.Want{{Labels: []string{"12"}}, {Labels: []string{"10"}, Above: 1}} {
		_, err := pattern.New(doc, chart).Choose(context.Background(), pattern.Want{Sizes: want})
		if !errors.As(err, new(*sizes.DoubtError)) {
			t.Errorf("%+v: %v, want a DoubtError", want, err)
		}
	}
	choice, err := pattern.New(doc, chart).Choose(context.Background(), of("10"))
	if err != nil {
		t.Fatal(err)
	}
	about := map[warning.Code][]string{}
	for _, w := range choice.Warnings {
		about[w.Code] = append(about[w.Code], w.About...)
	}
	want := map[warning.Code][]string{
		pattern.LayerInDoubt: {"Size 12 draped"}, pattern.VariantRemoved: {"Size 10 curvy"},
	}
	if diff := cmp.Diff(want, about); diff != "" {
		t.Errorf("warnings are about:\n%s", diff)
	}
	if sel := choice.Selection(); !slices.Equal(sel.Layers, []int{1, 5}) || len(sel.Unchanged) > 0 {
		t.Errorf("layers %v and %v stay, want those of size 10 and the text", sel.Layers, sel.Unchanged)
	}
}
