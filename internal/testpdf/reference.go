package testpdf

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
)

// Reference makes a copy of a PDF file that every renderer draws with exactly
// the groups on for which state gives true, by their object numbers. The
// original's bytes stay; an update is appended (ISO 32000-1, 7.5.6) in which
//
//   - OCProperties lists all groups, the file's list and every dictionary of
//     type OCG, with one plain configuration;
//   - group dictionaries lose Usage and Intent and get a Type and a name of
//     their own, since renderers apply or confuse them;
//   - every membership dictionary becomes a group that is on or off as the
//     dictionary evaluates, since no renderer evaluates all of them right;
//   - annotations that their /OC hides, or that of the appearance they show,
//     are taken off their page, since some renderers draw them.
//
// Page content is not touched. A file without OCProperties has no layers
// (8.11.4.2) and comes back as it is. Encrypted files give an error.
func Reference(original []byte, state func(obj int) bool) ([]byte, error) {
	f, err := openFile(original)
	if err != nil {
		return nil, fmt.Errorf("make the reference copy: %w", err)
	}
	root, ok := f.catalog()
	if !ok {
		return nil, errors.New("make the reference copy: the catalog is not an indirect object")
	}
	if _, ok := f.resolve(f.dictOf(root)["OCProperties"]).(dict); !ok {
		return slices.Clone(original), nil
	}
	u := &update{f: f, objects: map[int]object{}, free: f.size()}
	u.eval = &evaluator{f: f, on: map[int]bool{}}
	for _, num := range f.groups() {
		u.eval.on[num] = state(num)
	}
	u.rewriteAll()
	u.rewriteGroups()
	u.rewriteCatalog(root)
	return u.bytes(), nil
}

// catalog is the number under which the catalog itself stands.
func (f *file) catalog() (ref, bool) {
	r, ok := f.trailer["Root"].(ref)
	for range 32 {
		next, chained := f.get(r.num).(ref)
		if !chained {
			break
		}
		r = next
	}
	_, isDict := f.get(r.num).(dict)
	return r, ok && isDict
}

// size is one more than the highest object number.
func (f *file) size() int {
	size, _ := integer(f.trailer["Size"])
	for num := range f.places {
		size = max(size, num+1)
	}
	return size
}

// update collects the objects that replace the file's.
type update struct {
	f       *file
	eval    *evaluator
	objects map[int]object
	free    int // next free object number
	// always and never are the groups that stand for direct membership
	// dictionaries, 0 until there is one.
	always, never int
}

// rewriteAll goes through every object of the file.
func (u *update) rewriteAll() {
	for _, num := range u.f.numbers() {
		switch o := u.f.get(num).(type) {
		case dict:
			if u.f.isMembership(o) {
				on, _ := u.eval.value(ref{num: num}, trail{})
				u.objects[num] = on // becomes a group, see rewriteGroups
				continue
			}
			u.keep(num, o)
		case *stream:
			if t := o.dict["Type"]; t != name("XRef") && t != name("ObjStm") {
				u.keep(num, o)
			}
		default:
			u.keep(num, o)
		}
	}
}

func (u *update) keep(num int, o object) {
	if changed, ok := u.rewrite(o); ok {
		u.objects[num] = changed
	}
}

// rewrite gives the changed copy of an object; ok is false where nothing
// changes.
func (u *update) rewrite(o object) (changed object, ok bool) {
	switch v := o.(type) {
	case array:
		out := slices.Clone(v)
		for i := range v {
			if c, differs := u.rewrite(v[i]); differs {
				out[i], ok = c, true
			}
		}
		return out, ok
	case *stream:
		d, ok := u.rewrite(v.dict)
		if !ok {
			return v, false
		}
		return &stream{d.(dict), v.raw}, true
	case dict:
		return u.rewriteDict(v)
	}
	return o, false
}

func (u *update) rewriteDict(d dict) (changed object, ok bool) {
	if u.f.isMembership(d) {
		return u.constant(u.eval.visible(d)), true
	}
	out := maps.Clone(d)
	for _, k := range slices.Sorted(maps.Keys(d)) {
		if c, differs := u.rewrite(d[k]); differs {
			out[k], ok = c, true
		}
	}
	if a, isArray := u.f.resolve(d["Annots"]).(array); isArray {
		if kept := slices.DeleteFunc(slices.Clone(a), u.hidden); len(kept) < len(a) {
			rewritten, _ := u.rewrite(kept)
			out["Annots"], ok = rewritten, true
		}
	}
	return out, ok
}

// constant refers to a group that is always on or always off.
func (u *update) constant(on bool) ref {
	num := &u.never
	if on {
		num = &u.always
	}
	if *num == 0 {
		*num = u.free
		u.free++
		u.objects[*num] = on
	}
	return ref{num: *num}
}

// hidden says that an annotation is not drawn: by its /OC, by that of its
// normal appearance, or as the popup of one that is not drawn.
func (u *update) hidden(annotation object) bool {
	d := u.f.dictOf(annotation)
	if d == nil {
		return false
	}
	if !u.eval.visible(d["OC"]) {
		return true
	}
	if parent := u.f.dictOf(d["Parent"]); u.f.resolve(d["Subtype"]) == name("Popup") && !u.eval.visible(parent["OC"]) {
		return true
	}
	normal := u.f.dictOf(u.f.dictOf(d["AP"])["N"])
	if state, ok := u.f.resolve(d["AS"]).(name); ok && normal["Subtype"] == nil {
		normal = u.f.dictOf(normal[state])
	}
	return !u.eval.visible(normal["OC"])
}

// rewriteGroups writes every group dictionary anew, and one for each
// membership dictionary, which until here is noted as its state.
func (u *update) rewriteGroups() {
	for num, o := range u.objects {
		if on, ok := o.(bool); ok {
			u.eval.on[num] = on
			u.objects[num] = dict{}
		}
	}
	for num := range u.eval.on {
		d, ok := u.objects[num].(dict)
		if !ok {
			d = u.f.dictOf(ref{num: num})
		}
		d = maps.Clone(d)
		delete(d, "Usage")
		delete(d, "Intent")
		d["Type"] = name("OCG")
		d["Name"] = str(fmt.Sprintf("(group %d)", num))
		u.objects[num] = d
	}
}

func (u *update) rewriteCatalog(root ref) {
	var all, on, off array
	for _, num := range slices.Sorted(maps.Keys(u.eval.on)) {
		r := ref{num, u.f.places[num].generation()}
		all = append(all, r)
		if u.eval.on[num] {
			on = append(on, r)
		} else {
			off = append(off, r)
		}
	}
	d, ok := u.objects[root.num].(dict)
	if !ok {
		d = u.f.dictOf(root)
	}
	d = maps.Clone(d)
	d["OCProperties"] = dict{"OCGs": all, "D": dict{
		"Name": str("(reference)"), "BaseState": name("ON"), "ON": on, "OFF": off, "Order": all,
	}}
	u.objects[root.num] = d
}

// generation is 0 for objects in object streams.
func (p place) generation() int {
	if p.container != 0 {
		return 0
	}
	return p.gen
}

// bytes appends the update to the original: the changed objects and a
// cross-reference section of the kind of the file's last one. Where the file's
// own tables are broken, the section lists every object of the file and
// follows none.
func (u *update) bytes() []byte {
	b := bytes.NewBuffer(slices.Clone(u.f.data))
	b.WriteString("\n")
	offsets := map[int]int{}
	if u.f.start < 0 {
		u.adopt(offsets)
	}
	for _, num := range slices.Sorted(maps.Keys(u.objects)) {
		offsets[num] = b.Len() - u.f.base
		fmt.Fprintf(b, "%d %d obj\n", num, u.f.places[num].generation())
		write(b, u.objects[num])
		b.WriteString("\nendobj\n")
	}
	start := b.Len() - u.f.base
	if u.f.streams {
		u.writeStreamSection(b, offsets)
	} else {
		u.writeTable(b, offsets)
	}
	fmt.Fprintf(b, "startxref\n%d\n%%%%EOF\n", start)
	return b.Bytes()
}

// adopt takes all objects of a scanned file into the update: plain ones by
// their offset, those in object streams as plain copies.
func (u *update) adopt(offsets map[int]int) {
	for num, p := range u.f.places {
		if p.container == 0 {
			offsets[num] = p.offset
		} else if u.objects[num] == nil {
			u.objects[num] = u.f.get(num)
		}
	}
}

func (u *update) trailer() dict {
	t := dict{"Size": atom(strconv.Itoa(u.free))}
	for _, k := range []name{"Root", "Info", "ID"} {
		if v, ok := u.f.trailer[k]; ok {
			t[k] = v
		}
	}
	if u.f.start >= 0 {
		t["Prev"] = atom(strconv.Itoa(u.f.start))
	}
	return t
}

func (u *update) writeTable(b *bytes.Buffer, offsets map[int]int) {
	b.WriteString("xref\n")
	if u.f.start < 0 {
		b.WriteString("0 1\n0000000000 65535 f \n")
	}
	for _, run := range runs(offsets) {
		fmt.Fprintf(b, "%d %d\n", run[0], len(run))
		for _, num := range run {
			fmt.Fprintf(b, "%010d %05d n \n", offsets[num], u.f.places[num].generation())
		}
	}
	b.WriteString("trailer\n")
	write(b, u.trailer())
	b.WriteString("\n")
}

// writeStreamSection writes an uncompressed cross-reference stream, which
// lists itself.
func (u *update) writeStreamSection(b *bytes.Buffer, offsets map[int]int) {
	self := u.free
	u.free++
	offsets[self] = b.Len() - u.f.base
	var rows []byte
	var index array
	for _, run := range runs(offsets) {
		index = append(index, atom(strconv.Itoa(run[0])), atom(strconv.Itoa(len(run))))
		for _, num := range run {
			at, gen := offsets[num], u.f.places[num].generation()
			rows = append(rows, 1, byte(at>>24), byte(at>>16), byte(at>>8), byte(at), byte(gen>>8), byte(gen))
		}
	}
	d := u.trailer()
	d["Type"], d["Index"] = name("XRef"), index
	d["W"] = array{atom("1"), atom("4"), atom("2")}
	fmt.Fprintf(b, "%d 0 obj\n", self)
	write(b, &stream{d, rows})
	b.WriteString("\nendobj\n")
}

// runs groups the keys into runs of consecutive numbers.
func runs(offsets map[int]int) [][]int {
	var out [][]int
	for _, num := range slices.Sorted(maps.Keys(offsets)) {
		if last := len(out) - 1; last >= 0 && out[last][len(out[last])-1] == num-1 {
			out[last] = append(out[last], num)
			continue
		}
		out = append(out, []int{num})
	}
	return out
}
