package testpdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// slot is a place in an object that holds another.
type slot struct {
	num   int   // of the object
	path  []any // keys (name) and indexes (int) on the way down
	value object
}

// key is the nearest key above.
func (s slot) key() name {
	for i := len(s.path) - 1; i >= 0; i-- {
		if k, ok := s.path[i].(name); ok {
			return k
		}
	}
	return ""
}

func (s slot) String() string { return fmt.Sprintf("object %d, %v", s.num, s.path) }

// slots are all places in an object, in a fixed order.
func (d *damage) slots(num int) []slot {
	var list []slot
	var walk func(o object, path []any)
	add := func(o object, path []any) {
		list = append(list, slot{num, slices.Clone(path), o})
		walk(o, path)
	}
	walk = func(o object, path []any) {
		switch o := o.(type) {
		case dict:
			for _, k := range slices.Sorted(maps.Keys(o)) {
				add(o[k], append(path, k))
			}
		case array:
			for i := range o {
				add(o[i], append(path, i))
			}
		case *stream:
			walk(o.dict, path)
		}
	}
	walk(d.objects[num], nil)
	return list
}

// slot picks a place: first the object, then one of its places for which is is
// true.
func (d *damage) slot(in func(object) bool, is func(slot) bool) (slot, bool) {
	if d.written != nil {
		return slot{}, false
	}
	var all [][]slot
	for _, num := range d.numbers() {
		if !in(d.objects[num]) {
			continue
		}
		if list := slices.DeleteFunc(d.slots(num), func(s slot) bool { return !is(s) }); len(list) > 0 {
			all = append(all, list)
		}
	}
	if len(all) == 0 {
		return slot{}, false
	}
	return pick(d, pick(d, all)), true
}

// gone, as a value, takes the entry out.
type gone struct{}

// set replaces what is at a place; what lies above is copied.
func (d *damage) set(s slot, value object) {
	d.objects[s.num] = replaced(d.objects[s.num], s.path, value)
}

func replaced(o object, path []any, value object) object {
	if len(path) == 0 {
		return value
	}
	switch o := o.(type) {
	case *stream:
		return &stream{replaced(o.dict, path, value).(dict), o.raw}
	case dict:
		out, k := maps.Clone(o), path[0].(name)
		if v := replaced(o[k], path[1:], value); v == (gone{}) {
			delete(out, k)
		} else {
			out[k] = v
		}
		return out
	case array:
		i := path[0].(int)
		if v := replaced(o[i], path[1:], value); v == (gone{}) {
			return slices.Delete(slices.Clone(o), i, i+1)
		} else {
			out := slices.Clone(o)
			out[i] = v
			return out
		}
	}
	return o
}

func everywhere(slot) bool { return true }

func isKey(s slot) bool {
	_, ok := s.path[len(s.path)-1].(name)
	return ok
}

// under is for the places at and below an entry of these keys.
func under(keys ...name) func(slot) bool {
	return func(s slot) bool {
		return slices.ContainsFunc(s.path, func(p any) bool {
			k, ok := p.(name)
			return ok && slices.Contains(keys, k)
		})
	}
}

// at is for entries of these keys themselves.
func at(keys ...name) func(slot) bool {
	return func(s slot) bool { return isKey(s) && slices.Contains(keys, s.key()) }
}

func isRef(s slot) bool {
	_, ok := s.value.(ref)
	return ok
}

func both(f, g func(slot) bool) func(slot) bool { return func(s slot) bool { return f(s) && g(s) } }

// change replaces the value of a place of the objects.
func (d *damage) change(in func(object) bool, is func(slot) bool, to func(slot) object) bool {
	s, ok := d.slot(in, is)
	if !ok {
		return false
	}
	now := to(s)
	d.set(s, now)
	return d.note("%v: %s becomes %s", s, spelt(s.value), spelt(now))
}

// spelt is an object as source text, cut short.
func spelt(o object) string {
	if o == (gone{}) {
		return "nothing"
	}
	var b bytes.Buffer
	write(&b, o)
	return string(b.Bytes()[:min(b.Len(), 60)])
}

func deleted(slot) object { return gone{} }

// other is a reference to an object of a kind, 0 0 R where there is none.
func (d *damage) other(is func(object) bool) object { return ref{num: d.one(is)} }

// wrong is a value of another type than expected anywhere.
func (d *damage) wrong(s slot) object {
	return pick(d, []object{
		atom("null"), atom("7"), atom("true"), atom("-1"), str("(text)"), name("Nothing"), array{}, dict{},
		ref{num: 9999}, ref{num: s.num}, d.other(anything),
	})
}

// exchange exchanges the values of two entries of one dictionary.
func (d *damage) exchange(in func(object) bool, is func(slot) bool) bool {
	a, ok := d.slot(in, both(isKey, is))
	if !ok {
		return false
	}
	var siblings []slot
	for _, s := range d.slots(a.num) {
		if len(s.path) == len(a.path) && slices.Equal(s.path[:len(s.path)-1], a.path[:len(a.path)-1]) && s.key() != a.key() {
			siblings = append(siblings, s)
		}
	}
	if len(siblings) == 0 {
		return false
	}
	b := pick(d, siblings)
	d.set(a, b.value)
	d.set(b, a.value)
	return d.note("%v and %v", a, b.path)
}

// entryKinds damage entries of dictionaries.
var entryKinds = []kind{
	{"deleted", func(d *damage) bool { return d.change(anything, isKey, deleted) }},
	{"renamed", func(d *damage) bool {
		s, ok := d.slot(anything, isKey)
		if !ok {
			return false
		}
		to := s
		to.path = append(slices.Clone(s.path[:len(s.path)-1]), name(pick(d, []string{string(s.key()) + "x", "Z", "Type", "Kids", "OC"})))
		d.set(s, gone{})
		d.set(to, s.value)
		return d.note("%v becomes %v", s, to.path)
	}},
	{"of another type", func(d *damage) bool { return d.change(anything, everywhere, d.wrong) }},
	{"two exchanged", func(d *damage) bool { return d.exchange(anything, everywhere) }},
	{"name replaced by another", func(d *damage) bool {
		isName := func(s slot) bool { _, ok := s.value.(name); return ok }
		s, ok := d.slot(anything, isName)
		if !ok {
			return false
		}
		return d.change(anything, isName, func(slot) object { return s.value })
	}},
	{"Type changed", func(d *damage) bool {
		return d.change(anything, at("Type", "Subtype", "S"), func(slot) object {
			return name(pick(d, []string{"OCG", "OCMD", "Page", "Pages", "XObject", "Form", "Image", "Font", "Catalog", "ObjStm", "Other"}))
		})
	}},
}

// referenceKinds redirect references.
var referenceKinds = []kind{
	{"to another object", func(d *damage) bool { return d.change(anything, isRef, func(slot) object { return d.other(anything) }) }},
	{"to another stream", func(d *damage) bool {
		toStream := func(s slot) bool { r, ok := s.value.(ref); return ok && isStream(d.objects[r.num]) }
		return d.change(anything, toStream, func(slot) object { return d.other(isStream) })
	}},
	{"to nothing", func(d *damage) bool {
		return d.change(anything, isRef, func(slot) object { return ref{num: 9000 + d.IntN(9)} })
	}},
	{"to itself", func(d *damage) bool { return d.change(anything, isRef, func(s slot) object { return ref{num: s.num} }) }},
	{"to another generation", func(d *damage) bool {
		return d.change(anything, isRef, func(s slot) object { return ref{s.value.(ref).num, 1 + d.IntN(3)} })
	}},
	{"two exchanged", func(d *damage) bool {
		a, ok1 := d.slot(anything, isRef)
		b, ok2 := d.slot(anything, isRef)
		if !ok1 || !ok2 || a.value == b.value {
			return false
		}
		d.set(a, b.value)
		d.set(b, a.value)
		return d.note("%v and %v", a, b)
	}},
}

// objectKinds damage whole objects.
var objectKinds = []kind{
	{"two exchanged", func(d *damage) bool { return d.exchangeObjects(anything) }},
	{"two streams exchanged", func(d *damage) bool { return d.exchangeObjects(isStream) }},
	{"two groups exchanged", func(d *damage) bool { return d.exchangeObjects(typed("OCG")) }},
	{"deleted", func(d *damage) bool {
		num := d.one(anything)
		if d.written != nil || len(d.objects) < 3 {
			return false
		}
		delete(d.objects, num)
		return d.note("object %d", num)
	}},
	{"null", func(d *damage) bool { return d.replaceObject(func(int) object { return atom("null") }) }},
	{"copy of another", func(d *damage) bool { return d.replaceObject(func(int) object { return d.objects[d.one(anything)] }) }},
	{"reference to another", func(d *damage) bool { return d.replaceObject(func(int) object { return d.other(anything) }) }},
	{"number of another in the header", func(d *damage) bool {
		a, b := d.two(anything)
		return a > 0 && d.quirk(a, quirk{header: fmt.Sprintf("%d 0 obj", b)}) && d.note("object %d says %d", a, b)
	}},
	{"number of none in the header", func(d *damage) bool {
		num := d.one(anything)
		return d.quirk(num, quirk{header: "9001 0 obj"}) && d.note("object %d", num)
	}},
	{"generation in the header", func(d *damage) bool {
		num := d.one(anything)
		return d.quirk(num, quirk{header: fmt.Sprintf("%d 2 obj", num)}) && d.note("object %d", num)
	}},
	{"header misspelt", func(d *damage) bool {
		num := d.one(anything)
		return d.quirk(num, quirk{header: fmt.Sprintf("%d 0 obx", num)}) && d.note("object %d", num)
	}},
	{"without an end", func(d *damage) bool {
		num := d.one(anything)
		return d.quirk(num, quirk{unended: true}) && d.note("object %d", num)
	}},
	{"without an entry in the table", func(d *damage) bool {
		num := d.one(anything)
		return d.quirk(num, quirk{unlisted: true}) && d.note("object %d", num)
	}},
	{"twice", func(d *damage) bool {
		a, b := d.two(anything)
		return a > 0 && d.quirk(a, quirk{twice: d.objects[b]}) && d.note("object %d, first as %d", a, b)
	}},
	{"twice, without an entry in the table", func(d *damage) bool {
		a, b := d.two(isStream)
		return a > 0 && d.quirk(a, quirk{twice: d.objects[b], unlisted: true}) && d.note("object %d, first as %d", a, b)
	}},
}

func (d *damage) exchangeObjects(is func(object) bool) bool {
	a, b := d.two(is)
	if d.written != nil || a == 0 {
		return false
	}
	d.objects[a], d.objects[b] = d.objects[b], d.objects[a]
	return d.note("objects %d and %d", a, b)
}

func (d *damage) replaceObject(by func(num int) object) bool {
	num := d.one(anything)
	if d.written != nil || num == 0 {
		return false
	}
	d.objects[num] = by(num)
	return d.note("object %d becomes %s", num, spelt(d.objects[num]))
}

// streamKinds damage the data of streams and what says how to read it.
var streamKinds = []kind{
	{"Length changed", func(d *damage) bool {
		num := d.one(isStream)
		if num == 0 {
			return false
		}
		n := len(d.objects[num].(*stream).raw)
		length := pick(d, []string{"0", "-1", fmt.Sprint(n - 1), fmt.Sprint(n + 1), fmt.Sprint(n / 2), fmt.Sprint(n + 40),
			"1000000", "null", fmt.Sprintf("%d 0 R", d.one(anything)), "9999 0 R"})
		return d.quirk(num, quirk{length: length}) && d.note("object %d: %d becomes %s", num, n, length)
	}},
	{"Filter changed", func(d *damage) bool {
		return d.change(isStream, at("Filter"), func(s slot) object {
			return pick(d, []object{name("LZWDecode"), name("ASCIIHexDecode"), name("None"), atom("null"), gone{},
				array{s.value, s.value}, array{}, atom("1"), name("DCTDecode")})
		})
	}},
	{"Filter added", func(d *damage) bool {
		return d.changeStream(func(s *stream) *stream {
			e := maps.Clone(s.dict)
			e["Filter"] = pick(d, []object{name("FlateDecode"), name("ASCII85Decode"), name("RunLengthDecode"), name("Crypt")})
			return &stream{e, s.raw}
		})
	}},
	{"DecodeParms added", func(d *damage) bool {
		return d.changeStream(func(s *stream) *stream {
			e := maps.Clone(s.dict)
			e["DecodeParms"] = dict{"Predictor": atom(pick(d, []string{"2", "12", "15", "99"})), "Columns": atom("5")}
			return &stream{e, s.raw}
		})
	}},
	{"data flipped", func(d *damage) bool {
		return d.changeData(func(raw []byte) []byte {
			for range 1 + d.IntN(3) {
				raw[d.IntN(len(raw))] ^= byte(1 + d.IntN(255))
			}
			return raw
		})
	}},
	{"data cut", func(d *damage) bool { return d.changeData(func(raw []byte) []byte { return raw[:d.IntN(len(raw))] }) }},
	{"start of data cut", func(d *damage) bool { return d.changeData(func(raw []byte) []byte { return raw[1+d.IntN(len(raw)):] }) }},
	{"data lengthened", func(d *damage) bool {
		return d.changeData(func(raw []byte) []byte { return append(raw, d.noise(1+d.IntN(20))...) })
	}},
	{"data exchanged", func(d *damage) bool {
		a, b := d.two(isStream)
		if a == 0 || d.written != nil {
			return false
		}
		x, y := d.objects[a].(*stream), d.objects[b].(*stream)
		d.objects[a], d.objects[b] = &stream{x.dict, y.raw}, &stream{y.dict, x.raw}
		return d.note("objects %d and %d", a, b)
	}},
	{"data gone", func(d *damage) bool {
		num := d.one(isStream)
		if num == 0 || d.written != nil {
			return false
		}
		d.objects[num] = d.objects[num].(*stream).dict
		return d.note("object %d", num)
	}},
	{"without an end", func(d *damage) bool {
		num := d.one(isStream)
		return num > 0 && d.quirk(num, quirk{unended: true}) && d.note("object %d", num)
	}},
}

func (d *damage) changeStream(to func(*stream) *stream) bool {
	num := d.one(isStream)
	if num == 0 || d.written != nil {
		return false
	}
	d.objects[num] = to(d.objects[num].(*stream))
	return d.note("object %d: %s", num, spelt(d.objects[num]))
}

func (d *damage) changeData(to func([]byte) []byte) bool {
	num := d.one(isStream)
	if num == 0 || d.written != nil {
		return false
	}
	s := d.objects[num].(*stream)
	if len(s.raw) == 0 {
		return false
	}
	d.objects[num] = &stream{s.dict, to(bytes.Clone(s.raw))}
	return d.note("object %d", num)
}

var pageNode = typed("Page", "Pages")

// pageKinds damage the page tree and what pages draw with.
var pageKinds = []kind{
	{"kid deleted", func(d *damage) bool { return d.change(typed("Pages"), isKid, deleted) }},
	{"kid redirected", func(d *damage) bool {
		return d.change(typed("Pages"), isKid, func(s slot) object {
			return pick(d, []object{d.other(typed("OCG")), d.other(isStream), d.other(pageNode), ref{num: s.num}, d.other(typed("Catalog")),
				ref{num: 9999}, atom("null"), atom("5"), d.other(typed("Font"))})
		})
	}},
	{"kid is an object of its own", func(d *damage) bool {
		return d.change(typed("Pages"), isKid, func(s slot) object {
			if r, ok := s.value.(ref); ok && d.objects[r.num] != nil {
				return d.objects[r.num]
			}
			return dict{}
		})
	}},
	{"Kids changed", func(d *damage) bool { return d.change(typed("Pages"), at("Kids"), d.wrong) }},
	{"Count changed", func(d *damage) bool {
		return d.change(typed("Pages"), at("Count"), func(slot) object { return atom(pick(d, []string{"0", "1", "2", "3", "100", "-1", "null", "1.5"})) })
	}},
	{"Parent changed", func(d *damage) bool {
		return d.change(pageNode, at("Parent"), func(s slot) object {
			return pick(d, []object{gone{}, d.other(typed("OCG")), d.other(pageNode), ref{num: s.num}, ref{num: 9999}, d.other(anything)})
		})
	}},
	{"Type changed", func(d *damage) bool {
		return d.change(pageNode, at("Type"), func(slot) object {
			return pick(d, []object{gone{}, name("Page"), name("Pages"), name("OCG"), name("Template"), atom("1"), atom("null")})
		})
	}},
	{"entry deleted", func(d *damage) bool { return d.change(pageNode, isKey, deleted) }},
	{"entry of another type", func(d *damage) bool { return d.change(pageNode, isKey, d.wrong) }},
	{"Contents changed", func(d *damage) bool {
		return d.change(pageNode, under("Contents"), func(s slot) object {
			return pick(d, []object{d.other(isStream), d.other(isStream), ref{num: 9999}, atom("null"), d.other(typed("OCG")), array{s.value, s.value}, array{}})
		})
	}},
	{"resource redirected", func(d *damage) bool {
		return d.change(anything, both(under("Resources", "XObject", "ExtGState", "Properties"), isRef), func(s slot) object {
			return pick(d, []object{d.other(isStream), d.other(typed("OCG")), ref{num: 9999}, d.other(anything)})
		})
	}},
	{"resource renamed", func(d *damage) bool { return d.exchange(anything, under("XObject", "Properties", "Font")) }},
	{"resource deleted", func(d *damage) bool { return d.change(anything, under("XObject", "Properties", "Resources"), deleted) }},
}

// isKid is for elements of Kids.
func isKid(s slot) bool { return !isKey(s) && s.key() == "Kids" }

var inProperties = under("OCProperties")

// layerKinds damage the catalog's optional content and the groups.
var layerKinds = []kind{
	{"element deleted", func(d *damage) bool { return d.change(anything, both(inProperties, isElement), deleted) }},
	{"element changed", func(d *damage) bool {
		return d.change(anything, both(inProperties, isElement), func(s slot) object {
			return pick(d, []object{d.other(typed("OCG")), d.other(typed("OCMD")), d.other(anything), ref{num: 9999}, atom("null"), atom("3"),
				str("(Title)"), array{s.value}, dict{"Type": name("OCG"), "Name": str("(direct)")}, name("OCG")})
		})
	}},
	{"list deleted", func(d *damage) bool { return d.change(anything, both(inProperties, isKey), deleted) }},
	{"list of another type", func(d *damage) bool { return d.change(anything, both(inProperties, isKey), d.wrong) }},
	{"lists exchanged", func(d *damage) bool { return d.exchange(anything, inProperties) }},
	{"BaseState changed", func(d *damage) bool {
		return d.change(anything, at("BaseState"), func(slot) object {
			return pick(d, []object{name("OFF"), name("Unchanged"), name("Off"), atom("false"), str("(OFF)"), ref{num: 9999}})
		})
	}},
	{"entry of a group deleted", func(d *damage) bool { return d.change(typed("OCG"), isKey, deleted) }},
	{"entry of a group changed", func(d *damage) bool { return d.change(typed("OCG"), isKey, d.wrong) }},
	{"Type of a group", func(d *damage) bool {
		return d.change(typed("OCG"), at("Type"), func(slot) object {
			return pick(d, []object{name("OCMD"), name("Page"), name("Other"), name("ocg"), atom("null"), atom("1"), str("(OCG)")})
		})
	}},
}

// isElement is for elements of arrays.
func isElement(s slot) bool { return !isKey(s) }

// membershipKinds damage what says to which layer content belongs.
var membershipKinds = []kind{
	{"entry deleted", func(d *damage) bool { return d.change(typed("OCMD"), isKey, deleted) }},
	{"entry changed", func(d *damage) bool { return d.change(typed("OCMD"), everywhere, d.wrong) }},
	{"Type changed", func(d *damage) bool {
		return d.change(typed("OCMD"), at("Type"), func(slot) object {
			return pick(d, []object{name("OCG"), name("Other"), gone{}, atom("null"), str("(OCMD)")})
		})
	}},
	{"P changed", func(d *damage) bool {
		return d.change(typed("OCMD"), at("P"), func(slot) object {
			return pick(d, []object{name("AllOn"), name("AnyOn"), name("AllOff"), name("AnyOff"), name("All"), atom("1")})
		})
	}},
	{"OC redirected", func(d *damage) bool {
		return d.change(anything, at("OC"), func(slot) object {
			return pick(d, []object{d.other(typed("OCG")), ref{num: 9999}, d.other(anything), atom("null"), name("OCG"), dict{}})
		})
	}},
	{"OC deleted", func(d *damage) bool { return d.change(anything, at("OC"), deleted) }},
	{"property redirected", func(d *damage) bool {
		return d.change(anything, both(under("Properties"), isKey), func(slot) object {
			return pick(d, []object{d.other(typed("OCG")), ref{num: 9999}, d.other(anything), atom("null"), dict{"Type": name("OCG")}, gone{}})
		})
	}},
	{"properties exchanged", func(d *damage) bool { return d.exchange(anything, under("Properties")) }},
}

// contentKinds damage the operators of content streams, whose data stays
// readable.
var contentKinds = []kind{
	{"operator deleted", func(d *damage) bool {
		return d.changeContent(func(ops []string, i int) []string { return slices.Delete(ops, i, i+1) })
	}},
	{"operator doubled", func(d *damage) bool {
		return d.changeContent(func(ops []string, i int) []string { return slices.Insert(ops, i, ops[i]) })
	}},
	{"two operators exchanged", func(d *damage) bool {
		return d.changeContent(func(ops []string, i int) []string {
			k := d.IntN(len(ops))
			ops[i], ops[k] = ops[k], ops[i]
			return ops
		})
	}},
	{"operator misspelt", func(d *damage) bool {
		return d.changeContent(func(ops []string, i int) []string {
			ops[i] += pick(d, []string{"x", "\x00\x01", "(", ">>", "]", "EMC", "*"})
			return ops
		})
	}},
	{"end cut", func(d *damage) bool { return d.changeContent(func(ops []string, i int) []string { return ops[:i] }) }},
	{"bracket deleted", func(d *damage) bool {
		return d.changeBracket(func(ops []string, i int) []string { return slices.Delete(ops, i, i+1) })
	}},
	{"bracket inserted", func(d *damage) bool {
		return d.changeContent(func(ops []string, i int) []string {
			return slices.Insert(ops, i, pick(d, []string{"EMC", "Q", "q", "BT", "ET", "/OC /Nowhere BDC", "BX", "EX", "/OC BMC"}))
		})
	}},
	{"bracket exchanged", func(d *damage) bool {
		return d.changeBracket(func(ops []string, i int) []string {
			ops[i] = pick(d, []string{"EMC", "Q", "q", "BT", "ET"})
			return ops
		})
	}},
}

// isContent is for streams that may hold operators: pages' and forms'.
func isContent(o object) bool {
	s, ok := o.(*stream)
	return ok && (s.dict["Type"] == nil && s.dict["FunctionType"] == nil || s.dict["Subtype"] == name("Form"))
}

// changeContent changes the words of a content stream, split at white space.
func (d *damage) changeContent(to func(ops []string, i int) []string) bool {
	num := d.one(isContent)
	if num == 0 || d.written != nil {
		return false
	}
	s := d.objects[num].(*stream)
	data, err := decode(s)
	ops := strings.FieldsFunc(string(data), func(r rune) bool { return r == '\n' || r == '\r' || r == ' ' })
	if err != nil || len(ops) < 2 {
		return false
	}
	i := d.IntN(len(ops))
	d.note("object %d, at %q", num, ops[i])
	d.store(num, strings.Join(to(ops, i), " "))
	return true
}

// changeBracket is changeContent at one of the operators that open or close
// something.
func (d *damage) changeBracket(to func(ops []string, i int) []string) bool {
	return d.changeContent(func(ops []string, i int) []string {
		for range ops {
			if slices.Contains([]string{"BDC", "BMC", "EMC", "q", "Q", "BT", "ET", "Do"}, ops[i]) {
				return to(ops, i)
			}
			i = (i + 1) % len(ops)
		}
		return ops
	})
}

// store replaces the data of a stream, compressed as it was.
func (d *damage) store(num int, data string) {
	s := d.objects[num].(*stream)
	e := maps.Clone(s.dict)
	delete(e, "DecodeParms")
	raw := []byte(data)
	if e["Filter"] != nil {
		var b bytes.Buffer
		z := zlib.NewWriter(&b)
		_, _ = z.Write(raw) // a buffer does not fail
		_ = z.Close()
		e["Filter"], raw = name("FlateDecode"), b.Bytes()
	}
	d.objects[num] = &stream{e, raw}
}
