package layers

import (
	"github.com/sizeply/sizeply/internal/pdf"
)

// fields takes form fields (12.7) whose widgets all went, with their values,
// out of the form.
func (c *choice) fields() {
	_, ref := c.doc.pdf.Root()
	root := pdf.AsDict(c.edit, ref)
	form := pdf.AsDict(c.edit, root["AcroForm"])
	if form == nil {
		return
	}
	now := form.Clone()
	found := false
	if list := pdf.AsArray(c.edit, form["Fields"]); list != nil {
		rest := c.staysField(list, 0)
		found = len(rest) < len(list)
		now["Fields"] = rest
	}
	if list := pdf.AsArray(c.edit, form["CO"]); list != nil {
		now["CO"] = c.there(list)
	}
	if !found && !changed(form, now) {
		return
	}
	c.note("form fields that belonged to removed layers were taken out; calculations that use them may not work any more")
	if ref, ok := root["AcroForm"].(pdf.Ref); ok {
		c.edit.Set(ref, now)
		return
	}
	root = root.Clone()
	root["AcroForm"] = now
	c.edit.Set(ref, root)
}

// maxFieldDepth bounds fields within fields.
const maxFieldDepth = 32

// staysField lists the fields that still have a widget, and makes the others
// null.
func (c *choice) staysField(list pdf.Array, depth int) pdf.Array {
	rest := pdf.Array{}
	for _, o := range c.there(list) {
		field := pdf.AsDict(c.edit, o)
		ref, indirect := o.(pdf.Ref)
		kids := pdf.AsArray(c.edit, field["Kids"])
		if kids == nil || !indirect || depth >= maxFieldDepth {
			rest = append(rest, o)
			continue
		}
		now := c.staysField(kids, depth+1)
		if len(now) == 0 && len(kids) > 0 {
			c.edit.Set(ref, nil)
			continue
		}
		if len(now) < len(kids) {
			field = field.Clone()
			field["Kids"] = now
			c.edit.Set(ref, field)
		}
		rest = append(rest, o)
	}
	return rest
}

// there leaves out references to objects that went.
func (c *choice) there(list pdf.Array) pdf.Array {
	rest := pdf.Array{}
	for _, o := range list {
		if ref, ok := o.(pdf.Ref); ok && c.edit.Object(ref) == nil && c.doc.pdf.Object(ref) != nil {
			continue
		}
		rest = append(rest, o)
	}
	return rest
}
