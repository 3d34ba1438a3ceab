package cli

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// outcome is what became of one output of several.
type outcome struct {
	input, output string
	choice        *pattern.Choice
	report        *layers.Report
	kept          []int                // the numbers of the pages that are taken; none for all
	papers        []pattern.PaperPages // of the pages with sizes
	err           error
	// without is why a file has nothing to choose from, such as instructions; nil for
	// all others. It is skipped then, or copied where it has an output.
	without error
}

// batch is a run over several files, or for several sizes.
type batch struct {
	*program
	*isolateArguments
	done  []outcome
	taken map[string]string // which input an output name is for
	stems map[string]string // what outputs are called after their inputs
}

// isolateMany isolates each of the input files into the output folder, each
// wanted size on its own with --each. One that fails does not stop the others.
func (p *program) isolateMany(ctx context.Context, a *isolateArguments) error {
	b := &batch{program: p, isolateArguments: a, taken: map[string]string{}, stems: entryStems(a.inputs)}
	if !a.dryRun {
		if err := p.outputFolder(a.folder); err != nil {
			return err
		}
	}
	for _, name := range a.inputs {
		b.file(ctx, name)
		if ctx.Err() != nil {
			break
		}
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if b.withoutAlone() {
		for i, o := range b.done {
			b.fail(o.without)
			b.done[i].err = o.without
		}
	}
	return b.report()
}

// file isolates one input.
func (b *batch) file(ctx context.Context, name string) {
	doc, err := b.open(ctx, name)
	var wants []*selectionArguments
	var kept []int
	if err == nil {
		doc, kept, err = b.take(ctx, doc)
		err = in(name, err)
	}
	if err == nil {
		wants, err = b.wants(ctx, doc)
		err = in(name, err)
	}
	switch o := (outcome{input: name, err: err}); {
	case b.isOther(err):
		o.without, o.err = err, nil
		b.ended(o)
	case b.isWithout(err):
		b.ended(b.passOver(ctx, o))
	case err != nil:
		b.ended(o)
	}
	for _, want := range wants {
		if ctx.Err() != nil {
			return
		}
		o := b.one(ctx, name, doc, want)
		o.kept = kept
		if b.isWithout(o.err) {
			b.ended(b.passOver(ctx, o))
			return
		}
		if o.err == nil || ctx.Err() == nil {
			b.ended(o)
		}
	}
}

// ended puts an outcome down; an error is told at once.
func (b *batch) ended(o outcome) {
	if o.err != nil {
		b.fail(o.err)
	}
	b.done = append(b.done, o)
}

// wants are the wishes that get a file each.
func (b *batch) wants(ctx context.Context, doc *layers.Document) ([]*selectionArguments, error) {
	if !b.each {
		return []*selectionArguments{b.selectionArguments}, nil
	}
	labels, err := pattern.New(doc, b.chart).Sizes(ctx, b.want.Sizes)
	if err != nil {
		return nil, b.worded(err)
	}
	var list []*selectionArguments
	for _, label := range labels {
		one := *b.selectionArguments
		one.want.Sizes.Labels, one.want.Sizes.Body = []string{label}, nil
		list = append(list, &one)
	}
	return list, nil
}

// one writes one output.
func (b *batch) one(ctx context.Context, name string, doc *layers.Document, want *selectionArguments) outcome {
	o := outcome{input: name}
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
	if o.report, o.err = b.isolateOne(ctx, &a, doc, o.choice); o.err == nil {
		o.papers = o.choice.SizePapers(o.report)
	}
	return o
}

// name is where an output goes.
func (b *batch) name(a *isolateArguments, c *pattern.Choice) (string, error) {
	values := map[string]string{"file": b.stems[a.input], "size": strings.Join(c.Layers(), "+"), "chart": ""}
	if c.Pick != nil {
		values["size"], values["chart"] = strings.Join(pattern.Wanted(c.Pick), "+"), c.Chart.Name
	}
	base, err := outputName(a.template, values)
	if err != nil {
		return "", err
	}
	return b.place(a.input, base)
}

// place is where an output of a name goes; no two may go to one place.
func (b *batch) place(input, base string) (string, error) {
	full := filepath.Join(b.folder, base)
	key := strings.ToLower(full) // some file systems know no case
	if other, taken := b.taken[key]; taken {
		return "", in(input, fmt.Errorf("%s is written for %s already; tell them apart with --name (%s)",
			words.Printable(full), words.Printable(other), nameHelp))
	}
	b.taken[key] = input
	return full, nil
}

func (b *batch) written() (n int) {
	for _, o := range b.done {
		if o.err == nil && o.output != "" && !b.dryRun {
			n++
		}
	}
	return n
}

// report tells what was done, all in one.
func (b *batch) report() error {
	var failed []string
	for _, o := range b.done {
		if o.err != nil && !slices.Contains(failed, words.Printable(o.input)) {
			failed = append(failed, words.Printable(o.input))
		}
	}
	var err error
	if len(failed) > 0 {
		err = fmt.Errorf("%d of %d %s not all done: %s", len(failed), len(b.inputs),
			words.Plural(len(b.inputs), "file was", "files were"), strings.Join(failed, ", "))
	}
	if b.asJSON {
		return errors.Join(b.json(b.asResult()), err)
	}
	for _, o := range b.done {
		if o.err == nil { // else it was told before
			b.outcome(o)
		}
	}
	for _, w := range b.severalPapers() {
		b.warning(w)
	}
	switch n := b.written(); {
	case b.dryRun:
		b.say("Nothing was written (--dry-run).")
	case n > 0:
		b.say("%d %s written to %s.", n, words.Plural(n, "file", "files"), words.Printable(b.folder))
		b.caution()
	}
	return err
}

// outcome is one output in a line, and what is to be known about it.
func (b *batch) outcome(o outcome) {
	if o.without != nil {
		b.passedOver(o)
		return
	}
	kept := words.List(o.choice.Layers(), 12)
	if pick := o.choice.Pick; pick != nil {
		wanted := pattern.Wanted(pick)
		kept = words.Plural(len(wanted), "size ", "sizes ") + words.List(wanted, 12)
		var others []string
		for _, z := range pick.Sizes {
			if z.Role != sizes.RoleWanted {
				others = append(others, z.Label)
			}
		}
		if len(others) > 0 {
			kept += ", with " + words.List(others, 12)
		}
	}
	b.say("%s: %s -> %s", words.Printable(o.input), kept, words.Printable(o.output))
	b.otherSizes(o.choice)
	b.sayKept(o.kept, o.report)
	b.unknown(o.choice, o.report)
	b.emptyPages(o.input, o.report)
	if o.choice.Pick != nil {
		for _, n := range o.choice.Pick.Notes {
			b.say("Note: %s.", strings.TrimSuffix(n.Text, "."))
		}
	}
	for _, w := range slices.Concat(o.choice.AllWarnings(o.report), o.report.Warnings) {
		b.warning(w)
	}
}

// batchJSON is the report on several outputs for programs.
type batchJSON struct {
	Version  int              `json:"version"`
	Results  []outcomeJSON    `json:"results"`
	Warnings []layers.Warning `json:"warnings,omitempty"` // of all of them together
}

type outcomeJSON struct {
	Input      string           `json:"input"`
	Output     string           `json:"output,omitempty"`
	Error      string           `json:"error,omitempty"` // why there is no output
	Pick       *sizes.Pick      `json:"pick,omitempty"`
	Warnings   []layers.Warning `json:"warnings,omitempty"` // of the choice
	Report     *layers.Report   `json:"report,omitempty"`
	EmptyPages []int            `json:"emptyPages,omitempty"`
	// KeptPages are the numbers in the input of the pages of the output, which has them
	// in this order; none where all of them are kept.
	KeptPages []int `json:"keptPages,omitempty"`
	// Without says why the file has nothing to choose from: it was skipped, or copied
	// as it is where it has an Output.
	Without string `json:"without,omitempty"`
}

func (b *batch) asResult() batchJSON {
	res := batchJSON{Version: formatVersion, Results: []outcomeJSON{}, Warnings: b.severalPapers()}
	for _, o := range b.done {
		one := outcomeJSON{Input: o.input, KeptPages: o.kept}
		switch {
		case o.err != nil:
			one.Error = o.err.Error()
		case o.without != nil:
			one.Without = o.without.Error()
		default:
			one.Pick, one.Warnings = o.choice.Pick, o.choice.AllWarnings(o.report)
			one.Report, one.EmptyPages = o.report, o.report.EmptyPages()
		}
		if o.err == nil && !b.dryRun {
			one.Output = o.output
		}
		res.Results = append(res.Results, one)
	}
	return res
}
