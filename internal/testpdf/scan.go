package testpdf

import (
	"bytes"
	"regexp"
	"strconv"
)

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
