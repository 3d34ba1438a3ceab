package layers

import (
	"github.com/sizeply/sizeply/internal/pdf"
)

// attachments takes out embedded files (7.11.4), which may hold the drawing
// with every size: those of the document, of associated files, of collections
// and of annotations.
func (c *choice) attachments() {
	found := false
	_, ref := c.doc.pdf.Root()
	root := pdf.AsDict(c.edit, ref)
	if names := pdf.AsDict(c.edit, root["Names"]); names["EmbeddedFiles"] != nil {
		now := root.Clone()
		now["Names"] = without(names, []pdf.Name{"EmbeddedFiles"})
		root, found = now, true
	}
	if root["Collection"] != nil {
		root, found = without(root, []pdf.Name{"Collection"}), true
	}
	c.edit.Set(ref, root)
	for _, p := range c.doc.pdf.Pages() {
		found = c.attached(p) || found
	}
	found = c.takeOut(func(pdf.Ref) []pdf.Name { return []pdf.Name{"AF"} }) || found
	if found {
		c.note("attached files were taken out, since they may hold the whole drawing")
	}
}

// attached takes the annotations that hold a file from a page.
func (c *choice) attached(p pdf.Page) bool {
	dict := c.page(p)
	was := pdf.AsArray(c.edit, dict["Annots"])
	var now pdf.Array
	for _, o := range was {
		if pdf.AsName(c.edit, pdf.AsDict(c.edit, o)["Subtype"]) == "FileAttachment" {
			if ref, ok := o.(pdf.Ref); ok {
				c.edit.Set(ref, nil)
			}
			continue
		}
		now = append(now, o)
	}
	if len(now) == len(was) || p.Ref == 0 {
		return false
	}
	dict = dict.Clone()
	dict["Annots"] = now
	if len(now) == 0 {
		delete(dict, "Annots")
	}
	c.edit.Set(p.Ref, dict)
	return true
}
