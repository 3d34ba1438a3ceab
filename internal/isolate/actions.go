package isolate

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// editActions brings actions (12.6) up to date, wherever they stand: those that
// set the states of layers (12.6.4.12) lose the groups that are removed, those
// that hide annotations or deal with fields lose what is removed. An action of
// which nothing is left is removed, what comes next taking its place. Scripts
// (12.6.4.16) cannot be rewritten, and no page needs one to be shown: all of them
// are removed.
func (e *editor) editActions() {
	a := &actionEditor{editor: e, chains: map[pdf.Ref]pdf.Array{}, open: map[pdf.Ref]bool{}}
	e.each(e.reach(e.edit), a.change)
}

// maxActions bounds actions that take the place of one.
const maxActions = 1000

// actionEditor changes the actions of one document.
type actionEditor struct {
	*editor
	chains map[pdf.Ref]pdf.Array // what stands for an object
	open   map[pdf.Ref]bool
}

// leadsAway reports whether an action goes to a page that is taken out.
func (e *editor) leadsAway(d pdf.Dict) bool {
	return e.away != nil && pdf.AsName(e.edit, d["S"]) == "GoTo" && e.away(d["D"])
}

// change brings a dictionary up to date: the action that it is, and the actions
// in its entries.
func (a *actionEditor) change(d pdf.Dict, _ pdf.Ref) pdf.Dict {
	if key, list, rest := a.list(d); len(rest) < len(list) {
		d = with(d, key, rest)
	} else if kind := a.kind(d); kind == "JavaScript" || kind == "Rendition" {
		d = a.remove(d, whyScript, "JS")
	}
	now := d
	for _, k := range d.Keys() {
		if v := a.entry(k, d[k]); !same(v, d[k]) {
			now = with(now, k, v)
		}
	}
	return now
}

// kind is the type of an action. An element of the structure, which may have
// any type, has a parent.
func (a *actionEditor) kind(d pdf.Dict) pdf.Name {
	if d["P"] != nil {
		return ""
	}
	return pdf.AsName(a.edit, d["S"])
}

// listKeys are the keys of the arrays that actions work on, by type of action.
var listKeys = map[pdf.Name]pdf.Name{"SetOCGState": "State", "Hide": "T", "ResetForm": "Fields", "SubmitForm": "Fields"}

// list gives the array that an action works on, and what is left of it; none
// where it works on no array.
func (a *actionEditor) list(d pdf.Dict) (key pdf.Name, list, rest pdf.Array) {
	if key = listKeys[a.kind(d)]; key == "" {
		return "", nil, nil
	}
	list = pdf.AsArray(a.edit, d[key])
	if key == "State" {
		return key, list, a.layerStates(list)
	}
	return key, list, slices.DeleteFunc(append(pdf.Array{}, list...), a.isRemovedTarget)
}

// layerStates filters a list of states (Table 213): groups that are removed, and
// names without groups.
func (a *actionEditor) layerStates(was pdf.Array) pdf.Array {
	now := pdf.Array{}
	name := pdf.Object(nil) // not written yet
	for _, v := range was {
		ref, ok := v.(pdf.Ref)
		switch {
		case ok && a.doc.Group(ref) != nil:
			if a.flatten || a.removed(ref) {
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

// isRemovedTarget reports whether an annotation or field, by reference or full
// name, is removed.
func (a *actionEditor) isRemovedTarget(o pdf.Object) bool {
	name, ok := pdf.AsString(a.edit, o)
	return a.isRemoved(o) || ok && a.removedFields[pdf.Text(name)]
}

// entry gives what stands for the value of a key that may lead to actions: the
// same object where nothing changes, nil where nothing is left.
func (a *actionEditor) entry(k pdf.Name, v pdf.Object) pdf.Object {
	if k == "AA" { // additional actions by event (12.6.3)
		events := pdf.AsDict(a.edit, v)
		for _, o := range events {
			if !a.isEmpty(o) || len(a.chain(o)) > 0 {
				return v
			}
		}
		if len(events) > 0 {
			return nil
		}
		return v
	}
	// Actions that follow each other, or pairs of a name tree (7.9.6).
	if list, ok := pdf.Resolve(a.edit, v).(pdf.Array); ok {
		if !slices.ContainsFunc(list, a.isEmpty) {
			return v
		}
		now := pdf.Array{}
		if k != "Names" {
			now = append(now, a.chain(list)...)
		} else {
			for i := 0; i+1 < len(list); i += 2 {
				if o := a.one(list[i+1]); o != nil {
					now = append(now, list[i], o)
				}
			}
		}
		if len(now) == 0 && k != "Names" {
			return nil
		}
		return now
	}
	if k == "Next" && a.isEmpty(v) {
		if rest := a.chain(v); len(rest) > 1 {
			return rest
		}
	}
	return a.one(v)
}

// one gives what stands for an action: itself, or one action with all that
// follows it; nil where nothing is left.
func (a *actionEditor) one(o pdf.Object) pdf.Object {
	if !a.isEmpty(o) {
		return o
	}
	list := a.chain(o)
	switch len(list) {
	case 0:
		return nil
	case 1:
		return list[0]
	}
	head, next := pdf.AsDict(a.edit, list[0]), pdf.Array(nil)
	if head["Next"] != nil {
		next = a.chain(head["Next"])
	}
	return with(head, "Next", slices.Concat(next, list[1:]))
}

// isEmpty reports whether nothing is left of an action.
func (a *actionEditor) isEmpty(o pdf.Object) bool {
	d := pdf.AsDict(a.edit, o)
	if d == nil {
		return false
	}
	key, list, rest := a.list(d)
	_, isArray := pdf.Resolve(a.edit, d[key]).(pdf.Array)
	switch {
	case a.kind(d) == "JavaScript", a.kind(d) != "" && a.leadsAway(d):
		return true
	case key == "State":
		return len(rest) == 0
	case key == "T" && !isArray:
		return d[key] != nil && a.isRemovedTarget(d[key])
	}
	return len(list) > 0 && len(rest) == 0
}

// chain lists what stands for an action, or for several that follow each other:
// themselves, or what comes next where nothing of them is left.
func (a *actionEditor) chain(o pdf.Object) (list pdf.Array) {
	if ref, indirect := o.(pdf.Ref); indirect {
		if list, done := a.chains[ref]; done {
			return list
		}
		if a.open[ref] {
			return nil
		}
		a.open[ref] = true
		defer func() {
			delete(a.open, ref)
			a.chains[ref] = list
		}()
	}
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
		if a.isEmpty(v) {
			if v["Next"] == nil {
				return nil
			}
			return a.chain(v["Next"])
		}
	}
	return pdf.Array{o}
}
