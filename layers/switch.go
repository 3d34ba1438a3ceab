package layers

import (
	"context"
	"fmt"
	"io"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// Switch writes a copy of the document with all its content in which the
// layers are switched as a selection says: what it chooses is on, what it
// leaves unchanged is as it is for printing, all else is off. It shows what
// Isolate is to give, in a viewer that knows layers. Annotations of layers
// that are off are left out, since some viewers show them all the same.
func (d *Document) Switch(ctx context.Context, out io.Writer, sel Selection) error {
	if len(d.props.groups) == 0 {
		return ErrNoLayers
	}
	c, err := d.choose(sel, IsolateOptions{})
	if err != nil {
		return err
	}
	var all, off pdf.Array
	for _, g := range d.props.groups {
		all = append(all, g.ref)
		if c.gone(g.ref) || c.state[g.ref] == isOpen && !g.layer.Print {
			off = append(off, g.ref)
		}
		c.group(g)
	}
	root, ref := d.pdf.Root()
	root = root.Clone()
	root["OCProperties"] = pdf.Dict{"OCGs": all, "D": pdf.Dict{"Order": all, "OFF": off}}
	c.edit.Set(ref, root)
	for _, p := range d.pdf.Pages() {
		c.hideAnnotations(p)
	}
	if _, err := c.edit.Write(ctx, out); err != nil {
		return fmt.Errorf("writing the switched file: %w", err)
	}
	return nil
}

// hideAnnotations takes the annotations that are off from a page.
func (c *choice) hideAnnotations(p pdf.Page) {
	var shown pdf.Array
	was := pdf.AsArray(c.doc.pdf, p.Dict["Annots"])
	for _, o := range was {
		if fate, _ := c.decide(pdf.AsDict(c.doc.pdf, o)["OC"]); fate != rewrite.Drop {
			shown = append(shown, o)
		}
	}
	if len(shown) < len(was) && p.Ref != 0 {
		dict := p.Dict.Clone()
		dict["Annots"] = shown
		c.edit.Set(p.Ref, dict)
	}
}
