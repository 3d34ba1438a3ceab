// Package check holds the layers and lines of all files of a pattern against its
// size chart and against each other, and says what a designer should open and
// rename before the files are sold. Start at Read and Check.
//
// # What is promised
//
// Each finding has an id that stays what it is from version to version (Rules
// lists them), the file and the layer it is about, a sentence, what to do, and
// where a rename settles it the new name. One fault gives one finding: a name
// that is found fault with by one rule is passed over by the rules after it.
// What is in doubt gives none: where nothing tells the order of the sizes,
// nothing is said about neighbours. The same input gives the same findings in
// the same order. Nothing is changed, and everything may be used by several
// goroutines at once.
package check

import (
	"cmp"
	"context"
	"fmt"
	"path"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// A File is one file of a pattern.
type File struct {
	Name string // as the findings call it
	*layers.Inspection
	// Lines says which of its lines is whose; nil without a chart that states
	// lines.
	Lines *pattern.Lines
	// Styles are those of its lines, whose outlines tell which size lies within which;
	// nil where they are not read.
	Styles []layers.LineStyle
}

// Read looks through a document as far as Check needs it: with its lines where it has
// layers, or the chart states the lines of its sizes. The chart may be nil. The error is that of
// [layers.Document.Inspect] or [layers.Document.Lines], or tells of a colour in the chart
// that is none.
func Read(ctx context.Context, name string, doc *layers.Document, chart *sizes.Chart) (File, error) {
	f := File{Name: name}
	var err error
	stated := pattern.StatesLines(chart)
	if f.Inspection, err = doc.Inspect(ctx); err != nil || !stated && len(f.Layers) < 2 {
		return f, err
	}
	found, err := doc.Lines(ctx)
	if err != nil {
		return f, err
	}
	if f.Styles = found.Styles; stated {
		f.Lines, err = pattern.MatchLines(found.Styles, chart)
	}
	return f, err
}

// A Result is what Check finds.
type Result struct {
	// Chart is the chart that the files were held against.
	Chart *sizes.Chart `json:"chart"`
	// Drafted is how the chart was made where none was given.
	Drafted *sizes.Drafted `json:"-"`
	// Rows are the layers of all files, one row for each name, sizes first.
	Rows []Row `json:"rows"`
	// Findings are in the order of the files; those of a file in the order of
	// Rules, then of its layers.
	Findings []Finding `json:"findings"`
	// Accepted are those that the chart accepts, each with the reason.
	Accepted []Finding `json:"accepted"`
}

// Check holds files against a chart and against each other. Without a chart,
// nil, one is drafted from all their names (sizes.Draft); where that leaves the
// order of the sizes in doubt, the rules about neighbours are passed over.
func Check(files []File, chart *sizes.Chart) *Result {
	c := newChecker(files, chart)
	for _, f := range c.files {
		c.names(f)
	}
	c.chartOrder()
	for _, f := range c.files {
		c.squares(f)
		c.lines(f)
		c.lineOrder(f)
		if !c.known(f) {
			continue
		}
		c.sets(f)
		c.states(f)
		if c.ordered { // sizes are held against those before and after them
			if steps := c.steps(f); !c.outlines(f, steps) {
				c.missingPages(f, steps)
				c.order(f)
				c.extents(f, steps)
			}
		}
		c.labels(f)
		c.content(f)
	}
	return c.result()
}

// checker is one run of Check.
type checker struct {
	chart   *sizes.Chart
	drafted *sizes.Drafted
	doubts  map[string]string // why a layer is nothing to it, by sizes.Key
	form    *sizes.Chart      // whose Names is the form, and whose labels stand in it
	ordered bool              // the order of the sizes is certain
	files   []*file
	byKey   map[string][]*layer
	found   []placed
}

// file is a File with what is known of its layers.
type file struct {
	File
	at     int
	layers []*layer
	lines  []line
	taken  map[string]bool // the names that layers have or are to get
	above  map[string]bool // those that others stand under
}

// layer is a layer of a file with what its name says.
type layer struct {
	layers.Layer
	in       *file
	at       int
	unlisted bool           // no list of layers shows it
	shown    []layers.Shown // the texts on it
	plain    string         // the name in plain letters
	lookers  []rune         // the letters that were no plain ones
	key      string         // equal for names that are written differently
	answer   sizes.Answer
	expected string // the name by the form, "" where it says nothing
	renamed  bool   // a finding about the name is there
}

// placed is a finding with its place in the result.
type placed struct {
	Finding
	file, rule, layer int
}

// grouped parts a list by a key; the groups come as their first elements do.
func grouped[T any](list []T, key func(T) string) [][]T {
	var groups [][]T
	at := map[string]int{}
	for _, x := range list {
		i, there := at[key(x)]
		if !there {
			i = len(groups)
			at[key(x)], groups = i, append(groups, nil)
		}
		groups[i] = append(groups[i], x)
	}
	return groups
}

func newChecker(files []File, chart *sizes.Chart) *checker {
	c := &checker{chart: chart, ordered: true, byKey: map[string][]*layer{}}
	var all []string
	for i, in := range files {
		f := c.read(in, i)
		for _, l := range f.layers {
			all = append(all, l.plain)
		}
		c.files = append(c.files, f)
	}
	if chart == nil {
		c.drafted = sizes.Draft(all)
		c.chart, c.doubts = c.drafted.Chart, map[string]string{}
		for _, d := range slices.Backward(c.drafted.Doubts) { // the first counts
			if d.Position >= 0 {
				c.doubts[sizes.Key(d.Name)] = d.Reason
			}
		}
		c.ordered = !slices.ContainsFunc(c.drafted.Doubts, func(d sizes.Doubt) bool { return d.Position < 0 })
	}
	for _, f := range c.files {
		plain := make([]layers.Layer, len(f.layers))
		for i, l := range f.layers {
			plain[i] = l.Layer
			plain[i].Name = l.plain
		}
		for i, a := range pattern.Match(c.chart, plain).Answers {
			f.layers[i].answer = a
		}
	}
	c.setForm()
	return c
}

// read puts down what is known of the layers of a file.
func (c *checker) read(in File, at int) *file {
	f := &file{File: in, at: at, lines: linesOf(in.Lines), taken: map[string]bool{}, above: map[string]bool{}}
	shown := map[int][]layers.Shown{}
	for _, s := range in.Shown {
		shown[s.Layer] = append(shown[s.Layer], s)
	}
	ordered := slices.ContainsFunc(in.Layers, func(l layers.Layer) bool { return l.Place > 0 })
	for i, l := range in.Layers {
		plain, lookers := plainLetters(l.Name)
		one := &layer{Layer: l, in: f, at: i, shown: shown[l.Object], plain: plain, lookers: lookers, key: keyOf(plain)}
		// What the order of a list leaves out is not shown (ISO 32000-1, Table 101).
		one.unlisted = !l.Listed || ordered && l.Place == 0
		f.layers = append(f.layers, one)
		f.taken[l.Name] = true
		for _, name := range l.Parents {
			f.above[name] = true
		}
		c.byKey[one.key] = append(c.byKey[one.key], one)
	}
	return f
}

// keyOf is equal for names in plain letters that are written differently.
func keyOf(plain string) string { return strings.ToLower(skeleton(sizes.Key(plain))) }

// add adds a finding about a file, or about a layer of it.
func (c *checker) add(id string, f *file, l *layer, text, do string) *Finding {
	r, at := rule(id)
	p := placed{file: f.at, rule: at, layer: -1}
	p.Finding = Finding{ID: id, Severity: r.Severity, File: f.Name, Text: text, Do: do}
	if l != nil {
		p.layer, p.Layer, p.Object = l.at, l.Name, l.Object
	}
	c.found = append(c.found, p)
	return &c.found[len(c.found)-1].Finding
}

// result sorts the findings and parts those that are accepted.
func (c *checker) result() *Result {
	slices.SortStableFunc(c.found, func(a, b placed) int {
		return cmp.Or(a.file-b.file, a.rule-b.rule, a.layer-b.layer)
	})
	r := &Result{Chart: c.chart, Drafted: c.drafted, Rows: c.rows(), Findings: []Finding{}, Accepted: []Finding{}}
	used := make([]bool, len(c.chart.Accepted))
	for _, p := range c.found {
		if reason, ok := c.accepted(p.Finding, used); ok {
			p.Finding.Accepted = reason
			r.Accepted = append(r.Accepted, p.Finding)
		} else {
			r.Findings = append(r.Findings, p.Finding)
		}
	}
	for i, a := range c.chart.Accepted {
		ofFile := sizes.Acceptance{Finding: a.Finding, File: a.File}
		about := func(f *file) bool { return ofFile.Covers(a.Finding, base(f.Name), "") }
		if !used[i] && slices.ContainsFunc(c.files, about) {
			r.Findings = append(r.Findings, unused(a))
		}
	}
	return r
}

// base is a file name without folders.
func base(name string) string { return path.Base(strings.ReplaceAll(name, `\`, "/")) }

// accepted gives the reason for which the chart accepts a finding, and notes
// which entries say so.
func (c *checker) accepted(f Finding, used []bool) (reason string, ok bool) {
	for i, a := range c.chart.Accepted {
		if a.Covers(f.ID, base(f.File), f.Layer) {
			used[i] = true
			if !ok {
				reason, ok = a.Reason, true
			}
		}
	}
	return reason, ok
}

// unused is the finding about an entry that accepts nothing.
func unused(a sizes.Acceptance) Finding {
	r, _ := rule("accepted-unused")
	about := a.Finding
	if a.Layer != "" {
		about += " of layer " + quote(a.Layer)
	}
	if a.File != "" {
		about += " in " + a.File
	}
	f := Finding{
		ID: r.ID, Severity: r.Severity, Layer: a.Layer,
		Text: fmt.Sprintf("The chart accepts %s, which is not found any more.", about),
		Do:   "Take the entry out of the chart.",
	}
	var ids []string
	for _, r := range Rules() {
		ids = append(ids, r.ID)
	}
	if near := sizes.Nearest(a.Finding, ids); !slices.Contains(ids, a.Finding) && near != "" {
		f.Do = fmt.Sprintf("There is no finding %q; did you mean %q?", a.Finding, near)
	}
	return f
}
