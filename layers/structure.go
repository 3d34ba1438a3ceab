package layers

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// structure takes removed content out of the structure tree (14.7): its
// identifiers, the elements that held nothing else, and the text that stood
// for it (14.9) in every element above.
func (c *choice) structure(list []rewrite.Tagged) {
	_, ref := c.doc.pdf.Root()
	root := pdf.AsDict(c.edit, ref)
	tree := pdf.AsDict(c.edit, root["StructTreeRoot"])
	if tree == nil {
		return
	}
	s := &structureEdit{choice: c, parents: map[int]pdf.Object{}}
	s.numbers(tree["ParentTree"], 0)
	for _, t := range list {
		owners := pdf.AsArray(c.edit, s.parents[t.Parents])
		for _, id := range t.Gone {
			s.gone(t, id, owners)
		}
		for _, id := range t.Lost {
			if id < len(owners) {
				s.silence(owners[id])
			}
		}
	}
	s.annotations()
}

// structureEdit changes the structure tree of one document.
type structureEdit struct {
	*choice
	parents map[int]pdf.Object // the parent tree: what each number leads to
}

// numbers reads a number tree (7.9.7).
func (s *structureEdit) numbers(o pdf.Object, depth int) {
	node := pdf.AsDict(s.edit, o)
	if node == nil || depth > maxExpression {
		return
	}
	for _, kid := range pdf.AsArray(s.edit, node["Kids"]) {
		s.numbers(kid, depth+1)
	}
	list := pdf.AsArray(s.edit, node["Nums"])
	for i := 0; i+1 < len(list); i += 2 {
		s.parents[pdf.AsInt(s.edit, list[i], -1)] = list[i+1]
	}
}

// gone takes one identifier out of its element and out of the parent tree.
func (s *structureEdit) gone(t rewrite.Tagged, id int, owners pdf.Array) {
	if id >= len(owners) {
		return
	}
	owner, ok := owners[id].(pdf.Ref)
	if !ok {
		return
	}
	if ref, ok := s.parents[t.Parents].(pdf.Ref); ok {
		now := slices.Clone(pdf.AsArray(s.edit, ref))
		now[id] = nil
		s.edit.Set(ref, now)
	}
	s.silence(owner)
	s.filterKids(owner, func(kid pdf.Object) bool { return s.means(kid, t.Stream, id) })
}

// means tells whether a kid of an element is marked content of a stream: an
// integer, or a dictionary of the type MCR (14.7.4.2).
func (s *structureEdit) means(kid pdf.Object, stream pdf.Ref, id int) bool {
	if n, ok := pdf.Resolve(s.edit, kid).(pdf.Integer); ok {
		return int(n) == id
	}
	d := pdf.AsDict(s.edit, kid)
	if pdf.AsName(s.edit, d["Type"]) != "MCR" || pdf.AsInt(s.edit, d["MCID"], -1) != id {
		return false
	}
	in := d["Stm"]
	if in == nil {
		in = d["Pg"]
	}
	return in == nil || in == pdf.Object(stream)
}

// filterKids takes kids from an element; one without kids goes from its own
// parent too.
func (s *structureEdit) filterKids(ref pdf.Ref, drop func(pdf.Object) bool) {
	for range maxFieldDepth * 4 {
		d := pdf.AsDict(s.edit, ref)
		if d == nil {
			return
		}
		kids := pdf.AsArray(s.edit, d["K"])
		if kids == nil && d["K"] != nil {
			kids = pdf.Array{d["K"]}
		}
		rest := slices.DeleteFunc(slices.Clone(kids), drop)
		if len(rest) == len(kids) {
			return
		}
		parent, ok := d["P"].(pdf.Ref)
		if len(rest) > 0 || !ok {
			d = d.Clone()
			d["K"] = rest
			s.edit.Set(ref, d)
			return
		}
		s.edit.Set(ref, nil)
		gone := ref
		ref, drop = parent, func(kid pdf.Object) bool { return kid == pdf.Object(gone) }
	}
}

// silence takes the text that stands for content from an element and from all
// above it.
func (s *structureEdit) silence(o pdf.Object) {
	for range maxFieldDepth * 4 {
		ref, ok := o.(pdf.Ref)
		d := pdf.AsDict(s.edit, o)
		if !ok || d == nil {
			return
		}
		if now := without(d, []pdf.Name{"ActualText", "Alt", "E"}); !sameMap(now, d) {
			s.edit.Set(ref, now)
		}
		o = d["P"]
	}
}

// annotations takes references to annotations that went out of the elements
// (14.7.4.3).
func (s *structureEdit) annotations() {
	for _, ref := range s.edit.Refs() {
		d, ok := s.edit.Object(ref).(pdf.Dict)
		if !ok || d["K"] == nil || d["S"] == nil {
			continue
		}
		s.filterKids(ref, func(kid pdf.Object) bool {
			k := pdf.AsDict(s.edit, kid)
			obj, ok := k["Obj"].(pdf.Ref)
			return ok && pdf.AsName(s.edit, k["Type"]) == "OBJR" && s.edit.Object(obj) == nil && s.doc.pdf.Object(obj) != nil
		})
	}
}
