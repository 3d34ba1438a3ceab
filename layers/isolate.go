package layers

import (
	"context"
	"crypto/sha256"
	"fmt"
	"io"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/internal/survey"
)

// An UnknownWidthError says that a page cannot be kept exact: text that goes is
// followed on its line by text that stays, and the widths of its font are
// unknown.
type UnknownWidthError = rewrite.UnknownWidthError

// IsolateOptions is for what isolating may be told besides the selection. The
// zero value, and nil, are the normal case.
type IsolateOptions struct {
	// Flatten makes plain content of the layers that stay: the output has no
	// optional content at all. Unchanged layers that are off go.
	Flatten bool
	// KeepAttachments leaves attached files where they are, although they may
	// hold the whole drawing.
	KeepAttachments bool
	// NoResidue refuses to keep anything of removed layers, even where what
	// stays is drawn with it.
	NoResidue bool
	// Decrypt takes the encryption off, which takes the owner password.
	// Without it the output is encrypted as the file is.
	Decrypt bool
	// KeptLines asks for those of the report.
	KeptLines bool
	// Progress, where there is one, is called when a step begins and after
	// each page, in the goroutine of the call. It is of no influence on the
	// result.
	Progress func(Progress)

	// keepState leaves all state of removed layers in place: the yardstick
	// that tests compare with.
	keepState bool
}

// Isolate writes the document with the selected layers alone, and without the
// selected line styles, to out and tells what it did. The document stays as it
// is: one open document gives one output after another, also at the same time.
// Equal selections give equal bytes. See the package comment for what is
// promised.
//
// It gives the error of NoLayers for a file without layers where Lines is nil, a
// *PermissionError for one that must not be changed, an *UnknownWidthError where
// a page cannot be kept exact, and a *ResidueError where it could with residue
// alone, which is not allowed; what was written to out until then is of no use.
func (d *Document) Isolate(ctx context.Context, out io.Writer, sel Selection, opt *IsolateOptions) (*Report, error) {
	if len(d.file.Groups) == 0 && sel.Lines == nil {
		return nil, d.NoLayers()
	}
	if opt == nil {
		opt = &IsolateOptions{}
	}
	if err := d.file.PDF.MayChange(); err != nil {
		return nil, err
	}
	c, err := newChoice(d.file, sel, *opt)
	if err == nil {
		err = c.decrypt(opt.Decrypt)
	}
	if err != nil {
		return nil, err
	}
	c.tell = newTeller(opt.Progress, "isolate", len(d.file.PDF.Pages()))
	if d.measured.Load() == nil {
		c.squares = survey.SearchSquares(ctx, d.file)
	}
	c.blank = survey.SearchBlank(ctx, d.file, c.printed)
	if opt.KeptLines {
		c.keptLines = survey.SearchLines(ctx, d.file, func(ref pdf.Ref) optional.Truth { return c.state[ref] })
	}
	res, err := c.apply(ctx)
	if err != nil {
		return nil, fmt.Errorf("isolating layers: %w", err)
	}
	if err := c.allowed(residue(res)); err != nil {
		return nil, err
	}
	sum := sha256.New()
	numbers, err := c.edit.Write(ctx, io.MultiWriter(out, sum))
	if err != nil {
		return nil, fmt.Errorf("writing the isolated file: %w", err)
	}
	r := c.report(res, numbers)
	r.scale(d.file, d.squares(c.squares))
	r.KeptLines = c.keptLines.Styles()
	r.made = c.made(res, [sha256.Size]byte(sum.Sum(nil)))
	return r, nil
}

// decrypt takes the encryption off where that is wanted.
func (c *choice) decrypt(wanted bool) error {
	if !wanted {
		return nil
	}
	return c.edit.Decrypt()
}

// apply makes all the changes in the edit.
func (c *choice) apply(ctx context.Context) (*rewrite.Result, error) {
	res, err := c.filter(ctx)
	if err != nil {
		return nil, err
	}
	c.properties()
	c.forget()
	return res, nil
}

// filter takes the marks that go out of every page. Where no layer goes and
// layers stay layers, the pages stay as they are.
func (c *choice) filter(ctx context.Context) (*rewrite.Result, error) {
	if c.all() && !c.flatten {
		return &rewrite.Result{}, nil
	}
	res, err := rewrite.Run(ctx, c.edit, c, rewrite.Options{
		Limits: c.doc.Limits, KeepState: c.keepState, Flatten: c.flatten,
		Observer: observer{survey.Watch(c.squares, c.keptLines), survey.Watch(c.blank), c.tell},
	})
	if err != nil {
		return nil, err
	}
	return res, c.beside(ctx, res)
}

// observer lets those see the pages that look for something beside.
type observer struct {
	read, filtered func(pdf.Page, []byte)
	tell           *teller
}

// PageRead implements rewrite.Observer.
func (o observer) PageRead(p pdf.Page, content []byte) { o.read(p, content) }

// PageFiltered implements rewrite.Observer.
func (o observer) PageFiltered(p pdf.Page, content []byte) {
	o.filtered(p, content)
	o.tell.page()
}

// printed is optional.True for a group that is on paper, optional.False for another.
func (c *choice) printed(ref pdf.Ref) optional.Truth {
	t := c.state[ref]
	if g := c.doc.Group(ref); t == optional.Undecided && g != nil {
		t = optional.False
		if g.Layer.Print {
			t = optional.True
		}
	}
	return t
}

// forget makes the groups that go null, so that no reference to them is
// written anywhere; all of them where nothing stays a layer.
func (c *choice) forget() {
	for _, g := range c.doc.Groups {
		if c.flatten || c.gone(g.Ref) {
			c.edit.Set(g.Ref, nil)
		}
	}
}
