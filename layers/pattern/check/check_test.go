package check

import (
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// testFile is a file in few words, for inspected.
type testFile struct {
	Name     string
	Pages    int
	Layers   []testLayer
	Outside  []int // pages
	Private  []layers.PrivateData
	Squares  []layers.TestSquare
	Unscaled bool               // no square is there
	Lines    []layers.LineStyle // nil where they are not read
}

type testLayer struct {
	ID, Place                            int
	Name                                 string
	Hidden, NotPrinted, Locked, Unlisted bool
	Holds                                []held
	Within                               bool
}

// held is what a layer holds on a page, lengths in mm.
type held struct {
	Page, Marks   int
	Width, Height float64
	Texts         []shownText
}

type shownText struct {
	Text string
	X, Y float64
}

// inspected are files as Check takes them. Those without squares get a good one in
// no layer, unless they are to have none.
func inspected(files []testFile, chart *sizes.Chart) []File {
	var list []File
	for _, f := range files {
		in := &layers.Inspection{Pages: make([]layers.Page, f.Pages), Private: f.Private, Squares: f.Squares}
		if len(f.Squares) == 0 && !f.Unscaled {
			in.Squares = []layers.TestSquare{square(1, "2 in", 50.8, 50.8)}
		}
		for _, page := range f.Outside {
			in.Outside = append(in.Outside, layers.Use{Page: page, Paths: 1})
		}
		for _, l := range f.Layers {
			one := layers.Layer{Object: l.ID, Name: l.Name, Place: l.Place, On: !l.Hidden, Print: !l.NotPrinted, Locked: l.Locked, Listed: !l.Unlisted, Within: l.Within}
			for _, h := range l.Holds {
				one.Uses = append(one.Uses, layers.Use{Page: h.Page, Paths: h.Marks, Bounds: layers.Rect{Right: h.Width * millimetre, Top: h.Height * millimetre}})
				for _, t := range h.Texts {
					in.Shown = append(in.Shown, layers.Shown{Layer: l.ID, Page: h.Page, Text: t.Text, Left: t.X * millimetre, Bottom: t.Y * millimetre})
				}
			}
			in.Layers = append(in.Layers, one)
		}
		out := File{Name: f.Name, Inspection: in}
		if f.Lines != nil && chart != nil {
			var err error
			if out.Lines, err = pattern.MatchLines(f.Lines, chart); err != nil {
				panic(err)
			}
		}
		list = append(list, out)
	}
	return list
}

// checked is what Check finds.
func checked(files []testFile, chart *sizes.Chart) *Result {
	return Check(inspected(files, chart), chart)
}

// square is a test square with sides of a length, in mm.
func square(page int, label string, side, nominal float64, on ...int) layers.TestSquare {
	return layers.TestSquare{Page: page, Label: label, Layers: on, Side: side, Width: side, Height: side, Nominal: nominal}
}

// stroke is a line of a colour.
func stroke(colour string, dash ...float64) layers.LineStyle {
	return layers.LineStyle{Kind: layers.StrokedLine, Colour: colour, Dash: dash, Opacity: 1, Width: 0.5}
}

// good is a pattern of two files with five sizes, in which nothing is wrong. It
// is invented.
func good() []testFile {
	var files []testFile
	for _, name := range []string{"sheet.pdf", "a4.pdf"} {
		f := testFile{Name: name, Pages: 2}
		for i, size := range []string{"Size 6", "Size 8", "Size 10", "Size 12", "Size 14", "Size 16"} {
			l := testLayer{ID: i + 10, Name: size, Place: i + 1}
			for page := 1; page <= 2; page++ {
				grade := float64(i)
				l.Holds = append(l.Holds, held{Page: page, Marks: 3, Width: 200 + 5*grade, Height: 400 + 4*grade,
					Texts: []shownText{{Text: "front", X: 10 + 5*grade, Y: 20}}})
			}
			f.Layers = append(f.Layers, l)
		}
		for i, name := range []string{"Text", "Grainline"} {
			f.Layers = append(f.Layers, testLayer{ID: i + 30, Name: name, Place: 7 + i, Holds: []held{{Page: 1, Marks: 2, Width: 50, Height: 50}}})
		}
		files = append(files, f)
	}
	return files
}

// chart is one that good files fit.
func chart() *sizes.Chart {
	c := &sizes.Chart{Names: "Size {label}", Keep: []string{"Text", "Grainline"}}
	for _, label := range []string{"6", "8", "10", "12", "14", "16"} {
		c.Sizes = append(c.Sizes, sizes.Size{Label: label})
	}
	return c
}

// lined are lines of a file whose sizes are told apart by dashes as in dashes.
func lined() []layers.LineStyle {
	var list []layers.LineStyle
	for i := range dashes {
		list = append(list, stroke("#000000", dashes[i].Dash...))
	}
	return list
}

// dashes are lines for the sizes of chart.
var dashes = []sizes.Line{{Dash: []float64{1, 1}}, {Dash: []float64{2, 2}}, {Dash: []float64{3, 3}}, {Dash: []float64{4, 4}}, {Dash: []float64{5, 5}}, {Dash: []float64{6, 6}}}

// coloured are lines by colours.
func coloured(colours ...string) (list []sizes.Line) {
	for _, c := range colours {
		list = append(list, sizes.Line{Colour: c})
	}
	return list
}

type fault struct {
	id     string
	why    string
	change func(files []testFile)
	layer  string // of the finding
	rename string
	pages  []int
	charts string       // "with" for a case that needs a chart, "without" for one that has none
	lines  []sizes.Line // of the smallest sizes of the chart
	order  []int        // of the sizes of the chart; nil leaves them
}

// chart is one for the case.
func (x fault) chart() *sizes.Chart {
	c := chart()
	for i := range x.lines {
		c.Sizes[i].Line = &x.lines[i]
	}
	if x.order != nil {
		var list []sizes.Size
		for _, i := range x.order {
			list = append(list, c.Sizes[i])
		}
		c.Sizes = list
	}
	return c
}

// faults are changes of good files, each with the one finding that it makes.
var faults = []fault{
	{id: "no-layers", why: "exported flat", change: func(f []testFile) { f[1].Layers = nil }},
	{id: "no-sizes", why: "only what is shared", change: func(f []testFile) { f[1].Layers = f[1].Layers[6:] }},
	{id: "size-missing", why: "in no file", layer: "Size 16", charts: "with", change: func(f []testFile) {
		for i := range f {
			f[i].Layers = slices.Delete(f[i].Layers, 5, 6)
		}
	}},
	{id: "layer-missing", why: "a size, in one file", layer: "Size 10", change: func(f []testFile) { f[1].Layers = slices.Delete(f[1].Layers, 2, 3) }},
	{id: "layer-missing", why: "what is shared, in one file", layer: "Text", change: func(f []testFile) { f[1].Layers = slices.Delete(f[1].Layers, 6, 7) }},
	{id: "layer-missing", why: "what is shared, by another name", charts: "without", layer: "Text", change: func(f []testFile) { f[1].Layers[6].Name = "Texts" }},
	{id: "layer-empty", why: "nobody knows what for", layer: "testLayer 1", change: func(f []testFile) {
		f[0].Layers = append(f[0].Layers, testLayer{ID: 90, Name: "testLayer 1", Place: 30})
	}},
	{id: "page-missing", why: "between smaller and larger ones", layer: "Size 10", pages: []int{2}, change: func(f []testFile) { f[0].Layers[2].Holds = f[0].Layers[2].Holds[:1] }},
	{id: "square-wrong", why: "97 %", pages: []int{2}, change: func(f []testFile) {
		f[0].Squares = []layers.TestSquare{square(2, "2 in", 49.28, 50.8)}
	}},
	{id: "scale-differs", why: "one page at 97 %, which its square tells too", pages: []int{2}, change: func(f []testFile) {
		f[0].Squares = []layers.TestSquare{square(1, "2 in", 50.8, 50.8), square(2, "2 in", 49.28, 50.8)}
	}},
	{id: "square-on-size", why: "on one size", layer: "Size 8", pages: []int{1}, change: func(f []testFile) {
		f[0].Squares = []layers.TestSquare{square(1, "5 cm", 50, 50, 11)}
	}},
	{id: "square-missing", why: "looked for, in no file", change: func(f []testFile) { f[0].Unscaled, f[1].Unscaled = true, true }},
	{id: "line-shared", why: "one line for two sizes", charts: "with", lines: coloured("#ff0000", "#ff0000"), change: func(f []testFile) {
		f[0].Lines = []layers.LineStyle{stroke("#ff0000"), stroke("#000000")}
	}},
	{id: "line-shared", why: "a line between two", charts: "with", lines: coloured("#ff0000", "#ff0808"), change: func(f []testFile) {
		f[0].Lines = []layers.LineStyle{stroke("#ff0404")}
	}},
	{id: "line-alike", why: "two reds", charts: "with", lines: coloured("#ff0000", "#ff0808"), change: noLines},
	{id: "line-alike", why: "four reds", charts: "with", lines: coloured("#ff0000", "#ff0808", "#f80000", "#f80808"), change: noLines},
	{id: "line-alike-grey", why: "a red and a green of one lightness", charts: "with", lines: coloured("#ff0000", "#009400"), change: noLines},
	{id: "line-unowned", why: "a black line, where lines alone tell sizes", charts: "with", lines: dashes, change: func(f []testFile) {
		f[1].Layers = nil
		f[1].Lines = append(lined(), stroke("#000000"))
	}},
	{id: "line-missing", why: "a size without its line", charts: "with", lines: dashes, change: func(f []testFile) {
		f[1].Layers = nil
		f[1].Lines = lined()[:5]
	}},
	{id: "layer-ambiguous", why: "two sizes by two names", layer: "Size 8 (12)", change: func(f []testFile) {
		f[0].Layers = append(f[0].Layers, extra("Size 8 (12)"))
	}},
	{id: "layer-unknown", why: "a slip of the pen", layer: "Sise 10", rename: "Size 10", change: func(f []testFile) { f[1].Layers[2].Name = "Sise 10" }},
	{id: "layer-empty", why: "nothing on it", layer: "Grainline", change: func(f []testFile) { f[0].Layers[7].Holds = nil }},
	{id: "layer-empty", why: "a size with nothing on it is not missing on pages too", layer: "Size 10", change: func(f []testFile) { f[0].Layers[2].Holds = nil }},
	{id: "layer-off", why: "off on opening", layer: "Size 8", change: func(f []testFile) { f[0].Layers[1].Hidden, f[0].Layers[1].NotPrinted = true, true }},
	{id: "layer-not-printed", why: "on the screen alone", layer: "Text", change: func(f []testFile) { f[0].Layers[6].NotPrinted = true }},
	{id: "layer-locked", why: "locked", layer: "Text", change: func(f []testFile) { f[0].Layers[6].Locked = true }},
	{id: "layer-unlisted", why: "viewers do not list it", layer: "Text", change: func(f []testFile) { f[0].Layers[6].Unlisted, f[0].Layers[6].Place = true, 0 }},
	{id: "layer-order", why: "one stands elsewhere", layer: "Size 8", change: func(f []testFile) { f[0].Layers[1].Place = 20 }},
	{id: "layer-extent", why: "larger than all", layer: "Size 10", pages: []int{2}, change: func(f []testFile) { f[0].Layers[2].Holds[1].Width = 290 }},
	{id: "layer-extent", why: "smaller than the smallest", layer: "Size 12", pages: []int{1}, change: func(f []testFile) { f[0].Layers[3].Holds[0].Height = 390 }},
	{id: "chart-order", why: "a large one below a small one", charts: "with", order: []int{5, 0, 1, 2, 3, 4}, change: func([]testFile) {}},
	{id: "chart-order", why: "largest first", charts: "with", order: []int{5, 4, 3, 2, 1, 0}, change: func([]testFile) {}},
	{id: "label-other-size", why: "the number of a neighbour", layer: "Size 10", change: func(f []testFile) {
		for i, text := range []string{"6", "8", "12", "12", "14", "16"} {
			h := &f[0].Layers[i].Holds[0]
			h.Texts = append(h.Texts, shownText{Text: text, X: 30 + 5*float64(i), Y: 50})
		}
	}},
	{id: "label-other-size", why: "with a word", layer: "Size 16", change: func(f []testFile) {
		for i, text := range []string{"Size 6", "Size 8", "Size 10", "Size 12", "Size 14", "Size 6"} {
			h := &f[0].Layers[i].Holds[0]
			h.Texts = append(h.Texts, shownText{Text: text, X: 30 + 5*float64(i), Y: 50})
		}
	}},
	{id: "name-form", why: "another form in all files", layer: "Gr. 10", rename: "Size 10", change: func(f []testFile) { f[0].Layers[2].Name = "Gr. 10" }},
	{id: "name-alike", why: "spaces", layer: "Size  10", rename: "Size 10", change: func(f []testFile) { f[0].Layers[2].Name = "Size  10" }},
	{id: "name-alike", why: "capitals", layer: "SIZE 10", rename: "Size 10", change: func(f []testFile) { f[0].Layers[2].Name = "SIZE 10" }},
	{id: "name-alike", why: "padding", charts: "with", layer: "Size 08", rename: "Size 8", change: func(f []testFile) { f[0].Layers[1].Name = "Size 08" }},
	{id: "name-alike", why: "a Cyrillic letter", layer: "Sizе 10", rename: "Size 10", change: func(f []testFile) { f[0].Layers[2].Name = "Sizе 10" }},
	{id: "name-alike", why: "a copy in the same file", layer: "Size 10 copy", change: func(f []testFile) { f[0].Layers = append(f[0].Layers, extra("Size 10 copy")) }},
	{id: "name-repeated", why: "twice in one place", layer: "Text", change: func(f []testFile) { f[0].Layers = append(f[0].Layers, extra("Text")) }},
	{id: "content-outside", why: "on one page", pages: []int{2}, change: func(f []testFile) { f[0].Outside = []int{2} }},
	{id: "private-data", why: "with streams", change: func(f []testFile) { f[0].Private = []layers.PrivateData{{Program: "Drawer", Bytes: 9000}} }},
	{id: "text-repeated", why: "on all sizes in one place", layer: "Size 6", pages: []int{1}, change: func(f []testFile) {
		for i := range 6 {
			f[0].Layers[i].Holds[0].Texts = []shownText{{Text: "Tollmere skirt", X: 10, Y: 10}}
		}
	}},
}

// noLines are those of a file that has none.
func noLines(f []testFile) { f[0].Lines = []layers.LineStyle{} }

func extra(name string) testLayer {
	return testLayer{ID: 90, Name: name, Place: 30, Holds: []held{{Page: 1, Marks: 1, Width: 10, Height: 10}}}
}

// Numbers that are no sizes' labels are nothing to find: those of pieces, on layers of
// sizes that are not labelled or of all.
func TestLabelsGood(t *testing.T) {
	for _, texts := range [][]string{
		{"6", "8", "10", "12", "14", "16"}, {"8", "8", "8", "8", "8", "8"}, {"", "", "8", "", "", ""}, {"6", "8", "10", "", "", ""},
	} {
		files := good()
		for i, text := range texts {
			if h := &files[0].Layers[i].Holds[0]; text != "" {
				h.Texts = append(h.Texts, shownText{Text: text, X: 30 + 5*float64(i), Y: 50})
			}
		}
		if r := checked(files, chart()); len(r.Findings) > 0 {
			t.Errorf("%q: %v", texts, r.Findings)
		}
	}
}

func TestCheckGood(t *testing.T) {
	for _, c := range []*sizes.Chart{nil, chart()} {
		if r := checked(good(), c); len(r.Findings) > 0 {
			t.Errorf("chart %v: %v", c != nil, r.Findings)
		}
		if r := checked(good()[:1], c); len(r.Findings) > 0 {
			t.Errorf("one file: %v", r.Findings)
		}
	}
}

// TestCheckFaults makes one fault at a time, and wants just that found, with a
// chart and without.
func TestCheckFaults(t *testing.T) {
	for _, x := range faults {
		for _, with := range []string{"with", "without"} {
			if x.charts != "" && x.charts != with {
				continue
			}
			files := good()
			x.change(files)
			var c *sizes.Chart
			if with == "with" {
				c = x.chart()
			}
			r := checked(files, c)
			if len(r.Findings) != 1 {
				t.Errorf("%s, %s, %s a chart: %d findings: %+v", x.id, x.why, with, len(r.Findings), r.Findings)
				continue
			}
			f := r.Findings[0]
			if f.ID != x.id || f.Layer != x.layer || f.Rename != x.rename || !slices.Equal(f.Pages, x.pages) || f.Text == "" || f.Do == "" {
				t.Errorf("%s, %s, %s a chart: %+v", x.id, x.why, with, f)
			}
		}
	}
}

// TestNoCommonForm: names of sizes that have no form in common are found all the
// same, each with the name that most have or that is usual.
func TestNoCommonForm(t *testing.T) {
	for _, c := range []struct {
		why   string
		names [2][]string // of the sizes in two files
		want  []string
	}{
		{"each file its own", [2][]string{{"8", "10", "12"}, {"Size 8", "Size 10", "Size 12"}}, []string{"a 8: Size 8", "a 10: Size 10", "a 12: Size 12"}},
		{"letters", [2][]string{{"S", "M", "L"}, {"Size S", "Size M", "Size L"}}, []string{"a S: Size S", "a M: Size M", "a L: Size L"}},
		{"each layer its own", [2][]string{{"T8", "Gr. 10", "Size 12"}}, []string{"a T8: Size 8", "a Gr. 10: Size 10"}},
		{"full-width digits", [2][]string{{"Size ８", "Size １０", "Size 12"}}, []string{"a Size ８: Size 8", "a Size １０: Size 10"}},
		{"spaces", [2][]string{{"Size 8 ", "Size  10", "Size\u00a012"}}, []string{"a Size 8 : Size 8", "a Size  10: Size 10", "a Size\u00a012: Size 12"}},
		{"none is usual", [2][]string{{"Gr. 8", "sz10", "Gr. 12", "T14"}}, []string{"a sz10: Gr. 10", "a T14: Gr. 14"}},
		{"a number alone in the steps of the others", [2][]string{{"Size 8", "10", "Size 12", "Size 14"}}, []string{"a 10: Size 10"}},
		{"a number alone, which may be no size", [2][]string{{"Size 8", "11", "Size 12", "Size 14"}}, nil},
		{"fronts and backs", [2][]string{{"Size 8 front", "Size 10 front", "Size 8 back", "Size 10 back"}}, nil},
		{"more than a size", [2][]string{{"Size 8", "Size 8 front", "Size 10 front", "Size 10 back", "Size 12 back"}}, nil},
	} {
		var files []testFile
		for i, names := range c.names {
			f := testFile{Name: string(rune('a' + i)), Pages: 1}
			for k, name := range names {
				f.Layers = append(f.Layers, testLayer{ID: k + 1, Name: name, Place: k + 1, Holds: []held{{Page: 1, Marks: 1}}})
			}
			if len(names) > 0 {
				files = append(files, f)
			}
		}
		var got []string
		for _, f := range checked(files, nil).Findings {
			if f.ID == "name-form" {
				got = append(got, f.File+" "+f.Layer+": "+f.Rename)
			}
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s:\n%s", c.why, diff)
		}
	}
}

// A number alone beside names of a form gets a name of that form.
func TestBareNumber(t *testing.T) {
	f := testFile{Name: "a.pdf", Pages: 1}
	for k, name := range []string{"Size 8", "11", "Size 12", "Size 14"} {
		f.Layers = append(f.Layers, testLayer{ID: k + 1, Name: name, Place: k + 1, Holds: []held{{Page: 1, Marks: 1}}})
	}
	found := checked([]testFile{f}, nil).Findings
	if len(found) != 1 || found[0].ID != "layer-unknown" || found[0].Layer != "11" || found[0].Rename != "Size 11" {
		t.Errorf("%+v", found)
	}
}

// What goes with the paper may be in one file alone.
func TestOfPaper(t *testing.T) {
	for name, want := range map[string][]string{
		"Background": nil, "Page frames": nil, "tiles_a4": nil, "Rahmen": nil,
		"Notches": {"a4.pdf layer-missing Notches"}, "Framework notches": {"a4.pdf layer-missing Framework notches"},
	} {
		files := good()
		files[0].Layers = append(files[0].Layers, extra(name))
		c := chart()
		c.Keep = append(c.Keep, name)
		for _, with := range []*sizes.Chart{nil, c} {
			var got []string
			for _, f := range checked(files, with).Findings {
				got = append(got, f.File+" "+f.ID+" "+f.Layer)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("%s, chart %v:\n%s", name, with != nil, diff)
			}
		}
	}
}

// Further layers of a size have names that say more; a name that another layer
// has is proposed to none.
func TestSecondLayers(t *testing.T) {
	for _, c := range []struct {
		why   string
		names []string // of layers more
		want  []string
	}{
		{"a pocket", []string{"Size 10 pocket"}, nil},
		{"words before it", []string{"Pocket, Size 10"}, nil},
		{"of several sizes", []string{"Size 6 pocket", "Size 8 pocket", "Size 10 pocket", "Size 12 pocket"}, nil},
		{"of several sizes, out of order", []string{"Size 6 pocket", "Size 12 pocket", "Size 8 pocket", "Size 10 pocket"},
			[]string{`Size 12 pocket: Move it next to "Size 10 pocket", at the end of the sizes. -> `}},
		{"of a size that begins alike", []string{"Gr. 10 pocket"}, []string{`Gr. 10 pocket: Put what it holds on "Size 10", or begin its name with that. -> `}},
		{"of another form", []string{"Gr. 10"}, []string{`Gr. 10: Put what it holds on "Size 10", or begin its name with that. -> `}},
	} {
		files := good()
		for i, name := range c.names {
			for k := range files {
				l := extra(name)
				l.ID, l.Place = l.ID+i, l.Place+i
				files[k].Layers = append(files[k].Layers, l)
			}
		}
		for _, with := range []*sizes.Chart{nil, chart()} {
			var got []string
			for _, f := range checked(files, with).Findings {
				if f.File == files[0].Name {
					got = append(got, f.Layer+": "+f.Do+" -> "+f.Rename)
				}
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("%s, chart %v:\n%s", c.why, with != nil, diff)
			}
		}
	}
}

// Every rule but the one about the chart has a case.
func TestFaultsAreAll(t *testing.T) {
	for _, r := range Rules() {
		found := slices.ContainsFunc(faults, func(x fault) bool { return x.id == r.ID })
		if !found && r.ID != "accepted-unused" && r.ID != "name-unclear" {
			t.Errorf("no case for %s", r.ID)
		}
	}
}

func TestUnclear(t *testing.T) {
	files := good()
	c := chart()
	c.Keep = append(c.Keep, "Plan *")
	for i := range files {
		files[i].Layers = append(files[i].Layers, extra("Plan é"), extra("Plan e"))
	}
	var got []string
	for _, f := range checked(files, c).Findings {
		got = append(got, f.File+" "+f.ID)
	}
	if diff := cmp.Diff([]string{"sheet.pdf name-unclear", "a4.pdf name-unclear"}, got); diff != "" {
		t.Error(diff)
	}
}

// TestOtherScripts: names of another script are told apart by their letters.
func TestOtherScripts(t *testing.T) {
	files := good()
	c := chart()
	names := []string{"Размеры", "Текст", "Долевая нить", "しるし", "しるじ", "文字", "Κείμενο", "ข้อความ"}
	c.Keep = append(c.Keep, names...)
	for i := range files {
		for _, name := range names {
			files[i].Layers = append(files[i].Layers, extra(name))
		}
	}
	for _, f := range checked(files, c).Findings {
		t.Errorf("%s %s: %s", f.File, f.ID, f.Text)
	}
}

// TestTenFaults makes ten faults in one file.
func TestTenFaults(t *testing.T) {
	files := good()
	f := &files[0]
	f.Layers[1].Hidden = true                                       // layer-off
	f.Layers[6].Locked = true                                       // layer-locked
	f.Layers[0].Name = "Gr. 6"                                      // name-form
	f.Layers[3].Name = "size 12"                                    // name-alike
	f.Layers[4].Holds = f.Layers[4].Holds[:1]                       // page-missing
	f.Layers[2].Holds[0].Width = 290                                // layer-extent
	f.Outside = []int{1}                                            // content-outside
	f.Private = []layers.PrivateData{{Program: "Drawer", Bytes: 1}} // private-data
	f.Layers[7].Holds = nil                                         // layer-empty
	f.Layers = append(f.Layers, extra("Text"))                      // name-repeated
	var got []string
	for _, x := range checked(files, chart()).Findings {
		got = append(got, x.ID)
	}
	slices.Sort(got)
	if diff := cmp.Diff([]string{
		"content-outside", "layer-empty", "layer-extent", "layer-locked", "layer-off",
		"name-alike", "name-form", "name-repeated", "page-missing", "private-data",
	}, got); diff != "" {
		t.Error(diff)
	}
}

func TestAccepted(t *testing.T) {
	files := good()
	files[0].Layers[7].Holds = nil
	files[1].Layers[7].Holds = nil
	c := chart()
	c.Accepted = []sizes.Acceptance{
		{Finding: "layer-empty", File: "sheet.pdf", Reason: "drawn later"},
		{Finding: "layer-locked", Reason: "gone by now"},
		{Finding: "layer-locked", File: "letter.pdf", Reason: "of a file that is not checked"},
	}
	r := checked(files, c)
	var got []string
	for _, f := range r.Findings {
		got = append(got, fmt.Sprint(f.File, " ", f.ID, " ", f.Severity))
	}
	if diff := cmp.Diff([]string{"a4.pdf layer-empty warning", " accepted-unused note"}, got); diff != "" {
		t.Error(diff)
	}
	if len(r.Accepted) != 1 || r.Accepted[0].Accepted != "drawn later" {
		t.Errorf("%+v", r.Accepted)
	}
}

func TestRows(t *testing.T) {
	files := good()
	files[1].Layers[0], files[1].Layers[7] = files[1].Layers[7], files[1].Layers[0]
	files[1].Layers = files[1].Layers[:7] // without size 6
	r := checked(files, chart())
	var got []string
	for _, row := range r.Rows {
		got = append(got, row.Layer)
	}
	if diff := cmp.Diff([]string{"Size 6", "Size 8", "Size 10", "Size 12", "Size 14", "Size 16", "Text", "Grainline"}, got); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]Cell{{Layers: 1, Pages: 2, Marks: 6}, {}}, r.Rows[0].Files); diff != "" {
		t.Error(diff)
	}
}

// A name that says a size of no chart is not told to go under keep.
func TestSizeNotInChart(t *testing.T) {
	files := good()
	files[0].Layers = append(files[0].Layers, extra("Size 30"))
	r := checked(files, chart())
	if len(r.Findings) != 1 || r.Findings[0].ID != "layer-unknown" || r.Findings[0].Do != "Add the size to the chart, or rename the layer." {
		t.Errorf("%+v", r.Findings)
	}
}

// What draws within something else is neither empty nor missing on a page.
func TestWithin(t *testing.T) {
	files := good()
	f := &files[0]
	f.Layers[2].Holds, f.Layers[2].Within = nil, true                   // Size 10
	f.Layers[3].Holds, f.Layers[3].Within = f.Layers[3].Holds[:1], true // Size 12, on page 1 alone
	r := checked(files, chart())
	if len(r.Findings) > 0 {
		t.Errorf("%+v", r.Findings)
	}
	if diff := cmp.Diff(Cell{Layers: 1, Within: true}, r.Rows[2].Files[0]); diff != "" {
		t.Error(diff)
	}
	f.Layers = append(f.Layers, testLayer{ID: 90, Name: "Mystery", Place: 20, Within: true})
	if r := checked(files, chart()); len(r.Findings) != 1 || r.Findings[0].ID != "layer-unknown" {
		t.Errorf("unknown: %+v", r.Findings)
	}
	f.Layers = f.Layers[:len(f.Layers)-1]
	f.Layers[2].Within = false
	if r := checked(files, chart()); len(r.Findings) != 1 || r.Findings[0].ID != "layer-empty" {
		t.Errorf("empty: %+v", r.Findings)
	}
}
