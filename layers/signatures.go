package layers

import (
	"github.com/sizeply/sizeply/internal/pdf"
)

// signatures takes out digital signatures (12.8), which cannot hold for a file
// that has been changed: the values of signature fields and what the catalog
// says of them.
func (c *choice) signatures() {
	found := false
	_, ref := c.doc.PDF.Root()
	c.each(c.reach(c.edit), func(d pdf.Dict, at pdf.Ref) pdf.Dict {
		now := d
		if c.signed(d) {
			now = without(d, []pdf.Name{"V", "Lock", "SV"})
		}
		if at == ref && d["Pages"] != nil {
			now = without(now, []pdf.Name{"Perms", "DSS"})
		}
		found = found || !sameMap(now, d)
		if form := pdf.AsDict(c.edit, now["AcroForm"]); form["SigFlags"] != nil {
			now = now.Clone()
			now["AcroForm"] = without(form, []pdf.Name{"SigFlags"})
		}
		return now
	})
	if found {
		c.note("the file was signed; the signatures were taken out, since they do not hold for a changed file")
	}
}

// signed tells whether a field has a signature as its value (12.7.4.5, 12.8.1).
// A field may inherit its type.
func (c *choice) signed(d pdf.Dict) bool {
	v := pdf.AsDict(c.edit, d["V"])
	kind := pdf.AsName(c.edit, v["Type"])
	return pdf.AsName(c.edit, d["FT"]) == "Sig" && d["V"] != nil || kind == "Sig" || kind == "DocTimeStamp" || v["ByteRange"] != nil
}
