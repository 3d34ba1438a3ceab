package testpdf

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
)

// A Mutator makes damaged copies of one file. It takes the file apart with the
// reading of this package and writes it anew, so that it knows where each
// object, entry and row stands and can damage just that.
type Mutator struct {
	objects map[int]object
	trailer dict
	written Sections
	sound   []byte
}

// A Mutation is a damaged copy of a file.
type Mutation struct {
	Bytes []byte
	// Kind is what was damaged, such as "rows: two exchanged"; of a second
	// damage the Kind follows after " + ".
	Kind string
	// What says where, for a person who looks at the case.
	What string
}

// NewMutator takes a file apart. Where on is not nil, the default configuration
// is replaced by one that switches the groups, by their object numbers, as it
// says; what else has an influence on their state, Usage and Intent, goes.
// Encrypted files give an error.
func NewMutator(original []byte, on func(obj int) bool, written Sections) (*Mutator, error) {
	f, err := openFile(original)
	if err != nil {
		return nil, err
	}
	m := &Mutator{objects: map[int]object{}, trailer: dict{}, written: written}
	root, ok := f.catalog()
	if !ok {
		return nil, errors.New("the catalog is not an indirect object")
	}
	for _, num := range f.numbers() {
		o := f.get(num)
		s, isStream := o.(*stream)
		if o == nil || isStream && (s.dict["Type"] == name("ObjStm") || s.dict["Type"] == name("XRef")) {
			continue
		}
		m.objects[num] = inlineLength(f, o)
	}
	m.trailer["Root"] = root
	for _, k := range []name{"Info", "ID"} {
		if v, ok := f.trailer[k]; ok {
			m.trailer[k] = v
		}
	}
	if on != nil {
		m.configure(f.groups(), on)
	}
	m.sound = writeLayout(m.objects, m.trailer, m.written, nil).data
	return m, nil
}

// inlineLength takes the Length out of a stream, which is known when it is
// written.
func inlineLength(f *file, o object) object {
	s, ok := o.(*stream)
	if !ok {
		return o
	}
	d := maps.Clone(s.dict)
	delete(d, "Length")
	return &stream{d, s.raw}
}

// configure writes a default configuration, with lists of every kind.
func (m *Mutator) configure(groups []int, on func(obj int) bool) {
	var all, shown, hidden array
	for _, num := range groups {
		r := ref{num: num}
		all = append(all, r)
		if on(num) {
			shown = append(shown, r)
		} else {
			hidden = append(hidden, r)
		}
		if d, ok := m.objects[num].(dict); ok {
			d = maps.Clone(d)
			delete(d, "Usage")
			delete(d, "Intent")
			m.objects[num] = d
		}
	}
	root := m.trailer["Root"].(ref).num
	d := maps.Clone(m.objects[root].(dict))
	d["OCProperties"] = dict{"OCGs": all, "D": dict{
		"Name": str("(chosen)"), "BaseState": name("ON"), "ON": shown, "OFF": hidden, "Order": all,
		"AS": array{dict{"Event": name("Print"), "Category": array{name("Print")}, "OCGs": all}},
	}}
	m.objects[root] = d
}

// Sound is the copy without damage.
func (m *Mutator) Sound() []byte { return m.sound }

// Mutate makes the damaged copy of a seed; the same seed gives the same bytes.
// One copy in eight is damaged twice.
func (m *Mutator) Mutate(seed uint64) Mutation {
	r := rand.New(rand.NewPCG(seed, 0xDA3A6E)) // any constant does
	for {
		d := &damage{Rand: r, objects: maps.Clone(m.objects), trailer: maps.Clone(m.trailer), sections: m.written}
		d.apply()
		if d.IntN(8) == 0 {
			d.apply()
		}
		if out := d.layout().data; !bytes.Equal(out, m.sound) {
			return Mutation{Bytes: out, Kind: strings.Join(d.kinds, " + "), What: strings.Join(d.what, "; ")}
		}
	}
}

// damage is one copy in the making: first its objects, then, once something of
// its layout is to be damaged, its bytes.
type damage struct {
	*rand.Rand
	objects  map[int]object
	trailer  dict
	sections Sections
	written  *layout // nil while objects change
	touched  bool    // the bytes have been damaged
	quirks   map[int]quirk
	kinds    []string
	what     []string
}

// A quirk is how an object is written otherwise than it should.
type quirk struct {
	length   string // in place of the Length of the stream
	header   string // in place of "n g obj"
	unended  bool   // without endobj, and a stream without endstream
	unlisted bool   // without an entry in the table
	twice    object // written before it under the same number
}

// kind is one way to damage a file; do reports whether it found what it needs.
type kind struct {
	name string
	do   func(*damage) bool
}

// families are the kinds by what they damage; each family is chosen as often as
// another.
var families = map[string][]kind{}

func init() {
	for name, kinds := range map[string][]kind{
		"bytes": byteKinds, "tokens": tokenKinds, "entries": entryKinds, "references": referenceKinds,
		"rows": rowKinds, "packed": packedKinds, "objects": objectKinds, "streams": streamKinds,
		"pages": pageKinds, "layers": layerKinds, "memberships": membershipKinds, "content": contentKinds,
	} {
		families[name] = kinds
	}
}

// apply damages once, with a kind for which the file has something.
func (d *damage) apply() {
	names := slices.Sorted(maps.Keys(families))
	for {
		family := names[d.IntN(len(names))]
		k := families[family][d.IntN(len(families[family]))]
		if k.do(d) {
			d.kinds = append(d.kinds, family+": "+k.name)
			d.touched = d.written != nil
			return
		}
	}
}

func (d *damage) note(format string, args ...any) bool {
	d.what = append(d.what, fmt.Sprintf(format, args...))
	return true
}

// layout is the copy as bytes; from here on objects change no more.
func (d *damage) layout() *layout {
	if d.written == nil {
		d.written = writeLayout(d.objects, d.trailer, d.sections, d.quirks)
	}
	return d.written
}

// quirk changes how an object is written; it is too late once there are bytes.
func (d *damage) quirk(num int, q quirk) bool {
	if d.written != nil {
		return false
	}
	if d.quirks == nil {
		d.quirks = map[int]quirk{}
	}
	d.quirks[num] = q
	return true
}

// numbers are those of all objects, ascending.
func (d *damage) numbers() []int { return slices.Sorted(maps.Keys(d.objects)) }

// pick gives one of a list, which must not be empty.
func pick[T any](d *damage, list []T) T { return list[d.IntN(len(list))] }

// one gives the number of an object for which is is true, 0 for none.
func (d *damage) one(is func(object) bool) int {
	var list []int
	for _, num := range d.numbers() {
		if is(d.objects[num]) {
			list = append(list, num)
		}
	}
	if len(list) == 0 {
		return 0
	}
	return pick(d, list)
}

// two gives two different ones, 0 where there are not as many.
func (d *damage) two(is func(object) bool) (a, b int) {
	a = d.one(is)
	for range 20 {
		if b = d.one(is); b != a {
			return a, b
		}
	}
	return 0, 0
}

func anything(object) bool { return true }

func isStream(o object) bool {
	_, ok := o.(*stream)
	return ok
}

// typed is for objects with that Type.
func typed(types ...name) func(object) bool {
	return func(o object) bool {
		d, ok := o.(dict)
		if s, isStream := o.(*stream); isStream {
			d, ok = s.dict, true
		}
		t, _ := d["Type"].(name)
		return ok && slices.Contains(types, t)
	}
}
