package isolate

import (
	"maps"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/warning"
)

// editFields takes form fields (12.7) all of whose widgets are removed, with
// their values and the fonts that only they name, out of the form.
func (e *editor) editFields() {
	form := pdf.AsDict(e.edit, e.catalog()["AcroForm"])
	list := pdf.AsArray(e.edit, form["Fields"])
	if list == nil {
		return
	}
	f := &fieldEditor{editor: e, seen: map[pdf.Ref]bool{}, fonts: map[pdf.Name]bool{}}
	e.removedFields = map[string]bool{}
	rest := f.kept(list, "", 0)
	if len(e.removedFields) == 0 {
		return
	}
	e.note(warning.FieldsRemoved, "form fields that belonged to what is removed were taken out; "+
		"calculations that use them may not work any more")
	form = with(form, "Fields", rest)
	if order := pdf.AsArray(e.edit, form["CO"]); order != nil {
		form["CO"] = e.remaining(order)
	}
	// The resources of the form (Table 218), without the fonts that only removed
	// fields name.
	resources := pdf.AsDict(e.edit, form["DR"])
	if fonts := pdf.AsDict(e.edit, resources["Font"]); len(f.fonts) > 0 && fonts != nil {
		e.each(e.reach(e.edit), func(d pdf.Dict, _ pdf.Ref) pdf.Dict {
			for _, name := range appearanceFonts(e.edit, d["DA"]) {
				delete(f.fonts, name)
			}
			return d
		})
		form["DR"] = with(resources, "Font", without(fonts, slices.Collect(maps.Keys(f.fonts))...))
	}
	e.setCatalog("AcroForm", form)
}

// maxFieldDepth bounds fields within fields.
const maxFieldDepth = 32

// fieldEditor changes the fields of one form.
type fieldEditor struct {
	*editor
	seen  map[pdf.Ref]bool
	fonts map[pdf.Name]bool // named by what is removed
}

// kept lists the fields of a list that still have a widget, and makes the others
// null. parent is the full name of the field above.
func (f *fieldEditor) kept(list pdf.Array, parent string, depth int) pdf.Array {
	rest := pdf.Array{}
	for _, o := range list {
		if f.hasWidget(o, parent, depth) {
			rest = append(rest, o)
			continue
		}
		was := pdf.AsDict(f.doc.PDF, o)
		if ref, ok := o.(pdf.Ref); ok {
			f.edit.Set(ref, nil)
		}
		if was["T"] != nil {
			f.removedFields[fullName(f.doc.PDF, was, parent)] = true
		}
		for _, name := range appearanceFonts(f.doc.PDF, was["DA"]) {
			f.fonts[name] = true
		}
	}
	return rest
}

// hasWidget brings one field, or widget, up to date and reports whether anything
// of it is kept.
func (f *fieldEditor) hasWidget(o pdf.Object, parent string, depth int) bool {
	if f.isRemoved(o) {
		return false
	}
	d := pdf.AsDict(f.edit, o)
	if f.isHidden(d["OC"]) {
		return false // a widget that is on no page
	}
	ref, indirect := o.(pdf.Ref)
	kids := pdf.AsArray(f.edit, d["Kids"])
	if !indirect || f.seen[ref] || len(kids) == 0 || depth >= maxFieldDepth {
		return true
	}
	f.seen[ref] = true
	now := f.kept(kids, fullName(f.edit, d, parent), depth+1)
	if len(now) > 0 && len(now) < len(kids) {
		f.edit.Set(ref, with(d, "Kids", now))
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

// appearanceFonts are the fonts that a default appearance (12.7.3.3) sets.
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

// removeSignatures takes out digital signatures (12.8), which cannot hold for a
// file that has been changed: the values of signature fields and what the
// catalog says of them.
func (e *editor) removeSignatures() {
	found := false
	_, root := e.doc.PDF.Root()
	e.each(e.reach(e.edit), func(d pdf.Dict, ref pdf.Ref) pdf.Dict {
		now := d
		// A field may inherit its type (12.7.4.5, 12.8.1).
		v := pdf.AsDict(e.edit, d["V"])
		kind := pdf.AsName(e.edit, v["Type"])
		isSignature := kind == "Sig" || kind == "DocTimeStamp" || v["ByteRange"] != nil
		if isSignature || pdf.AsName(e.edit, d["FT"]) == "Sig" && d["V"] != nil {
			now = without(now, "V", "Lock", "SV")
		}
		if ref == root && d["Pages"] != nil {
			now = without(now, "Perms", "DSS")
		}
		found = found || !same(now, d)
		if form := pdf.AsDict(e.edit, now["AcroForm"]); form["SigFlags"] != nil {
			now = with(now, "AcroForm", without(form, "SigFlags"))
		}
		return now
	})
	if found {
		e.note(warning.SignaturesRemoved,
			"the file was signed; the signatures were taken out, since they do not hold for a changed file")
	}
}
