package content

import (
	"bytes"
	"compress/flate"
	"errors"
	"io"
)

// InlineImage tells of the parts of an inline image (ISO 32000-1, 8.9.7).
type InlineImage struct {
	// Dict spans the entries between BI and ID, without brackets. Keys and
	// values may be abbreviated (Tables 93 and 94). Operation.EntriesOf
	// reads it.
	Dict Operand
	// DataStart and DataEnd span the image data, filters not undone.
	DataStart, DataEnd int
	// Exact is true where the length was measured: from the Length entry, from
	// the size of the image, or by following its filter. Else EI is the
	// first one with white space around it and operations behind it.
	Exact bool
	// Open is true where there is no EI: all that is left of the stream is data.
	Open bool
}

// inlineImage reads on from the end of BI and returns where EI ends.
func (s *Scanner) inlineImage(after int) (img InlineImage, end int) {
	idStart, idEnd, found := s.imageDict(after)
	img.Dict = Operand{Dict, after, idStart}
	img.DataStart, img.DataEnd = idEnd, idEnd
	if !found {
		img.Open = idStart == len(s.data)
		return img, idEnd
	}
	p := s.imageParams(img.Dict)
	for _, start := range dataStarts(s.data, idEnd) {
		if dataEnd, end, ok := s.measure.find(s.data, start, &p); ok {
			img.DataStart, img.DataEnd, img.Exact = start, dataEnd, true
			return img, end
		}
	}
	start := dataStarts(s.data, idEnd)[0]
	img.DataStart = start
	// A size that is known but was not confirmed tells where to look first: some
	// images have surplus bytes.
	if size, ok := p.rawSize(); ok && p.filter == "" && size <= len(s.data)-start && s.measure.budget > 0 {
		if img.DataEnd, end, ok = s.measure.guess(s.data, start+size); ok {
			return img, end
		}
	}
	img.DataEnd, end, found = s.measure.guess(s.data, start)
	img.Open = !found
	return img, end
}

// imageDict looks for ID, or for an EI or the end of the stream in its place.
func (s *Scanner) imageDict(i int) (idStart, idEnd int, found bool) {
	for i = skipSpace(s.data, i); i < len(s.data); i = skipSpace(s.data, i) {
		kind, end, _ := lexOperand(s.data, i)
		if kind == Keyword {
			switch string(s.data[i:end]) {
			case "ID":
				return i, end, true
			case "EI":
				return i, end, false
			}
		}
		i = end
	}
	return len(s.data), len(s.data), false
}

// dataStarts returns where data can start after ID: behind one white-space
// character (8.9.7) or, since some programs write two for an end of line,
// behind both of them.
func dataStarts(data []byte, i int) [2]int {
	if i >= len(data) || classes[data[i]] != white {
		return [2]int{i, i}
	}
	return [2]int{i + 1, lineEnd(data, i) + 1}
}

// confirmEI returns the end of the EI that follows at i, white space passed
// over, with a delimiter behind it.
func confirmEI(data []byte, i int) (end int, ok bool) {
	if i < 0 || i > len(data) {
		return 0, false
	}
	for i < len(data) && classes[data[i]] == white {
		i++
	}
	if !bytes.HasPrefix(data[i:], []byte("EI")) {
		return 0, false
	}
	end = i + len("EI")
	return end, end == len(data) || !isRegular(data[end])
}

// guess returns the first EI that stands between white space and is followed
// by operations. Failing that it takes the first one followed by operations,
// then the first between white space, then the end of the data, with false.
func (m *measurer) guess(data []byte, start int) (dataEnd, end int, ok bool) {
	plausible, spaced := -1, -1
	i := start
	defer func() { m.budget -= i - start }()
	for {
		next := bytes.Index(data[i:], []byte("EI"))
		if next < 0 {
			i = len(data)
			break
		}
		at := i + next
		i = at + 1
		if end := at + len("EI"); end < len(data) && isRegular(data[end]) {
			continue
		}
		before := at == start || classes[data[at-1]] == white
		follows := beginsOperations(data, at+len("EI"))
		if before && follows {
			return trimEOL(data, start, at), at + len("EI"), true
		}
		if follows && plausible < 0 {
			plausible = at
		}
		if before && spaced < 0 {
			spaced = at
		}
		if m.budget < i-start && max(plausible, spaced) >= 0 {
			break // too much was searched in vain: take what there is
		}
	}
	for _, at := range [...]int{plausible, spaced} {
		if at >= 0 {
			return trimEOL(data, start, at), at + len("EI"), true
		}
	}
	return len(data), len(data), false
}

// trimEOL takes the white space off that separates data from EI.
func trimEOL(data []byte, start, end int) int {
	if end > start && data[end-1] == '\n' && end-1 > start && data[end-2] == '\r' {
		return end - 2
	}
	if end > start && classes[data[end-1]] == white {
		return end - 1
	}
	return end
}

// lookAhead is how many bytes behind a supposed EI are judged.
const lookAhead = 256

// beginsOperations reports whether operands and a known operator, or the end of
// the data, follow. Bytes of an image are hardly ever that.
func beginsOperations(data []byte, i int) bool {
	limit := min(len(data), i+lookAhead)
	for i = skipSpace(data[:limit], i); i < limit; i = skipSpace(data[:limit], i) {
		kind, end, _ := lexOperand(data[:limit], i)
		switch {
		case kind == 0:
			return false
		case end == limit:
			return true // cut off
		case kind == Keyword && !isLiteral(data[i:end]):
			return Lookup(data[i:end]) != OpUnknown
		}
		i = end
	}
	return true
}

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
	// Some programs leave the checksum behind deflated data out or cut it short.
	checksums := []int{0}
	if p.filter == "Fl" || p.filter == "FlateDecode" {
		checksums = []int{4, 0, 1, 2, 3}
	}
	for _, checksum := range checksums {
		dataEnd = start + length + checksum
		if end, ok := confirmEI(data, dataEnd); ok {
			return dataEnd, end, true
		}
	}
	return 0, 0, false
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

// imageParams are the entries of an inline image that tell the length of its
// data (ISO 32000-1, 8.9.7, Tables 93 and 94).
type imageParams struct {
	width, height int
	bits          int // for each component
	components    int // 0: unknown
	mask          bool
	filter        string // of several the first to be undone, "" for none
	earlyChange   bool   // of LZWDecode
	length        int    // -1: not given
}

// imageParams reads the entries. Those of the wrong kind count as missing.
func (s *Scanner) imageParams(dict Operand) imageParams {
	p := imageParams{earlyChange: true, length: -1}
	o := Operation{data: s.data}
	o.EntriesOf(dict, func(key string, value Operand) bool {
		switch key {
		case "W", "Width":
			p.width = o.intOf(value)
		case "H", "Height":
			p.height = o.intOf(value)
		case "BPC", "BitsPerComponent":
			p.bits = o.intOf(value)
		case "L", "Length": // since PDF 2.0 (ISO 32000-2, 8.9.7)
			p.length = o.intOf(value)
		case "IM", "ImageMask":
			p.mask = string(o.RawOf(value)) == "true"
		case "CS", "ColorSpace":
			p.components = s.components(&o, value)
		case "F", "Filter":
			p.filter, _ = o.NameOf(o.firstOf(value))
		case "DP", "DecodeParms":
			o.EntriesOf(o.firstOf(value), func(key string, value Operand) bool {
				if key == "EarlyChange" { // of LZWDecode (Table 8)
					p.earlyChange = o.intOf(value) != 0
				}
				return true
			})
		}
		return true
	})
	return p
}

// rawSize returns the length of the data without filters: rows begin at a
// byte (8.9.5.2). False if it is unknown or beyond any stream.
func (p *imageParams) rawSize() (int, bool) {
	bits, components := p.bits, p.components
	if p.mask {
		bits, components = 1, 1
	}
	const limit = 1 << 30
	if p.width <= 0 || p.height <= 0 || p.width > limit || p.height > limit ||
		bits <= 0 || bits > 16 || components <= 0 || components > 32 {
		return 0, false
	}
	row := (int64(p.width)*int64(bits)*int64(components) + 7) / 8
	if row > limit/int64(p.height) {
		return 0, false
	}
	return int(row) * p.height, true
}

// components returns the number of components of a colour space, 0 if it is
// unknown. An array is an Indexed space, the only one that inline images may
// have.
func (s *Scanner) components(o *Operation, e Operand) int {
	array := e.Kind == Array
	name, _ := o.NameOf(o.firstOf(e))
	switch name {
	case "G", "DeviceGray", "CalGray", "I", "Indexed":
		return 1
	case "RGB", "DeviceRGB", "CalRGB", "Lab":
		return 3
	case "CMYK", "DeviceCMYK":
		return 4
	}
	if name == "" || array || s.ColourComponents == nil {
		return 0
	}
	n, _ := s.ColourComponents(name)
	return n
}

// intOf returns a number as an integer, -1 if it is none or negative.
func (o *Operation) intOf(e Operand) int {
	v, ok := o.FloatOf(e)
	if !ok || v < 0 || v > 1<<31-1 {
		return -1
	}
	return int(v)
}

// firstOf returns the first element of an array, and any other operand
// itself.
func (o *Operation) firstOf(e Operand) Operand {
	if e.Kind != Array {
		return e
	}
	var first Operand
	o.ElementsOf(e, func(e Operand) bool {
		first = e
		return false
	})
	return first
}
