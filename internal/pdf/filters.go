package pdf

import (
	"bytes"
	"context"
	"errors"
	"io"
	"sync"

	"github.com/klauspost/compress/zlib"

	"github.com/sizeply/sizeply/internal/parallel"

	"github.com/sizeply/sizeply/layers/failure"
)

var (
	errCharacter = errors.New("a character that does not belong there")
	errCode      = errors.New("a code that does not exist")
)

// room makes room for more bytes, 8192 at most, by doubling: append would leave many
// copies behind on the way to hundreds of megabytes. There is always room to pass
// the limit.
func room(out []byte, more int, limit int64) []byte {
	if len(out)+more <= cap(out) {
		return out
	}
	return append(make([]byte, 0, 8192+int(min(2*int64(cap(out)), limit))), out...)
}

// unASCIIHex decodes ASCIIHexDecode data (7.4.2), or the digits of a string. One
// digit left over stands for two.
func unASCIIHex(ctx context.Context, data []byte) ([]byte, error) {
	if end := bytes.IndexByte(data, '>'); end >= 0 {
		data = data[:end]
	}
	out, half := make([]byte, 0, len(data)/2+1), -1
	var err error
	for i, c := range data {
		if i%lookEvery == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		v := hexValue(c)
		switch {
		case isSpace(c):
		case v < 0:
			err = errCharacter
		case half < 0:
			half = v
		default:
			out, half = append(out, byte(half<<4|v)), -1
		}
	}
	if half >= 0 {
		out = append(out, byte(half<<4))
	}
	return out, err
}

// unASCII85 decodes ASCII85Decode data (7.4.3), with or without the opening
// mark that other formats have.
func unASCII85(ctx context.Context, data []byte, limit int64) ([]byte, error) {
	data = bytes.TrimPrefix(bytes.TrimLeft(data, " \t\r\n\f\x00"), []byte("<~"))
	var out []byte
	var group [5]byte
	n := 0
	for i, c := range data {
		switch {
		case i%lookEvery == 0 && ctx.Err() != nil:
			return nil, ctx.Err()
		case c == '~':
			return append(out, ascii85Group(group, n)...), nil
		case isSpace(c):
		case c == 'z' && n == 0:
			out = append(room(out, 4, limit), 0, 0, 0, 0)
		case c < '!' || c > 'u':
			return append(out, ascii85Group(group, n)...), errCharacter
		default:
			group[n] = c - '!'
			if n++; n == 5 {
				out, n = append(room(out, 4, limit), ascii85Group(group, n)...), 0
			}
		}
		if int64(len(out)) > limit {
			return nil, &failure.LimitError{Limit: failure.LimitStreamBytes, Bound: limit}
		}
	}
	return append(out, ascii85Group(group, n)...), nil
}

// ascii85Group converts n digits to n-1 bytes.
func ascii85Group(group [5]byte, n int) []byte {
	if n < 2 {
		return nil
	}
	for i := n; i < 5; i++ {
		group[i] = 84
	}
	var v uint32
	for _, d := range group {
		v = v*85 + uint32(d)
	}
	b := [4]byte{byte(v >> 24), byte(v >> 16), byte(v >> 8), byte(v)}
	return b[:n-1]
}

// unRunLength decodes RunLengthDecode data (7.4.5).
func unRunLength(ctx context.Context, data []byte, limit int64) ([]byte, error) {
	size := runLengthSize(data)
	if size > limit {
		return nil, &failure.LimitError{Limit: failure.LimitStreamBytes, Bound: limit}
	}
	out := make([]byte, 0, size)
	for seen := (pace{ctx: ctx}); len(data) > 0; {
		n := int(data[0])
		data = data[1:]
		switch {
		case seen.ended(128):
			return nil, ctx.Err()
		case n == 128:
			return out, endsBefore(data)
		case n < 128 && n < len(data):
			out, data = append(out, data[:n+1]...), data[n+1:]
		case n < 128 || len(data) == 0:
			return append(out, data...), io.ErrUnexpectedEOF
		default:
			for range 257 - n {
				out = append(out, data[0])
			}
			data = data[1:]
		}
	}
	return out, errNoEnd
}

// runLengthSize is how many bytes run lengths decode to.
func runLengthSize(data []byte) (size int64) {
	for i := 0; i < len(data) && data[i] != 128; {
		if n := int(data[i]); n < 128 {
			size += int64(min(n+1, len(data)-i-1))
			i += n + 2
		} else {
			size += int64(min(257-n, 257*(len(data)-i-1)))
			i += 2
		}
	}
	return size
}

const (
	lzwClear = 256
	lzwEnd   = 257
)

// lzwTable is the state of unLZW: for each code the code before its last
// byte, that byte, and its length.
type lzwTable struct {
	prefix [4096]uint16
	last   [4096]byte
	length [4096]int
	// next is the next code to be given away.
	next int
}

// unLZW decodes LZWDecode data (7.4.4.2). With early change the codes grow one
// code early (Table 8).
func unLZW(ctx context.Context, data []byte, early bool, limit int64) ([]byte, error) {
	t := &lzwTable{next: lzwEnd + 1}
	for c := range lzwClear {
		t.last[c], t.length[c] = byte(c), 1
	}
	var out []byte
	bits, have, previous := uint32(0), 0, -1
	for seen := (pace{ctx: ctx}); ; {
		width := t.width(early)
		for have < width {
			if len(data) == 0 {
				return out, errNoEnd
			}
			bits, have, data = bits<<8|uint32(data[0]), have+8, data[1:]
		}
		have -= width
		code := int(bits >> have & (1<<width - 1))
		switch {
		case seen.ended(64 + t.length[code]):
			return nil, ctx.Err()
		case code == lzwEnd:
			return out, endsBefore(data)
		case code == lzwClear:
			t.next, previous = lzwEnd+1, -1
			continue
		case code > t.next || code == t.next && previous < 0:
			return out, errCode
		}
		out = t.emit(room(out, len(t.last)+1, limit), code, previous)
		if previous = code; int64(len(out)) > limit {
			return nil, &failure.LimitError{Limit: failure.LimitStreamBytes, Bound: limit}
		}
	}
}

// width returns the number of bits of the code to come.
func (t *lzwTable) width(early bool) int {
	n := t.next
	if early {
		n++
	}
	switch {
	case n < 512:
		return 9
	case n < 1024:
		return 10
	case n < 2048:
		return 11
	}
	return 12
}

// emit appends what code stands for, and gives away the next code: that for
// what previous stands for with one more byte, the first of code's.
func (t *lzwTable) emit(out []byte, code, previous int) []byte {
	start := len(out)
	if code == t.next {
		out = t.expand(out, previous)
		out = append(out, out[start])
	} else {
		out = t.expand(out, code)
	}
	if previous >= 0 && t.next < len(t.last) {
		t.prefix[t.next], t.last[t.next] = uint16(previous), out[start]
		t.length[t.next] = t.length[previous] + 1
		t.next++
	}
	return out
}

// expand appends what a known code stands for.
func (t *lzwTable) expand(out []byte, code int) []byte {
	n := t.length[code]
	for range n {
		out = append(out, 0)
	}
	for i := len(out) - 1; n > 0; n-- {
		out[i] = t.last[code]
		code = int(t.prefix[code])
		i--
	}
	return out
}

// flateLevel is pinned so that output does not change. On curves level 2 is
// 1.7 times as fast as level 5 and smaller by a hundredth, on text larger by
// three: see BenchmarkFlateLevels.
const flateLevel = 2

// NewStream compresses data with Flate; dict gives the other entries and is
// not changed. Equal data gives equal bytes on every platform; they do not count once
// ctx has ended.
func NewStream(ctx context.Context, dict Dict, data []byte) *Stream {
	var d deflater
	return &Stream{Dict: flateDict(dict), Raw: d.deflate(ctx, data, flateLevel)}
}

// flateDict is the dictionary of a stream that is compressed anew.
func flateDict(dict Dict) Dict {
	d := dict.Clone()
	for _, key := range []Name{"Length", "DecodeParms", "F", "FFilter", "FDecodeParms", "DL"} {
		delete(d, key)
	}
	d["Filter"] = Name("FlateDecode")
	return d
}

// deflater compresses one thing after another, always at the same level.
type deflater struct {
	out bytes.Buffer
	w   *zlib.Writer
}

// deflate gives compressed data of its own. Writing to memory does not fail,
// nor does a level from 1 to 9.
func (d *deflater) deflate(ctx context.Context, data []byte, level int) []byte {
	d.out.Reset()
	var err error
	if d.w == nil {
		d.w, err = zlib.NewWriterLevel(&d.out, level)
	} else {
		d.w.Reset(&d.out)
	}
	for piece := range pieces(ctx, data) {
		if err == nil {
			_, err = d.w.Write(piece)
		}
	}
	if err == nil {
		err = d.w.Close()
	}
	if err != nil {
		panic("pdf: deflate: " + err.Error())
	}
	return bytes.Clone(d.out.Bytes())
}

// A Packer compresses streams on some cores, while one goroutine hands them over.
// The bytes are those of NewStream, however many cores there are.
type Packer struct {
	ctx   context.Context
	slots chan *deflater // those at rest
	group sync.WaitGroup
	alone bool // there is one core, that of who hands over
}

// NewPacker makes a Packer that works on so many streams at a time: see
// [parallel.Cores]. What it gives does not count once ctx has ended.
func NewPacker(ctx context.Context, cores int) *Packer {
	cores = parallel.Cores(cores)
	p := &Packer{ctx: ctx, slots: make(chan *deflater, cores), alone: cores == 1}
	for range cap(p.slots) {
		p.slots <- &deflater{}
	}
	return p
}

// Stream is NewStream, but for Raw, which is there after Wait. It takes data
// over, which must not change any more, and waits where its cores are all at work,
// so that memory stays bounded. done, if there is one, is called when data is needed no
// more.
func (p *Packer) Stream(dict Dict, data []byte, done func()) *Stream {
	s := &Stream{Dict: flateDict(dict)}
	d := <-p.slots
	pack := func() {
		defer func() { p.slots <- d }()
		s.Raw = d.deflate(p.ctx, data, flateLevel)
		if done != nil {
			done()
		}
	}
	if p.alone {
		pack()
	} else {
		p.group.Go(pack)
	}
	return s
}

// Wait waits until all streams have their data.
func (p *Packer) Wait() { p.group.Wait() }
