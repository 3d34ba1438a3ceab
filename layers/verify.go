package layers

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/internal/survey"
)

// Verify opens an isolated file afresh and holds it against the original and
// the selection: the layers that stay are there in their states and no others,
// every page is there with its boxes and holds what it should, every object is
// reachable, nothing hidden is left, and the bytes are those that Isolate
// writes with the same options. A result that is encrypted is opened with the
// password of the original. It gives the first thing that does not hold.
func Verify(ctx context.Context, result io.ReadSeeker, original *Document, sel Selection, opt *IsolateOptions) error {
	if opt == nil {
		opt = &IsolateOptions{}
	}
	c, err := newChoice(original.file, sel, *opt)
	if err == nil {
		err = c.decrypt(opt.Decrypt)
	}
	if err != nil {
		return err
	}
	c.tell = newTeller(opt.Progress, "verify", 2*len(original.file.PDF.Pages()))
	opened, err := Open(ctx, result, original.options())
	if err != nil {
		return fmt.Errorf("opening the result: %w", err)
	}
	got := opened.file
	if err := verifyLayers(c.wanted(), got); err != nil {
		return err
	}
	res, err := c.apply(ctx)
	if err == nil {
		err = c.allowed(residue(res))
	}
	if err != nil {
		return err
	}
	if err := verifyPages(c, got); err != nil {
		return err
	}
	if err := verifyReachable(ctx, got); err != nil {
		return err
	}
	if err := verifyHidden(ctx, c, got); err != nil {
		return err
	}
	return verifyBytes(ctx, c, result)
}

// wanted describes the layers that stay, with their states.
func (c *choice) wanted() (list []string) {
	for _, g := range c.doc.Groups {
		if !c.flatten && !c.gone(g.Ref) {
			on := c.state[g.Ref] == optional.True || g.Layer.Print
			list = append(list, fmt.Sprintf("%q, on: %t", g.Layer.Name, on))
		}
	}
	return list
}

// verifyLayers compares the layers and their states.
func verifyLayers(want []string, got *optional.Document) error {
	var have []string
	for _, l := range got.Layers() {
		if l.On != l.Print || !l.Listed {
			return fmt.Errorf("layer %q is not shown as it is printed, or not listed", l.Name)
		}
		have = append(have, fmt.Sprintf("%q, on: %t", l.Name, l.On))
	}
	if !slices.Equal(want, have) {
		return fmt.Errorf("the layers are %v, not %v", have, want)
	}
	return nil
}

// verifyPages compares the pages: how many, their geometry, their content.
func verifyPages(c *choice, got *optional.Document) error {
	if err := verifyGeometry(c.doc, got); err != nil {
		return err
	}
	now := got.PDF.Pages()
	for i, a := range c.doc.PDF.Pages() {
		want, err := pdf.PageContent(c.edit, c.page(a), c.doc.Limits)
		if err != nil {
			return fmt.Errorf("page %d: %w", a.Number, err)
		}
		have, err := pdf.PageContent(got.PDF, now[i].Dict, c.doc.Limits)
		if err != nil || !bytes.Equal(want.Data, have.Data) {
			return fmt.Errorf("page %d: its content is not what it should be", a.Number)
		}
	}
	return nil
}

// verifyGeometry compares how many pages there are, and their geometry.
func verifyGeometry(original, got *optional.Document) error {
	was, now := original.PDF.Pages(), got.PDF.Pages()
	if len(was) != len(now) {
		return fmt.Errorf("there are %d pages, not %d", len(now), len(was))
	}
	for i := range was {
		a, b := was[i], now[i]
		if a.MediaBox != b.MediaBox || a.CropBox != b.CropBox || a.Rotate != b.Rotate || a.UserUnit != b.UserUnit {
			return fmt.Errorf("page %d: its boxes, rotation or unit are not as they were", a.Number)
		}
	}
	return nil
}

// page is the changed dictionary of a page.
func (c *choice) page(p pdf.Page) pdf.Dict {
	if d := pdf.AsDict(c.edit, p.Ref); p.Ref != 0 && d != nil {
		return d
	}
	return p.Dict
}

// verifyHidden isolates the result once more, with every layer as it is:
// nothing may be left that no state of the layers shows.
func verifyHidden(ctx context.Context, c *choice, got *optional.Document) error {
	if c.all() {
		return nil
	}
	var sel Selection
	for i := range got.Groups {
		sel.Unchanged = append(sel.Unchanged, i)
	}
	rest, err := newChoice(got, sel, IsolateOptions{})
	if err != nil {
		return err
	}
	rest.lines = c.lines
	nobody := observer{survey.Watch(), survey.Watch(), c.tell}
	res, err := rewrite.Run(ctx, rest.edit, rest, rewrite.Options{Limits: got.Limits, Observer: nobody})
	if err != nil {
		return fmt.Errorf("reading the result: %w", err)
	}
	for _, p := range res.Pages {
		if p.Removed > 0 {
			return fmt.Errorf("page %d: hidden content is left", p.Number)
		}
	}
	return nil
}

// errUnreachable says that a file holds what nothing refers to.
var errUnreachable = errors.New("the result holds objects that nothing refers to")

// verifyReachable writes the result once more: a file in which everything is
// reachable keeps all its objects.
func verifyReachable(ctx context.Context, got *optional.Document) error {
	numbers, err := got.PDF.Edit().Write(ctx, io.Discard)
	if err != nil {
		return err
	}
	if len(numbers) != len(got.PDF.Refs()) {
		return errUnreachable
	}
	return nil
}

// errBytes says that a file is not the one that Isolate writes.
var errBytes = errors.New("the result is not what isolating this selection gives")

// verifyBytes compares the result with what Isolate writes.
func verifyBytes(ctx context.Context, c *choice, result io.ReadSeeker) error {
	if _, err := result.Seek(0, io.SeekStart); err != nil {
		return fmt.Errorf("reading the result: %w", err)
	}
	in := bufio.NewReader(result)
	if _, err := c.edit.Write(ctx, &comparer{in: in}); err != nil {
		return err
	}
	if _, err := in.ReadByte(); err != io.EOF {
		return errBytes
	}
	return nil
}

// comparer is a writer that compares with a reader.
type comparer struct {
	in  io.Reader
	buf []byte
}

func (c *comparer) Write(p []byte) (int, error) {
	c.buf = slices.Grow(c.buf[:0], len(p))[:len(p)]
	if _, err := io.ReadFull(c.in, c.buf); err != nil || !bytes.Equal(c.buf, p) {
		return 0, errBytes
	}
	return len(p), nil
}
