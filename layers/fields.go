package layers

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// fields takes form fields (12.7) whose widgets all went, with their values
// and the fonts that only they name, out of the form.
func (c *choice) fields() {
	_, ref := c.doc.PDF.Root()
	root := pdf.AsDict(c.edit, ref)
	form := pdf.AsDict(c.edit, root["AcroForm"])
	list := pdf.AsArray(c.edit, form["Fields"])
	if list == nil {
		return
	}
	f := &fieldEdit{choice: c, seen: map[pdf.Ref]bool{}, fonts: map[pdf.Name]bool{}}
	c.lostFields = map[string]bool{}
	rest := f.staying(list, "", 0)
	if f.lost == 0 {
		return
	}
	c.note("form fields that belonged to removed layers were taken out; calculations that use them may not work any more")
	form = form.Clone()
	form["Fields"] = rest
	if list := pdf.AsArray(c.edit, form["CO"]); list != nil {
		form["CO"] = c.there(list)
	}
	if dr := f.resources(form["DR"]); dr != nil {
		form["DR"] = dr
	}
	root = root.Clone()
	root["AcroForm"] = form
	c.edit.Set(ref, root)
}

// maxFieldDepth bounds fields within fields.
const maxFieldDepth = 32

// fieldEdit changes the fields of one form.
type fieldEdit struct {
	*choice
	seen  map[pdf.Ref]bool
	lost  int
	fonts map[pdf.Name]bool // named by what went
}

// staying lists the fields of a list that still have a widget, and makes the
// others null. parent is the full name of the field above.
func (f *fieldEdit) staying(list pdf.Array, parent string, depth int) pdf.Array {
	rest := pdf.Array{}
	for _, o := range list {
		if f.stays(o, parent, depth) {
			rest = append(rest, o)
			continue
		}
		was := pdf.AsDict(f.doc.PDF, o)
		if ref, ok := o.(pdf.Ref); ok {
			f.edit.Set(ref, nil)
		}
		if was["T"] != nil {
			f.lostFields[fullName(f.doc.PDF, was, parent)] = true
			f.lost++
		}
		f.named(was["DA"])
	}
	return rest
}

// stays brings one field, or widget, up to date.
func (f *fieldEdit) stays(o pdf.Object, parent string, depth int) bool {
	ref, indirect := o.(pdf.Ref)
	if indirect && f.went(ref) {
		return false
	}
	d := pdf.AsDict(f.edit, o)
	if fate, _ := f.Decide(d["OC"]); fate == rewrite.Remove {
		return false // a widget that is on no page
	}
	kids := pdf.AsArray(f.edit, d["Kids"])
	if !indirect || f.seen[ref] || len(kids) == 0 || depth >= maxFieldDepth {
		return true
	}
	f.seen[ref] = true
	now := f.staying(kids, fullName(f.edit, d, parent), depth+1)
	if len(now) > 0 && len(now) < len(kids) {
		d = d.Clone()
		d["Kids"] = now
		f.edit.Set(ref, d)
	}
	return len(now) > 0
}

// fullName is the fully qualified name of a field (12.7.3.2). A widget has
// that of its field.
func fullName(src pdf.Objects, d pdf.Dict, parent string) string {
	name, ok := pdf.AsString(src, d["T"])
	switch {
	case !ok:
		return parent
	case parent == "":
		return pdf.Text(name)
	}
	return parent + "." + pdf.Text(name)
}

// there leaves out references to objects that went.
func (c *choice) there(list pdf.Array) pdf.Array {
	rest := pdf.Array{}
	for _, o := range list {
		if ref, ok := o.(pdf.Ref); !ok || !c.went(ref) {
			rest = append(rest, o)
		}
	}
	return rest
}

// named notes the fonts of a default appearance (12.7.3.3) that goes.
func (f *fieldEdit) named(da pdf.Object) {
	for _, name := range appearanceFonts(f.doc.PDF, da) {
		f.fonts[name] = true
	}
}

// appearanceFonts are the fonts that a default appearance sets.
func appearanceFonts(src pdf.Objects, da pdf.Object) (list []pdf.Name) {
	text, ok := pdf.AsString(src, da)
	if !ok {
		return nil
	}
	scan := content.NewScanner([]byte(text))
	var op content.Operation
	for scan.Next(&op) {
		if name, ok := op.Name(0); ok && op.Op == content.OpFont {
			list = append(list, pdf.Name(name))
		}
	}
	return list
}

// resources are those of the form (Table 218) without the fonts that only what
// went names; nil where nothing changes.
func (f *fieldEdit) resources(dr pdf.Object) pdf.Object {
	was := pdf.AsDict(f.edit, dr)
	fonts := pdf.AsDict(f.edit, was["Font"])
	if len(f.fonts) == 0 || fonts == nil {
		return nil
	}
	f.each(f.reach(f.edit), func(d pdf.Dict, _ pdf.Ref) pdf.Dict {
		for _, name := range appearanceFonts(f.edit, d["DA"]) {
			delete(f.fonts, name)
		}
		return d
	})
	var keys []pdf.Name
	for name := range f.fonts {
		keys = append(keys, name)
	}
	now := was.Clone()
	now["Font"] = without(fonts, keys)
	return now
}
