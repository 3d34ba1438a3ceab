package pdf

import (
	"runtime"
	"sync"
)

// A Packer compresses streams on all cores, beside the one goroutine that uses
// it. The bytes are those of NewStream, however many cores there are.
type Packer struct {
	slots chan *deflater // those at rest
	group sync.WaitGroup
}

// NewPacker makes a Packer that works on as many streams at a time as there
// are cores.
func NewPacker() *Packer {
	p := &Packer{slots: make(chan *deflater, runtime.GOMAXPROCS(0))}
	for range cap(p.slots) {
		p.slots <- &deflater{}
	}
	return p
}

// Stream is NewStream, but for Raw, which is there after Wait. It takes data
// over, which must not change any more, and waits where all cores are at work,
// so that memory stays bounded.
func (p *Packer) Stream(dict Dict, data []byte) *Stream {
	s := &Stream{Dict: flateDict(dict)}
	d := <-p.slots
	p.group.Go(func() {
		defer func() { p.slots <- d }()
		s.Raw = d.deflate(data, flateLevel)
	})
	return s
}

// Wait waits until all streams have their data.
func (p *Packer) Wait() { p.group.Wait() }
