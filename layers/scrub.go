package layers

import (
	"github.com/sizeply/sizeply/internal/pdf"
)

// scrub takes out what holds the whole drawing a second time, whatever is
// chosen: private data of drawing programs (14.5) and page thumbnails
// (12.3.4).
func (c *choice) scrub() {
	pages := map[pdf.Ref]bool{}
	for _, p := range c.doc.pdf.Pages() {
		pages[p.Ref] = true
	}
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
		keys := []pdf.Name{"PieceInfo"}
		if pages[ref] {
			keys = append(keys, "Thumb")
		}
		now := without(dict, keys)
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
	if found {
		c.note("private data of the drawing program and page thumbnails were taken out, since they hold every size")
	}
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
