package layers

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// actions brings the actions that set the states of layers (12.6.4.12) up to
// date, wherever they stand: groups that go leave their lists, and an action
// without groups goes, what comes next taking its place. Where nothing stays a
// layer they all go. An action that takes the place of another may be of this
// kind too, so it goes round until nothing changes.
func (c *choice) actions() {
	for range maxActions {
		if !c.actOnce() {
			return
		}
	}
}

// maxActions bounds actions that follow each other.
const maxActions = 32

// actOnce goes through all objects and tells whether anything changed.
func (c *choice) actOnce() (any bool) {
	for _, ref := range c.edit.Refs() {
		o := c.edit.Object(ref)
		if st, ok := o.(*pdf.Stream); ok {
			if dict, ok := c.act(st.Dict).(pdf.Dict); ok && !sameMap(dict, st.Dict) {
				c.edit.Set(ref, &pdf.Stream{Dict: dict, Raw: st.Raw})
				any = true
			}
			continue
		}
		now := c.act(o)
		if next, ok := now.(pdf.Ref); ok { // an object is no reference
			now = pdf.Resolve(c.edit, next)
		}
		if changed(o, now) {
			c.edit.Set(ref, now)
			any = true
		}
	}
	return any
}

// act gives what stands for a value.
func (c *choice) act(o pdf.Object) pdf.Object {
	switch o := o.(type) {
	case pdf.Dict:
		if pdf.AsName(c.edit, o["S"]) == "SetOCGState" {
			return c.setState(o)
		}
		return c.actEntries(o)
	case pdf.Array:
		now := o
		for i, v := range o {
			if w := c.act(v); changed(v, w) {
				if &now[0] == &o[0] {
					now = slices.Clone(o)
				}
				now[i] = w
			}
		}
		return now
	}
	return o
}

// actEntries goes through the entries of a dictionary; the same map where
// nothing changes.
func (c *choice) actEntries(d pdf.Dict) pdf.Dict {
	now := d
	for _, k := range d.Keys() {
		w := c.act(d[k])
		if !changed(d[k], w) {
			continue
		}
		if sameMap(now, d) {
			now = d.Clone()
		}
		if now[k] = w; w == nil {
			delete(now, k)
		}
	}
	return now
}

// setState filters one action; what comes next where nothing is left of it.
func (c *choice) setState(d pdf.Dict) pdf.Object {
	was := pdf.AsArray(c.edit, d["State"])
	var now pdf.Array
	for i, v := range was {
		if ref, ok := v.(pdf.Ref); ok && c.doc.props.byRef[ref] != nil {
			if !c.flatten && !c.gone(ref) {
				now = append(now, ref)
			}
			continue
		}
		if _, name := pdf.Resolve(c.edit, v).(pdf.Name); name && c.rules(was[i+1:]) {
			now = append(now, v)
		}
	}
	if len(now) == 0 {
		return c.first(c.act(d["Next"]))
	}
	next := c.act(d["Next"])
	if len(now) == len(was) && !changed(d["Next"], next) {
		return d
	}
	d = d.Clone()
	d["State"] = now
	if d["Next"] = next; next == nil {
		delete(d, "Next")
	}
	return d
}

// first makes one action of several that follow each other.
func (c *choice) first(o pdf.Object) pdf.Object {
	list := pdf.AsArray(c.edit, o)
	if list == nil {
		return o
	}
	if len(list) == 0 {
		return nil
	}
	head := pdf.AsDict(c.edit, list[0]).Clone()
	rest := slices.Clone(list[1:])
	if next := pdf.AsArray(c.edit, head["Next"]); next != nil {
		rest = append(next[:len(next):len(next)], rest...)
	} else if head["Next"] != nil {
		rest = append(pdf.Array{head["Next"]}, rest...)
	}
	if len(rest) > 0 {
		head["Next"] = rest
	}
	return head
}

// rules tells whether a name of a state list still has a group behind it,
// before the next name.
func (c *choice) rules(rest pdf.Array) bool {
	for _, v := range rest {
		if ref, ok := v.(pdf.Ref); ok && c.doc.props.byRef[ref] != nil {
			if !c.flatten && !c.gone(ref) {
				return true
			}
			continue
		}
		if _, name := pdf.Resolve(c.edit, v).(pdf.Name); name {
			return false
		}
	}
	return false
}
