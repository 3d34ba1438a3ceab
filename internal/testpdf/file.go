package testpdf

import (
	"bytes"
	"errors"
	"fmt"
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
