package layers

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// extent is what a document reaches from its catalog and its information
// dictionary.
type extent struct {
	src   pdf.Objects
	seen  map[pdf.Ref]bool
	names map[pdf.Ref]bool // dictionaries whose keys are free names
	// states are appearance dictionaries, which hold such (12.5.5).
	states map[pdf.Ref]bool
	// skip are the keys that are not followed.
	skip []pdf.Name
}

// reach gives all that a source of objects reaches in this document.
func (c *choice) reach(src pdf.Objects, skip ...pdf.Name) *extent {
	x := &extent{src: src, seen: map[pdf.Ref]bool{}, names: map[pdf.Ref]bool{}, states: map[pdf.Ref]bool{}, skip: skip}
	_, root := c.doc.PDF.Root()
	todo := []pdf.Object{root, c.doc.PDF.Info()}
	for len(todo) > 0 {
		o := todo[len(todo)-1]
		todo = x.follow(o, "", todo[:len(todo)-1])
	}
	return x
}

// follow adds what a value leads to. Values in place are followed at once.
func (x *extent) follow(o pdf.Object, key pdf.Name, todo []pdf.Object) []pdf.Object {
	switch o := o.(type) {
	case pdf.Ref:
		x.names[o] = x.names[o] || freeNames(key)
		if !x.seen[o] {
			x.seen[o] = true
			if v := x.src.Object(o); v != nil {
				todo = append(todo, v)
			}
		}
	case pdf.Array:
		for _, v := range o {
			todo = x.follow(v, "", todo)
		}
	case *pdf.Stream:
		return x.follow(o.Dict, "", todo)
	case pdf.Dict:
		for k, v := range o {
			if slices.Contains(x.skip, k) {
				continue
			}
			if k == "AP" {
				x.appearances(v)
			}
			todo = x.follow(v, k, todo)
		}
	}
	return todo
}

// appearances notes the dictionaries of an appearance dictionary.
func (x *extent) appearances(ap pdf.Object) {
	if ref, ok := ap.(pdf.Ref); ok {
		x.states[ref] = true
	}
	for _, states := range pdf.AsDict(x.src, ap) {
		if ref, ok := states.(pdf.Ref); ok {
			x.names[ref] = true
		}
	}
}

// freeNames tells whether the keys of the dictionary under a key are names
// that somebody chose: resources (7.8.3), glyphs (9.6.5), destinations (12.3.2.3),
// roles and classes (14.7.3, 14.7.5.2), colorants (8.6.6.5).
func freeNames(key pdf.Name) bool {
	switch key {
	case "ExtGState", "ColorSpace", "Pattern", "Shading", "XObject", "Font", "Properties",
		"CharProcs", "Dests", "RoleMap", "ClassMap", "Colorants":
		return true
	}
	return false
}

// refs are the objects reached, ascending.
func (x *extent) refs() []pdf.Ref {
	list := make([]pdf.Ref, 0, len(x.seen))
	for r := range x.seen {
		list = append(list, r)
	}
	slices.Sort(list)
	return list
}

// A change gives what stands for a dictionary: the same map where nothing
// changes. ref is the object that it is or stands in.
type change func(d pdf.Dict, ref pdf.Ref) pdf.Dict

// each changes every dictionary of the extent whose keys are no free names,
// those within others after them.
func (c *choice) each(x *extent, f change) {
	for _, ref := range x.refs() {
		m := mapper{f, ref}
		switch o := c.edit.Object(ref).(type) {
		case *pdf.Stream:
			if now := m.dict(o.Dict, x.names[ref]); !sameMap(now, o.Dict) {
				c.edit.Set(ref, &pdf.Stream{Dict: now, Raw: o.Raw})
			}
		case pdf.Dict:
			now := pdf.Dict(nil)
			if x.states[ref] {
				now = m.states(o)
			} else {
				now = m.dict(o, x.names[ref])
			}
			if !sameMap(now, o) {
				c.edit.Set(ref, now)
			}
		case pdf.Array:
			if now := m.array(o); !sameObject(now, o) {
				c.edit.Set(ref, now)
			}
		}
	}
}

// mapper changes the dictionaries within one object.
type mapper struct {
	change change
	ref    pdf.Ref
}

func (m mapper) dict(d pdf.Dict, names bool) pdf.Dict {
	now := d
	if !names {
		now = m.change(d, m.ref)
	}
	was := now
	for _, k := range was.Keys() {
		v := m.value(was[k], k)
		if sameObject(v, was[k]) {
			continue
		}
		if sameMap(now, was) {
			now = was.Clone()
		}
		now[k] = v
	}
	return now
}

func (m mapper) array(a pdf.Array) pdf.Array {
	now := a
	for i, v := range a {
		w := m.value(v, "")
		if sameObject(v, w) {
			continue
		}
		if &now[0] == &a[0] {
			now = slices.Clone(a)
		}
		now[i] = w
	}
	return now
}

// value changes what stands in place. The states of an appearance have free
// names too.
func (m mapper) value(o pdf.Object, key pdf.Name) pdf.Object {
	switch o := o.(type) {
	case pdf.Dict:
		if key == "AP" {
			return m.states(o)
		}
		return m.dict(o, freeNames(key))
	case pdf.Array:
		if len(o) > 0 {
			return m.array(o)
		}
	}
	return o
}

// states changes an appearance dictionary (12.5.5).
func (m mapper) states(ap pdf.Dict) pdf.Dict {
	now := ap
	for _, k := range ap.Keys() {
		d, ok := ap[k].(pdf.Dict)
		if !ok {
			continue
		}
		if w := m.dict(d, true); !sameMap(w, d) {
			if sameMap(now, ap) {
				now = ap.Clone()
			}
			now[k] = w
		}
	}
	return now
}

// sameObject tells whether a value is the one it was: the same map or array.
func sameObject(a, b pdf.Object) bool {
	switch a := a.(type) {
	case pdf.Dict:
		d, ok := b.(pdf.Dict)
		return ok && sameMap(a, d)
	case pdf.Array:
		d, ok := b.(pdf.Array)
		return ok && len(a) == len(d) && (len(a) == 0 || &a[0] == &d[0])
	}
	return a == b
}
