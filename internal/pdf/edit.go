package pdf

import "slices"

// Edit is a set of changes over a Document, which stays as it is. An Edit is
// not safe for concurrent use.
type Edit struct {
	doc     *Document
	changed map[Ref]Object
	next    Ref
	info    Ref
	// plain leaves the encryption of the document out.
	plain bool
}

// Edit begins an empty set of changes.
func (d *Document) Edit() *Edit {
	return &Edit{doc: d, changed: map[Ref]Object{}, next: d.next, info: d.info}
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

// Add gives o a number that nothing else has.
func (e *Edit) Add(o Object) Ref {
	r := e.next
	e.Set(r, o)
	return r
}

// SetInfo makes r the document information dictionary, 0 for none.
func (e *Edit) SetInfo(r Ref) { e.info = r }

// Decrypt leaves the document's encryption out of the output, if it has one. It
// gives a *PermissionError unless the document was opened with the owner's
// password.
func (e *Edit) Decrypt() error {
	if e.doc.enc != nil && e.doc.enc.opened != OwnerPassword {
		return &PermissionError{"taking the encryption off the file needs its owner password"}
	}
	e.plain = true
	return nil
}

// Original returns the document under the changes.
func (e *Edit) Original() *Document { return e.doc }
