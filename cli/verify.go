package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/layers/warning"
	"github.com/sizeply/sizeply/layers/witness"
)

func (p *program) verifyCommand() *urfave.Command {
	flags := append(selectionFlags(), pageFlags()...)
	return p.reader("verify OUTPUT", "hold an isolated file against the original", p.verify, append(flags,
		&urfave.StringFlag{Name: "against", Usage: "the original `FILE`"},
		&urfave.BoolFlag{Name: "compare", Usage: "draw every page of both and compare the pictures"},
		&urfave.BoolFlag{Name: "no-second-reader", Usage: "do not have pdfcpu read the output too"},
		&urfave.BoolFlag{Name: "json", Usage: "as JSON"},
	)...)
}

// verifyJSON is the result for programs.
type verifyJSON struct {
	Version  int    `json:"version"`
	File     string `json:"file"`
	Original string `json:"original"`
	Holds    bool   `json:"holds"`
	Compared bool   `json:"compared"`          // the pages were drawn
	Problem  string `json:"problem,omitempty"` // where it does not hold
	// Pages and Residue say what Isolate did; empty where it does not hold.
	Pages   []layers.PageReport `json:"pages"`
	Residue []layers.Residue    `json:"residue"`
}

func (p *program) verify(c *urfave.Context) error {
	name, err := p.oneFile(c)
	if err != nil {
		return err
	}
	original := c.String("against")
	if original == "" {
		return usagef("against which file? give --against ORIGINAL")
	}
	if original, err = p.single(original); err != nil {
		return err
	}
	a, err := readSelection(c)
	if err != nil {
		return err
	}
	result, err := p.readAll(c.Context, name)
	if err != nil {
		return err
	}
	doc, err := p.open(c.Context, original)
	if err != nil {
		return err
	}
	if doc, _, err = a.take(c.Context, doc); err != nil {
		return in(original, err)
	}
	choice, err := a.choose(c.Context, doc)
	if err != nil {
		return in(original, err)
	}
	sel := choice.Selection()
	m := p.meter(name)
	opt := a.options
	opt.Progress = m.progress()
	problem := layers.Verify(c.Context, layers.Bytes(result), doc, sel, &opt)
	if problem == nil && !c.Bool("no-second-reader") {
		problem = p.witness(c.Context, result, original, p.passwordOf(doc))
	}
	if problem == nil && c.Bool("compare") {
		problem = p.lookAlike(c.Context, doc, sel, bytes.NewReader(result), p.passwordOf(doc), m)
	}
	m.clear()
	report := &layers.Report{Pages: []layers.PageReport{}, Residue: []layers.Residue{}}
	if problem == nil {
		// What went of each page is what Isolate says: the result has its bytes.
		if report, err = doc.Isolate(c.Context, io.Discard, sel, &a.options); err != nil {
			return in(original, err)
		}
	}
	if c.Bool("json") {
		out := verifyJSON{
			Version: formatVersion, File: name, Original: original, Holds: problem == nil, Compared: c.Bool("compare"),
			Pages: report.Pages, Residue: report.Residue,
		}
		if problem != nil {
			out.Problem = problem.Error()
		}
		if err := p.json(out); err != nil {
			return err
		}
	}
	if problem != nil {
		return in(name, problem)
	}
	if !c.Bool("json") {
		note(p.out, "%s holds what it should: %s of %s, and nothing else.", words.Printable(name), kept(choice),
			words.Printable(original))
		p.verifiedPages(report, c.Bool("compare"))
	}
	return nil
}

// witness has a second reader look at a result. What it says of the original too,
// in the same words, is no fault of the result; nor is it where it can read, or
// finds valid, neither. Where it cannot be asked of the result, a warning says so.
func (p *program) witness(ctx context.Context, result []byte, original, password string) error {
	look := func(data []byte) ([]witness.Disagreement, error) {
		opt := p.limits
		opt.Password = password
		doc, err := layers.Open(ctx, layers.Bytes(data), &opt)
		if err != nil {
			return nil, err
		}
		return witness.Compare(ctx, bytes.NewReader(data), doc, &witness.Options{Password: password})
	}
	found, err := look(result)
	switch {
	case errors.Is(err, witness.ErrCipher):
		p.warning(warning.New(warning.NoSecondReader, nil, "no second reader has looked at the result: %v", err))
		return nil
	case err != nil || len(found) == 0:
		return err
	}
	data, err := p.readAll(ctx, original)
	if err != nil {
		return err
	}
	before, err := look(data)
	if err != nil && !errors.Is(err, witness.ErrCipher) { // the result may be decrypted
		return err
	}
	for _, d := range found {
		same := func(b witness.Disagreement) bool { return b == d || b.What == d.What && d.Layers == "" }
		if !slices.ContainsFunc(before, same) {
			return fmt.Errorf("a second reader sees something else (--no-second-reader does without it): %v", d)
		}
	}
	return nil
}

// verifiedPages says page by page what was found.
func (p *program) verifiedPages(r *layers.Report, compared bool) {
	drawn := ""
	if compared {
		drawn = "; drawn, it looks as the original does with these layers"
	}
	stayed := map[int]int{}
	for _, x := range r.Residue {
		stayed[x.Page]++
	}
	for _, page := range r.Pages {
		rest := ""
		if n := stayed[page.Page]; n > 0 {
			rest = fmt.Sprintf(" but for %d unseen %s that what is kept needs", n,
				words.Plural(n, "setting", "settings"))
		}
		note(p.out, "Page %d: %d %s kept, %d of other layers gone%s%s.",
			page.Page, page.Kept, words.Plural(int(page.Kept), "mark", "marks"), page.Removed, rest, drawn)
	}
}

// kept counts the layers that stay.
func kept(c *pattern.Choice) string {
	sel := c.Selection()
	switch n := len(sel.Lines); {
	case n > 0:
		return fmt.Sprintf("all but %d %s", n, words.Plural(n, "line style", "line styles"))
	case sel.Lines != nil:
		return "every line style"
	}
	n := len(sel.Layers) + len(sel.Unchanged)
	return fmt.Sprintf("%d %s", n, words.Plural(n, "layer", "layers"))
}
