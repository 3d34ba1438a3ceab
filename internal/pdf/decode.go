package pdf

import (
	"bytes"
	"cmp"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/adler32"
	"io"
	"slices"

	"github.com/klauspost/compress/flate"

	"github.com/sizeply/sizeply/layers/failure"
)

// maxFilters bounds the filters of one stream.
const maxFilters = 8

// Decode gives the decoded data of a stream. Damaged data gives what could be
// decoded together with a *DamageError; a filter that gives no bytes of
// content (DCTDecode, CCITTFaxDecode, ...) and an unknown one give an error alone.
// limit bounds the decoded size; zero or less is the default of
// Limits.StreamBytes. Where ctx ends, its error comes back. The data of a stream
// without filters is its Raw, and not to be changed.
func Decode(ctx context.Context, src Objects, s *Stream, limit int64) ([]byte, error) {
	data, damage, err := decode(ctx, src, s, limit)
	if damage != nil && damage.Err != errNoEnd && damage.Err != errBehind {
		return data, damage
	}
	return data, err
}

// decode is Decode with damage of all kinds, the first of each chain of filters.
func decode(ctx context.Context, src Objects, s *Stream, limit int64) (data []byte, damage *DamageError, err error) {
	lim := Limits{StreamBytes: limit}.withDefaults()
	chain, err := filters(src, s.Dict)
	if err != nil {
		return nil, nil, err
	}
	data = s.Raw
	for _, f := range chain {
		var found *DamageError
		out, err := f.decode(ctx, data, lim.StreamBytes)
		if ctx.Err() != nil {
			return nil, nil, ctx.Err()
		}
		if err != nil && !errors.As(err, &found) {
			return nil, nil, err
		}
		if damage == nil || damage.Err == errNoEnd || damage.Err == errBehind {
			damage = cmp.Or(found, damage)
		}
		data = out
	}
	if s.Cut && damage == nil && !ends(chain) {
		damage = &DamageError{Err: io.ErrUnexpectedEOF}
	}
	if int64(len(data)) > lim.StreamBytes {
		return nil, nil, &failure.LimitError{Limit: failure.LimitStreamBytes, Bound: lim.StreamBytes}
	}
	return data, damage, nil
}

// DecodeContent is Decode for a content stream. fault tells what of the data is
// damaged, and where a filter's data goes on behind its end or has none; of damaged data
// it gives what can be read up to the last white space, for the token behind that may be
// cut short.
func DecodeContent(ctx context.Context, src Objects, s *Stream, limit int64) (
	data []byte, fault *DamageError, err error,
) {
	data, fault, err = decode(ctx, src, s, limit)
	if fault == nil || fault.Err == errChecksum || fault.Err == errBehind {
		return data, fault, err // the last token is there
	}
	end := len(data)
	for end > 0 && !isSpace(data[end-1]) {
		end--
	}
	return data[:end:end], fault, nil
}

// filterStep is one filter with its parameters (7.4.1).
type filterStep struct {
	src   Objects
	name  Name
	parms Dict
}

// filters lists the filters of a stream in the order of decoding (Table 5).
// References are followed wherever they stand.
func filters(src Objects, d Dict) ([]filterStep, error) {
	names, parms := oneOrMore(src, d["Filter"]), oneOrMore(src, d["DecodeParms"])
	if len(names) > maxFilters {
		return nil, &failure.LimitError{Limit: failure.LimitFilters, Bound: maxFilters}
	}
	var chain []filterStep
	for i, o := range names {
		f := filterStep{src: src, name: AsName(src, o)}
		if i < len(parms) {
			f.parms = AsDict(src, parms[i])
		}
		if f.name == "" {
			return nil, errors.New("a stream has a filter that is no name")
		}
		chain = append(chain, f)
	}
	return chain, nil
}

// DecodeWhole decodes a content stream; fault tells why it is not all of it, or none
// where a filter is unknown or gives an image. The error is a *failure.LimitError, or that of
// ctx.
func DecodeWhole(ctx context.Context, src Objects, s *Stream, limit int64) (data []byte, fault, err error) {
	data, damage, err := DecodeContent(ctx, src, s, limit)
	var exceeded *failure.LimitError
	switch {
	case ctx.Err() != nil:
		return nil, nil, ctx.Err()
	case errors.As(err, &exceeded):
		return nil, nil, err
	case err != nil:
		return nil, err, nil
	case damage != nil:
		return data, damage, nil
	}
	return data, nil, nil
}

// ends reports whether data tells by itself where it ends, as Flate data does.
func ends(chain []filterStep) bool {
	return len(chain) > 0 && (chain[0].name == "FlateDecode" || chain[0].name == "Fl")
}

// oneOrMore returns the elements of an array, or what is none as the only one.
func oneOrMore(src Objects, o Object) Array {
	switch o := Resolve(src, o).(type) {
	case nil:
		return nil
	case Array:
		return o
	default:
		return Array{o}
	}
}

// decode applies the filter (Table 6), by its name or its abbreviation (Table
// 94). What it gives does not count once ctx has ended.
func (f filterStep) decode(ctx context.Context, data []byte, limit int64) ([]byte, error) {
	switch f.name {
	case "FlateDecode", "Fl":
		out, err := inflate(ctx, data, limit)
		return f.predicted(ctx, out, err)
	case "LZWDecode", "LZW":
		out, err := unLZW(ctx, data, f.int("EarlyChange", 1) != 0, limit)
		return f.predicted(ctx, out, err)
	case "ASCII85Decode", "A85":
		out, err := unASCII85(ctx, data, limit)
		return f.damaged(out, cmp.Or(err, endsAt(data, "~>")))
	case "ASCIIHexDecode", "AHx":
		out, err := unASCIIHex(ctx, data)
		return f.damaged(out, cmp.Or(err, endsAt(data, ">")))
	case "RunLengthDecode", "RL":
		return f.damaged(unRunLength(ctx, data, limit))
	case "Crypt":
		return data, nil // what it encrypts was decrypted on opening
	case "DCTDecode", "DCT", "JPXDecode", "JBIG2Decode", "CCITTFaxDecode", "CCF":
		return nil, fmt.Errorf("filter %s gives an image, no bytes of content", f.name)
	}
	return nil, fmt.Errorf("filter %q is unknown", string(f.name))
}

func (f filterStep) int(key Name, def int) int { return AsInt(f.src, f.parms[key], def) }

// damaged turns what a filter met into a *DamageError.
func (f filterStep) damaged(data []byte, err error) ([]byte, error) {
	var limit *failure.LimitError
	if err == nil || errors.As(err, &limit) {
		return data, err
	}
	return data, &DamageError{f.name, err}
}

// predicted undoes the predictor of Flate and LZW data, damaged or not.
func (f filterStep) predicted(ctx context.Context, data []byte, err error) ([]byte, error) {
	var limit *failure.LimitError
	if errors.As(err, &limit) {
		return nil, err
	}
	out, perr := f.unpredict(ctx, data)
	if err == nil {
		err = perr
	}
	return f.damaged(out, err)
}

// errNoEnd and errBehind say that data is not as long as it says: it may be cut short, or
// be no data of the filter. They matter for content alone.
var (
	errNoEnd  = errors.New("the end is missing")
	errBehind = errors.New("there is more behind the end")
)

// endsAt gives what is wrong with data that should end with a mark. What stands behind
// the mark is no data (7.4.2, 7.4.3), and readers pass over it.
func endsAt(data []byte, mark string) error {
	if !bytes.Contains(data, []byte(mark)) {
		return errNoEnd
	}
	return nil
}

// endsBefore gives what is wrong with data that has ended before the rest: white space
// may stand there.
func endsBefore(rest []byte) error {
	for _, c := range rest {
		if !isSpace(c) {
			return errBehind
		}
	}
	return nil
}

var (
	errChecksum   = errors.New("the checksum does not fit")
	errZlibHeader = errors.New("the zlib header is wrong")
)

// inflate decodes Flate data (7.4.4.1; RFC 1950). As viewers do, it gives
// what comes before a fault, and does without a checksum that was cut off.
func inflate(ctx context.Context, data []byte, limit int64) ([]byte, error) {
	if len(data) == 0 {
		return nil, nil
	}
	const preset = 0x20
	ok := len(data) >= 2 && data[0]&0x0F == 8 && binary.BigEndian.Uint16(data)%31 == 0 && data[1]&preset == 0
	body := data // without a proper header all of it
	if ok {
		body = data[2:]
	}
	out, err := inflateBody(ctx, body, limit)
	if !ok && len(out) == 0 && len(data) > 2 {
		out, err = inflateBody(ctx, data[2:], limit)
	}
	if err == nil && !ok {
		err = errZlibHeader
	}
	return out, err
}

// inflateBody decodes deflated data and the checksum behind it, if it is
// there.
func inflateBody(ctx context.Context, body []byte, limit int64) ([]byte, error) {
	in := bytes.NewReader(body)
	out, err := readLimited(ctx, flate.NewReader(in), 3*len(body), limit)
	if err != nil || in.Len() < 4 {
		return out, err
	}
	sum := adler32.New()
	if err := Hash(ctx, sum, out); err != nil {
		return nil, err
	}
	if binary.BigEndian.Uint32(body[len(body)-in.Len():]) != sum.Sum32() {
		err = errChecksum
	}
	return out, err
}

// readLimited reads r to its end or to a fault, and gives what it read. guess
// is the size to begin with.
func readLimited(ctx context.Context, r io.Reader, guess int, limit int64) ([]byte, error) {
	buf := Lend(int(max(512, min(int64(guess), limit))))
	var full [][]byte // what was read before, so that nothing is copied twice
	before, at := int64(0), pace{ctx: ctx}
	for {
		n, err := r.Read(buf[len(buf):cap(buf)])
		buf = buf[:len(buf)+n]
		switch {
		case at.ended(n):
			return nil, ctx.Err()
		case before+int64(len(buf)) > limit:
			return nil, &failure.LimitError{Limit: failure.LimitStreamBytes, Bound: limit}
		case err == io.EOF:
			return joined(ctx, full, buf)
		case err != nil:
			out, ended := joined(ctx, full, buf)
			return out, cmp.Or(ended, err)
		case len(buf) == cap(buf):
			full, before = append(full, buf), before+int64(len(buf))
			buf = make([]byte, 0, min(2*cap(buf), maxChunk))
		}
	}
}

// maxChunk bounds what is allocated ahead of what is read.
const maxChunk = 16 << 20

// joined puts chunks together. The error is the context's.
func joined(ctx context.Context, full [][]byte, last []byte) ([]byte, error) {
	if len(full) == 0 {
		return last, nil
	}
	size := len(last)
	for _, chunk := range full {
		size += len(chunk)
	}
	out := make([]byte, 0, size)
	for _, chunk := range append(full, last) {
		for piece := range pieces(ctx, chunk) {
			out = append(out, piece...)
		}
	}
	return out, ctx.Err()
}

var errPredictor = errors.New("a predictor with parameters that make no sense")

// unpredict undoes the predictor (7.4.4.4; Tables 8 and 10) in data, which it
// may overwrite. A row that is cut short is used as far as it goes.
func (f filterStep) unpredict(ctx context.Context, data []byte) ([]byte, error) {
	kind := f.int("Predictor", 1)
	if kind < 2 {
		return data, nil
	}
	if kind != 2 && (kind < 10 || kind > 15) { // Table 10
		return data, errPredictor
	}
	colours, bits, columns := f.int("Colors", 1), f.int("BitsPerComponent", 8), f.int("Columns", 1)
	if colours < 1 || colours > 256 || columns < 1 || columns > 1<<24 || !slices.Contains([]int{1, 2, 4, 8, 16}, bits) {
		return data, errPredictor
	}
	row, pixel := (colours*bits*columns+7)/8, max(1, colours*bits/8)
	if kind == 2 {
		seen := pace{ctx: ctx}
		for at := 0; at < len(data) && !seen.ended(row); at += row {
			unTIFF(data[at:min(at+row, len(data))], bits, colours)
		}
		return data, nil
	}
	return unPNG(ctx, data, row, pixel)
}

// unTIFF undoes the TIFF predictor in one row: each component is the
// difference from that of the pixel to its left.
func unTIFF(row []byte, bits, colours int) {
	left := make([]int, colours)
	for i := range len(row) * 8 / bits {
		c := i % colours
		left[c] += component(row, i, bits)
		setComponent(row, i, bits, left[c])
	}
}

func component(row []byte, i, bits int) int {
	if bits == 16 {
		return int(row[2*i])<<8 | int(row[2*i+1])
	}
	at := i * bits
	return int(row[at/8]) >> (8 - bits - at%8) & (1<<bits - 1)
}

func setComponent(row []byte, i, bits, v int) {
	if bits == 16 {
		row[2*i], row[2*i+1] = byte(v>>8), byte(v)
		return
	}
	at, mask := i*bits, 1<<bits-1
	shift := 8 - bits - at%8
	row[at/8] = row[at/8]&^byte(mask<<shift) | byte(v&mask<<shift)
}

// unPNG undoes the PNG predictors: each row begins with the number of its own.
func unPNG(ctx context.Context, data []byte, row, pixel int) (out []byte, err error) {
	out = make([]byte, 0, len(data))
	above := make([]byte, min(row, len(data)))
	for seen := (pace{ctx: ctx}); len(data) > 1 && !seen.ended(row); {
		kind, line := data[0], data[1:min(row+1, len(data))]
		data = data[len(line)+1:]
		if !unPNGRow(kind, line, above, pixel) {
			err = errPredictor
		}
		out = append(out, line...)
		above = out[len(out)-len(line):]
	}
	return out, err
}

// unPNGRow undoes one row in place; the row above is at least as long.
func unPNGRow(kind byte, line, above []byte, pixel int) (known bool) {
	for i := range line {
		var a, c byte // left, and left of above
		if i >= pixel {
			a, c = line[i-pixel], above[i-pixel]
		}
		switch kind {
		case 0:
		case 1:
			line[i] += a
		case 2:
			line[i] += above[i]
		case 3:
			line[i] += byte((int(a) + int(above[i])) / 2)
		case 4:
			line[i] += paeth(a, above[i], c)
		default:
			return false
		}
	}
	return true
}

// paeth returns which of left, above and above left is nearest to left +
// above - above left (PNG, 9.4).
func paeth(a, b, c byte) byte {
	p := int(a) + int(b) - int(c)
	da, db, dc := abs(p-int(a)), abs(p-int(b)), abs(p-int(c))
	switch {
	case da <= db && da <= dc:
		return a
	case db <= dc:
		return b
	}
	return c
}

func abs(n int) int { return max(n, -n) }
