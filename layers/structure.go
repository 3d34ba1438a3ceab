package layers

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// structure takes removed content out of the structure tree (14.7): its
// identifiers, references to drawings and annotations that went, the elements
// that held nothing else, and the text that stood for it (14.9) in every
// element above. was and now are what the document reaches without its
// structure, before and after.
func (c *choice) structure(res *rewrite.Result, was, now *extent) {
	_, ref := c.doc.PDF.Root()
	root := pdf.AsDict(c.edit, ref)
	tree := pdf.AsDict(c.edit, root["StructTreeRoot"])
	if tree == nil {
		return
	}
	s := &structureEdit{choice: c, absent: c.absent(res, was, now), less: res.Less,
		tags: map[pdf.Ref]map[int]structFate{}, owned: map[owned]structFate{}, gone: map[int][]int{}, done: map[pdf.Ref]structFate{}}
	parents := s.parents(tree["ParentTree"])
	for _, t := range res.Tagged {
		s.note(t.Stream, t.Gone, structGone, parents[t.Parents])
		s.note(t.Stream, t.Lost, structLess, parents[t.Parents])
		s.gone[t.Parents] = append(s.gone[t.Parents], t.Gone...)
	}
	kids, fate := s.kids(tree["K"], structPlace{})
	switch fate {
	case structWhole:
		return
	case structGone:
		c.unstructured(now)
		return
	}
	tree = tree.Clone()
	tree["K"] = kids
	s.trees(tree, now)
	if at, ok := root["StructTreeRoot"].(pdf.Ref); ok {
		c.edit.Set(at, tree)
		return
	}
	root = root.Clone()
	root["StructTreeRoot"] = tree
	c.edit.Set(ref, root)
}

// absent lists what the document does not reach any more but by its structure.
// A drawing that is there in another version is there.
func (c *choice) absent(res *rewrite.Result, was, now *extent) map[pdf.Ref]bool {
	list := map[pdf.Ref]bool{}
	for ref := range was.seen {
		if !now.seen[ref] && !slices.ContainsFunc(res.Versions(ref), func(v pdf.Ref) bool { return now.seen[v] }) {
			list[ref] = true
		}
	}
	return list
}

// unstructured leaves the document without a structure: nothing says that it is
// tagged (14.7.1, 14.8.1), or where in the structure a thing belongs (14.7.4.4).
func (c *choice) unstructured(now *extent) {
	c.untagged = true
	_, ref := c.doc.PDF.Root()
	c.each(now, func(d pdf.Dict, at pdf.Ref) pdf.Dict {
		if at == ref && d["Pages"] != nil {
			d = without(d, []pdf.Name{"StructTreeRoot", "MarkInfo"})
		}
		return without(d, []pdf.Name{"StructParents", "StructParent", "SE", "SD"})
	})
}

// structFate is what became of an element or of what it holds.
type structFate uint8

const (
	structWhole structFate = iota // all of it is there
	structLess                    // a part of it went
	structGone                    // all of it went
)

// structureEdit changes the structure tree of one document.
type structureEdit struct {
	*choice
	absent map[pdf.Ref]bool // drawings, annotations and images that went
	less   map[pdf.Ref]bool // drawings that lost something
	// tags tell what became of marked content by its stream, owned by its
	// element as the parent tree has it.
	tags  map[pdf.Ref]map[int]structFate
	owned map[owned]structFate
	gone  map[int][]int          // identifiers by the number in the parent tree
	done  map[pdf.Ref]structFate // elements seen
}

// owned is marked content by the element that it belongs to.
type owned struct {
	element pdf.Ref
	id      int
}

// structPlace is where kids stand: in an element, the content of which is on a
// page, each 0 where that is not known.
type structPlace struct {
	element, page pdf.Ref
	depth         int
}

// maxStructureDepth bounds elements within elements; what is deeper goes.
const maxStructureDepth = 10000

// note records what became of marked content of a stream, whose elements are
// listed by identifier.
func (s *structureEdit) note(stream pdf.Ref, ids []int, fate structFate, elements pdf.Object) {
	list := pdf.AsArray(s.edit, elements)
	if s.tags[stream] == nil {
		s.tags[stream] = map[int]structFate{}
	}
	for _, id := range ids {
		s.tags[stream][id] = fate
		if id >= len(list) {
			continue
		}
		if ref, ok := list[id].(pdf.Ref); ok {
			s.owned[owned{ref, id}] = fate
		}
	}
}

// kids brings the kids of an element up to date (Table 323, K), and tells what
// became of them as a whole.
func (s *structureEdit) kids(o pdf.Object, at structPlace) (now pdf.Object, fate structFate) {
	list, isList := pdf.Resolve(s.edit, o).(pdf.Array)
	if !isList && o != nil {
		list = pdf.Array{o}
	}
	rest := pdf.Array{}
	for _, kid := range list {
		v, f := s.kid(kid, at)
		if f != structGone {
			rest = append(rest, v)
		}
		if f != structWhole {
			fate = structLess
		}
	}
	switch {
	case fate == structWhole && len(rest) == len(list):
		return o, structWhole
	case len(rest) == 0:
		return nil, structGone
	}
	return rest, structLess
}

// kid brings one kid up to date: marked content (14.7.4.2), an object (14.7.4.3)
// or an element.
func (s *structureEdit) kid(o pdf.Object, at structPlace) (pdf.Object, structFate) {
	switch v := pdf.Resolve(s.edit, o).(type) {
	case pdf.Integer:
		return o, s.content(at.page, int(v), at.element)
	case pdf.Dict:
		switch {
		case pdf.AsName(s.edit, v["Type"]) == "MCR":
			return o, s.reference(v, at)
		case pdf.AsName(s.edit, v["Type"]) == "OBJR":
			return o, s.object(v["Obj"])
		}
		return s.element(o, v, at)
	}
	return o, structWhole
}

// content tells what became of marked content. Where the stream is not known,
// the parent tree tells.
func (s *structureEdit) content(stream pdf.Ref, id int, element pdf.Ref) structFate {
	if stream == 0 {
		return s.owned[owned{element, id}]
	}
	if s.absent[stream] {
		return structGone
	}
	return s.tags[stream][id]
}

// reference tells what became of the marked content that a reference means.
func (s *structureEdit) reference(mcr pdf.Dict, at structPlace) structFate {
	stream := at.page
	if ref, ok := mcr["Pg"].(pdf.Ref); ok {
		stream = ref
	}
	if ref, ok := mcr["Stm"].(pdf.Ref); ok {
		stream = ref
	}
	return s.content(stream, pdf.AsInt(s.edit, mcr["MCID"], -1), at.element)
}

// object tells what became of an object as a whole.
func (s *structureEdit) object(o pdf.Object) structFate {
	ref, _ := o.(pdf.Ref)
	switch {
	case s.absent[ref] || s.choice.went(ref):
		return structGone
	case s.less[ref]:
		return structLess
	}
	return structWhole
}

// element brings an element up to date. One that loses something loses the
// text that stands for it, one that loses all its kids goes.
func (s *structureEdit) element(o pdf.Object, d pdf.Dict, at structPlace) (now pdf.Object, fate structFate) {
	ref, indirect := o.(pdf.Ref)
	if indirect {
		if fate, done := s.done[ref]; done {
			return o, fate
		}
		s.done[ref] = structWhole // a kid of itself holds nothing more
		defer func() { s.done[ref] = fate }()
	}
	if at.depth >= maxStructureDepth {
		return s.put(ref, nil), structGone
	}
	within := structPlace{ref, at.page, at.depth + 1}
	if page, ok := d["Pg"].(pdf.Ref); ok {
		within.page = page
	}
	kids, fate := s.kids(d["K"], within)
	switch fate {
	case structWhole:
		return o, fate
	case structGone:
		return s.put(ref, nil), fate
	}
	d = without(d.Clone(), []pdf.Name{"ActualText", "Alt", "E", "Phoneme"})
	d["K"] = kids
	return s.put(ref, d), fate
}

// put sets an element that is an object of its own, and gives what stands for
// it.
func (s *structureEdit) put(ref pdf.Ref, d pdf.Dict) pdf.Object {
	if ref == 0 {
		return d
	}
	if d == nil {
		s.edit.Set(ref, nil)
	} else {
		s.edit.Set(ref, d)
	}
	return ref
}
