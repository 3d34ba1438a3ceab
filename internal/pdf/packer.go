package pdf

import (
	"runtime"
	"sync"
)

// A Packer compresses streams on all cores, beside the one goroutine that uses
// it. The bytes are those of NewStream, however many cores there are.
type Packer struct {
	slots chan struct{}
	group sync.WaitGroup
}

// NewPacker makes a Packer that works on as many streams at a time as there
// are cores.
func NewPacker() *Packer { return &Packer{slots: make(chan struct{}, runtime.GOMAXPROCS(0))} }

// Stream is NewStream, but for Raw, which is there after Wait. It takes data
// over, which must not change any more, and waits where all cores are at work,
// so that memory stays bounded.
func (p *Packer) Stream(dict Dict, data []byte) *Stream {
	s := &Stream{Dict: flateDict(dict)}
	p.slots <- struct{}{}
	p.group.Go(func() {
		defer func() { <-p.slots }()
		s.Raw = deflate(data, flateLevel)
	})
	return s
}

// Wait waits until all streams have their data.
func (p *Packer) Wait() { p.group.Wait() }
