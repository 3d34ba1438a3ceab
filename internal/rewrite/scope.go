package rewrite

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/pdf"
)

// The categories of a resource dictionary (7.8.3, Table 33) whose entries
// content streams name.
const (
	catExtGState  pdf.Name = "ExtGState"
	catColorSpace pdf.Name = "ColorSpace"
	catPattern    pdf.Name = "Pattern"
	catShading    pdf.Name = "Shading"
	catXObject    pdf.Name = "XObject"
	catFont       pdf.Name = "Font"
	catProperties pdf.Name = "Properties"
)

// categories are all of them, in the order in which they are rebuilt.
var categories = [...]pdf.Name{catExtGState, catColorSpace, catPattern, catShading, catXObject, catFont, catProperties}

// key is a resource name in its category.
type key struct{ cat, name pdf.Name }

// use says who names a resource in the output.
type use uint8

const (
	byHiddenState use = 1 << iota // state set in removed content
	byContent                     // anything else
)

// A Scope is where a content stream finds its resources: its own dictionary,
// then those of the streams that invoke it, outwards to the page. The
// standard wants inheritance only where a stream has no dictionary at all
// (7.8.3); engines also fall back for single names, so both are followed.
type Scope struct {
	src    pdf.Objects
	dict   pdf.Dict // nil where the stream has none of its own
	parent *Scope

	// used says how the output uses the names of dict.
	used map[key]use
	// bound gives the version of a form that a name of dict stands for in the
	// output, and new names for further versions.
	bound map[key]pdf.Ref

	// What the stream takes from outside: what names that dict does not have
	// meant, how the output uses them, and the bindings made for them.
	looked     map[key]pdf.Object
	outer      map[key]use
	outerBinds []binding
}

// binding is a name of a form and the version that it stands for; base is the
// name as it was.
type binding struct {
	base, key key
	ref       pdf.Ref
}

// NewScope makes the scope of a stream with those resources, a reference or a
// dictionary; nil where it has none of its own. parent is the scope of the
// stream that invokes it.
func NewScope(src pdf.Objects, resources pdf.Object, parent *Scope) *Scope {
	return &Scope{
		src: src, dict: pdf.AsDict(src, resources), parent: parent,
		used: map[key]use{}, bound: map[key]pdf.Ref{}, looked: map[key]pdf.Object{}, outer: map[key]use{},
	}
}

// Lookup finds the resource of that name in a category, such as "Font"; nil
// where nobody has it.
func (s *Scope) Lookup(cat, name pdf.Name) pdf.Object { return s.lookup(key{cat, name}) }

// lookup finds what a name stands for in the original.
func (s *Scope) lookup(k key) pdf.Object {
	if s == nil {
		return nil
	}
	if s.has(k) {
		return pdf.AsDict(s.src, s.dict[k.cat])[k.name]
	}
	v, known := s.looked[k]
	if !known {
		v = s.parent.lookup(k)
		s.looked[k] = v
	}
	return v
}

// has tells whether the scope's own dictionary has a name.
func (s *Scope) has(k key) bool {
	v, ok := pdf.AsDict(s.src, s.dict[k.cat])[k.name]
	return ok && pdf.Resolve(s.src, v) != nil
}

// use records that the output names a resource.
func (s *Scope) use(k key, u use) {
	if s == nil {
		return
	}
	if _, bound := s.bound[k]; bound || s.has(k) {
		s.used[k] |= u
		return
	}
	s.outer[k] |= u
}

// useAll records that the output may name anything that is there.
func (s *Scope) useAll() {
	for at := s; at != nil; at = at.parent {
		for _, cat := range categories {
			for name := range pdf.AsDict(at.src, at.dict[cat]) {
				s.lookup(key{cat, name})
				s.use(key{cat, name}, byContent)
			}
		}
	}
}

// bind makes a name stand for a version of a form, and returns it: the name as
// it was, or a new one where that stands for another version already.
func (s *Scope) bind(base key, ref pdf.Ref) pdf.Name {
	k := base
	if !s.canBind(binding{base, k, ref}) {
		return s.bindAnew(base, ref)
	}
	s.rebind(binding{base, k, ref})
	return k.name
}

// bindAnew gives a new name to something that stands for a part of what the
// base does.
func (s *Scope) bindAnew(base key, ref pdf.Ref) pdf.Name {
	k := base
	for n := 2; ; n++ {
		k.name = base.name + pdf.Name(fmt.Sprintf("_%d", n))
		if s.canBind(binding{base, k, ref}) {
			break
		}
	}
	s.rebind(binding{base, k, ref})
	return k.name
}

// canBind tells whether a binding can be made: the name is free between here
// and the scope that has the base, or stands for the same already.
func (s *Scope) canBind(b binding) bool {
	for at := s; at != nil; at = at.parent {
		if b.key != b.base && at.has(b.key) {
			return false
		}
		if ref, ok := at.bound[b.key]; ok && ref != b.ref {
			return false
		}
		if at.has(b.base) {
			return true
		}
	}
	return false
}

// rebind makes a binding in the scope that has the base.
func (s *Scope) rebind(b binding) {
	for at := s; at != nil; at = at.parent {
		if at.has(b.base) {
			at.bound[b.key] = b.ref
			return
		}
		at.outerBinds = append(at.outerBinds, b)
	}
}
