package pdf

import (
	"context"
	"slices"

	"github.com/sizeply/sizeply/layers/failure"
)

// Edit is a set of changes over a Document, which stays as it is. An Edit is
// not safe for concurrent use.
type Edit struct {
	doc     *Document
	changed map[Ref]Object
	next    Ref
	info    Ref
	pages   []Page // those that are kept, as they are in the document
	// plain leaves the encryption of the document out.
	plain bool
}

// Edit begins an empty set of changes.
func (d *Document) Edit() *Edit {
	return &Edit{doc: d, changed: map[Ref]Object{}, next: d.next, info: d.info, pages: d.pages}
}

// Object implements Objects: the changed object where there is one, else the
// document's.
func (e *Edit) Object(r Ref) Object {
	if o, ok := e.changed[r]; ok {
		return o
	}
	return e.doc.Object(r)
}

// Refs returns the numbers of all objects, changed and added ones included,
// ascending.
func (e *Edit) Refs() []Ref {
	refs := slices.Clone(e.doc.refs)
	for r := range e.changed {
		refs = append(refs, r)
	}
	slices.Sort(refs)
	return slices.Compact(refs)
}

// Set changes object r to o; nil makes it null, so that references to it are
// left out of the output.
func (e *Edit) Set(r Ref, o Object) {
	e.changed[r] = o
	e.next = max(e.next, r+1)
}

// Changed reports whether object r was set or added.
func (e *Edit) Changed(r Ref) bool {
	_, ok := e.changed[r]
	return ok
}

// Added reports whether object r is none of the document's.
func (e *Edit) Added(r Ref) bool { return r >= e.doc.next }

// Add gives o a number that nothing else has.
func (e *Edit) Add(o Object) Ref {
	r := e.next
	e.Set(r, o)
	return r
}

// SetInfo makes r the document information dictionary, 0 for none.
func (e *Edit) SetInfo(r Ref) { e.info = r }

// Decrypt leaves the document's encryption out of the output, if it has one. It
// gives a *failure.PermissionError unless the document was opened with the owner's
// password.
func (e *Edit) Decrypt() error {
	if e.doc.enc != nil && e.doc.enc.opened != OwnerPassword {
		return &failure.PermissionError{Reason: "taking the encryption off the file needs its owner password"}
	}
	e.plain = true
	return nil
}

// Original returns the document under the changes.
func (e *Edit) Original() *Document { return e.doc }

// plan lists the objects that can be reached from the catalog and the
// information dictionary, breadth first, and numbers them from 1.
func (e *Edit) plan(ctx context.Context) (order []Ref, number map[Ref]Ref, err error) {
	p := planner{ctx: ctx, src: e, number: map[Ref]Ref{}}
	err = p.all(e.doc.root, e.info)
	return p.order, p.number, err
}

// planner numbers objects in the order in which they are met.
type planner struct {
	ctx    context.Context
	src    Objects
	steps  int // so far
	order  []Ref
	number map[Ref]Ref
	// missing collects references to nothing, unless it is nil.
	missing map[Ref]bool
	// skip has the entries that are not followed.
	skip map[Name]bool
}

// all numbers what some references lead to, and all that can be reached from
// there, breadth first.
func (p *planner) all(roots ...Ref) error {
	for _, r := range roots {
		p.ref(r)
	}
	for i := 0; i < len(p.order); i++ {
		if err := p.object(p.src.Object(p.order[i]), 0); err != nil {
			return err
		}
	}
	return nil
}

// ref numbers the object that r leads to, unless that is null. A reference
// that leads on by another gets the number of the object at the end.
func (p *planner) ref(r Ref) {
	if p.number[r] != 0 {
		return
	}
	last, ok := lastRef(p.src, r)
	if !ok {
		if p.missing != nil {
			p.missing[r] = true
		}
		return
	}
	if p.number[last] == 0 {
		p.order = append(p.order, last)
		p.number[last] = Ref(len(p.order))
	}
	p.number[r] = p.number[last]
}

// object follows the references in o, dictionaries by ascending key.
func (p *planner) object(o Object, depth int) error {
	if depth > 2*maxNesting {
		return errNested
	}
	if p.steps++; p.steps%objectsAtOnce == 0 && p.ctx.Err() != nil {
		return p.ctx.Err()
	}
	switch o := o.(type) {
	case Ref:
		p.ref(o)
	case Array:
		for _, v := range o {
			if err := p.object(v, depth+1); err != nil {
				return err
			}
		}
	case Dict:
		for _, key := range o.Keys() {
			if p.skip[key] {
				continue
			}
			if err := p.object(o[key], depth+1); err != nil {
				return err
			}
		}
	case *Stream:
		return p.object(o.Dict, depth+1)
	}
	return nil
}
