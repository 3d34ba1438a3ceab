package pdf

import (
	"bytes"

	"github.com/klauspost/compress/zlib"
)

// flateLevel is pinned so that output does not change. On curves level 2 is
// 1.7 times as fast as level 5 and smaller by a hundredth, on text larger by
// three: see BenchmarkFlateLevels.
const flateLevel = 2

// NewStream compresses data with Flate; dict gives the other entries and is
// not changed. Equal data gives equal bytes on every platform.
func NewStream(dict Dict, data []byte) *Stream {
	return &Stream{Dict: flateDict(dict), Raw: deflate(data, flateLevel)}
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

// deflate compresses data.
func deflate(data []byte, level int) []byte {
	var d deflater
	return d.deflate(data, level)
}

// deflater compresses one thing after another, always at the same level.
type deflater struct {
	out bytes.Buffer
	w   *zlib.Writer
}

// deflate gives compressed data of its own. Writing to memory does not fail,
// nor does a level from 1 to 9.
func (d *deflater) deflate(data []byte, level int) []byte {
	d.out.Reset()
	var err error
	if d.w == nil {
		d.w, err = zlib.NewWriterLevel(&d.out, level)
	} else {
		d.w.Reset(&d.out)
	}
	if err == nil {
		_, err = d.w.Write(data)
	}
	if err == nil {
		err = d.w.Close()
	}
	if err != nil {
		panic("pdf: deflate: " + err.Error())
	}
	return bytes.Clone(d.out.Bytes())
}
