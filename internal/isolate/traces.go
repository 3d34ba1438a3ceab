package isolate

import (
	"maps"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// removeTraces takes out of every object what no reader needs, by the kind of
// dictionary that it is used as (see entriesTable), and counts the entries.
func (e *editor) removeTraces() {
	t := newTraceEditor(e)
	t.meet()
	t.followRoles()
	for n, ref := range slices.Sorted(maps.Keys(t.met)) {
		if t.isStopped(n) {
			return
		}
		was := e.edit.Object(ref)
		if now := t.rest(was, t.met[ref]); !same(now, was) {
			e.edit.Set(ref, now)
		}
	}
}

// traceEditor takes out what no reader needs.
type traceEditor struct {
	*editor
	table *kindTable
	pages map[pdf.Ref]bool
	met   map[pdf.Ref]kinds // what each object is used as
	todo  []pdf.Ref
	// whole are the objects met as what is kept with all that it holds; they are that
	// only where nothing else leads to them.
	whole []pdf.Ref

	element, roles, classes kinds
	roleMaps                []pdf.Dict
	// named are the names that elements of the structure have as roles and classes.
	named map[kinds]map[pdf.Name]bool
}

func newTraceEditor(e *editor) *traceEditor {
	table := kindsOfDictionaries()
	t := &traceEditor{
		editor: e, table: table, met: map[pdf.Ref]kinds{}, pages: e.pages(),
		element: table.named("element"), roles: table.named("roles"), classes: table.named("classes"),
	}
	t.named = map[kinds]map[pdf.Name]bool{t.roles: {}, t.classes: {}}
	return t
}

// meet finds what each object is used as.
func (t *traceEditor) meet() {
	_, root := t.doc.PDF.Root()
	t.use(root, t.table.named("catalog"))
	t.use(t.doc.PDF.Info(), t.table.named("info"))
	for {
		for n := 0; len(t.todo) > 0; n++ {
			if t.isStopped(n) {
				return
			}
			ref := t.todo[len(t.todo)-1]
			t.todo = t.todo[:len(t.todo)-1]
			t.follow(t.edit.Object(ref), t.met[ref])
		}
		if len(t.whole) == 0 {
			return
		}
		ref := t.whole[len(t.whole)-1]
		t.whole = t.whole[:len(t.whole)-1]
		if t.met[ref] == (kinds{}) {
			t.met[ref] = t.table.whole
			t.todo = append(t.todo, ref)
		}
	}
}

// use notes that an object is used as one of some kinds. A page is a page,
// whatever leads to it.
func (t *traceEditor) use(ref pdf.Ref, as kinds) {
	if t.pages[ref] {
		as = t.table.named("page")
	} else if as.has(t.table.whole) {
		t.whole = append(t.whole, ref)
		return
	}
	if now := t.met[ref].with(as); now != t.met[ref] {
		t.met[ref] = now
		t.todo = append(t.todo, ref)
	}
}

// follow meets what stands in an object of some kinds.
func (t *traceEditor) follow(o pdf.Object, as kinds) {
	switch o := o.(type) {
	case pdf.Ref:
		t.use(o, as)
	case pdf.Array:
		for _, v := range o {
			t.follow(v, as)
		}
	case pdf.Dict:
		t.followEntries(o, as, false)
	case *pdf.Stream:
		t.followEntries(o.Dict, t.table.stream(as), true)
	}
}

// followEntries meets what the entries lead to that are kept.
func (t *traceEditor) followEntries(d pdf.Dict, as kinds, inStream bool) {
	if as.has(t.element) {
		t.named[t.roles][pdf.AsName(t.edit, d["S"])] = true
		for _, class := range append(pdf.Array{d["C"]}, pdf.AsArray(t.edit, d["C"])...) {
			t.named[t.classes][pdf.AsName(t.edit, class)] = true
		}
	}
	if as.has(t.roles) {
		t.roleMaps = append(t.roleMaps, d)
	}
	for key, v := range d {
		if below, kept := t.below(as, key, inStream); kept && !below.apart {
			t.follow(v, below.below)
		}
	}
}

// followRoles adds the roles that others stand for (14.7.3), each with its
// namespace or without.
func (t *traceEditor) followRoles() {
	todo := slices.Collect(maps.Keys(t.named[t.roles]))
	for len(todo) > 0 {
		role := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, d := range t.roleMaps {
			stands := pdf.AsName(t.edit, d[role])
			if pair := pdf.AsArray(t.edit, d[role]); len(pair) > 0 {
				stands = pdf.AsName(t.edit, pair[0])
			}
			if stands != "" && !t.named[t.roles][stands] {
				t.named[t.roles][stands] = true
				todo = append(todo, stands)
			}
		}
	}
}

// isUnused reports whether a key is that of a role or a class which no element
// has.
func (t *traceEditor) isUnused(as kinds, key pdf.Name) bool {
	return as == t.roles && !t.named[t.roles][key] || as == t.classes && !t.named[t.classes][key]
}

// below tells of a key, attached files as the options have them.
func (t *traceEditor) below(as kinds, key pdf.Name, inStream bool) (below row, kept bool) {
	below, kept = t.table.below(as, key, inStream)
	if below.below.has(t.table.attached) {
		return row{below: t.table.whole}, t.opt.KeepAttachments
	}
	return below, kept
}

// rest gives what is kept of an object of some kinds: the same one where it loses
// nothing.
func (t *traceEditor) rest(o pdf.Object, as kinds) pdf.Object {
	switch o := o.(type) {
	case pdf.String:
		if !as.has(t.table.strings) && !as.has(t.table.whole) {
			return nil
		}
	case pdf.Array:
		now := o
		for i, v := range o {
			if w := t.rest(v, as); !same(w, v) {
				if same(now, o) {
					now = slices.Clone(o)
				}
				now[i] = w
			}
		}
		return now
	case pdf.Dict:
		return t.restOfEntries(o, as, false)
	case *pdf.Stream:
		if as = t.table.stream(as); as == (kinds{}) {
			return nil
		}
		if dict := t.restOfEntries(o.Dict, as, true); !same(dict, o.Dict) {
			return &pdf.Stream{Dict: dict, Raw: o.Raw}
		}
	}
	return o
}

// restOfEntries gives what is kept of a dictionary: the same map where it loses
// nothing.
func (t *traceEditor) restOfEntries(d pdf.Dict, as kinds, inStream bool) pdf.Dict {
	now := d
	for key, v := range d {
		below, kept := t.below(as, key, inStream)
		if below.apart {
			continue
		}
		var w pdf.Object
		if kept && !t.isUnused(as, key) {
			w = t.rest(v, below.below)
		}
		if same(w, v) {
			continue
		}
		if same(now, d) {
			now = d.Clone()
		}
		if now[key] = w; w == nil {
			delete(now, key)
			t.unneeded++
		}
	}
	return now
}
