package layers

import (
	"context"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// beside takes out what removed layers leave beside the content of the pages.
// Each step looks at what the ones before have left: first what goes as a
// whole, then what refers to it, then drawings that no page draws itself, and
// the structure last, which knows all of them.
func (c *choice) beside(ctx context.Context, res *rewrite.Result) error {
	was := c.reach(c.doc.PDF, structural...)
	c.dependents()
	c.strays()
	c.fields()
	c.signatures()
	c.actions()
	c.scrub()
	if err := res.Further(ctx, c.reach(c.edit, structural...).refs()); err != nil {
		return err
	}
	c.structure(res, was, c.reach(c.edit, structural...))
	c.metadata()
	return nil
}

// structural are the keys that lead to the structure of the document, which
// says nothing of what is drawn (14.7.2, 12.3.2.3 of ISO 32000-2, 12.3.3).
var structural = []pdf.Name{"StructTreeRoot", "SE", "SD"}

// dependents takes out annotations that go for what they are, and those that
// belong to one that went: pop-up windows and replies (12.5.6.2, 12.5.6.14).
func (c *choice) dependents() {
	went := map[pdf.Ref]bool{}
	belong := map[pdf.Ref][]pdf.Ref{}
	var todo []pdf.Ref
	for _, p := range c.doc.PDF.Pages() {
		for _, o := range pdf.AsArray(c.doc.PDF, p.Dict["Annots"]) {
			a := pdf.AsDict(c.doc.PDF, o)
			ref, ok := o.(pdf.Ref)
			if !ok {
				continue
			}
			if c.went(ref) || c.byKind(a) {
				todo = append(todo, ref)
			}
			for _, k := range []pdf.Name{"IRT", "Parent"} {
				if head, ok := a[k].(pdf.Ref); ok && (k == "IRT" || pdf.AsName(c.edit, a["Subtype"]) == "Popup") {
					belong[head] = append(belong[head], ref)
				}
			}
		}
	}
	for len(todo) > 0 {
		ref := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if !went[ref] {
			went[ref] = true
			c.edit.Set(ref, nil)
			todo = append(todo, belong[ref]...)
		}
	}
	c.annots(func(o pdf.Object) bool {
		ref, indirect := o.(pdf.Ref)
		return indirect && went[ref] || c.byKind(pdf.AsDict(c.edit, o))
	})
}

// byKind tells whether an annotation goes whatever layer it is in.
func (c *choice) byKind(a pdf.Dict) bool {
	switch pdf.AsName(c.edit, a["Subtype"]) {
	case "FileAttachment": // 12.5.6.15
		if c.keepAttachments {
			return false
		}
		c.note(whyAttached)
		return true
	case "TrapNet": // 14.11.6: it was made for the whole page
		c.note(whyViews)
		return true
	}
	return false
}

// annots takes annotations out of all pages.
func (c *choice) annots(drop func(pdf.Object) bool) {
	for _, p := range c.doc.PDF.Pages() {
		dict := c.page(p)
		was := pdf.AsArray(c.edit, dict["Annots"])
		now := slices.DeleteFunc(slices.Clone(was), drop)
		if len(now) == len(was) {
			continue
		}
		dict = dict.Clone()
		if dict["Annots"] = now; len(now) == 0 {
			delete(dict, "Annots")
		}
		c.edit.Set(p.Ref, dict)
	}
}

// went tells whether an object of the document was made null.
func (c *choice) went(ref pdf.Ref) bool {
	return c.edit.Object(ref) == nil && c.doc.PDF.Object(ref) != nil
}

// strays takes out pages that something refers to, but the page tree does not
// hold: templates (12.7.6), captured and deleted pages.
func (c *choice) strays() {
	pages := map[pdf.Ref]bool{}
	for _, p := range c.doc.PDF.Pages() {
		pages[p.Ref] = true
	}
	for _, ref := range c.reach(c.edit).refs() {
		d, _ := c.edit.Object(ref).(pdf.Dict)
		kind := pdf.AsName(c.edit, d["Type"])
		if pages[ref] || kind != "Page" && kind != "Template" {
			continue
		}
		c.edit.Set(ref, nil)
		if kind == "Page" {
			c.note(whyStray)
		} else {
			c.note(whyViews)
		}
	}
}
