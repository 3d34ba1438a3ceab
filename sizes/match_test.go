package sizes

import (
	"encoding/json"
	"errors"
	"os"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// rankChart has lists of layers that get in each other's way.
func rankChart() *Chart {
	return &Chart{
		Sizes: []Size{
			{Label: "8", Layers: []string{"Cut line small", "Both", "Small*", "Shared ?", "8 [converted]", "Twelve"}},
			{Label: "10", Layers: []string{"Both", "*middle*", "Shared ?"}},
			{Label: "12", Layers: []string{"Small print", "[g-i]", "Size 99"}},
			{Label: "14"},
		},
		Drop: []string{"Background", "*old*", "Size 14 draft"},
		Keep: []string{"Text*", "Old maid", "*note*", "Size 14 *"},
	}
}

// The numbers are those of the rules of Match.
func TestMatchRules(t *testing.T) {
	cases := []struct{ name, want, rule, why string }{
		{"Cut line small", "8", "layers", "1: an entry of one size"},
		{"CUT  LINE small", "8", "layers", "1: names are folded"},
		{"Both", "8|10", "layers", "1: an entry of two sizes serves both"},
		{"Small print", "12", "layers", "1: a name beats the glob of another size"},
		{"8 [Converted]", "8", "layers", "1: an entry with brackets finds the name it spells out"},
		{"Size 99", "12", "layers", "1: whatever the name says"},
		{"Twelve", "8", "layers", "1: whatever the name says"},
		{"Smaller", "8", "layers", "2: a glob"},
		{"the middle one", "10", "layers", "2: a glob"},
		{"H", "12", "layers", "2: a class"},
		{"Shared 1", "8|10", "layers", "2: the same glob of two sizes serves both"},
		{"Small middle", "ambiguous 8|10", "layers", "2: different globs of two sizes"},
		{"Small old thing", "8", "layers", "2 before 3"},
		{"Background", "drop", "drop", "3: a name"},
		{"Old maid", "drop", "drop", "3: a glob of drop before a name of keep"},
		{"old note", "drop", "drop", "3 before 4"},
		{"Size 14 draft", "drop", "drop", "3 before 5"},
		{"Text and arrows", "keep", "keep", "4: a glob"},
		{"Size 14 front", "keep", "keep", "4 before 5"},
		{"14", "14", "label", "5: a size without layers"},
		{"Size 8", "8", "label", "5: a size with layers has its label as well"},
		{"8-14", "8|10|12|14", "label", "5: a span"},
		{"Grainline", "unknown", "none", "6"},
		{strings.Repeat("x", maxTextBytes+1), "unknown", "none", "6: too long for a name"},
	}
	chart := rankChart()
	for _, c := range cases {
		t.Run(c.why+"/"+c.name[:min(20, len(c.name))], func(t *testing.T) {
			a := chart.Match([]string{c.name}).Answers[0]
			if got := outcome(a); got != c.want || a.Rule.String() != c.rule || a.Reason == "" {
				t.Errorf("%q: %s by %s (%s), want %s by %s", c.name, got, a.Rule, a.Reason, c.want, c.rule)
			}
		})
	}
}

func TestMatchAnswersEachName(t *testing.T) {
	names := []string{"Size 14", "Text", "Size 14", "", "Text"}
	match := rankChart().Match(names)
	var got []string
	for i, a := range match.Answers {
		if a.Position != i {
			t.Errorf("answer %d has position %d", i, a.Position)
		}
		got = append(got, a.Name)
	}
	if diff := cmp.Diff(names, got); diff != "" {
		t.Error(diff)
	}
}

func TestMatchErr(t *testing.T) {
	if err := rankChart().Match([]string{"8", "nothing", "Text"}).Err(); err != nil {
		t.Errorf("error %v, want none", err)
	}
	err := rankChart().Match([]string{"8", "Small middle", "Middle of smalls", "smaller than the middle"}).Err()
	var e *AmbiguousError
	if !errors.As(err, &e) || len(e.Answers) != 2 {
		t.Fatalf("error %v, want an AmbiguousError with two answers", err)
	}
	want := `layer "Small middle" fits "Small*" in the layers of size "8" and "*middle*" in the layers of size "10"` +
		` (and 1 name more); name it in the layers of the size it belongs to, or under keep or drop`
	if diff := cmp.Diff(want, err.Error()); diff != "" {
		t.Error(diff)
	}
	wantClaims := []Claim{{Sizes: []string{"8"}, By: "Small*"}, {Sizes: []string{"10"}, By: "*middle*"}}
	if diff := cmp.Diff(wantClaims, e.Answers[0].Claims); diff != "" {
		t.Error(diff)
	}
}

// A chart filled by hand may have a glob that Check refuses.
func TestMatchWithBrokenGlob(t *testing.T) {
	c := &Chart{Sizes: []Size{{Label: "8", Layers: []string{"Eight ["}}}}
	match := c.Match([]string{"eight [", "Eight 1"})
	if got := outcome(match.Answers[0]) + " " + outcome(match.Answers[1]); got != "8 unknown" {
		t.Errorf("got %s, want 8 unknown", got)
	}
}

func TestAnswerJSON(t *testing.T) {
	match := rankChart().Match([]string{"Both", "Small middle"})
	got, err := json.Marshal(match)
	if err != nil {
		t.Fatal(err)
	}
	want := `{"answers":[` +
		`{"position":0,"name":"Both","kind":"size","rule":"layers","sizes":["8","10"],"reason":"is named in the layers of sizes \"8\" and \"10\""},` +
		`{"position":1,"name":"Small middle","kind":"ambiguous","rule":"layers","reason":"fits \"Small*\" in the layers of size \"8\" and \"*middle*\" in the layers of size \"10\"",` +
		`"claims":[{"sizes":["8"],"by":"Small*"},{"sizes":["10"],"by":"*middle*"}]}]}`
	if diff := cmp.Diff(want, string(got)); diff != "" {
		t.Error(diff)
	}
}

// The form of names may have a word that is no size word.
func TestMatchForm(t *testing.T) {
	c := &Chart{Sizes: []Size{{Label: "8"}, {Label: "10"}}, Names: "Layer {label} lines"}
	cases := []struct{ name, want, why string }{
		{"Layer 8 lines", "8", "the form"},
		{"LAYER  08 lines", "8", "the form, folded"},
		{"Layer 9 lines", "unknown", "not in the chart"},
		{"Layer 8", "unknown", "not the form"},
		{"Layer 8-10 lines", "unknown", "the form takes one label"},
		{"Size 10", "10", "the usual spellings hold beside it"},
	}
	for _, k := range cases {
		if got := outcome(c.Match([]string{k.name}).Answers[0]); got != k.want {
			t.Errorf("%q is %s, want %s: %s", k.name, got, k.want, k.why)
		}
	}
}

// What is quoted from a name is cut, so that a report stays readable.
func TestReasonsAreShort(t *testing.T) {
	for _, name := range []string{strings.Repeat("8-", 2000) + "8", strings.Repeat("9", 4000), strings.Repeat("size 8 (", 500)} {
		for _, a := range pickChart().Match([]string{name}).Answers {
			if len(a.Reason) > 8*maxQuote {
				t.Errorf("%.20q...: the reason has %d bytes", name, len(a.Reason))
			}
		}
	}
}

// The names of the demo patterns are all known to the demo chart.
func TestMatchDemoChart(t *testing.T) {
	file, err := os.Open("../testdata/charts/tollmere.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	c, err := Read(file, "tollmere.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, label := range c.Labels() {
		if got := outcome(c.Match([]string{"Size " + label}).Answers[0]); got != label {
			t.Errorf("Size %s is %s", label, got)
		}
	}
	want := map[string]string{"Text": "keep", "Grainline": "keep", "Notches": "keep", "Test squares": "keep", "Background": "drop"}
	for name, kind := range want {
		if got := outcome(c.Match([]string{name}).Answers[0]); got != kind {
			t.Errorf("%s is %s, want %s", name, got, kind)
		}
	}
}

// One chart and one match serve several goroutines; the race detector watches.
func TestConcurrentUse(t *testing.T) {
	chart := rankChart()
	names := []string{"8", "10", "14", "Text", "Background", "Size 8-12 front"}
	match := chart.Match(names)
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			if got := outcome(chart.Match(names).Answers[5]); got != "8|10|12" {
				t.Errorf("the span is %s", got)
			}
			pick, err := match.Pick(Want{Labels: []string{"10"}, Below: 1})
			if err != nil {
				t.Error(err)
				return
			}
			if diff := cmp.Diff([]int{0, 1, 3, 5}, pick.Positions()); diff != "" {
				t.Error(diff)
			}
		})
	}
	group.Wait()
}
