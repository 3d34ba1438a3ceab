package testpdf

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
)

// Sections say how a Mutator writes its file.
type Sections int

const (
	// OneTable is a cross-reference table (7.5.4).
	OneTable Sections = iota
	// Packed is a cross-reference stream, with all that is no stream in an object
	// stream (7.5.7, 7.5.8); both are uncompressed.
	Packed
	// Updated is a file with an update (7.5.6): one object in three stands in it
	// twice, first as it was.
	Updated
)

// layout is a written file whose parts are known by where they stand.
type layout struct {
	data    []byte
	offsets map[int]int // of "n g obj", by object number
	ends    map[int]int // behind endobj
	// rows are where the cross-reference entries stand: 20 bytes each in a
	// table, 7 bytes (type 1, 4, 2) in a stream.
	rows   map[int]int
	stream bool
	start  int // of the number behind startxref
	// heads are where the pairs of number and offset stand, of packedPair bytes
	// each, in the header of the object stream.
	heads    []int
	packedAt int // number of the object stream, 0 for none
}

// packedPair is the length of a pair in the header of an object stream: a
// number of 6 digits, an offset of 8, and two spaces.
const packedPair = 16

// layoutWriter writes one file.
type layoutWriter struct {
	layout
	b       bytes.Buffer
	quirks  map[int]quirk
	entries map[int][3]int // as in a cross-reference stream
	size    int
}

// writeLayout writes objects in the way of sections.
func writeLayout(objects map[int]object, trailer dict, sections Sections, quirks map[int]quirk) *layout {
	w := &layoutWriter{
		layout: layout{offsets: map[int]int{}, ends: map[int]int{}, rows: map[int]int{}, stream: sections == Packed},
		quirks: quirks, entries: map[int][3]int{0: {0, 0, 0xFFFF}}, size: 1,
	}
	w.b.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	var inside, updated []int
	for _, num := range slices.Sorted(maps.Keys(objects)) {
		w.size = max(w.size, num+1)
		_, special := quirks[num]
		switch {
		case sections == Packed && !isStream(objects[num]) && !special:
			inside = append(inside, num)
		case sections == Updated && num%3 == 0:
			w.object(num, former(objects[num]))
			updated = append(updated, num)
		default:
			w.object(num, objects[num])
		}
	}
	switch sections {
	case Packed:
		w.pack(inside, objects)
		w.section(trailer)
	case OneTable:
		w.table(trailer, 0, w.all())
	case Updated:
		first := w.table(trailer, 0, w.all())
		for _, num := range updated {
			delete(w.entries, num)
			w.object(num, objects[num])
		}
		w.table(trailer, first, updated)
	}
	w.data = w.b.Bytes()
	return &w.layout
}

// former is an object as it was before an update.
func former(o object) object {
	if s, ok := o.(*stream); ok {
		d := maps.Clone(s.dict)
		delete(d, "Filter")
		delete(d, "DecodeParms")
		return &stream{d, []byte("0 1 1 rg 100 100 90 90 re f")}
	}
	if d, ok := o.(dict); ok {
		d = maps.Clone(d)
		d["Name"] = str("(former)")
		return d
	}
	return o
}

// all are the numbers of all entries.
func (w *layoutWriter) all() (list []int) {
	for i := range w.size {
		list = append(list, i)
	}
	return list
}

func (w *layoutWriter) object(num int, o object) {
	q := w.quirks[num]
	if q.twice != nil {
		fmt.Fprintf(&w.b, "%d 0 obj\n", num)
		write(&w.b, q.twice)
		w.b.WriteString("\nendobj\n")
	}
	w.offsets[num] = w.b.Len()
	if !q.unlisted {
		w.entries[num] = [3]int{1, w.b.Len(), 0}
	}
	header := fmt.Sprintf("%d 0 obj", num)
	if q.header != "" {
		header = q.header
	}
	w.b.WriteString(header + "\n")
	if s, ok := o.(*stream); ok {
		length := strconv.Itoa(len(s.raw))
		if q.length != "" {
			length = q.length
		}
		d := maps.Clone(s.dict)
		d["Length"] = atom(length)
		writeDict(&w.b, d)
		w.b.WriteString("\nstream\n")
		w.b.Write(s.raw)
		if !q.unended {
			w.b.WriteString("\nendstream")
		}
	} else {
		write(&w.b, o)
	}
	if !q.unended {
		w.b.WriteString("\nendobj")
	}
	w.b.WriteString("\n")
	w.ends[num] = w.b.Len()
}

// pack writes the object stream (7.5.7).
func (w *layoutWriter) pack(inside []int, objects map[int]object) {
	num := w.size
	w.size++
	w.packedAt = num
	var head, body bytes.Buffer
	for i, n := range inside {
		fmt.Fprintf(&head, "%06d %08d ", n, body.Len())
		write(&body, objects[n])
		body.WriteString("\n")
		w.entries[n] = [3]int{2, num, i}
	}
	raw := append(bytes.Clone(head.Bytes()), body.Bytes()...)
	w.object(num, &stream{dict{
		"Type": name("ObjStm"), "N": atom(strconv.Itoa(len(inside))), "First": atom(strconv.Itoa(head.Len())),
	}, raw})
	first := w.ends[num] - len("\nendstream\nendobj\n") - len(raw)
	for i := range inside {
		w.heads = append(w.heads, first+packedPair*i)
	}
}

// section writes the cross-reference stream (7.5.8).
func (w *layoutWriter) section(trailer dict) {
	num := w.size
	w.size++
	start := w.b.Len()
	w.entries[num] = [3]int{1, start, 0}
	var rows []byte
	for i := range w.size {
		e := w.entries[i]
		rows = append(rows, byte(e[0]), byte(e[1]>>24), byte(e[1]>>16), byte(e[1]>>8), byte(e[1]), byte(e[2]>>8), byte(e[2]))
	}
	d := maps.Clone(trailer)
	d["Type"], d["Size"] = name("XRef"), atom(strconv.Itoa(w.size))
	d["W"] = array{atom("1"), atom("4"), atom("2")}
	w.object(num, &stream{d, rows})
	first := w.ends[num] - len("\nendstream\nendobj\n") - len(rows)
	for i := range w.size {
		w.rows[i] = first + 7*i
	}
	w.tail(start)
}

// table writes the cross-reference table and the trailer (7.5.4, 7.5.5) of a
// section, which follows that at prev, and returns where it stands.
func (w *layoutWriter) table(trailer dict, prev int, nums []int) (start int) {
	start = w.b.Len()
	w.b.WriteString("xref\n")
	for i, num := range nums {
		if i == 0 || nums[i-1] != num-1 {
			end := i + 1
			for end < len(nums) && nums[end] == nums[end-1]+1 {
				end++
			}
			fmt.Fprintf(&w.b, "%d %d\n", num, end-i)
		}
		w.rows[num] = w.b.Len()
		if e, ok := w.entries[num]; ok && e[0] == 1 {
			fmt.Fprintf(&w.b, "%010d %05d n \n", e[1], e[2])
		} else {
			fmt.Fprintf(&w.b, "%010d %05d f \n", 0, 65535)
		}
	}
	d := maps.Clone(trailer)
	d["Size"] = atom(strconv.Itoa(w.size))
	if prev > 0 {
		d["Prev"] = atom(strconv.Itoa(prev))
	}
	w.b.WriteString("trailer\n")
	writeDict(&w.b, d)
	w.b.WriteString("\n")
	w.tail(start)
	return start
}

func (w *layoutWriter) tail(start int) {
	w.b.WriteString("startxref\n")
	w.start = w.b.Len()
	fmt.Fprintf(&w.b, "%d\n%%%%EOF\n", start)
}

// entry reads a row: its type (0 free, 1 at an offset, 2 packed) and two fields.
func (l *layout) entry(num int) (e [3]int) {
	at := l.rows[num]
	if l.stream {
		return [3]int{int(l.data[at]), bigEndian(l.data[at+1 : at+5]), bigEndian(l.data[at+5 : at+7])}
	}
	e[1], _ = strconv.Atoi(string(l.data[at : at+10]))
	e[2], _ = strconv.Atoi(string(l.data[at+11 : at+16]))
	if l.data[at+17] == 'n' {
		e[0] = 1
	}
	return e
}

// setEntry writes a row anew.
func (l *layout) setEntry(num int, e [3]int) {
	at := l.rows[num]
	if l.stream {
		copy(l.data[at:], []byte{byte(e[0]), byte(e[1] >> 24), byte(e[1] >> 16), byte(e[1] >> 8), byte(e[1]), byte(e[2] >> 8), byte(e[2])})
		return
	}
	kind := 'n'
	if e[0] == 0 {
		kind = 'f'
	}
	copy(l.data[at:], fmt.Sprintf("%010d %05d %c", e[1], e[2], kind))
}

// pair reads number and offset from the header of the object stream.
func (l *layout) pair(i int) (num, offset int) {
	at := l.heads[i]
	num, _ = strconv.Atoi(string(l.data[at : at+6]))
	offset, _ = strconv.Atoi(string(l.data[at+7 : at+15]))
	return num, offset
}

func (l *layout) setPair(i, num, offset int) {
	copy(l.data[l.heads[i]:], fmt.Sprintf("%06d %08d", num, offset))
}
