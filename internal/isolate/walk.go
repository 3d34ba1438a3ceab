package isolate

import (
	"reflect"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// keying says what the keys of a dictionary are.
type keying uint8

const (
	entries     keying = iota // entries that the standard names
	freeNames                 // names that somebody chose
	appearances               // those of an annotation; one of several states has free names (12.5.5)
)

// below is the keying of what stands under a key: free names stand in resources
// (7.8.3), glyphs (9.6.5), destinations (12.3.2.3), roles and classes (14.7.3,
// 14.7.5.2), colorants (8.6.6.5).
func (k keying) below(key pdf.Name) keying {
	switch key {
	case "AP":
		return appearances
	case "ExtGState", "ColorSpace", "Pattern", "Shading", "XObject", "Font", "Properties",
		"CharProcs", "Dests", "RoleMap", "ClassMap", "Colorants":
		return freeNames
	}
	if k == appearances {
		return freeNames
	}
	return entries
}

// An extent holds all that a document reaches from its catalog and its
// information dictionary, with the keying of what is a dictionary.
type extent map[pdf.Ref]keying

// reach gives all that a source of objects reaches in this document, without
// what only some keys lead to.
func (e *editor) reach(src pdf.Objects, skip ...pdf.Name) extent {
	x := extent{}
	var todo []pdf.Ref
	var follow func(o pdf.Object, k keying)
	follow = func(o pdf.Object, k keying) {
		switch o := o.(type) {
		case pdf.Ref:
			if had, ok := x[o]; !ok || had < k {
				x[o] = k
				todo = append(todo, o)
			}
		case pdf.Array:
			for _, v := range o {
				follow(v, entries)
			}
		case *pdf.Stream:
			follow(o.Dict, entries)
		case pdf.Dict:
			for key, v := range o {
				if !slices.Contains(skip, key) {
					follow(v, k.below(key))
				}
			}
		}
	}
	_, root := e.doc.PDF.Root()
	follow(root, entries)
	follow(e.doc.PDF.Info(), entries)
	for n := 0; len(todo) > 0 && !e.isStopped(n); n++ {
		ref := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		follow(src.Object(ref), x[ref])
	}
	return x
}

// refs are the objects of an extent, ascending; none once the context has ended.
func (e *editor) refs(x extent) []pdf.Ref {
	list, _ := pdf.Ascending(e.ctx, x)
	return list
}

// each lets change every dictionary of an extent but those of free names and of
// appearances, those within others after them. change gives the same map where
// nothing changes; ref is the object that the dictionary is or stands in.
func (e *editor) each(x extent, change func(d pdf.Dict, ref pdf.Ref) pdf.Dict) {
	var ref pdf.Ref
	var edit func(o pdf.Object, k keying) pdf.Object
	edit = func(o pdf.Object, k keying) pdf.Object {
		switch o := o.(type) {
		case *pdf.Stream: // also an appearance right under its key
			if dict, _ := edit(o.Dict, entries).(pdf.Dict); !same(dict, o.Dict) {
				return &pdf.Stream{Dict: dict, Raw: o.Raw}
			}
		case pdf.Dict:
			was := o
			if k == entries {
				was = change(o, ref)
			}
			now := was
			for _, key := range was.Keys() {
				v := edit(was[key], k.below(key))
				if same(v, was[key]) {
					continue
				}
				if same(now, was) {
					now = was.Clone()
				}
				now[key] = v
			}
			return now
		case pdf.Array:
			now := o
			for i, v := range o {
				w := edit(v, entries)
				if same(w, v) {
					continue
				}
				if same(now, o) {
					now = slices.Clone(o)
				}
				now[i] = w
			}
			return now
		}
		return o
	}
	for n, at := range e.refs(x) {
		if e.isStopped(n) {
			return
		}
		ref = at
		was := e.edit.Object(ref)
		if now := edit(was, x[ref]); !same(now, was) {
			e.edit.Set(ref, now)
		}
	}
}

// store makes an object what it is now and gives what stands for it: the same
// object where nothing changes, or where it is one of its own.
func (e *editor) store(o, now pdf.Object) pdf.Object {
	ref, indirect := o.(pdf.Ref)
	switch {
	case same(now, pdf.Resolve(e.edit, o)):
		return o
	case indirect:
		e.edit.Set(ref, now)
		return o
	}
	return now
}

// same reports whether an object is the one it was: the same map or array.
func same(a, b pdf.Object) bool {
	switch a := a.(type) {
	case pdf.Dict:
		b, ok := b.(pdf.Dict)
		return ok && reflect.ValueOf(a).UnsafePointer() == reflect.ValueOf(b).UnsafePointer()
	case pdf.Array:
		b, ok := b.(pdf.Array)
		return ok && len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
	}
	return a == b
}
