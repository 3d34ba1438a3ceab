package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/layers/warning"
)

// pageFlags choose pages of a file.
func pageFlags() []urfave.Flag {
	return []urfave.Flag{
		&urfave.StringFlag{Name: "paper",
			Usage: "only the pages on this `PAPER`, such as a4, letter or a0; of several files those that have it"},
		&urfave.StringFlag{Name: "pages", Usage: "only these `PAGES`, such as 3-20 or 1,4-6"},
	}
}

// pageArguments are what pageFlags say; both "" for all pages.
type pageArguments struct{ paper, pages string }

func readPageArguments(c *urfave.Context) (pageArguments, error) {
	a := pageArguments{c.String("paper"), c.String("pages")}
	if a.paper != "" && a.pages != "" {
		return a, usagef("--paper and --pages both choose pages: give one of them")
	}
	return a, nil
}

// take gives what is asked for of a document, and the numbers that its pages have in
// the file; none where all pages stay.
func (a pageArguments) take(ctx context.Context, doc *layers.Document) (*layers.Document, []int, error) {
	var numbers []int
	var err error
	switch {
	case a.paper != "":
		numbers, err = pattern.PagesOn(a.paper, doc.Pages())
	case a.pages != "":
		if numbers, err = pattern.ReadPages(a.pages, len(doc.Pages())); err != nil {
			return nil, nil, usagef("--pages %v", err)
		}
	default:
		return doc, nil, nil
	}
	if err != nil {
		return nil, nil, err
	}
	numbers = slices.Compact(slices.Sorted(slices.Values(numbers)))
	part, err := doc.KeepPages(ctx, numbers)
	if len(numbers) == len(doc.Pages()) {
		numbers = nil
	}
	return part, numbers, err
}

// sayKept says which pages a copy has, and that nothing on them can be measured.
func (p *program) sayKept(numbers []int, r *layers.Report) {
	if len(numbers) == 0 {
		return
	}
	p.say("Of the file %s alone; in the copy they are counted from 1.",
		words.Plural(len(numbers), "page ", "pages ")+words.Pages(numbers))
	if len(r.Squares) == 0 {
		p.say("No test square was found on them: where another page has one, print that too, " +
			"and measure it before you cut.")
	}
}

// onPaper is the one file of several with pages on the paper that is asked for, and
// with anything to choose from: an archive with a file for each paper needs no folder
// for the output then.
func (p *program) onPaper(ctx context.Context, a *isolateArguments) (string, error) {
	var found []string
	var last error
	for _, name := range a.inputs {
		doc, err := p.open(ctx, name)
		if err != nil {
			return "", err
		}
		if _, err := pattern.PagesOn(a.paper, doc.Pages()); err != nil {
			if last == nil || doc.NoLayers() == nil { // instructions tell least
				last = in(name, err)
			}
			continue
		}
		if err := doc.NoLayers(); err == nil || a.chart != nil && pattern.StatesLines(a.chart) {
			found = append(found, name)
		} else {
			last = in(name, err)
		}
	}
	switch len(found) {
	case 0:
		return "", last
	case 1:
		p.say("On %s: %s.", words.Printable(a.paper), words.Printable(found[0]))
		return found[0], nil
	}
	return "", usagef("%d files have pages on %s: give --output-dir DIR for all of them, or name one of %s", len(found),
		words.Printable(a.paper), words.List(found, 12))
}

// isOther reports whether an error says that a file of several has no page on the
// paper that is asked for, which is no reason to fail.
func (b *batch) isOther(err error) bool { return len(b.inputs) > 1 && is[*pattern.NoPaperError](err) }

// severalPapers warns where outputs have the same sizes on different paper: printed
// all, everything comes out twice.
func (b *batch) severalPapers() []layers.Warning {
	type output struct{ name, sizes, paper string }
	var list []output
	for _, o := range b.done {
		if o.err != nil || o.choice == nil || o.choice.Pick == nil || len(o.papers) == 0 {
			continue
		}
		list = append(list, output{o.input, strings.Join(pattern.Wanted(o.choice.Pick), "+"), o.papers[0].Paper})
	}
	for i, one := range list {
		for _, other := range list[:i] {
			if one.sizes != other.sizes || one.paper == other.paper || one.name == other.name {
				continue
			}
			return []layers.Warning{warning.New(pattern.SeveralPapers, []string{other.name, one.name},
				"%s is for %s and %s for %s: where that is the same pattern for different printers, "+
					"print one of them, or everything comes out twice; --paper takes what is on one paper",
				words.Printable(other.name), other.paper, words.Printable(one.name), one.paper)}
		}
	}
	return nil
}

// otherPaper says of a file why it was skipped.
func (b *batch) otherPaper(o outcome) bool {
	other, found := errors.AsType[*pattern.NoPaperError](o.without)
	if found {
		b.say("%s: skipped, since %s.", words.Printable(o.input), strings.TrimSuffix(fmt.Sprint(other), "."))
	}
	return found
}
