package layers

import (
	"github.com/sizeply/sizeply/internal/pdf"
)

// signatures takes out digital signatures (12.8), which cannot hold for a file
// that has been changed: the values of signature fields and what the catalog
// says of them.
func (c *choice) signatures() {
	found := false
	for _, ref := range c.edit.Refs() {
		field, _ := c.edit.Object(ref).(pdf.Dict)
		if pdf.AsName(c.edit, field["FT"]) != "Sig" || field["V"] == nil {
			continue
		}
		c.edit.Set(ref, without(field, []pdf.Name{"V", "Lock", "SV"}))
		found = true
	}
	_, ref := c.doc.pdf.Root()
	root := pdf.AsDict(c.edit, ref)
	now := without(root, []pdf.Name{"Perms", "DSS"})
	found = found || len(now) < len(root)
	if form := pdf.AsDict(c.edit, root["AcroForm"]); form["SigFlags"] != nil {
		form = without(form, []pdf.Name{"SigFlags"})
		if at, ok := root["AcroForm"].(pdf.Ref); ok {
			c.edit.Set(at, form)
		} else {
			now = now.Clone()
			now["AcroForm"] = form
		}
	}
	if !sameMap(now, root) {
		c.edit.Set(ref, now)
	}
	if found {
		c.note("the file was signed; the signatures were taken out, since they do not hold for a changed file")
	}
}
