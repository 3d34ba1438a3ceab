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
