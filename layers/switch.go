package layers

import (
	"context"
	"fmt"
	"io"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// Switch writes a copy of the document with all its content in which the
// layers are switched as a selection says: what it chooses is on, what it
// leaves unchanged is as it is for printing, all else is off. It shows what
// Isolate is to give, in a viewer that knows layers. Annotations of layers
// that are off are left out, since some viewers show them all the same. Marks in
// line styles that go are left out too; what they set in the graphics state is
// not.
func (d *Document) Switch(ctx context.Context, out io.Writer, sel Selection) error {
	if len(d.file.Groups) == 0 && sel.Lines == nil {
		return d.NoLayers()
	}
	c, err := newChoice(d.file, sel, IsolateOptions{})
	if err != nil {
		return err
	}
	if err := c.leaveLinesOut(ctx); err != nil {
		return err
	}
	c.switchGroups()
	for _, p := range d.file.PDF.Pages() {
		c.hideAnnotations(p)
	}
	if _, err := c.edit.Write(ctx, out); err != nil {
		return fmt.Errorf("writing the switched file: %w", err)
	}
	return nil
}

// leaveLinesOut takes the marks of the line styles that go out of the pages and
// leaves all else as it is.
func (c *choice) leaveLinesOut(ctx context.Context) error {
	if c.lines == nil {
		return nil
	}
	_, err := rewrite.Run(ctx, c.edit, linesAlone{c}, rewrite.Options{Limits: c.doc.Limits, KeepState: true})
	if err != nil {
		return fmt.Errorf("leaving line styles out: %w", err)
	}
	return nil
}

// linesAlone removes line styles and leaves optional content as it is.
type linesAlone struct{ *choice }

func (linesAlone) Decide(oc pdf.Object) (rewrite.Decision, pdf.Object) { return rewrite.Untouched, oc }

// switchGroups writes the states of the layers into the catalog.
func (c *choice) switchGroups() {
	if len(c.doc.Groups) == 0 {
		return
	}
	var all, off pdf.Array
	for _, g := range c.doc.Groups {
		all = append(all, g.Ref)
		if c.gone(g.Ref) || c.state[g.Ref] == optional.Undecided && !g.Layer.Print {
			off = append(off, g.Ref)
		}
		c.group(g)
	}
	root, ref := c.doc.PDF.Root()
	root = root.Clone()
	root["OCProperties"] = pdf.Dict{"OCGs": all, "D": pdf.Dict{"Order": all, "OFF": off}}
	c.edit.Set(ref, root)
}

// hideAnnotations takes the annotations that are off from a page.
func (c *choice) hideAnnotations(p pdf.Page) {
	var shown pdf.Array
	dict := c.page(p).Clone()
	was := pdf.AsArray(c.edit, dict["Annots"])
	for _, o := range was {
		if fate, _ := c.decide(pdf.AsDict(c.edit, o)["OC"]); fate != rewrite.Remove {
			shown = append(shown, o)
		}
	}
	if len(shown) < len(was) && p.Ref != 0 {
		dict["Annots"] = shown
		c.edit.Set(p.Ref, dict)
	}
}
