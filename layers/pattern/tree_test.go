package pattern_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// treeCases are lists of layers as viewers show them, each layer after those that it stands under,
// and what each is to the chart that the names tell.
var treeCases = []struct {
	why   string
	lines string // "above > layer = size", "?" for none, "!8" for what may be one, "+9" for another, and "keep"
}{
	{"pieces under sizes", "Size 8 = 8; Size 8 > Front = 8; Size 8 > Text = 8; Size 10 = 10; Size 10 > Front = 10; Doodle = ?"},
	{"sizes that are headings alone", "Size 8 > Front = 8; Size 8 > Back = 8; Size 10 > Front = 10; Size 10 > Back = 10"},
	{"sizes under a heading", "Sizes > Size 8 = 8; Sizes > Size 10 = 10; Shared > Text = keep; Shared > Doodle = ?"},
	{"sizes under pieces", "Front > 8 = 8; Front > 10 = 10; Back > 8 = 8; Back > 10 = 10; Back > Darts = ?"},
	{"lines of a size under it", "Size 8 = 8; Size 8 > Size 8 cut = 8; Size 8 > Notes = 8; Size 10 = 10; Size 10 > Notes = 10"},
	{"one size alone has something under it", "Size 8 = 8; Size 10 = 10; Size 10 > Doodle = ?"},
	{"one size under another", "Size 8 = 8; Size 8 > Size 10 = 10; Size 8 > Size 10 > Doodle = ?; Size 12 = 12; Size 12 > Sun = ?"},
	{"pieces under bare numbers", "34 > Front = 34; 34 > Back = 34; 36 > Front = 36; 38 > Front = 38; 38 > Back = 38"},
	{"cups above sizes", "B cup > 8 = !8; B cup > 10 = !10; D cup > 8 = !8; D cup > 10 = !10"},
	{"tall sizes under a heading", "8 = 8; 10 = 10; Tall > 8 = +tall size 8; Tall > 10 = +tall size 10"},
	{"an old drawing under a heading", "8 = 8; 10 = 10; OLD > 8 = !8; OLD > 10 = !10"},
	{"people above sizes", "Misses > 14 = !14; Misses > 16 = !16; Women > 14 = !14; Women > 16 = !16"},
	{"two views above sizes", "View A > 8 = 8; View A > 10 = 10; View B > 8 = 8; View B > 10 = 10"},
	{"garments of one pattern above sizes", "Brindle top > Size 8 = 8; Brindle top > Size 10 = 10; Brindle skirt > Size 8 = 8; Brindle skirt > Size 10 = 10"},
	{"sheets above sizes", "Sheet 1 > 8 = 8; Sheet 1 > 10 = 10; Sheet 2 > 8 = 8; Sheet 2 > 10 = 10"},
	{"a span above is no size", "Sizes 8-12 > Size 8 = 8; Sizes 8-12 > Size 10 = 10; Sizes 8-12 > Size 12 = 12; Sizes 8-12 > Doodle = ?"},
}

func TestTrees(t *testing.T) {
	for _, c := range treeCases {
		var found []layers.Layer
		var want []string
		for _, line := range strings.Split(c.lines, "; ") {
			path, is, _ := strings.Cut(line, " = ")
			names := strings.Split(path, " > ")
			last := len(names) - 1
			found = append(found, layers.Layer{Name: names[last], Parents: names[:last], Place: len(found) + 1, Object: len(found)})
			want = append(want, is)
		}
		chart := pattern.Draft(found).Chart
		for i, a := range pattern.Match(chart, found).Answers {
			got := strings.Join(a.Sizes, " ")
			switch a.Kind {
			case sizes.KindUnknown:
				got = "?"
				if len(a.Words) > 0 {
					got = "!" + strings.Join(a.May, " ")
				}
			case sizes.KindOther:
				got = "+" + a.Other
			case sizes.KindKeep:
				got = "keep"
			}
			if got != want[i] {
				t.Errorf("%s: %q under %q is %q (%s), want %q", c.why, a.Name, found[i].Parents, got, a.Reason, want[i])
			}
		}
	}
}

// A draft says that headings leave sizes in doubt.
func TestDraftUnderHeadings(t *testing.T) {
	under := func(heading, name string) layers.Layer { return layers.Layer{Name: name, Parents: []string{heading}} }
	for _, c := range []struct {
		found  []layers.Layer
		doubts int
	}{
		{[]layers.Layer{under("B cup", "8"), under("B cup", "10"), under("D cup", "8"), under("D cup", "10")}, 1},
		{[]layers.Layer{under("Front", "8"), under("Front", "10"), under("Back", "8"), under("Back", "10")}, 0},
	} {
		d := pattern.Draft(c.found)
		if len(d.Chart.Sizes) != 2 || len(d.Doubts) != c.doubts {
			t.Errorf("%v: %d sizes, doubts %v, want %d", c.found, len(d.Chart.Sizes), d.Doubts, c.doubts)
		}
	}
}

func ExampleMatch() {
	found := []layers.Layer{
		{Name: "Front", Parents: []string{"Size 8"}}, {Name: "Front", Parents: []string{"Size 10"}}, {Name: "Doodle"},
	}
	for _, a := range pattern.Match(pattern.Draft(found).Chart, found).Answers {
		fmt.Println(a.Kind, a.Sizes, a.Reason)
	}
	// Output:
	// size [8] stands under "Size 8", which has the form of names with the label "8"
	// size [10] stands under "Size 10", which has the form of names with the label "10"
	// unknown [] says no size of the chart and is not listed in it
}
