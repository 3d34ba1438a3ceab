package sizes

import (
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// namedFiles are the layers of whole files, each with the chart beside it, nil for none.
func namedFiles(tb testing.TB) (lists []testpdf.LayerList, charts []*Chart) {
	tb.Helper()
	lists = testpdf.LayerLists(tb, "../testdata/files/layer-names.txt")
	for _, list := range lists {
		var chart *Chart
		if list.Labels != nil {
			chart = &Chart{}
		}
		for _, label := range list.Labels {
			chart.Sizes = append(chart.Sizes, Size{Label: label})
		}
		charts = append(charts, chart)
	}
	return lists, charts
}

// TestNamesOfFiles: what each layer of a file is, by a chart or by what the names alone tell.
func TestNamesOfFiles(t *testing.T) {
	files, charts := namedFiles(t)
	if len(files) < 60 {
		t.Errorf("%d files, want 60 at least", len(files))
	}
	for at, f := range files {
		t.Run(f.Why, func(t *testing.T) {
			chart, doubts := charts[at], map[int]Doubt{}
			if chart == nil {
				d := Draft(f.Names)
				chart = d.Chart
				for _, doubt := range d.Doubts {
					doubts[doubt.Position] = doubt
				}
			}
			for i, a := range chart.Match(f.Names).Answers {
				if got := standing(a, doubts[i]); got != f.Are[i] {
					t.Errorf("%q is %q (%s; %s), want %q", a.Name, got, a.Reason, doubts[i].Reason, f.Are[i])
				}
			}
		})
	}
}

// standing is what a layer is, as the table writes it.
func standing(a Answer, doubt Doubt) string {
	switch {
	case doubt.About == DoubtSize:
		return "!"
	case a.Kind == KindSize:
		return strings.Join(a.Sizes, " ")
	case a.Kind == KindOther:
		return "+" + a.Other
	case a.Kind == KindUnknown:
		return "?"
	}
	return a.Kind.String()
}

// TestNamesOfFilesInAnyOrder: turning the layers of a file round changes nothing.
func TestNamesOfFilesInAnyOrder(t *testing.T) {
	files, charts := namedFiles(t)
	for at, f := range files {
		turned := slices.Clone(f.Names)
		slices.Reverse(turned)
		chart, other := charts[at], charts[at]
		if chart == nil {
			chart, other = Draft(f.Names).Chart, Draft(turned).Chart
		}
		want, got := chart.Match(f.Names).Answers, other.Match(turned).Answers
		for i, a := range want {
			b := got[len(got)-1-i]
			if a.Kind != b.Kind || !slices.Equal(a.Sizes, b.Sizes) || a.Other != b.Other {
				t.Errorf("%s: %q is %s %q, and %s %q from the other end", f.Why, a.Name, a.Kind, a.Sizes, b.Kind, b.Sizes)
			}
		}
	}
}
