package content

import (
	"bytes"
	"compress/flate"
	"errors"
	"io"
)

// measureBudget is how many bytes all inline images of a stream together may
// cost to read or to inflate while their ends are looked for. Images that are
// what they say cost their own length; the bound is for streams made to have
// each image searched to the end of the stream.
const measureBudget = 1 << 28

// measurer finds the end of image data.
type measurer struct {
	budget  int
	inflate io.ReadCloser // reused
}

// find returns the end of the data and the end of its EI, if the length can be
// computed and EI does follow.
func (m *measurer) find(data []byte, start int, p *imageParams) (dataEnd, end int, ok bool) {
	if p.length >= 0 && p.length <= len(data)-start {
		if end, ok := confirmEI(data, start+p.length); ok {
			return start + p.length, end, true
		}
	}
	if m.budget < 0 {
		return 0, 0, false
	}
	length, ok := m.encodedLength(data[start:], p)
	if !ok || length > len(data)-start {
		return 0, 0, false
	}
	if isFlate(p.filter) {
		return confirmFlate(data, start+length)
	}
	end, ok = confirmEI(data, start+length)
	return start + length, end, ok
}

// encodedLength returns how many bytes of src the first filter reads. There is
// no way short of decoding to measure CCITTFaxDecode.
func (m *measurer) encodedLength(src []byte, p *imageParams) (n int, ok bool) {
	switch p.filter {
	case "":
		return p.rawSize()
	case "AHx", "ASCIIHexDecode":
		n, ok = hexLength(src)
	case "A85", "ASCII85Decode":
		n, ok = ascii85Length(src)
	case "RL", "RunLengthDecode":
		n, ok = runLengthLength(src)
	case "LZW", "LZWDecode":
		n, ok = lzwLength(src, p.earlyChange)
	case "DCT", "DCTDecode":
		n, ok = jpegLength(src)
	case "Fl", "FlateDecode":
		return m.flateLength(src)
	}
	m.budget -= n
	return n, ok
}

func isFlate(filter string) bool { return filter == "Fl" || filter == "FlateDecode" }

// flateLength returns the length of the zlib header and the deflate stream
// (RFC 1950, RFC 1951), the checksum not included.
func (m *measurer) flateLength(src []byte) (int, bool) {
	const header = 2
	if len(src) < header || src[0]&0x0f != 8 || (int(src[0])<<8|int(src[1]))%31 != 0 {
		return 0, false
	}
	in := bytes.NewReader(src[header:]) // has ReadByte: not read beyond the end
	if m.inflate == nil {
		m.inflate = flate.NewReader(in)
	} else if err := m.inflate.(flate.Resetter).Reset(in, nil); err != nil {
		return 0, false
	}
	out, err := io.CopyN(io.Discard, m.inflate, int64(m.budget)+1)
	read := len(src) - in.Len()
	m.budget -= int(out) + read
	return read, errors.Is(err, io.EOF)
}

// confirmFlate looks for EI behind the checksum of four bytes, which some
// programs leave out or cut short.
func confirmFlate(data []byte, i int) (dataEnd, end int, ok bool) {
	for _, checksum := range [...]int{4, 0, 1, 2, 3} {
		if end, ok = confirmEI(data, i+checksum); ok {
			return i + checksum, end, true
		}
	}
	return 0, 0, false
}

// The following return how many bytes are read up to and including the end of
// data, or how many until that proved impossible and false.

// hexLength: ISO 32000-1, 7.4.2.
func hexLength(src []byte) (int, bool) {
	for i, c := range src {
		if c == '>' {
			return i + 1, true
		}
		if hexDigit(c) < 0 && classes[c] != white {
			return i, false
		}
	}
	return len(src), false
}

// ascii85Length: 7.4.3. White space may stand inside the end mark.
func ascii85Length(src []byte) (int, bool) {
	tilde := false
	for i, c := range src {
		switch {
		case classes[c] == white:
		case tilde:
			return i + 1, c == '>'
		case c == '~':
			tilde = true
		case c < '!' || c > 'u' && c != 'z':
			return i, false
		}
	}
	return len(src), false
}

// runLengthLength: 7.4.5.
func runLengthLength(src []byte) (int, bool) {
	for i := 0; i < len(src); {
		switch c := src[i]; {
		case c == 128:
			return i + 1, true
		case c < 128:
			i += 2 + int(c)
		default:
			i += 2
		}
	}
	return len(src), false
}

// lzwLength: 7.4.4.2. Which strings the codes stand for does not matter, only
// how many there are, since that sets the code length.
func lzwLength(src []byte, earlyChange bool) (int, bool) {
	const clearTable, endOfData, firstFree = 256, 257, 258
	early := 0
	if earlyChange {
		early = 1
	}
	var bits, have uint
	width, free := uint(9), firstFree-1 // the first code adds no string
	for i, c := range src {
		bits, have = bits<<8|uint(c), have+8
		if have < width {
			continue
		}
		have -= width
		switch bits >> have & (1<<width - 1) {
		case endOfData:
			return i + 1, true
		case clearTable:
			width, free = 9, firstFree-1
			continue
		}
		free++
		if free+early >= 1<<width && width < 12 {
			width++
		}
	}
	return len(src), false
}

// jpegLength walks the segments of a JPEG file (ITU-T T.81, B.1.1) from SOI
// to EOI.
func jpegLength(src []byte) (int, bool) {
	const soi, eoi, sos, tem, rst0, rst7 = 0xd8, 0xd9, 0xda, 0x01, 0xd0, 0xd7
	if len(src) < 2 || src[0] != 0xff || src[1] != soi {
		return 0, false
	}
	i := 2
	for i+1 < len(src) {
		marker := src[i+1]
		switch {
		case src[i] != 0xff:
			return i, false
		case marker == 0xff: // fill byte
			i++
			continue
		case marker == eoi:
			return i + 2, true
		case marker == tem || marker >= rst0 && marker <= rst7:
			i += 2
			continue
		case i+3 >= len(src):
			return len(src), false
		}
		i += 2 + int(src[i+2])<<8 + int(src[i+3])
		if marker == sos {
			i = entropyEnd(src, i)
		}
	}
	return len(src), false
}

// entropyEnd returns where the next marker is that is no stuffed zero and no
// restart.
func entropyEnd(src []byte, i int) int {
	for ; i+1 < len(src); i++ {
		if next := src[i+1]; src[i] == 0xff && next != 0 && (next < 0xd0 || next > 0xd7) {
			return i
		}
	}
	return len(src)
}
