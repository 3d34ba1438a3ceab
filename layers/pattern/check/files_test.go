package check

import (
	"slices"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/sizes"
)

// TestFindingsInFiles holds the layer lists against the charts beside them, or against what their
// names tell: a layer of a size, or one that every print needs, is not found unknown; a layer of
// another size, or one that names none, is.
func TestFindingsInFiles(t *testing.T) {
	for _, list := range testpdf.LayerLists(t, "../../../testdata/files/layer-names.txt") {
		f := testFile{Name: "file.pdf", Pages: 1}
		for i, name := range list.Names {
			f.Layers = append(f.Layers, testLayer{ID: i + 1, Name: name, Holds: []held{{Page: 1, Marks: 1}}})
		}
		var chart *sizes.Chart
		if list.Labels != nil {
			chart = &sizes.Chart{}
			for _, label := range list.Labels {
				chart.Sizes = append(chart.Sizes, sizes.Size{Label: label})
			}
		}
		res := Check(inspected([]testFile{f}, chart), chart)
		if slices.ContainsFunc(res.Findings, func(x Finding) bool { return x.ID == "no-sizes" }) {
			if label := firstSize(list); label != "" {
				t.Errorf("%s: no size is found, want %s", list.Why, label)
			}
			continue
		}
		for i, is := range list.Are {
			found := slices.ContainsFunc(res.Findings, func(x Finding) bool {
				return x.Layer == list.Names[i] && (x.ID == "layer-unknown" || x.ID == "layer-ambiguous")
			})
			if want := is == "?" || is == "!" || is[0] == '+'; found != want {
				t.Errorf("%s: %q, which is %q, is found unknown: %t", list.Why, list.Names[i], is, found)
			}
		}
	}
}

// firstSize is the first size of a list, "" for none.
func firstSize(list testpdf.LayerList) string {
	for _, is := range list.Are {
		if is != "?" && is != "!" && is != "keep" && is[0] != '+' {
			return is
		}
	}
	return ""
}
