package cli

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/golden"
	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers/pattern/check"
	"github.com/sizeply/sizeply/sizes"
)

// ruleCase makes one fault in a good release, which is to be found once.
type ruleCase struct {
	id, why string
	change  func(r *release, sheet, a4 *testPattern)
	file    string // of the finding; where it is empty, the sheet
	layer   string
	pages   []int
	rename  string
	// severity is that of the finding, where it is not that of the rule
	severity check.Severity
	chart    bool // it needs the chart; the others are found without one as well
}

// ruleCases have at least one case for each rule.
var ruleCases = []ruleCase{
	{id: "no-layers", why: "exported without layers", file: "a4.pdf", change: func(_ *release, _, a4 *testPattern) { noLines(a4).flat = true }},
	{id: "no-sizes", why: "only what every print needs has layers", file: "a4.pdf", change: func(_ *release, _, a4 *testPattern) {
		noLines(a4).layers = a4.layers[6:]
	}},
	{id: "size-missing", why: "no file has the largest", layer: "Size 16", chart: true, change: func(_ *release, sheet, a4 *testPattern) {
		sheet.remove("Size 16")
		a4.remove("Size 16")
	}},
	{id: "layer-missing", why: "a size in one file", file: "a4.pdf", layer: "Size 10", change: func(_ *release, _, a4 *testPattern) { a4.remove("Size 10") }},
	{id: "layer-missing", why: "the text in one file", layer: "Text", change: func(_ *release, sheet, a4 *testPattern) {
		sheet.remove("Text")
	}},
	{id: "page-missing", why: "between smaller and larger sizes", layer: "Size 12", pages: []int{2}, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Size 12").pages[1] = ""
	}},
	{id: "layer-ambiguous", why: "two sizes in one name", layer: "Size 8 (12)", change: func(_ *release, sheet, _ *testPattern) {
		sheet.add("Size 8 (12)", outline(1, 0, 0), "")
	}},
	{id: "layer-unknown", why: "nobody knows what", layer: "Doodle", change: func(_ *release, sheet, _ *testPattern) { sheet.add("Doodle", wording("x", 3), "") }},
	{id: "layer-unknown", why: "a slip of the pen", layer: "Sise 10", rename: "Size 10", change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Size 10").name = "Sise 10"
	}},
	{id: "layer-unknown", why: "a slip of the pen in what every print needs", layer: "Grainlnie", rename: "Grainline", change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Grainline").name = "Grainlnie"
	}},
	{id: "layer-empty", why: "nothing on it", layer: "Grainline", change: func(_ *release, sheet, _ *testPattern) { sheet.layer("Grainline").pages = [2]string{} }},
	{id: "layer-empty", why: "a size with nothing on it", layer: "Size 10", severity: check.Error, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Size 10").pages = [2]string{}
	}},
	{id: "layer-off", why: "off when the file is opened", layer: "Size 8", change: func(_ *release, sheet, _ *testPattern) { sheet.layer("Size 8").off = true }},
	{id: "layer-not-printed", why: "on the screen alone", layer: "Grainline", change: func(_ *release, sheet, _ *testPattern) { sheet.layer("Grainline").noPrint = true }},
	{id: "layer-locked", why: "locked", layer: "Size 8", change: func(_ *release, sheet, _ *testPattern) { sheet.layer("Size 8").locked = true }},
	{id: "layer-unlisted", why: "not in the list of layers", layer: "Size 8", change: func(_ *release, sheet, _ *testPattern) { sheet.layer("Size 8").unlisted = true }},
	{id: "layer-order", why: "the second stands behind the fifth", layer: "Size 8", change: func(_ *release, sheet, _ *testPattern) {
		moved := sheet.layers[1]
		sheet.layers = slices.Insert(slices.Delete(sheet.layers, 1, 2), 4, moved)
	}},
	{id: "layer-extent", why: "wider than the largest", layer: "Size 12", pages: []int{1}, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Size 12").pages[0] = outline(3, 30, 0)
	}},
	{id: "layer-extent", why: "lower than the smallest, on both pages", layer: "Size 14", pages: []int{1, 2}, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Size 14").pages = [2]string{outline(4, 0, -20), outline(4, 0, -20)}
	}},
	{id: "chart-order", why: "two sizes swapped in the chart", chart: true, change: func(r *release, _, _ *testPattern) {
		s := r.chart.Sizes
		s[1], s[2] = s[2], s[1]
	}},
	{id: "chart-order", why: "two layers swapped", change: func(r *release, sheet, _ *testPattern) {
		sheet.layer("Size 8").pages, sheet.layer("Size 12").pages = sheet.layer("Size 12").pages, sheet.layer("Size 8").pages
	}},
	{id: "chart-order", why: "two lines swapped in the chart", chart: true, file: "a4.pdf", change: func(r *release, _, a4 *testPattern) {
		s := r.chart.Sizes
		s[1].Line, s[2].Line = s[2].Line, s[1].Line
		a4.flat = true
	}},
	{id: "chart-order", why: "by outlines alone", chart: true, change: func(r *release, sheet, _ *testPattern) {
		r.files = r.files[:1]
		colours := []string{"Red", "Navy", "Green", "Purple", "Orange", "Teal"}
		for i, name := range colours {
			sheet.layers[i].name, r.chart.Sizes[i].Label = name, name
		}
		s := r.chart.Sizes
		s[0], s[5], r.chart.Names = s[5], s[0], "{label}"
	}},
	{id: "label-other-size", why: "the number of a neighbour", layer: "Size 12", change: func(_ *release, sheet, _ *testPattern) {
		for i, label := range []string{"6", "8", "10", "14", "14", "16"} {
			sheet.layers[i].pages[0] += " " + wording(label, 10+12*i)
		}
	}},
	{id: "name-form", why: "another word for size", layer: "Gr. 10", rename: "Size 10", change: func(_ *release, sheet, _ *testPattern) { sheet.layer("Size 10").name = "Gr. 10" }},
	{id: "name-alike", why: "a space more", layer: "Size  10", rename: "Size 10", change: func(_ *release, sheet, _ *testPattern) { sheet.layer("Size 10").name = "Size  10" }},
	{id: "name-alike", why: "capitals", file: "a4.pdf", layer: "TEXT", rename: "Text", change: func(_ *release, _, a4 *testPattern) { a4.layer("Text").name = "TEXT" }},
	{id: "name-alike", why: "unlike the chart, in the first file", layer: "TEXT", rename: "Text", chart: true, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Text").name = "TEXT"
	}},
	{id: "name-alike", why: "a Cyrillic letter", layer: "Siz\u0435 10", rename: "Size 10", change: func(_ *release, sheet, _ *testPattern) { sheet.layer("Size 10").name = "Siz\u0435 10" }},
	{id: "name-alike", why: "a copy in the same file", layer: "Size 10 copy", change: func(_ *release, sheet, _ *testPattern) { sheet.add("Size 10 copy", outline(2, 0, 0), "") }},
	{id: "name-repeated", why: "twice", layer: "Grainline", change: func(_ *release, sheet, _ *testPattern) { sheet.add("Grainline", wording("x", 3), "") }},
	{id: "name-unclear", why: "no letter and no digit", layer: "***", change: func(_ *release, sheet, a4 *testPattern) { sheet.add("***", wording("x", 3), "") }},
	{id: "name-unclear", why: "an accent alone", layer: "Text \u00e9", chart: true, change: func(r *release, sheet, a4 *testPattern) {
		r.files = r.files[:1]
		r.chart.Keep = []string{"Text*", "Grainline"}
		sheet.add("Text \u00e9", wording("x", 3), "")
		sheet.add("Text e", wording("x", 30), "")
	}},
	{id: "content-outside", why: "a mark in no layer", pages: []int{1}, change: func(_ *release, sheet, _ *testPattern) { sheet.outside = "0 0 5 5 re f" }},
	{id: "private-data", why: "of a drawing program", change: func(_ *release, sheet, _ *testPattern) { sheet.private = true }},
	{id: "square-wrong", why: "at 97 %", pages: []int{1}, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Text").pages[0] = strings.Replace(sheet.layer("Text").pages[0], "72 72 re", "69.84 69.84 re", 1)
	}},
	{id: "scale-differs", why: "the second page at 97 %", pages: []int{2}, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Text").pages[1] += strings.Replace(inch, "72 72 re", "69.84 69.84 re", 1)
	}},
	{id: "square-on-size", why: "on a size", layer: "Size 8", pages: []int{2}, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Text").pages[0] = wording("front", 50)
		sheet.layer("Size 8").pages[1] += inch
	}},
	{id: "square-on-size", why: "on every size in one place", layer: "Size 6", pages: []int{1}, change: func(_ *release, sheet, _ *testPattern) {
		sheet.layer("Text").pages[0] = wording("front", 50)
		for _, l := range sheet.layers[:6] {
			l.pages[0] += inch
		}
	}},
	{id: "square-missing", why: "in no file", change: func(_ *release, sheet, a4 *testPattern) {
		for _, p := range []*testPattern{sheet, a4} {
			p.layer("Text").pages[0] = wording("front", 50)
		}
	}},
	{id: "text-repeated", why: "on every size in one place", layer: "Size 6", pages: []int{1}, change: func(_ *release, sheet, _ *testPattern) {
		for _, l := range sheet.layers[:6] {
			l.pages[0] += " " + wording("TOLLMERE", 12)
		}
	}},
	{id: "line-missing", why: "a file whose sizes are told by lines lacks one", file: "a4.pdf", chart: true, change: func(_ *release, _, a4 *testPattern) {
		a4.remove("Size 16")
		a4.flat = true
	}},
	{id: "line-unowned", why: "a line that the chart does not have", file: "a4.pdf", chart: true, change: func(_ *release, _, a4 *testPattern) {
		a4.flat = true
		a4.outside = drawn("#c0c0c0", nil, "3 3 m 60 60 l")
	}},
	{id: "line-shared", why: "two sizes in one line, by the chart too", chart: true, change: func(r *release, sheet, _ *testPattern) {
		r.files = r.files[:1]
		r.line("10", "#0b5fa5", []float64{1, 1})
		sheet.flat = true
	}},
	{id: "line-shared", why: "a line between those of two sizes", chart: true, change: func(r *release, sheet, _ *testPattern) {
		r.files = r.files[:1]
		r.line("8", "#404040", []float64{1, 1})
		r.line("10", "#6a6a6a", []float64{1, 1})
		sheet.flat = true
		sheet.outside = drawn("#545454", []float64{1, 1}, "3 3 m 60 60 l")
	}},
	{id: "line-alike", why: "two reds", chart: true, change: func(r *release, _, _ *testPattern) {
		r.files = r.files[:1]
		r.line("8", "#4a0000", []float64{})
	}},
	{id: "line-alike-grey", why: "a red and a green of one lightness", chart: true, change: func(r *release, _, _ *testPattern) {
		r.files = r.files[:1]
		r.line("8", "#002800", []float64{})
	}},
	{id: "accepted-unused", why: "mended since", layer: "Text", chart: true, change: func(r *release, _, _ *testPattern) {
		r.chart.Accepted = []sizes.Acceptance{{Finding: "layer-off", Layer: "Text", Reason: "for the shop alone"}}
	}},
}

// noLines takes away by what lines a file tells its sizes.
func noLines(p *testPattern) *testPattern {
	for _, l := range p.layers {
		for i := range l.pages {
			l.pages[i] = strings.ReplaceAll(l.pages[i], " re S", " re n")
		}
	}
	return p
}

// line draws a size in another line, in all files and in the chart.
func (r *release) line(label, colour string, dash []float64) {
	i := slices.IndexFunc(r.chart.Sizes, func(s sizes.Size) bool { return s.Label == label })
	r.chart.Sizes[i].Line = &sizes.Line{Colour: colour, Dash: dash}
	for _, p := range r.files {
		for k := range p.layer("Size " + label).pages {
			s := releaseSizes[i]
			old, _, _ := strings.Cut(drawn(s.colour, s.dash, "|"), "|")
			now, _, _ := strings.Cut(drawn(colour, dash, "|"), "|")
			p.layer("Size " + label).pages[k] = strings.Replace(p.layer("Size " + label).pages[k], old, now, 1)
		}
	}
}

// TestGoodRelease: nothing is found in a release without fault, whichever of its
// files are looked at, with layers and without, with a chart and without.
func TestGoodRelease(t *testing.T) {
	for _, c := range []struct {
		why    string
		change func(r *release)
		bare   bool // without a chart as well
	}{
		{"both files", func(*release) {}, true},
		{"one file", func(r *release) { r.files = r.files[:1] }, true},
		{"sizes told by lines", func(r *release) { r.files[1].flat = true }, false},
	} {
		for _, withChart := range []bool{true, false} {
			if !withChart && !c.bare {
				continue
			}
			r := goodRelease()
			c.change(r)
			if found, _ := checkedFindings(t, r.write(t, withChart)...); len(found) > 0 {
				t.Errorf("%s, chart %v:\n%s", c.why, withChart, listed(found))
			}
		}
	}
}

// TestRules makes one fault at a time in files, and wants just that found.
func TestRules(t *testing.T) {
	for _, c := range ruleCases {
		for _, withChart := range c.charts() {
			r, found := c.check(t, withChart)
			if len(found) != 1 {
				t.Errorf("%s, %s, chart %v: %d findings:\n%s", c.id, c.why, withChart, len(found), listed(found))
				continue
			}
			got := found[0]
			c.speaks(t, r, got)
			got.Object, got.Text, got.Do = 0, "", ""
			want := check.Finding{ID: c.id, Severity: cmp.Or(c.severity, severityOf(c.id)), File: c.wantFile(), Layer: c.layer, Pages: c.pages, Rename: c.rename}
			if diff := gocmp.Diff(want, got); diff != "" {
				t.Errorf("%s, %s, chart %v:\n%s", c.id, c.why, withChart, diff)
			}
		}
	}
}

// charts tells with which charts a case is checked: with one, and where it needs
// none, without.
func (c ruleCase) charts() []bool {
	if c.chart {
		return []bool{true}
	}
	return []bool{true, false}
}

// check makes the fault in a good release and checks it.
func (c ruleCase) check(t *testing.T, withChart bool) (*release, []check.Finding) {
	t.Helper()
	r := goodRelease()
	c.change(r, r.files[0], r.files[1])
	found, _ := checkedFindings(t, r.write(t, withChart)...)
	return r, found
}

// speaks holds what a finding says to people, and the layer that it points at.
func (c ruleCase) speaks(t *testing.T, r *release, f check.Finding) {
	t.Helper()
	if !strings.HasSuffix(f.Text, ".") || !strings.HasSuffix(f.Do, ".") {
		t.Errorf("%s, %s: no sentences: %q %q", c.id, c.why, f.Text, f.Do)
	}
	if f.Rename != "" && !strings.Contains(f.Do, `"`+f.Rename+`"`) {
		t.Errorf("%s, %s: %q does not give the new name %q", c.id, c.why, f.Do, f.Rename)
	}
	if f.Object == 0 {
		return
	}
	p := r.files[slices.IndexFunc(r.files, func(p *testPattern) bool { return p.name == f.File })]
	if name := p.layers[f.Object-testpdf.GroupObject].name; name != f.Layer {
		t.Errorf("%s, %s: object %d is layer %q, not %q", c.id, c.why, f.Object, name, f.Layer)
	}
}

// TestFindingTexts keeps what every case says to people in one file, to be read
// through: with the chart and, where that differs, without.
func TestFindingTexts(t *testing.T) {
	var all bytes.Buffer
	for _, c := range ruleCases {
		t.Run(c.id+", "+c.why, func(t *testing.T) {
			var texts []string
			for _, withChart := range c.charts() {
				_, found := c.check(t, withChart)
				var text bytes.Buffer
				for _, f := range found {
					(&program{out: &text}).finding(f)
				}
				if !slices.Contains(texts, text.String()) {
					texts = append(texts, text.String())
				}
			}
			fmt.Fprintf(&all, "# %s\n%s\n", c.why, strings.Join(texts, ""))
		})
	}
	golden.Equal(t, "findings.golden", all.Bytes())
}

// wantFile is the file that a case is about.
func (c ruleCase) wantFile() string {
	switch {
	case c.id == "accepted-unused":
		return "" // it is about the chart
	case c.file == "":
		return "sheet.pdf"
	}
	return c.file
}

// severityOf is that of a rule, 0 where there is no such rule.
func severityOf(id string) check.Severity {
	for _, r := range check.Rules() {
		if r.ID == id {
			return r.Severity
		}
	}
	return 0
}

// TestRulesAreAll: every rule has a case, and every case a rule.
func TestRulesAreAll(t *testing.T) {
	ids := map[string]bool{}
	for _, c := range ruleCases {
		ids[c.id] = true
		if severityOf(c.id) == 0 {
			t.Errorf("there is no rule %s", c.id)
		}
	}
	for _, r := range check.Rules() {
		if !ids[r.ID] {
			t.Errorf("no case for %s", r.ID)
		}
	}
}
