package layers

import (
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
)

// insides finds the groups that stand within what is drawn with: cells of tiling
// patterns (ISO 32000-1, 8.7.3), groups of soft masks (11.6.5.3), glyphs of Type 3
// fonts (9.6.5). It goes by what resources name.
type insides struct {
	doc   *optional.Document
	found map[pdf.Ref]bool
	seen  map[visited]bool
}

// visited is an object that was met, within such a thing or not.
type visited struct {
	ref    pdf.Ref
	within bool
}

// insides are those that the pages and their annotations lead to.
func findInsides(d *optional.Document) map[pdf.Ref]bool {
	in := &insides{d, map[pdf.Ref]bool{}, map[visited]bool{}}
	for _, p := range d.PDF.Pages() {
		in.resources(p.Resources, false, 0)
		for _, o := range pdf.AsArray(d.PDF, p.Dict["Annots"]) {
			looks := pdf.AsDict(d.PDF, pdf.AsDict(d.PDF, o)["AP"])
			for _, o := range looks {
				in.drawing(o, false, 0)
				for _, o := range pdf.AsDict(d.PDF, o) { // by state (12.5.5)
					in.drawing(o, false, 0)
				}
			}
		}
	}
	return in.found
}

// first tells whether an object is met for the first time, and not too deep. One
// that stands in place is met once for what it stands in.
func (in *insides) first(o pdf.Object, within bool, depth int) bool {
	ref, _ := o.(pdf.Ref)
	v := visited{ref, within}
	if depth > 2*maxFormDepth || in.seen[v] {
		return false
	}
	in.seen[v] = ref != 0
	return true
}

// resources goes through a resource dictionary (7.8.3).
func (in *insides) resources(o pdf.Object, within bool, depth int) {
	if !in.first(o, within, depth) {
		return
	}
	src, depth := in.doc.PDF, depth+1
	all := pdf.AsDict(src, o)
	each := func(kind pdf.Name, f func(pdf.Object)) {
		for _, o := range pdf.AsDict(src, all[kind]) {
			f(o)
		}
	}
	each("XObject", func(o pdf.Object) { in.drawing(o, within, depth) })
	each("Pattern", func(o pdf.Object) { in.drawing(o, true, depth) })
	each("Font", func(o pdf.Object) { in.font(o, depth) })
	each("ExtGState", func(o pdf.Object) {
		state := pdf.AsDict(src, o)
		in.drawing(pdf.AsDict(src, state["SMask"])["G"], true, depth)
		if f := pdf.AsArray(src, state["Font"]); len(f) > 0 {
			in.font(f[0], depth)
		}
	})
	if within {
		each("Properties", in.add)
	}
}

// drawing goes through what a stream draws with.
func (in *insides) drawing(o pdf.Object, within bool, depth int) {
	s := pdf.AsStream(in.doc.PDF, o)
	if s == nil || !in.first(o, within, depth) {
		return
	}
	if within {
		in.add(s.Dict["OC"])
	}
	in.resources(s.Dict["Resources"], within, depth+1)
}

// font goes through what the glyphs of a Type 3 font draw with.
func (in *insides) font(o pdf.Object, depth int) {
	f := pdf.AsDict(in.doc.PDF, o)
	if f["CharProcs"] != nil && in.first(o, true, depth) {
		in.resources(f["Resources"], true, depth+1)
	}
}

// add adds the groups of a membership.
func (in *insides) add(oc pdf.Object) {
	if m, _ := in.doc.Membership(oc); m != nil {
		m.Each(func(r pdf.Ref) { in.found[r] = true })
	}
}
