package layers

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// trees brings what leads into the structure up to date: the parent tree, the
// names of elements, references between elements (14.7.2, 14.7.4.4; Ref is of
// ISO 32000-2).
func (s *structureEdit) trees(root pdf.Dict, now *extent) {
	if tree := root["ParentTree"]; tree != nil {
		keep := s.parentsIn(now)
		root["ParentTree"] = s.tree(tree, "Nums", func(k, v pdf.Object) (pdf.Object, bool) {
			id := pdf.AsInt(s.edit, k, -1)
			list, isList := pdf.Resolve(s.edit, v).(pdf.Array)
			if !isList {
				return v, keep[id] && s.stays(v)
			}
			return s.elements(v, list, s.gone[id]), keep[id]
		})
	}
	if tree := root["IDTree"]; tree != nil {
		root["IDTree"] = s.tree(tree, "Names", func(_, v pdf.Object) (pdf.Object, bool) { return v, s.stays(v) })
	}
	for ref, fate := range s.done {
		d, _ := s.edit.Object(ref).(pdf.Dict)
		list := pdf.AsArray(s.edit, d["Ref"])
		if fate == structGone || list == nil {
			continue
		}
		if rest := s.there(list); len(rest) < len(list) {
			d = d.Clone()
			d["Ref"] = rest
			s.edit.Set(ref, d)
		}
	}
}

// stays tells whether an element is there still.
func (s *structureEdit) stays(o pdf.Object) bool {
	ref, ok := o.(pdf.Ref)
	return !ok || !s.choice.went(ref)
}

// parents reads the parent tree: what each number leads to.
func (s *structureEdit) parents(tree pdf.Object) map[int]pdf.Object {
	list := map[int]pdf.Object{}
	s.tree(tree, "Nums", func(k, v pdf.Object) (pdf.Object, bool) {
		list[pdf.AsInt(s.edit, k, -1)] = v
		return v, true
	})
	return list
}

// parentsIn are the numbers that what is left has in the parent tree.
func (s *structureEdit) parentsIn(now *extent) map[int]bool {
	list := map[int]bool{}
	s.each(now, func(d pdf.Dict, _ pdf.Ref) pdf.Dict {
		for _, k := range []pdf.Name{"StructParents", "StructParent"} {
			if n := pdf.AsInt(s.edit, d[k], -1); n >= 0 {
				list[n] = true
			}
		}
		return d
	})
	return list
}

// elements brings the elements of one stream by identifier up to date. The
// others keep their places.
func (s *structureEdit) elements(o pdf.Object, list pdf.Array, gone []int) pdf.Object {
	now := slices.Clone(list)
	for _, id := range gone {
		if id < len(now) {
			now[id] = nil
		}
	}
	for i, v := range now {
		if !s.stays(v) {
			now[i] = nil
		}
	}
	changed := !slices.EqualFunc(now, list, sameObject)
	ref, indirect := o.(pdf.Ref)
	switch {
	case !changed:
		return o
	case indirect:
		s.edit.Set(ref, now)
		return o
	}
	return now
}

// pairs says what becomes of a pair of a tree.
type pairs func(k, v pdf.Object) (now pdf.Object, stays bool)

// tree brings the pairs of a number or name tree up to date (7.9.6, 7.9.7).
func (s *structureEdit) tree(o pdf.Object, key pdf.Name, pair pairs) pdf.Object {
	return (&treeEdit{s.choice, key, pair, map[pdf.Ref]bool{}}).node(o, 0)
}

// treeEdit changes one tree.
type treeEdit struct {
	*choice
	key  pdf.Name
	pair pairs
	seen map[pdf.Ref]bool
}

// maxPairsDepth bounds nodes within nodes.
const maxPairsDepth = 64

// node brings a node up to date, once. It keeps its bounds, which may be wider
// than what it holds.
func (t *treeEdit) node(o pdf.Object, depth int) pdf.Object {
	node := pdf.AsDict(t.edit, o)
	if node == nil || depth > maxPairsDepth || again(t.seen, o) {
		return o
	}
	now := node
	set := func(k pdf.Name, v pdf.Array) {
		if sameMap(now, node) {
			now = node.Clone()
		}
		now[k] = v
	}
	if kids := pdf.AsArray(t.edit, node["Kids"]); kids != nil {
		rest := slices.Clone(kids)
		for i, kid := range kids {
			rest[i] = t.node(kid, depth+1)
		}
		if !slices.EqualFunc(rest, kids, sameObject) {
			set("Kids", rest)
		}
	}
	if list := pdf.AsArray(t.edit, node[t.key]); list != nil {
		rest := pdf.Array{}
		for i := 0; i+1 < len(list); i += 2 {
			if v, stays := t.pair(list[i], list[i+1]); stays {
				rest = append(rest, list[i], v)
			}
		}
		if len(rest) != len(list) || !slices.EqualFunc(rest, list, sameObject) {
			set(t.key, rest)
		}
	}
	if sameMap(now, node) {
		return o
	}
	if ref, ok := o.(pdf.Ref); ok {
		t.edit.Set(ref, now)
		return o
	}
	return now
}
