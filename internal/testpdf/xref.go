package testpdf

import (
	"bytes"
	"errors"
	"regexp"
	"strconv"
)

var errXref = errors.New("broken cross-reference data")

// readTables reads all cross-reference sections, newest first (7.5.4, 7.5.6,
// 7.5.8). Offsets may count from the header instead of the first byte.
func (f *file) readTables() error {
	f.reset()
	at := bytes.LastIndex(f.data, []byte("startxref"))
	if at < 0 {
		return errXref
	}
	l := &lexer{data: f.data, pos: at + len("startxref")}
	l.space()
	start, err := strconv.Atoi(l.word())
	if err != nil {
		return errXref
	}
	if f.base = 0; f.chain(start) == nil && f.usable() {
		return nil
	}
	f.reset()
	if f.base = max(bytes.Index(f.data, []byte("%PDF-")), 0); f.base == 0 {
		return errXref
	}
	return f.chain(start)
}

// chain reads the section at start and those it follows.
func (f *file) chain(start int) error {
	f.start = start
	seen := map[int]bool{}
	next := []int{start}
	for first := true; len(next) > 0; first = false {
		at := next[0]
		next = next[1:]
		if seen[at] {
			continue
		}
		seen[at] = true
		t, isStream, err := f.section(at + f.base)
		if err != nil {
			return err
		}
		if first {
			f.streams = isStream
		}
		for k, v := range t {
			if _, ok := f.trailer[k]; !ok {
				f.trailer[k] = v
			}
		}
		if n, ok := integer(t["Prev"]); ok {
			next = append(next, n)
		}
	}
	f.dropFree()
	return nil
}

// dropFree forgets the objects that a section declared free; until then they
// stand at offset -1, so that an older section does not bring them back.
func (f *file) dropFree() {
	for num, p := range f.places {
		if p.offset < 0 {
			delete(f.places, num)
		}
	}
}

// add notes a place unless a newer section has one.
func (f *file) add(num int, p place) {
	if _, ok := f.places[num]; !ok {
		f.places[num] = p
	}
}

// section reads the table or stream at an offset and returns its trailer.
func (f *file) section(at int) (dict, bool, error) {
	if at < 0 || at >= len(f.data) {
		return nil, false, errXref
	}
	l := &lexer{data: f.data, pos: at}
	if l.space(); bytes.HasPrefix(l.data[l.pos:], []byte("xref")) {
		l.pos += len("xref")
		t, err := f.table(l)
		return t, false, err
	}
	t, err := f.xrefStream(l)
	return t, true, err
}

// table reads a classic section. Of a hybrid file (7.5.8.4) the stream goes
// first: the table declares its objects free.
func (f *file) table(l *lexer) (dict, error) {
	rows := map[int]place{}
	for {
		l.space()
		word := l.word()
		if word == "trailer" {
			break
		}
		first, err1 := strconv.Atoi(word)
		l.space()
		count, err2 := strconv.Atoi(l.word())
		if err1 != nil || err2 != nil {
			return nil, errXref
		}
		for i := range count {
			p, err := row(l)
			if err != nil {
				return nil, err
			}
			rows[first+i] = p
		}
	}
	o, err := l.object()
	t, ok := o.(dict)
	if err != nil || !ok {
		return nil, errXref
	}
	if n, ok := integer(t["XRefStm"]); ok {
		if _, _, err := f.section(n + f.base); err != nil {
			return nil, err
		}
	}
	for num, p := range rows {
		f.add(num, p)
	}
	return t, nil
}

func row(l *lexer) (place, error) {
	l.space()
	offset, err1 := strconv.Atoi(l.word())
	l.space()
	gen, err2 := strconv.Atoi(l.word())
	l.space()
	kind := l.word()
	switch {
	case err1 != nil || err2 != nil || kind != "n" && kind != "f":
		return place{}, errXref
	case kind == "f" || offset == 0:
		return place{offset: -1}, nil
	}
	return place{offset: offset, gen: gen}, nil
}

// xrefStream reads a cross-reference stream (7.5.8.2, 7.5.8.3).
func (f *file) xrefStream(l *lexer) (dict, error) {
	_, _ = l.number()
	l.space()
	_, _ = l.number()
	if l.space(); !bytes.HasPrefix(l.data[l.pos:], []byte("obj")) {
		return nil, errXref
	}
	o, err := f.parse(l.pos + 3)
	s, ok := o.(*stream)
	if err != nil || !ok || s.dict["Type"] != name("XRef") {
		return nil, errXref
	}
	data, err := decode(s)
	if err != nil {
		return nil, err
	}
	return s.dict, f.xrefRows(s.dict, data)
}

func (f *file) xrefRows(d dict, data []byte) error {
	w, err := widths(d)
	if err != nil {
		return err
	}
	index, _ := d["Index"].(array)
	if index == nil {
		index = array{atom("0"), d["Size"]}
	}
	for i := 0; i+1 < len(index); i += 2 {
		first, ok1 := integer(index[i])
		count, ok2 := integer(index[i+1])
		if !ok1 || !ok2 {
			return errXref
		}
		for n := 0; n < count && len(data) >= w[0]+w[1]+w[2]; n++ {
			f.xrefRow(first+n, w, data)
			data = data[w[0]+w[1]+w[2]:]
		}
	}
	return nil
}

func widths(d dict) (w [3]int, err error) {
	a, _ := d["W"].(array)
	if len(a) < 3 {
		return w, errXref
	}
	for i := range w {
		n, ok := integer(a[i])
		if !ok || n < 0 || n > 8 {
			return w, errXref
		}
		w[i] = n
	}
	if w[0]+w[1]+w[2] == 0 {
		return w, errXref
	}
	return w, nil
}

func (f *file) xrefRow(num int, w [3]int, data []byte) {
	kind := 1
	if w[0] > 0 {
		kind = bigEndian(data[:w[0]])
	}
	second, third := bigEndian(data[w[0]:w[0]+w[1]]), bigEndian(data[w[0]+w[1]:w[0]+w[1]+w[2]])
	switch kind {
	case 0:
		f.add(num, place{offset: -1})
	case 1:
		f.add(num, place{offset: second, gen: third})
	case 2:
		f.add(num, place{container: second})
	}
}

func bigEndian(b []byte) int {
	n := 0
	for _, c := range b {
		n = n<<8 | int(c)
	}
	return n
}

var objectHeader = regexp.MustCompile(`(?:^|[\s>])(\d{1,9})[ \t\r\n]+(\d{1,5})[ \t\r\n]+obj\b`)

// scan rebuilds the tables from the objects found in the file; of several with
// one number the last counts. Object streams are opened first.
func (f *file) scan() {
	f.reset()
	f.base = 0
	for _, m := range objectHeader.FindAllSubmatchIndex(f.data, -1) {
		num, _ := strconv.Atoi(string(f.data[m[2]:m[3]]))
		gen, _ := strconv.Atoi(string(f.data[m[4]:m[5]]))
		f.places[num] = place{offset: m[2], gen: gen}
	}
	for _, num := range f.numbers() {
		if s, ok := f.get(num).(*stream); ok {
			f.scanStream(num, s)
		}
	}
	f.scanTrailers()
}

func (f *file) scanStream(num int, s *stream) {
	switch s.dict["Type"] {
	case name("ObjStm"):
		for inner := range f.unpack(num) {
			f.add(inner, place{container: num})
		}
	case name("XRef"):
		for k, v := range s.dict {
			f.trailer[k] = v
		}
	}
}

// scanTrailers takes the entries of all trailers, the last winning, and finds
// the catalog by its type where they name none.
func (f *file) scanTrailers() {
	rest := f.data
	for {
		at := bytes.Index(rest, []byte("trailer"))
		if at < 0 {
			break
		}
		rest = rest[at+len("trailer"):]
		o, _ := (&lexer{data: rest}).object()
		if t, ok := o.(dict); ok {
			for k, v := range t {
				f.trailer[k] = v
			}
		}
	}
	if f.dictOf(f.trailer["Root"]) != nil {
		return
	}
	for _, num := range f.numbers() {
		if d, ok := f.get(num).(dict); ok && d["Type"] == name("Catalog") {
			f.trailer["Root"] = ref{num, f.places[num].gen}
		}
	}
}
