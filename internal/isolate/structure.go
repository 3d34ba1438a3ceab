package isolate

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// remains says what is left of an element of the structure or of what it holds.
type remains uint8

const (
	allRemains  remains = iota
	partRemains         // a part of it is removed
	noneRemains
)

// structureEditor changes the structure tree (14.7) of one document.
type structureEditor struct {
	*editor
	absent map[pdf.Ref]bool // drawings, annotations and images that are removed
	less   map[pdf.Ref]bool // drawings that lost something
	// tags tell what is left of marked content by its stream, owned by its
	// element as the parent tree has it.
	tags       map[pdf.Ref]map[int]remains
	owned      map[ownedContent]remains
	removedIDs map[int][]int       // by the number in the parent tree
	seen       map[pdf.Ref]remains // elements
}

// ownedContent is marked content by the element that it belongs to.
type ownedContent struct {
	element pdf.Ref
	id      int
}

// editStructure takes removed content out of the structure tree: its
// identifiers, references to drawings and annotations that are removed, the
// elements that held nothing else, and the text that stood for it (14.9) in
// every element above. before and now are what the document reaches without its
// structure.
func (e *editor) editStructure(res *rewrite.Result, before, now extent) {
	catalog := e.catalog()
	tree := pdf.AsDict(e.edit, catalog["StructTreeRoot"])
	if tree == nil {
		return
	}
	s := &structureEditor{editor: e, absent: map[pdf.Ref]bool{}, less: res.Reduced, tags: map[pdf.Ref]map[int]remains{},
		owned: map[ownedContent]remains{}, removedIDs: map[int][]int{}, seen: map[pdf.Ref]remains{}}
	n := 0
	for ref := range before {
		if n++; e.isStopped(n) {
			return
		}
		isThere := func(r pdf.Ref) bool { _, ok := now[r]; return ok }
		if !isThere(ref) && !slices.ContainsFunc(res.Versions(ref), isThere) {
			s.absent[ref] = true
		}
	}
	parents := map[int]pdf.Object{} // what each number of the parent tree leads to
	s.tree(tree["ParentTree"], "Nums", func(k, v pdf.Object) (pdf.Object, bool) {
		parents[pdf.AsInt(e.edit, k, -1)] = v
		return v, true
	})
	for _, t := range res.Tagged {
		s.mark(t.Stream, t.Removed, noneRemains, parents[t.Parents])
		s.mark(t.Stream, t.Reduced, partRemains, parents[t.Parents])
		s.removedIDs[t.Parents] = append(s.removedIDs[t.Parents], t.Removed...)
	}
	kids, left := s.kids(tree["K"], structurePlace{})
	switch {
	case left == allRemains && e.away == nil:
		return
	case left == noneRemains:
		e.removeStructure(now)
		return
	}
	tree = with(tree, "K", kids)
	s.editTrees(tree, now)
	if at, ok := catalog["StructTreeRoot"].(pdf.Ref); ok {
		e.edit.Set(at, tree)
		return
	}
	e.setCatalog("StructTreeRoot", tree)
}

// removeStructure leaves the document without a structure: nothing says that it
// is tagged (14.7.1, 14.8.1), or where in the structure a thing belongs
// (14.7.4.4).
func (e *editor) removeStructure(now extent) {
	e.untagged = true
	_, root := e.doc.PDF.Root()
	e.each(now, func(d pdf.Dict, ref pdf.Ref) pdf.Dict {
		if ref == root && d["Pages"] != nil {
			d = without(d, "StructTreeRoot", "MarkInfo")
		}
		return without(d, "StructParents", "StructParent", "SE", "SD")
	})
}

// mark records what is left of marked content of a stream, whose elements are
// listed by identifier.
func (s *structureEditor) mark(stream pdf.Ref, ids []int, left remains, elements pdf.Object) {
	list := pdf.AsArray(s.edit, elements)
	if s.tags[stream] == nil {
		s.tags[stream] = map[int]remains{}
	}
	for _, id := range ids {
		s.tags[stream][id] = left
		if id < len(list) {
			if ref, ok := list[id].(pdf.Ref); ok {
				s.owned[ownedContent{ref, id}] = left
			}
		}
	}
}

// structurePlace is where kids stand: in an element, the content of which is on a
// page, each 0 where that is not known.
type structurePlace struct {
	element, page pdf.Ref
	depth         int
}

// maxStructureDepth bounds elements within elements; what is deeper is removed.
const maxStructureDepth = 10000

// kids brings the kids of an element up to date (Table 323, K), and tells what
// is left of them as a whole.
func (s *structureEditor) kids(o pdf.Object, at structurePlace) (now pdf.Object, left remains) {
	list, isList := pdf.Resolve(s.edit, o).(pdf.Array)
	if !isList && o != nil {
		list = pdf.Array{o}
	}
	rest := pdf.Array{}
	for n, kid := range list {
		if n > 0 && s.isStopped(n) {
			break
		}
		v, kidLeft := s.kid(kid, at)
		if kidLeft != noneRemains {
			rest = append(rest, v)
		}
		if kidLeft != allRemains {
			left = partRemains
		}
	}
	switch {
	case left == allRemains:
		return o, allRemains
	case len(rest) == 0:
		return nil, noneRemains
	}
	return rest, partRemains
}

// kid brings one kid up to date: marked content (14.7.4.2), an object (14.7.4.3)
// or an element.
func (s *structureEditor) kid(o pdf.Object, at structurePlace) (pdf.Object, remains) {
	switch v := pdf.Resolve(s.edit, o).(type) {
	case pdf.Integer:
		return o, s.content(at.page, int(v), at.element)
	case pdf.Dict:
		switch pdf.AsName(s.edit, v["Type"]) {
		case "MCR":
			stream := at.page
			for _, key := range []pdf.Name{"Pg", "Stm"} {
				if ref, ok := v[key].(pdf.Ref); ok {
					stream = ref
				}
			}
			return o, s.content(stream, pdf.AsInt(s.edit, v["MCID"], -1), at.element)
		case "OBJR":
			ref, _ := v["Obj"].(pdf.Ref)
			switch {
			case s.absent[ref] || s.isRemoved(ref):
				return o, noneRemains
			case s.less[ref]:
				return o, partRemains
			}
			return o, allRemains
		}
		return s.element(o, v, at)
	}
	return o, allRemains
}

// content is what is left of marked content. Where the stream is not known, the
// parent tree says it.
func (s *structureEditor) content(stream pdf.Ref, id int, element pdf.Ref) remains {
	switch {
	case stream == 0:
		return s.owned[ownedContent{element, id}]
	case s.absent[stream]:
		return noneRemains
	}
	return s.tags[stream][id]
}

// element brings an element up to date. One that loses something loses the
// text that stands for it, one that loses all its kids is removed.
func (s *structureEditor) element(o pdf.Object, d pdf.Dict, at structurePlace) (now pdf.Object, left remains) {
	ref, indirect := o.(pdf.Ref)
	if indirect {
		if left, done := s.seen[ref]; done {
			return o, left
		}
		s.seen[ref] = allRemains // a kid of itself holds nothing more
		defer func() { s.seen[ref] = left }()
	}
	var kids pdf.Object
	left = noneRemains
	if at.depth < maxStructureDepth {
		within := structurePlace{ref, at.page, at.depth + 1}
		if page, ok := d["Pg"].(pdf.Ref); ok {
			within.page = page
		}
		kids, left = s.kids(d["K"], within)
		if d["K"] == nil && s.isRemoved(d["Pg"]) {
			left = noneRemains
		}
	}
	switch left {
	case allRemains:
		return o, left
	case noneRemains:
		if indirect {
			s.edit.Set(ref, nil)
		}
		return o, left
	}
	return s.store(o, with(without(d, "ActualText", "Alt", "E", "Phoneme"), "K", kids)), left
}

// editTrees brings what leads into the structure up to date: the parent tree,
// the names of elements, references between elements (14.7.2, 14.7.4.4; Ref is
// of ISO 32000-2).
func (s *structureEditor) editTrees(root pdf.Dict, now extent) {
	if tree := root["ParentTree"]; tree != nil {
		used := map[int]bool{} // the numbers that what is left has in the tree
		s.each(now, func(d pdf.Dict, _ pdf.Ref) pdf.Dict {
			used[pdf.AsInt(s.edit, d["StructParents"], -1)] = true
			used[pdf.AsInt(s.edit, d["StructParent"], -1)] = true
			return d
		})
		root["ParentTree"] = s.tree(tree, "Nums", func(k, v pdf.Object) (pdf.Object, bool) {
			id := pdf.AsInt(s.edit, k, -1)
			keep := id >= 0 && used[id]
			list, isList := pdf.Resolve(s.edit, v).(pdf.Array)
			if !isList {
				return v, keep && !s.isRemoved(v)
			}
			return s.elements(v, list, s.removedIDs[id]), keep
		})
	}
	if tree := root["IDTree"]; tree != nil {
		root["IDTree"] = s.tree(tree, "Names", func(_, v pdf.Object) (pdf.Object, bool) { return v, !s.isRemoved(v) })
	}
	for ref, left := range s.seen {
		d, _ := s.edit.Object(ref).(pdf.Dict)
		list := pdf.AsArray(s.edit, d["Ref"])
		if left == noneRemains || list == nil {
			continue
		}
		if rest := s.remaining(list); len(rest) < len(list) {
			s.edit.Set(ref, with(d, "Ref", rest))
		}
	}
}

// elements brings the elements of one stream by identifier up to date. The
// others keep their places.
func (s *structureEditor) elements(o pdf.Object, list pdf.Array, removed []int) pdf.Object {
	now := slices.Clone(list)
	for _, id := range removed {
		if id < len(now) {
			now[id] = nil
		}
	}
	for i, v := range now {
		if s.isRemoved(v) {
			now[i] = nil
		}
	}
	if slices.EqualFunc(now, list, same) {
		return o
	}
	return s.store(o, now)
}

// maxNodeDepth bounds nodes within nodes.
const maxNodeDepth = 64

// A pairEditor gives the value of a pair, and whether the pair is kept.
type pairEditor func(k, v pdf.Object) (now pdf.Object, keep bool)

// tree brings the pairs of a number or name tree up to date (7.9.6, 7.9.7), which
// stand under a key of its nodes. Nodes keep their bounds, which may be wider than
// what they hold.
func (s *structureEditor) tree(o pdf.Object, key pdf.Name, pair pairEditor) pdf.Object {
	seen := map[pdf.Ref]bool{}
	var edit func(o pdf.Object, depth int) pdf.Object
	edit = func(o pdf.Object, depth int) pdf.Object {
		ref, indirect := o.(pdf.Ref)
		node := pdf.AsDict(s.edit, o)
		if node == nil || depth > maxNodeDepth || seen[ref] {
			return o
		}
		seen[ref] = indirect
		now := node
		if kids := pdf.AsArray(s.edit, node["Kids"]); kids != nil {
			rest := slices.Clone(kids)
			for i, kid := range kids {
				rest[i] = edit(kid, depth+1)
			}
			if !slices.EqualFunc(rest, kids, same) {
				now = with(now, "Kids", rest)
			}
		}
		if list := pdf.AsArray(s.edit, node[key]); list != nil {
			rest := pdf.Array{}
			for i := 0; i+1 < len(list); i += 2 {
				if v, keep := pair(list[i], list[i+1]); keep {
					rest = append(rest, list[i], v)
				}
			}
			if !slices.EqualFunc(rest, list, same) {
				now = with(now, key, rest)
			}
		}
		return s.store(o, now)
	}
	return edit(o, 0)
}
