package layers

import (
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// actions brings actions (12.6) up to date, wherever they stand: those that
// set the states of layers (12.6.4.12) lose the groups that go, those that hide
// annotations or deal with fields lose what went. An action of which nothing is
// left goes, what comes next taking its place. Scripts cannot be rewritten:
// where nothing stays a layer, those that deal with layers go too.
func (c *choice) actions() {
	a := &actionEdit{choice: c, chains: map[pdf.Ref]pdf.Array{}, open: map[pdf.Ref]bool{}, scripts: map[*pdf.Stream]bool{}}
	c.each(c.reach(c.edit), a.change)
}

// maxActions bounds actions that take the place of one.
const maxActions = 1000

// actionEdit changes the actions of one document.
type actionEdit struct {
	*choice
	chains map[pdf.Ref]pdf.Array // what stands for an object
	open   map[pdf.Ref]bool
	// scripts tells which streams are scripts that deal with layers.
	scripts map[*pdf.Stream]bool
}

// change implements change: the action itself, and the actions in its entries.
func (a *actionEdit) change(d pdf.Dict, _ pdf.Ref) pdf.Dict {
	now := a.act(d)
	was := now
	for _, k := range was.Keys() {
		v, changed := a.entry(k, was[k])
		if !changed {
			continue
		}
		if sameMap(now, was) {
			now = was.Clone()
		}
		if now[k] = v; v == nil {
			delete(now, k)
		}
	}
	return now
}

// act brings an action up to date.
func (a *actionEdit) act(d pdf.Dict) pdf.Dict {
	a.script(d)
	kind, key := a.kind(d), pdf.Name("")
	switch kind {
	case "SetOCGState":
		key = "State"
	case "Hide":
		key = "T"
	case "ResetForm", "SubmitForm":
		key = "Fields"
	case "Rendition":
		if a.flatten && a.mentions(d["JS"]) {
			return without(d, []pdf.Name{"JS"})
		}
		return d
	default:
		return d
	}
	list, isList := pdf.Resolve(a.edit, d[key]).(pdf.Array)
	if rest := a.left(kind, list); isList && len(rest) < len(list) {
		d = d.Clone()
		d[key] = rest
	}
	return d
}

// kind is the type of an action. An element of the structure, which may have
// any type, has a parent.
func (a *actionEdit) kind(d pdf.Dict) pdf.Name {
	if d["P"] != nil {
		return ""
	}
	return pdf.AsName(a.edit, d["S"])
}

// left is what is left of the list that an action works on.
func (a *actionEdit) left(kind pdf.Name, list pdf.Array) pdf.Array {
	if kind == "SetOCGState" {
		return a.states(list)
	}
	return slices.DeleteFunc(slices.Clone(list), a.target)
}

// target tells whether an annotation or field, by reference or full name, went.
func (a *actionEdit) target(o pdf.Object) bool {
	if ref, ok := o.(pdf.Ref); ok && a.went(ref) {
		return true
	}
	name, ok := pdf.AsString(a.edit, o)
	return ok && a.lostFields[pdf.Text(name)]
}

// states filters a list of states (Table 213): groups that go, and names
// without groups.
func (a *actionEdit) states(was pdf.Array) pdf.Array {
	var now pdf.Array
	name := pdf.Object(nil) // not written yet
	for _, v := range was {
		ref, ok := v.(pdf.Ref)
		switch {
		case ok && a.doc.Group(ref) != nil:
			if a.flatten || a.gone(ref) {
				continue
			}
			if name != nil {
				now, name = append(now, name), nil
			}
			now = append(now, ref)
		case pdf.AsName(a.edit, v) != "":
			name = v
		}
	}
	return now
}

// entry gives what stands for the value of a key that leads to actions.
func (a *actionEdit) entry(k pdf.Name, v pdf.Object) (now pdf.Object, changed bool) {
	if k == "AA" {
		return a.events(v)
	}
	if list, ok := pdf.Resolve(a.edit, v).(pdf.Array); ok {
		return a.array(k, v, list)
	}
	if !a.goes(v) {
		return v, false
	}
	rest := a.chain(v)
	if k == "Next" && len(rest) > 1 {
		return rest, true
	}
	return a.first(rest), true
}

// events is an additional-actions dictionary (12.6.3); it goes where every one
// of its actions does.
func (a *actionEdit) events(v pdf.Object) (now pdf.Object, changed bool) {
	d := pdf.AsDict(a.edit, v)
	for _, o := range d {
		if !a.goes(o) || len(a.chain(o)) > 0 {
			return v, false
		}
	}
	return nil, len(d) > 0
}

// array is an array of actions that follow each other, or of the pairs of a
// name tree (7.9.6).
func (a *actionEdit) array(k pdf.Name, v pdf.Object, list pdf.Array) (now pdf.Object, changed bool) {
	if !slices.ContainsFunc(list, a.goes) {
		return v, false
	}
	if k == "Names" {
		return a.pairs(list), true
	}
	rest := a.chain(list)
	if len(rest) == 0 {
		return nil, true
	}
	return rest, true
}

// pairs filters names with actions.
func (a *actionEdit) pairs(list pdf.Array) pdf.Array {
	now := pdf.Array{}
	for i := 0; i+1 < len(list); i += 2 {
		o := list[i+1]
		if a.goes(o) {
			o = a.first(a.chain(o))
		}
		if o != nil {
			now = append(now, list[i], o)
		}
	}
	return now
}

// goes tells whether nothing is left of an action.
func (a *actionEdit) goes(o pdf.Object) bool {
	d := pdf.AsDict(a.edit, o)
	if d == nil {
		return false
	}
	switch kind := a.kind(d); kind {
	case "SetOCGState":
		return len(a.states(pdf.AsArray(a.edit, d["State"]))) == 0
	case "Hide":
		list, ok := pdf.Resolve(a.edit, d["T"]).(pdf.Array)
		if !ok {
			return d["T"] != nil && a.target(d["T"])
		}
		return len(list) > 0 && len(a.left(kind, list)) == 0
	case "ResetForm", "SubmitForm":
		list := pdf.AsArray(a.edit, d["Fields"])
		return len(list) > 0 && len(a.left(kind, list)) == 0
	case "JavaScript":
		return a.flatten && a.mentions(d["JS"])
	}
	return false
}

// chain lists what stands for an action, or for several that follow each
// other: themselves, or what comes next where they go.
func (a *actionEdit) chain(o pdf.Object) pdf.Array {
	ref, indirect := o.(pdf.Ref)
	if indirect {
		if list, done := a.chains[ref]; done {
			return list
		}
		if a.open[ref] {
			return nil
		}
		a.open[ref] = true
		defer delete(a.open, ref)
	}
	list := a.follow(o)
	if indirect {
		a.chains[ref] = list
	}
	return list
}

func (a *actionEdit) follow(o pdf.Object) (list pdf.Array) {
	switch v := pdf.Resolve(a.edit, o).(type) {
	case pdf.Array:
		for _, o := range v {
			list = append(list, a.chain(o)...)
			if len(list) > maxActions {
				return list[:maxActions]
			}
		}
		return list
	case pdf.Dict:
		if a.goes(v) {
			if v["Next"] == nil {
				return nil
			}
			return a.chain(v["Next"])
		}
	}
	return pdf.Array{o}
}

// first makes one action of several that follow each other.
func (a *actionEdit) first(list pdf.Array) pdf.Object {
	switch len(list) {
	case 0:
		return nil
	case 1:
		return list[0]
	}
	head := pdf.AsDict(a.edit, list[0]).Clone()
	next := pdf.Array(nil)
	if head["Next"] != nil {
		next = a.chain(head["Next"])
	}
	head["Next"] = slices.Concat(next, list[1:])
	return head
}

// maxScript bounds a script that is read.
const maxScript = 4 << 20

// script warns of a script that stays although it deals with layers.
func (a *actionEdit) script(d pdf.Dict) {
	if js := d["JS"]; js != nil && !a.flatten && a.mentions(js) {
		a.note("a script deals with layers; it was left as it is, and may name or look for layers that went")
	}
}

// mentions tells whether a script (12.6.4.16) deals with layers: the names of
// its means, such as getOCGs, have OCG in them (from memory of the scripting
// interface, which ISO 32000 does not describe).
func (a *actionEdit) mentions(js pdf.Object) bool {
	if s, ok := pdf.AsString(a.edit, js); ok {
		return strings.Contains(pdf.Text(s), "OCG")
	}
	st := pdf.AsStream(a.edit, js)
	if st == nil {
		return false
	}
	does, known := a.scripts[st]
	if !known {
		data, _ := pdf.Decode(a.edit, st, maxScript) // of a damaged one what there is
		does = strings.Contains(pdf.Text(pdf.String(data)), "OCG")
		a.scripts[st] = does
	}
	return does
}
