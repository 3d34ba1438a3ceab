package layers

import (
	"sync"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// sketches are the forms of a document without what no shape is found in, made
// once each. They may be asked for at the same time.
type sketches struct {
	doc   *Document
	lock  sync.Mutex
	made  map[*pdf.Stream]*formSketch
	bytes int // of those that are kept
}

type formSketch struct {
	once sync.Once
	data []byte
	err  error
}

// form gives the sketch of a form.
func (s *sketches) form(st *pdf.Stream) ([]byte, error) {
	s.lock.Lock()
	f := s.made[st]
	if f == nil {
		f = &formSketch{}
		s.made[st] = f
	}
	s.lock.Unlock()
	f.once.Do(func() {
		var data []byte
		if data, f.err = decodeForm(s.doc, st); f.err == nil {
			f.data = content.Sketch(data)
			s.keep(st, len(f.data))
		}
	})
	return f.data, f.err
}

// keep forgets a form where those that are kept are too many.
func (s *sketches) keep(st *pdf.Stream, size int) {
	s.lock.Lock()
	defer s.lock.Unlock()
	if s.bytes += size; s.bytes > maxCached {
		delete(s.made, st)
	}
}
