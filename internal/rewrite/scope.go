package rewrite

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// use says who names a resource in the output.
type use uint8

const (
	byHiddenState use = 1 << iota // state set in removed content
	byContent                     // anything else
)

// A scope is where a content stream finds its resources, with what the output
// uses of them.
type scope struct {
	*resources.Scope
	src    pdf.Objects
	parent *scope

	// used says how the output uses the names of the own dictionary.
	used map[resources.Name]use
	// bound gives the version of a form that a name of the own dictionary stands
	// for in the output, and new names for further versions.
	bound map[resources.Name]pdf.Ref

	// What the stream takes from outside: how the output uses names that the own
	// dictionary does not have, and the bindings made for them.
	outer      map[resources.Name]use
	outerBinds []binding
}

// binding is a name of a form and the version that it stands for; base is the
// name as it was.
type binding struct {
	base, name resources.Name
	ref        pdf.Ref
}

// newScope makes the scope of a stream with those resources; see
// [resources.NewScope].
func newScope(src pdf.Objects, own pdf.Object, parent *scope) *scope {
	var caller *resources.Scope
	if parent != nil {
		caller = parent.Scope
	}
	return &scope{
		Scope: resources.NewScope(src, own, caller), src: src, parent: parent,
		used: map[resources.Name]use{}, bound: map[resources.Name]pdf.Ref{}, outer: map[resources.Name]use{},
	}
}

// find is what a name stands for in the original; nil in no scope at all.
func (s *scope) find(n resources.Name) pdf.Object {
	if s == nil {
		return nil
	}
	return s.Find(n)
}

// now is what a name stands for in the output.
func (s *scope) now(n resources.Name) pdf.Object {
	for at := s; at != nil; at = at.parent {
		if ref, ok := at.bound[n]; ok {
			return ref
		}
		if at.Has(n) {
			break
		}
	}
	return s.Find(n)
}

// use records that the output names a resource.
func (s *scope) use(n resources.Name, by use) {
	if s == nil {
		return
	}
	if _, bound := s.bound[n]; bound || s.Has(n) {
		s.used[n] |= by
		return
	}
	s.outer[n] |= by
}

// bind makes a name stand for a version of a form, and returns it: the name as
// it was, or a new one where that stands for another version already.
func (s *scope) bind(base resources.Name, ref pdf.Ref) pdf.Name {
	b := binding{base, base, ref}
	if !s.canBind(b) {
		return s.bindAnew(base, ref)
	}
	s.rebind(b)
	return base.Name
}

// bindAnew gives a new name to something that stands for a part of what the
// base does.
func (s *scope) bindAnew(base resources.Name, ref pdf.Ref) pdf.Name {
	b := binding{base, base, ref}
	for n := 2; ; n++ {
		b.name.Name = base.Name + pdf.Name(fmt.Sprintf("_%d", n))
		if s.canBind(b) {
			s.rebind(b)
			return b.name.Name
		}
	}
}

// canBind reports whether a binding can be made: the name is free between here
// and the scope that has the base, or stands for the same already.
func (s *scope) canBind(b binding) bool {
	for at := s; at != nil; at = at.parent {
		if b.name != b.base && at.Has(b.name) {
			return false
		}
		if ref, ok := at.bound[b.name]; ok && ref != b.ref {
			return false
		}
		if at.Has(b.base) {
			return true
		}
	}
	return false
}

// rebind makes a binding in the scope that has the base.
func (s *scope) rebind(b binding) {
	for at := s; at != nil; at = at.parent {
		if at.Has(b.base) {
			at.bound[b.name] = b.ref
			return
		}
		at.outerBinds = append(at.outerBinds, b)
	}
}
