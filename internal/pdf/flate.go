package pdf

import (
	"bytes"
	"encoding/binary"
	"errors"
	"hash/adler32"
	"io"
	"slices"

	"github.com/klauspost/compress/flate"
)

var (
	errChecksum   = errors.New("the checksum does not fit")
	errZlibHeader = errors.New("the zlib header is wrong")
)

// inflate decodes Flate data (7.4.4.1; RFC 1950). As viewers do, it gives
// what comes before a fault, and does without a checksum that was cut off.
func inflate(data []byte, limit int64) ([]byte, error) {
	if len(data) == 0 {
		return nil, nil
	}
	body, ok := zlibBody(data)
	out, err := inflateBody(body, limit)
	if !ok && len(out) == 0 && len(data) > 2 {
		out, err = inflateBody(data[2:], limit)
	}
	if err == nil && !ok {
		err = errZlibHeader
	}
	return out, err
}

// zlibBody cuts the two bytes of the header. Data without a proper header is
// taken as it is.
func zlibBody(data []byte) (body []byte, ok bool) {
	const preset = 0x20
	if len(data) < 2 || data[0]&0x0F != 8 || binary.BigEndian.Uint16(data)%31 != 0 || data[1]&preset != 0 {
		return data, false
	}
	return data[2:], true
}

// inflateBody decodes deflated data and the checksum behind it, if it is
// there.
func inflateBody(body []byte, limit int64) ([]byte, error) {
	in := bytes.NewReader(body)
	out, err := readLimited(flate.NewReader(in), 3*len(body), limit)
	if err == nil && in.Len() >= 4 && binary.BigEndian.Uint32(body[len(body)-in.Len():]) != adler32.Checksum(out) {
		err = errChecksum
	}
	return out, err
}

// readLimited reads r to its end or to a fault, and gives what it read. guess
// is the size to begin with.
func readLimited(r io.Reader, guess int, limit int64) ([]byte, error) {
	buf := make([]byte, 0, max(512, min(int64(guess), limit)))
	var full [][]byte // what was read before, so that nothing is copied twice
	before := int64(0)
	for {
		n, err := r.Read(buf[len(buf):cap(buf)])
		buf = buf[:len(buf)+n]
		switch {
		case before+int64(len(buf)) > limit:
			return nil, &LimitError{LimitStreamBytes, limit}
		case err == io.EOF:
			return joined(full, buf), nil
		case err != nil:
			return joined(full, buf), err
		case len(buf) == cap(buf):
			full, before = append(full, buf), before+int64(len(buf))
			buf = make([]byte, 0, min(2*cap(buf), maxChunk))
		}
	}
}

// maxChunk bounds what is allocated ahead of what is read.
const maxChunk = 16 << 20

// joined puts chunks together.
func joined(full [][]byte, last []byte) []byte {
	if len(full) == 0 {
		return last
	}
	return slices.Concat(append(full, last)...)
}
