// Package isolate writes copies of a PDF file that hold only what a selection of
// layers and line styles keeps, and checks them. An [Isolator] turns a
// [Selection] into a decision for each membership (decisions.go), lets package
// rewrite filter every page by it, takes out what stands outside of the contents
// of pages (edit.go has the order of the steps), rewrites the catalog's optional
// content and serialises what is still reachable. Clauses are those of ISO
// 32000-1.
package isolate

import (
	"context"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"slices"
	"sync/atomic"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/internal/steps"
	"github.com/sizeply/sizeply/internal/survey"
)

// Options are what isolating may be told besides the selection. The zero value,
// and nil, are the normal case.
type Options struct {
	// Flatten makes plain content of the layers that are kept: the output has no
	// optional content at all. Unchanged layers that are off are removed.
	Flatten bool
	// KeepAttachments leaves attached files where they are, although they may
	// hold the whole drawing.
	KeepAttachments bool
	// NoResidue refuses to keep anything of removed layers, even where what
	// is kept is drawn with it.
	NoResidue bool
	// AcceptDamage goes on where the drawing of a page cannot be read whole: with what
	// can be read, and without the rest. The report warns of each such page. Without it
	// the file is refused with an *UnreadableError.
	AcceptDamage bool
	// Decrypt takes the encryption off, which takes the owner password.
	// Without it the output is encrypted as the file is.
	Decrypt bool
	// KeptLines asks for those of the report.
	KeptLines bool
	// Extents asks for those of the pages in the report.
	Extents bool
	// Progress, where there is one, is called when a step begins and after
	// each page, in the goroutine of the call. It is of no influence on the
	// result.
	Progress func(Progress)
}

// Progress says how far a call has come.
type Progress struct {
	// Step is what is being done: "isolate" or "verify".
	Step string
	// Page is how many pages are done, of Pages; 0 when the step begins.
	// Verifying goes through each page twice, and counts it twice.
	Page, Pages int
}

// begin tells of a step with so many pages, and gives what is called after each.
func (opt *Options) begin(step string, pages int) (done func()) {
	if opt.Progress == nil {
		return func() {}
	}
	at := Progress{Step: step, Pages: pages}
	opt.Progress(at)
	return func() {
		at.Page++
		opt.Progress(at)
	}
}

// An Isolator makes copies of one document, one after another or at the same
// time. Its methods are documented where package layers has them.
type Isolator struct {
	Document *optional.Document
	// KeepState leaves all state of removed layers in place: a plain way with
	// the same picture, to compare with.
	KeepState bool
	// squares are the test squares, once they have been looked for.
	squares atomic.Pointer[[]survey.TestSquare]
}

// begin makes ready to edit what a selection leaves of the document.
func (i *Isolator) begin(ctx context.Context, sel Selection, opt *Options) (*editor, error) {
	if opt == nil {
		opt = &Options{}
	}
	d, err := newDecisions(ctx, i.Document, sel, opt.Flatten)
	if err == nil && opt.Decrypt {
		err = d.edit.Decrypt()
	}
	if err == nil {
		err = i.Document.Doubt(ctx, d.state)
	}
	return &editor{decisions: d, opt: *opt}, err
}

// Isolate writes what is kept to out, and tells what it did.
func (i *Isolator) Isolate(ctx context.Context, out io.Writer, sel Selection, opt *Options) (*Report, error) {
	doc := i.Document
	if len(doc.Groups) == 0 && sel.Lines == nil {
		return nil, doc.NoLayers()
	}
	if err := doc.PDF.MayChange(); err != nil {
		return nil, err
	}
	e, err := i.begin(ctx, sel, opt)
	if err != nil {
		return nil, err
	}
	searching, stop := context.WithCancel(ctx)
	defer stop()
	seen := survey.SearchSight(searching, doc, e.printed, e.opt.Extents)
	var squares, lines *survey.Search
	if i.squares.Load() == nil {
		squares = survey.SearchSquares(searching, doc)
	}
	if e.opt.KeptLines {
		lines = survey.SearchLines(searching, doc, e.printed)
	}
	o := observer{survey.Watch(), survey.Watch(seen), e.opt.begin("isolate", len(doc.PDF.Pages())), stop}
	if e.filters() { // else pages are read for the searches alone
		o.read = survey.Watch(squares, lines)
	}
	res, err := e.apply(ctx, i.KeepState, o)
	if err != nil {
		return nil, fmt.Errorf("isolating layers: %w", err)
	}
	residue, err := e.residue(res)
	if err != nil {
		return nil, err
	}
	to := &measured{out: out, sum: sha256.New()}
	end := steps.Begin(ctx, "write", 0)
	numbers, err := e.edit.Write(ctx, to)
	if end(to.size, err); err != nil {
		return nil, fmt.Errorf("writing the isolated file: %w", err)
	}
	r := e.report(res, numbers, seen)
	r.Lines, r.Residue = slices.Clone(sel.Lines), residue
	if squares != nil {
		if list, err := squares.Squares(); err == nil {
			i.squares.Store(&list)
		} // else the result is right, whatever is said of it
	}
	var found []survey.TestSquare
	if list := i.squares.Load(); list != nil {
		found = *list
	}
	r.addSquares(doc, found)
	r.KeptLines = lines.Styles()
	r.written = e.written(res, to)
	return r, nil
}

// measured hashes and counts what is written.
type measured struct {
	out  io.Writer
	sum  hash.Hash
	size int64
}

func (m *measured) Write(b []byte) (int, error) {
	n, err := m.out.Write(b)
	m.sum.Write(b[:n])
	m.size += int64(n)
	return n, err
}

// Grow makes room for what is to come where a buffer is written to.
func (m *measured) Grow(size int) {
	if out, ok := m.out.(interface{ Grow(size int) }); ok {
		out.Grow(size)
	}
}

// Switch writes the document with all its content, the layers switched as the
// selection says, and without the marks of removed line styles.
func (i *Isolator) Switch(ctx context.Context, out io.Writer, sel Selection) error {
	doc := i.Document
	if len(doc.Groups) == 0 && sel.Lines == nil {
		return doc.NoLayers()
	}
	e, err := i.begin(ctx, sel, nil)
	if err != nil {
		return err
	}
	if e.lines != nil {
		opt := rewrite.Options{Limits: doc.Limits, KeepState: true, AcceptDamage: true}
		if _, err := rewrite.Run(ctx, e.edit, linesAlone{e}, opt); err != nil {
			return fmt.Errorf("leaving line styles out: %w", err)
		}
	}
	var all, off pdf.Array
	for _, g := range doc.Groups {
		all = append(all, g.Ref)
		if e.printed(g.Ref) == optional.False {
			off = append(off, g.Ref)
		}
		e.editGroup(g)
	}
	if len(all) > 0 {
		e.setCatalog("OCProperties", pdf.Dict{"OCGs": all, "D": pdf.Dict{"Order": all, "OFF": off}})
	}
	for _, p := range doc.PDF.Pages() { // some viewers show annotations of layers that are off
		e.filterAnnotations(p, func(o pdf.Object) bool {
			what, _ := e.decide(pdf.AsDict(e.edit, o)["OC"])
			return what == rewrite.Remove
		})
	}
	if _, err := e.edit.Write(ctx, out); err != nil {
		return fmt.Errorf("writing the switched file: %w", err)
	}
	return nil
}

// linesAlone removes line styles, where any are, and leaves optional content as it is.
type linesAlone struct{ *editor }

// Decide implements [rewrite.Decider].
func (linesAlone) Decide(oc pdf.Object) (rewrite.Decision, pdf.Object) { return rewrite.Untouched, oc }
