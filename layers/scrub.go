package layers

import (
	"reflect"

	"github.com/sizeply/sizeply/internal/pdf"
)

// scrub takes out what may hold the whole drawing a second time, whatever is
// chosen: private data of drawing programs (14.5), page thumbnails (12.3.4),
// metadata but for a few statements (14.3.2), attached files.
func (c *choice) scrub() {
	pages := map[pdf.Ref]bool{}
	for _, p := range c.doc.pdf.Pages() {
		pages[p.Ref] = true
	}
	if c.takeOut(func(r pdf.Ref) []pdf.Name {
		if pages[r] {
			return []pdf.Name{"PieceInfo", "Thumb"}
		}
		return []pdf.Name{"PieceInfo"}
	}) {
		c.note("private data of the drawing program and page thumbnails were taken out, since they hold every size")
	}
	c.metadata()
	if !c.keepAttachments {
		c.attachments()
	}
}

// takeOut deletes keys from all dictionaries and tells whether there were any.
func (c *choice) takeOut(keys func(pdf.Ref) []pdf.Name) bool {
	found := false
	for _, ref := range c.edit.Refs() {
		o := c.edit.Object(ref)
		dict, ok := o.(pdf.Dict)
		st, isStream := o.(*pdf.Stream)
		if isStream {
			dict = st.Dict
		} else if !ok {
			continue
		}
		now := without(dict, keys(ref))
		if len(now) == len(dict) {
			continue
		}
		found = true
		if isStream {
			c.edit.Set(ref, &pdf.Stream{Dict: now, Raw: st.Raw})
			continue
		}
		c.edit.Set(ref, now)
	}
	return found
}

// without gives a dictionary without some keys; the same map where it has none
// of them.
func without(d pdf.Dict, keys []pdf.Name) pdf.Dict {
	now := d
	for _, k := range keys {
		if _, has := now[k]; !has {
			continue
		}
		if len(now) == len(d) {
			now = d.Clone()
		}
		delete(now, k)
	}
	return now
}

// sameMap tells whether two dictionaries are one map.
func sameMap(a, b pdf.Dict) bool {
	return reflect.ValueOf(a).UnsafePointer() == reflect.ValueOf(b).UnsafePointer()
}

// changed tells whether two values differ. Equal maps and arrays are not
// looked into where they are one.
func changed(a, b pdf.Object) bool {
	if d, ok := a.(pdf.Dict); ok {
		if e, ok := b.(pdf.Dict); ok && sameMap(d, e) {
			return false
		}
	}
	return !reflect.DeepEqual(a, b)
}
