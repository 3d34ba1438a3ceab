package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// outcome is what became of one output of several.
type outcome struct {
	input, output string
	choice        *choice
	report        *layers.Report
	err           error
}

// batch is a run over several files, or for several sizes.
type batch struct {
	*program
	*isolateArguments
	done  []outcome
	taken map[string]string // which input an output name is for
}

// isolateMany isolates each of the input files into the output folder, each
// wanted size on its own with --each. One that fails does not stop the others.
func (p *program) isolateMany(ctx context.Context, a *isolateArguments) error {
	b := &batch{program: p, isolateArguments: a, taken: map[string]string{}}
	made, err := b.folder()
	if err != nil {
		return err
	}
	for _, name := range a.inputs {
		b.file(ctx, name)
		if ctx.Err() != nil {
			break
		}
	}
	if made && b.written() == 0 {
		_ = os.Remove(a.folder) // it holds nothing
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return b.report()
}

// folder makes the output folder where it is missing.
func (b *batch) folder() (made bool, err error) {
	if b.dryRun {
		return false, nil
	}
	info, err := os.Stat(b.isolateArguments.folder)
	switch {
	case err == nil && info.IsDir():
		return false, nil
	case err == nil:
		return false, usagef("--output-dir %s: this is a file, not a folder", printable(b.isolateArguments.folder))
	}
	if err := os.MkdirAll(b.isolateArguments.folder, 0o777); err != nil {
		return false, plain(b.isolateArguments.folder, err)
	}
	return true, nil
}

// file isolates one input.
func (b *batch) file(ctx context.Context, name string) {
	doc, err := b.open(ctx, name)
	if err != nil {
		b.fails(outcome{input: name, err: err})
		return
	}
	wants, err := b.wants(doc)
	if err != nil {
		b.fails(outcome{input: name, err: in(name, err)})
	}
	for _, want := range wants {
		if ctx.Err() != nil {
			return
		}
		o := b.one(ctx, name, doc, want)
		if o.err != nil && ctx.Err() == nil {
			b.fails(o)
		} else if o.err == nil {
			b.done = append(b.done, o)
		}
	}
}

// fails tells an error at once and goes on.
func (b *batch) fails(o outcome) {
	b.fail(o.err)
	b.done = append(b.done, o)
}

// wants are the wishes that get a file each.
func (b *batch) wants(doc *layers.Document) ([]*selectionArguments, error) {
	if !b.each {
		return []*selectionArguments{b.selectionArguments}, nil
	}
	labels, err := b.eachLabels(doc)
	if err != nil {
		return nil, err
	}
	var list []*selectionArguments
	for _, label := range labels {
		one := *b.selectionArguments
		one.want.Labels, one.want.Body = []string{label}, nil
		list = append(list, &one)
	}
	return list, nil
}

// eachLabels are the wanted sizes, or all that the file has.
func (b *batch) eachLabels(doc *layers.Document) ([]string, error) {
	if len(b.want.Labels) > 0 || len(b.want.Body) > 0 {
		pick, err := b.chart.Pick(sizes.Want{Labels: b.want.Labels, Body: b.want.Body, Between: b.want.Between})
		if err != nil {
			return nil, err
		}
		return wantedLabels(pick), nil
	}
	c := &choice{match: b.chart.Match(layers.Names(doc.Layers()))}
	absent := c.absent(b.chart)
	labels := slices.DeleteFunc(b.chart.Labels(), func(l string) bool { return slices.Contains(absent, l) })
	if len(labels) == 0 {
		for _, size := range b.chart.Sizes {
			if size.Line != nil {
				labels = append(labels, size.Label)
			}
		}
	}
	if len(labels) == 0 {
		return nil, fmt.Errorf("no layer is named after a size of the chart, and the chart states no lines")
	}
	return labels, nil
}

func wantedLabels(pick *sizes.Pick) []string {
	var labels []string
	for _, z := range pick.Sizes {
		if z.Role == sizes.RoleWanted {
			labels = append(labels, z.Label)
		}
	}
	return labels
}

// one writes one output.
func (b *batch) one(ctx context.Context, name string, doc *layers.Document, want *selectionArguments) outcome {
	o := outcome{input: name}
	own := *want // a drafted chart is that of one file
	want = &own
	if o.choice, o.err = want.choose(ctx, doc); o.err != nil {
		o.err = in(name, o.err)
		return o
	}
	a := *b.isolateArguments
	a.selectionArguments, a.input = want, name
	if o.output, o.err = b.name(&a, o.choice); o.err != nil {
		return o
	}
	a.output = o.output
	o.report, o.err = b.isolateOne(ctx, &a, doc, o.choice)
	return o
}

// name is where an output goes; no two may go to one place.
func (b *batch) name(a *isolateArguments, c *choice) (string, error) {
	values := map[string]string{"file": stem(a.input), "size": c.title(), "chart": ""}
	if a.chart != nil {
		values["chart"] = a.chart.Name
	}
	base, err := outputName(a.template, values)
	if err != nil {
		return "", err
	}
	full := filepath.Join(a.folder, base)
	key := strings.ToLower(full) // some file systems know no case
	if other, taken := b.taken[key]; taken {
		return "", in(a.input, fmt.Errorf("%s is written for %s already; tell them apart with --name (%s)", printable(full), printable(other), nameHelp))
	}
	b.taken[key] = a.input
	return full, nil
}

// title names a choice in a file name.
func (c *choice) title() string {
	if c.pick != nil {
		return strings.Join(wantedLabels(c.pick), "+")
	}
	return strings.Join(c.names(c.positions), "+")
}

func (b *batch) written() (n int) {
	for _, o := range b.done {
		if o.err == nil && !b.dryRun {
			n++
		}
	}
	return n
}

// report tells what was done, all in one.
func (b *batch) report() error {
	var failed []string
	for _, o := range b.done {
		if o.err != nil && !slices.Contains(failed, printable(o.input)) {
			failed = append(failed, printable(o.input))
		}
	}
	var err error
	if len(failed) > 0 {
		err = fmt.Errorf("%d of %d %s not all done: %s", len(failed), len(b.inputs), plural(len(b.inputs), "file was", "files were"), strings.Join(failed, ", "))
	}
	if b.asJSON {
		return errors.Join(b.json(b.asResult()), err)
	}
	s := &sentences{p: b.program}
	for _, o := range b.done {
		s.outcome(o)
	}
	s.manyDone(b)
	return err
}

// outcome is one output in a line, and what is to be known about it.
func (s *sentences) outcome(o outcome) {
	if o.err != nil {
		return // told before
	}
	s.line("%s: %s -> %s", printable(o.input), o.choice.inWords(), printable(o.output))
	s.unknown(o.choice, o.report)
	s.pages(o.input, o.report)
	if o.choice.pick != nil {
		for _, n := range o.choice.pick.Notes {
			s.line("Note: %s.", strings.TrimSuffix(n.Text, "."))
		}
	}
	for _, w := range o.report.Warnings {
		s.warning(w)
	}
}

// inWords says in a line what stays.
func (c *choice) inWords() string {
	if c.pick == nil {
		return printables(c.names(c.positions), 12)
	}
	var beside []string
	for _, z := range c.pick.Sizes {
		if z.Role != sizes.RoleWanted {
			beside = append(beside, z.Label)
		}
	}
	wanted := wantedLabels(c.pick)
	text := plural(len(wanted), "size ", "sizes ") + printables(wanted, 12)
	if len(beside) > 0 {
		text += ", with " + printables(beside, 12)
	}
	return text
}

// manyDone says how many files there are now, and the cautions.
func (s *sentences) manyDone(b *batch) {
	n := b.written()
	switch {
	case b.dryRun:
		s.line("Nothing was written (--dry-run).")
	case n > 0:
		s.line("%d %s written to %s.", n, plural(n, "file", "files"), printable(b.isolateArguments.folder))
		s.caution()
	}
}

// batchJSON is the report on several outputs for programs.
type batchJSON struct {
	Version int           `json:"version"`
	Results []outcomeJSON `json:"results"`
}

type outcomeJSON struct {
	Input      string         `json:"input"`
	Output     string         `json:"output,omitempty"`
	Error      string         `json:"error,omitempty"` // why there is no output
	Pick       *sizes.Pick    `json:"pick,omitempty"`
	Report     *layers.Report `json:"report,omitempty"`
	EmptyPages []int          `json:"emptyPages,omitempty"`
}

func (b *batch) asResult() batchJSON {
	res := batchJSON{Version: formatVersion, Results: []outcomeJSON{}}
	for _, o := range b.done {
		one := outcomeJSON{Input: o.input}
		if o.err != nil {
			one.Error = o.err.Error()
		} else {
			one.Pick, one.Report, one.EmptyPages = o.choice.pick, o.report, o.report.EmptyPages()
			if !b.dryRun {
				one.Output = o.output
			}
		}
		res.Results = append(res.Results, one)
	}
	return res
}
