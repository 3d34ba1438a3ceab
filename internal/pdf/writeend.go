package pdf

import (
	"fmt"
	"math/bits"
)

// finish writes what is waiting, the cross-reference stream with the entries
// of the trailer, and the end of the file (7.5.5, 7.5.8).
func (f *fileWriter) finish(root, info Ref, id String) error {
	if err := f.flush(); err != nil {
		return err
	}
	encrypt, err := f.encryption()
	if err != nil {
		return err
	}
	content := String(f.sum.Sum(nil)[:16])
	if id == "" && f.enc == nil { // the key depends on it
		id = content
	}
	num, at := Ref(len(f.entries)), f.size
	f.entries = append(f.entries, entry{at: at})
	data, widths := f.table()
	d := Dict{
		"Type": Name("XRef"), "Size": Integer(len(f.entries)), "W": widths,
		"Root": root, "ID": Array{id, content},
	}
	if info != 0 {
		d["Info"] = info
	}
	if encrypt != 0 {
		d["Encrypt"] = encrypt
	}
	// The references of the trailer are new numbers already.
	f.text.number = func(r Ref) Ref { return r }
	if err := f.stream(num, NewStream(d, data)); err != nil {
		return err
	}
	f.write(fmt.Appendf(nil, "startxref\n%d\n%%%%EOF\n", at))
	if f.err == nil {
		f.err = f.out.Flush()
	}
	return f.err
}

// encryption writes the encryption dictionary, if there is one, and returns its
// number. It is never encrypted, nor in an object stream (7.5.7, 7.6.1).
func (f *fileWriter) encryption() (Ref, error) {
	if f.enc == nil {
		return 0, f.err
	}
	num := Ref(len(f.entries))
	f.entries = append(f.entries, entry{})
	return num, f.alone(num, f.enc.dict, nil)
}

// table returns the rows of the cross-reference stream and the widths of
// their fields (Tables 17 and 18). Number 0 is free.
func (f *fileWriter) table() ([]byte, Array) {
	width := (bits.Len64(uint64(f.size)) + 7) / 8
	const index = 2
	data := make([]byte, 0, len(f.entries)*(1+width+index))
	data = appendRow(data, 0, 0, width, 0xFFFF, index)
	for _, e := range f.entries[1:] {
		if e.container == 0 {
			data = appendRow(data, 1, e.at, width, 0, index)
			continue
		}
		data = appendRow(data, 2, int64(e.container), width, e.at, index)
	}
	return data, Array{Integer(1), Integer(width), Integer(index)}
}

func appendRow(data []byte, kind byte, a int64, widthA int, b int64, widthB int) []byte {
	return appendBig(appendBig(append(data, kind), a, widthA), b, widthB)
}

func appendBig(data []byte, v int64, width int) []byte {
	for i := width - 1; i >= 0; i-- {
		data = append(data, byte(v>>(8*i)))
	}
	return data
}
