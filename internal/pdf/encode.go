package pdf

import (
	"bytes"

	"github.com/klauspost/compress/zlib"
)

// flateLevel is pinned so that output does not change: level 5, see
// BenchmarkFlateLevels.
const flateLevel = 5

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

// deflate compresses data. Writing to memory does not fail, nor does a level
// from 1 to 9.
func deflate(data []byte, level int) []byte {
	var out bytes.Buffer
	w, err := zlib.NewWriterLevel(&out, level)
	if err == nil {
		_, err = w.Write(data)
	}
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		panic("pdf: deflate: " + err.Error())
	}
	return out.Bytes()
}
