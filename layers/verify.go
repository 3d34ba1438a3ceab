package layers

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// VerifyOptions is for what verifying may be told. The zero value, and nil,
// are the normal case.
type VerifyOptions struct{}

// Verify opens an isolated file afresh and holds it against the original and
// the selection: the layers that stay are there in their states and no others,
// every page is there with its boxes, no section and no object of a removed
// layer is left, and every object is reachable. It gives the first thing that
// does not hold.
func Verify(ctx context.Context, result io.ReadSeeker, original *Document, sel Selection, opt *VerifyOptions) error {
	c, err := original.choose(sel)
	if err != nil {
		return err
	}
	got, err := Open(ctx, result, nil)
	if err != nil {
		return fmt.Errorf("opening the result: %w", err)
	}
	for _, check := range []func(context.Context, *choice, *Document) error{
		verifyLayers, verifyPages, verifyContent, verifyReachable,
	} {
		if err := check(ctx, c, got); err != nil {
			return err
		}
	}
	return nil
}

// verifyLayers compares the layers and their states.
func verifyLayers(_ context.Context, c *choice, got *Document) error {
	var want []string
	for _, g := range c.doc.props.groups {
		if !c.gone(g.ref) {
			on := c.state[g.ref] == isTrue || g.layer.Print
			want = append(want, fmt.Sprintf("%q, on: %t", g.layer.Name, on))
		}
	}
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

// verifyPages compares the number of pages and their geometry.
func verifyPages(_ context.Context, c *choice, got *Document) error {
	was, now := c.doc.pdf.Pages(), got.pdf.Pages()
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

// verifyContent isolates the result once more: nothing may be left to remove.
func verifyContent(ctx context.Context, c *choice, got *Document) error {
	if c.all() {
		return nil
	}
	all := &choice{
		doc: got, edit: got.pdf.Edit(),
		state: map[pdf.Ref]truth{}, fates: map[pdf.Ref]decided{}, notes: map[string]bool{},
	}
	for _, g := range got.props.groups {
		all.state[g.ref] = isOpen
	}
	res, err := rewrite.Run(ctx, all.edit, all, got.limits)
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
func verifyReachable(ctx context.Context, _ *choice, got *Document) error {
	numbers, err := got.pdf.Edit().Write(ctx, io.Discard)
	if err != nil {
		return err
	}
	if len(numbers) != len(got.pdf.Refs()) {
		return errUnreachable
	}
	return nil
}
