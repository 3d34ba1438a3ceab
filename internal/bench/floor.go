package bench

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"

	"github.com/klauspost/compress/flate"
	"github.com/klauspost/compress/zlib"
)

// floorLevel is the level at which the command compresses too, with the same
// library.
const floorLevel = 2

// Floor does the least that any program with the job has to do: it reads a
// workload, inflates all its streams on all cores, deflates the bytes that
// stay, and writes them. What it writes is no PDF file. It knows where a
// workload has its layers and looks at nothing.
func Floor(in, out string) error {
	data, err := os.ReadFile(in)
	if err != nil {
		return err
	}
	streams := findStreams(data)
	results := make([][]byte, len(streams))
	if err := onAllCores(len(streams), func(i int) (err error) {
		results[i], err = streams[i].floor()
		return err
	}); err != nil {
		return err
	}
	return os.WriteFile(out, slices.Concat(results...), 0o666)
}

// Inflate does the least that any program which looks at workloads has to do: it
// reads the files, one after another, and inflates all their streams on all
// cores. It tells how many bytes they have.
func Inflate(files ...string) (n int64, err error) {
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			return 0, err
		}
		streams := findStreams(data)
		sizes := make([]int64, len(streams))
		if err := onAllCores(len(streams), func(i int) error {
			data, err := streams[i].inflate()
			sizes[i] = int64(len(data))
			return err
		}); err != nil {
			return 0, err
		}
		for _, size := range sizes {
			n += size
		}
	}
	return n, nil
}

// onAllCores does work on things by their positions.
func onAllCores(count int, work func(i int) error) error {
	errs := make([]error, count)
	var next atomic.Int64
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < count; i = int(next.Add(1)) - 1 {
				errs[i] = work(i)
			}
		})
	}
	group.Wait()
	return errors.Join(errs...)
}

// packedStream is a stream of a workload; group is the object of the layer
// that it is, 0 where it has sections.
type packedStream struct {
	raw   []byte
	group int
}

var streamHead = regexp.MustCompile(`(?:/OC (\d+) 0 R)?/Filter/FlateDecode/Length (\d+)>>\nstream\n`)

// findStreams finds the streams one behind the other, without looking at their
// data.
func findStreams(data []byte) (list []packedStream) {
	for at := 0; ; {
		head := streamHead.FindSubmatchIndex(data[at:min(len(data), at+1<<16)])
		if head == nil {
			return list
		}
		text := data[at:]
		var s packedStream
		if head[2] >= 0 {
			s.group, _ = strconv.Atoi(string(text[head[2]:head[3]]))
		}
		n, _ := strconv.Atoi(string(text[head[4]:head[5]]))
		s.raw = text[head[1] : head[1]+n]
		list = append(list, s)
		at += head[1] + n
	}
}

// floor inflates a stream and deflates what stays of it.
func (s packedStream) floor() ([]byte, error) {
	data, err := s.inflate()
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	w, err := zlib.NewWriterLevel(&b, floorLevel)
	if err != nil {
		return nil, err
	}
	for _, part := range s.staying(data) {
		if _, err := w.Write(part); err != nil {
			return nil, err
		}
	}
	err = w.Close()
	return b.Bytes(), err
}

// inflate gives the decoded bytes of a stream.
func (s packedStream) inflate() ([]byte, error) {
	r := flate.NewReader(bytes.NewReader(s.raw[2:]))
	data := bytes.NewBuffer(make([]byte, 0, 4*len(s.raw)))
	_, err := io.Copy(data, r)
	return data.Bytes(), err
}

// staying are the parts of a stream that stay.
func (s packedStream) staying(data []byte) (parts [][]byte) {
	kept := Kept()
	for i, name := range Layers() {
		stays := slices.Contains(kept, name)
		if s.group == firstGroup+i && stays {
			return [][]byte{data}
		}
		start := bytes.Index(data, fmt.Appendf(nil, "/OC /L%d BDC\n", i))
		if start < 0 {
			continue
		}
		data = data[start:]
		if end := bytes.Index(data, []byte("EMC\n")); end >= 0 && stays {
			parts = append(parts, data[:end])
		}
	}
	return parts
}
