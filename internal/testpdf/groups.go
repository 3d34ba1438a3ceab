package testpdf

import (
	"maps"
	"slices"
)

// Groups returns the object numbers of all groups of a file, ascending: those
// that OCProperties lists and every other dictionary of type OCG.
func Groups(original []byte) ([]int, error) {
	f, err := openFile(original)
	if err != nil {
		return nil, err
	}
	return f.groups(), nil
}

// DefaultState returns the states of all groups as the default configuration
// gives them (8.11.4.3): BaseState, then ON, then OFF; groups that the file
// does not list are on unless OFF names them.
func DefaultState(original []byte) (map[int]bool, error) {
	f, err := openFile(original)
	if err != nil {
		return nil, err
	}
	properties := f.dictOf(f.dictOf(f.trailer["Root"])["OCProperties"])
	d := f.dictOf(properties["D"])
	states := map[int]bool{}
	for _, num := range f.groups() {
		states[num] = true
	}
	if f.resolve(d["BaseState"]) == name("OFF") {
		f.set(states, properties["OCGs"], false)
	}
	f.set(states, d["ON"], true)
	f.set(states, d["OFF"], false)
	return states, nil
}

func (f *file) set(states map[int]bool, list object, on bool) {
	a, _ := f.resolve(list).(array)
	for _, o := range a {
		if r, ok := o.(ref); ok {
			if _, known := states[r.num]; known {
				states[r.num] = on
			}
		}
	}
}

func (f *file) groups() []int {
	found := map[int]bool{}
	properties := f.dictOf(f.dictOf(f.trailer["Root"])["OCProperties"])
	listed, _ := f.resolve(properties["OCGs"]).(array)
	for _, o := range listed {
		r, isRef := o.(ref)
		if d, ok := f.resolve(o).(dict); isRef && ok && !f.isMembership(d) {
			found[r.num] = true
		}
	}
	for num := range f.places {
		if d, ok := f.get(num).(dict); ok && f.resolve(d["Type"]) == name("OCG") {
			found[num] = true
		}
	}
	return slices.Sorted(maps.Keys(found))
}

func (f *file) isMembership(d dict) bool { return f.resolve(d["Type"]) == name("OCMD") }

// evaluator decides what a group or membership dictionary shows (ISO 32000-1,
// 8.11.2). It is the yardstick for the project's own, so it shares nothing
// with it.
type evaluator struct {
	f  *file
	on map[int]bool // every group of the file
}

// maxMembership bounds expressions and membership dictionaries within each
// other.
const maxMembership = 64

// visible decides for the value of an /OC entry or a property. What is neither
// a group of the file nor a membership dictionary hides nothing.
func (e *evaluator) visible(o object) bool {
	v, ok := e.value(o, trail{})
	return v || !ok
}

// trail is the way down: the object numbers passed and the depth.
type trail struct {
	seen  []int
	depth int
}

// step goes one level down through o; it fails on a cycle and at the limit.
func (t trail) step(o object) (trail, bool) {
	next := trail{seen: t.seen, depth: t.depth + 1}
	if r, ok := o.(ref); ok {
		for _, num := range t.seen {
			if num == r.num {
				return t, false
			}
		}
		next.seen = append(append([]int{}, t.seen...), r.num)
	}
	return next, next.depth <= maxMembership
}

// value is the state of a group or of a membership dictionary; ok is false
// where o is neither.
func (e *evaluator) value(o object, t trail) (on, ok bool) {
	if r, isRef := o.(ref); isRef {
		if on, isGroup := e.on[r.num]; isGroup {
			return on, true
		}
	}
	d, isDict := e.f.resolve(o).(dict)
	if !isDict || e.f.resolve(d["Type"]) != name("OCMD") {
		return false, false
	}
	if t, ok = t.step(o); !ok {
		return false, false
	}
	return e.membership(d, t), true
}

// membership follows Table 99: a valid VE decides, else OCGs and P.
func (e *evaluator) membership(d dict, t trail) bool {
	if on, ok := e.expression(d["VE"], t, 0); ok {
		return on
	}
	on, off := 0, 0
	for _, o := range e.members(d["OCGs"]) {
		if _, direct := o.(dict); direct {
			continue
		}
		switch v, ok := e.value(o, t); {
		case ok && v:
			on++
		case ok:
			off++
		}
	}
	if on+off == 0 {
		return true
	}
	switch e.f.resolve(d["P"]) {
	case name("AllOn"):
		return off == 0
	case name("AnyOff"):
		return off > 0
	case name("AllOff"):
		return on == 0
	}
	return on > 0
}

func (e *evaluator) members(o object) array {
	if a, ok := e.f.resolve(o).(array); ok {
		return a
	}
	return array{o}
}

// expression evaluates a visibility expression; ok is false where any part of
// it is malformed, which makes the whole invalid.
func (e *evaluator) expression(o object, t trail, depth int) (on, ok bool) {
	a, isArray := e.f.resolve(o).(array)
	if !isArray || len(a) == 0 || depth >= maxMembership {
		return false, false
	}
	if r, isRef := o.(ref); isRef {
		next, fits := trail{seen: t.seen}.step(r)
		if !fits {
			return false, false
		}
		t.seen = next.seen
	}
	op := e.f.resolve(a[0])
	values, ok := e.operands(op, a[1:], t, depth)
	if !ok {
		return false, false
	}
	return combine(op, values)
}

// operands evaluates all operands; null ones of And and Or do not count.
func (e *evaluator) operands(op object, a array, t trail, depth int) ([]bool, bool) {
	var out []bool
	for _, o := range a {
		target := e.f.resolve(o)
		if target == nil && op != name("Not") {
			continue
		}
		var v, ok bool
		if _, nested := target.(array); nested {
			v, ok = e.expression(o, t, depth+1)
		} else {
			v, ok = e.value(o, t)
		}
		if !ok {
			return nil, false
		}
		out = append(out, v)
	}
	return out, true
}

func combine(op object, values []bool) (on, ok bool) {
	on = op == name("And")
	switch {
	case len(values) == 0:
		return false, false
	case op == name("Not"):
		return !values[0], len(values) == 1
	case op != name("And") && op != name("Or"):
		return false, false
	}
	for _, v := range values {
		if op == name("And") {
			on = on && v
		} else {
			on = on || v
		}
	}
	return on, true
}
