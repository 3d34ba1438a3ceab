package testpdf

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
)

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
