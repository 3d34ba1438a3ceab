package pdf

import (
	"bytes"
	"slices"

	"github.com/sizeply/sizeply/layers/failure"
)

var (
	errXref     = &failure.FormatError{Reason: "the cross-reference table is broken"}
	errXrefSize = &failure.FormatError{
		Reason: "the cross-reference table has more entries than a file may have objects",
	}
)

// table is what the cross-reference sections of a file say (7.5.4, 7.5.8).
type table struct {
	// places is where the objects that stand by themselves begin.
	places map[Ref]place
	// within is where the objects of object streams are.
	within  map[Ref]slot
	free    map[Ref]bool
	trailer trailer
}

// place is the offset of an object and its generation, which its header repeats.
type place struct{ at, generation int }

// slot is the object stream that holds an object, and its index there; any where
// that is below zero.
type slot struct {
	container Ref
	index     int
}

// trailer is what the trailers of a file say (Table 15).
type trailer struct {
	Root, Info, Encrypt Object
	// ID is the first, permanent element of the file identifier (14.4).
	ID String
}

// merge takes over what d says where nothing newer did.
func (t *trailer) merge(d Dict) {
	for key, field := range map[Name]*Object{"Root": &t.Root, "Info": &t.Info, "Encrypt": &t.Encrypt} {
		if *field == nil {
			*field = d[key]
		}
	}
	t.takeID(d)
}

func (t *trailer) takeID(d Dict) {
	if ids, ok := d["ID"].(Array); ok && t.ID == "" && len(ids) > 0 {
		t.ID, _ = ids[0].(String)
	}
}

// readTable reads all sections, the newest first. It gives an error where one
// is broken.
func (l *loader) readTable() (*table, error) {
	r := tableReader{
		loader: l, left: l.lim.Objects, bytes: l.lim.ObjectBytes, text: 2 * len(l.data), seen: map[int]bool{},
		table: table{places: map[Ref]place{}, within: map[Ref]slot{}, free: map[Ref]bool{}},
	}
	const start = "startxref" // the last of them leads to the newest section (7.5.5)
	last := bytes.LastIndex(l.data, []byte(start))
	if last < 0 {
		return nil, errXref
	}
	p := parser{lexer: lexer{data: l.data, pos: last + len(start)}}
	p.skipSpace()
	n, ok := p.digits()
	for at := int(n); ok; ok = at > 0 {
		d, err := r.section(at)
		if err != nil {
			return nil, err
		}
		r.table.trailer.merge(d)
		at = AsInt(l, d["Prev"], 0)
	}
	if len(r.table.places) == 0 {
		return nil, errXref
	}
	return &r.table, nil
}

// tableReader reads sections one after another. left and bytes bound the
// entries and the decoded bytes of all together, text what they take in the file:
// sections that overlap may take the square of it.
type tableReader struct {
	*loader
	table table
	left  int
	bytes int64
	text  int
	seen  map[int]bool
}

// section reads the section at an offset and returns its trailer.
func (r *tableReader) section(at int) (Dict, error) {
	if at < 0 || at >= len(r.data) || r.seen[at] {
		return nil, errXref
	}
	if err := r.ctx.Err(); err != nil {
		return nil, err
	}
	r.seen[at] = true
	p := parser{lexer: lexer{data: r.data, pos: at}, ctx: r.ctx}
	p.skipSpace()
	var d Dict
	var err error
	if p.accept("xref") {
		d, err = r.classic(&p)
	} else {
		d, err = r.stream(&p)
	}
	if r.text -= p.pos - at; r.text < 0 {
		return nil, errXref
	}
	return d, err
}

// row is one entry of a section: an object in use at a place, in a slot, or free.
type row struct {
	num Ref
	place
	slot
	free bool
}

// add notes an entry, unless a newer section has one for the object.
func (r *tableReader) add(e row) {
	t := &r.table
	_, placed := t.places[e.num]
	if e.num < 1 || e.num > maxNumber || placed || t.within[e.num].container != 0 || t.free[e.num] {
		return
	}
	switch {
	case e.free:
		t.free[e.num] = true
	case e.container != 0:
		t.within[e.num] = e.slot
	default:
		t.places[e.num] = e.place
	}
}

// classic reads a table of lines (7.5.4). What the cross-reference stream of a
// hybrid file lists goes before what the table calls free (7.5.8.4).
func (r *tableReader) classic(p *parser) (Dict, error) {
	var rows []row
	for {
		if p.skipSpace(); p.accept("trailer") {
			break
		}
		var err error
		if rows, err = r.subsection(p, rows); err != nil {
			return nil, err
		}
	}
	o, err := p.object(0)
	d, ok := o.(Dict)
	if err != nil || !ok {
		return nil, errXref
	}
	if d["XRefStm"] != nil {
		if _, err := r.section(AsInt(r, d["XRefStm"], -1)); err != nil {
			return nil, err
		}
	}
	for i, e := range rows {
		if i%objectsAtOnce == 0 && r.ctx.Err() != nil {
			return nil, r.ctx.Err()
		}
		r.add(e)
	}
	return d, nil
}

// subsection reads a run of lines for consecutive objects. Some files count them
// from 1 although the first line is that of object 0, the head of the free ones.
func (r *tableReader) subsection(p *parser, rows []row) ([]row, error) {
	first, ok1 := p.digits()
	p.skipSpace()
	count, ok2 := p.digits()
	if !ok1 || !ok2 {
		return nil, errXref
	}
	const length = 20 // of a line
	rows = slices.Grow(rows, int(min(count, int64(max(0, r.left)), int64((len(p.data)-p.pos)/length+1))))
	for i := range count {
		p.skipSpace()
		at, ok1 := p.digits()
		p.skipSpace()
		generation, ok2 := p.digits()
		p.skipSpace()
		used := p.accept("n")
		if !ok1 || !ok2 || !used && !p.accept("f") {
			return nil, errXref
		}
		if r.left--; r.left < 0 {
			return nil, errXrefSize
		}
		if r.left%objectsAtOnce == 0 && r.ctx.Err() != nil {
			return nil, r.ctx.Err()
		}
		if i == 0 && first == 1 && !used && at == 0 && generation == 65535 {
			first = 0
		}
		if num := first + i; num <= maxNumber {
			rows = append(rows, row{num: Ref(num), place: place{int(at), int(generation)}, free: !used || at == 0})
		}
	}
	return rows, nil
}

// stream reads a cross-reference stream (7.5.8), which is never encrypted.
func (r *tableReader) stream(p *parser) (Dict, error) {
	if _, _, ok := p.header(); !ok {
		return nil, errXref
	}
	o, start, err := p.body()
	d, _ := o.(Dict)
	if err != nil || start == 0 || d["Type"] != Name("XRef") {
		return nil, errXref
	}
	ends := streamEnds{data: r.data}
	p.pos, _ = ends.find(start, AsInt(r, d["Length"], -1))
	data, err := Decode(r.ctx, r, &Stream{Dict: d, Raw: r.data[start:p.pos:p.pos]}, max(1, r.bytes))
	if r.ctx.Err() != nil {
		return nil, r.ctx.Err()
	}
	if err != nil {
		return nil, errXref
	}
	r.bytes -= int64(len(data))
	return d, r.rows(d, data)
}

// rows reads the entries of a cross-reference stream (Tables 17 and 18).
func (r *tableReader) rows(d Dict, data []byte) error {
	var width [3]int
	fields := AsArray(r, d["W"])
	if len(fields) != len(width) {
		return errXref
	}
	size := 0
	for i, o := range fields {
		if width[i] = AsInt(r, o, -1); width[i] < 0 || width[i] > 8 {
			return errXref
		}
		size += width[i]
	}
	if width[1] == 0 {
		return errXref
	}
	index := AsArray(r, d["Index"])
	if index == nil { // without Size, as many as there are
		index = Array{Integer(0), Integer(AsInt(r, d["Size"], len(data)))}
	}
	for ; len(index) >= 2; index = index[2:] {
		first, count := AsInt(r, index[0], -1), AsInt(r, index[1], -1)
		if first < 0 || count < 0 {
			return errXref
		}
		for num := first; num < first+count && len(data) >= size; num++ {
			if r.left--; r.left < 0 {
				return errXrefSize
			}
			if r.left%objectsAtOnce == 0 && r.ctx.Err() != nil {
				return r.ctx.Err()
			}
			if num <= maxNumber {
				r.add(streamRow(Ref(num), data, width))
			}
			data = data[size:]
		}
	}
	return nil
}

// streamRow reads one entry. Without a first field it is of type 1; of an
// unknown type it is null. Without a third the generation is 0, and the index in
// an object stream is left to its header.
func streamRow(num Ref, data []byte, width [3]int) row {
	kind := uint64(1)
	if width[0] > 0 {
		kind = bigEndian(data[:width[0]])
	}
	at := bigEndian(data[width[0] : width[0]+width[1]])
	last := bigEndian(data[width[0]+width[1] : width[0]+width[1]+width[2]])
	index := int(min(last, maxNumber))
	if width[2] == 0 {
		index = -1
	}
	switch {
	case kind == 1 && at > 0 && at < 1<<40:
		return row{num: num, place: place{int(at), int(min(last, 1<<40))}}
	case kind == 2 && at > 0 && at <= maxNumber:
		return row{num: num, slot: slot{Ref(at), index}}
	}
	return row{num: num, free: true}
}

func bigEndian(b []byte) (n uint64) {
	for _, c := range b {
		n = n<<8 | uint64(c)
	}
	return n
}
