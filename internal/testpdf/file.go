package testpdf

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
)

// place says where an object is: at an offset, or at an index of an object
// stream.
type place struct {
	offset    int
	gen       int
	container int // number of the object stream, 0 for none
}

// file is a PDF file read whole.
type file struct {
	data    []byte
	base    int // offset that offsets in the file count from
	places  map[int]place
	trailer dict
	// start is the value of the last startxref, -1 where the tables were
	// rebuilt by scanning.
	start int
	// streams says that the newest section is a cross-reference stream.
	streams bool
	cache   map[int]object
	packed  map[int]map[int]object // contents of object streams
}

var errEncrypted = errors.New("encrypted file: decrypt it first")

// openFile reads the cross-reference data; where it is broken, or does not
// lead to a page tree, the file is scanned for objects.
func openFile(data []byte) (*file, error) {
	f := &file{data: data}
	if err := f.readTables(); err != nil || !f.usable() {
		f.scan()
	}
	if _, ok := f.trailer["Encrypt"]; ok {
		return nil, errEncrypted
	}
	if !f.usable() {
		return nil, errors.New("no catalog with pages found")
	}
	return f, nil
}

// reset forgets all that was read.
func (f *file) reset() {
	f.places, f.trailer = map[int]place{}, dict{}
	f.cache, f.packed = map[int]object{}, map[int]map[int]object{}
	f.start, f.streams = -1, false
}

// usable says whether the catalog has a page tree and every object that the
// tables place is where they say.
func (f *file) usable() bool {
	root, _ := f.resolve(f.trailer["Root"]).(dict)
	if pages, ok := f.resolve(root["Pages"]).(dict); !ok || pages["Kids"] == nil {
		return false
	}
	for num, p := range f.places {
		if p.container == 0 && f.headerAt(num, p) < 0 {
			return false
		}
	}
	return true
}

// headerAt gives the offset behind "n g obj", -1 where it does not stand.
func (f *file) headerAt(num int, p place) int {
	at := p.offset + f.base
	if at < 0 || at >= len(f.data) {
		return -1
	}
	l := &lexer{data: f.data, pos: at}
	n, _ := l.number()
	l.space()
	_, err := l.number()
	l.space()
	if got, ok := integer(n); !ok || got != num || err != nil || !bytes.HasPrefix(l.data[l.pos:], []byte("obj")) {
		return -1
	}
	return l.pos + 3
}

// numbers returns the object numbers in use, ascending.
func (f *file) numbers() []int { return slices.Sorted(maps.Keys(f.places)) }

// resolve follows references; a missing object is nil.
func (f *file) resolve(o object) object {
	for range 32 {
		r, ok := o.(ref)
		if !ok {
			break
		}
		o = f.get(r.num)
	}
	if a, ok := o.(atom); ok && a == "null" {
		return nil
	}
	if _, ok := o.(ref); ok {
		return nil
	}
	return o
}

// dictOf resolves an object to a dictionary or to that of a stream.
func (f *file) dictOf(o object) dict {
	switch v := f.resolve(o).(type) {
	case dict:
		return v
	case *stream:
		return v.dict
	}
	return nil
}

// get returns an object by number, nil where it is missing or unreadable.
func (f *file) get(num int) object {
	if o, ok := f.cache[num]; ok {
		return o
	}
	f.cache[num] = nil // against cycles of /Length
	p, ok := f.places[num]
	if !ok {
		return nil
	}
	var o object
	if p.container != 0 {
		o = f.unpack(p.container)[num]
	} else if at := f.headerAt(num, p); at >= 0 {
		o, _ = f.parse(at)
	}
	f.cache[num] = o
	return o
}

// parse reads the object whose "obj" ends at the given offset.
func (f *file) parse(at int) (object, error) {
	l := &lexer{data: f.data, pos: at}
	o, err := l.object()
	if err != nil {
		return nil, err
	}
	d, ok := o.(dict)
	if l.space(); !ok || !bytes.HasPrefix(l.data[l.pos:], []byte("stream")) {
		return o, nil
	}
	l.pos += len("stream")
	if l.pos < len(l.data) && l.data[l.pos] == '\r' {
		l.pos++
	}
	if l.pos < len(l.data) && l.data[l.pos] == '\n' {
		l.pos++
	}
	raw, err := f.streamBytes(d, l.pos)
	return &stream{d, raw}, err
}

// streamBytes cuts the stream by its Length, or at the next endstream where
// the Length is wrong.
func (f *file) streamBytes(d dict, start int) ([]byte, error) {
	if n, ok := integer(f.resolve(d["Length"])); ok && n >= 0 && start+n <= len(f.data) {
		l := &lexer{data: f.data, pos: start + n}
		if l.space(); bytes.HasPrefix(f.data[l.pos:], []byte("endstream")) {
			return f.data[start : start+n], nil
		}
	}
	end := bytes.Index(f.data[start:], []byte("endstream"))
	if end < 0 {
		return nil, fmt.Errorf("stream at %d has no end", start)
	}
	raw := bytes.TrimSuffix(f.data[start:start+end], []byte("\n"))
	return bytes.TrimSuffix(raw, []byte("\r")), nil
}

// maxDecoded bounds the decoded size of a table or object stream.
const maxDecoded = 256 << 20

// unpack reads the objects of an object stream (7.5.7) by their numbers.
func (f *file) unpack(container int) map[int]object {
	if m, ok := f.packed[container]; ok {
		return m
	}
	m := map[int]object{}
	f.packed[container] = m
	s, ok := f.get(container).(*stream)
	if !ok {
		return m
	}
	count, _ := integer(f.resolve(s.dict["N"]))
	first, _ := integer(f.resolve(s.dict["First"]))
	data, err := decode(s)
	if err != nil || first < 0 || first > len(data) {
		return m
	}
	head := &lexer{data: data[:first]}
	for range count {
		a, err1 := head.object()
		b, err2 := head.object()
		num, ok1 := integer(a)
		offset, ok2 := integer(b)
		if err1 != nil || err2 != nil || !ok1 || !ok2 || offset < 0 || first+offset > len(data) {
			break
		}
		if o, err := (&lexer{data: data, pos: first + offset}).object(); err == nil {
			m[num] = o
		}
	}
	return m
}

// decode undoes no filter or FlateDecode with a predictor; tables and object
// streams use no other in practice.
func decode(s *stream) ([]byte, error) {
	filter, parms := s.dict["Filter"], s.dict["DecodeParms"]
	if a, ok := filter.(array); ok && len(a) <= 1 {
		filter = nil
		if len(a) == 1 {
			filter = a[0]
		}
		if p, ok := parms.(array); ok && len(p) > 0 {
			parms = p[0]
		}
	}
	switch filter {
	case nil:
		return s.raw, nil
	case name("FlateDecode"), name("Fl"):
		d, _ := parms.(dict)
		return inflate(s.raw, d)
	}
	return nil, fmt.Errorf("filter %v is not known here", filter)
}

func inflate(raw []byte, parms dict) ([]byte, error) {
	z, err := zlib.NewReader(bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(z, maxDecoded))
	if err != nil && len(data) == 0 {
		return nil, err
	}
	predictor, _ := integer(parms["Predictor"])
	switch {
	case predictor <= 1:
		return data, nil
	case predictor < 10:
		return nil, errors.New("the TIFF predictor is not known here")
	}
	return unpredict(data, parms)
}

// unpredict undoes the PNG filters (7.4.4.4; PNG specification, clause 9).
func unpredict(data []byte, parms dict) ([]byte, error) {
	columns, colors, bits := 1, 1, 8
	for key, v := range map[name]*int{"Columns": &columns, "Colors": &colors, "BitsPerComponent": &bits} {
		if n, ok := integer(parms[key]); ok {
			*v = n
		}
	}
	size, pixel := (columns*colors*bits+7)/8, max((colors*bits+7)/8, 1)
	if size <= 0 || size > len(data) {
		return nil, errors.New("wrong predictor parameters")
	}
	var out []byte
	above := make([]byte, size)
	for len(data) > 1 {
		row := make([]byte, size)
		copy(row, data[1:])
		unfilter(data[0], row, above, pixel)
		out = append(out, row...)
		above, data = row, data[min(size+1, len(data)):]
	}
	return out, nil
}

func unfilter(kind byte, row, above []byte, pixel int) {
	for i := range row {
		var left, upLeft byte
		if i >= pixel {
			left, upLeft = row[i-pixel], above[i-pixel]
		}
		switch kind {
		case 1:
			row[i] += left
		case 2:
			row[i] += above[i]
		case 3:
			row[i] += byte((int(left) + int(above[i])) / 2)
		case 4:
			row[i] += paeth(left, above[i], upLeft)
		}
	}
}

func paeth(a, b, c byte) byte {
	p := int(a) + int(b) - int(c)
	pa, pb, pc := distance(p, a), distance(p, b), distance(p, c)
	switch {
	case pa <= pb && pa <= pc:
		return a
	case pb <= pc:
		return b
	}
	return c
}

func distance(p int, x byte) int { return max(p-int(x), int(x)-p) }
