package layers

import (
	"fmt"
	"sync"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
)

// maxCached bounds the bytes of forms that are remembered.
const maxCached = 64 << 20

// forms are the contents of the forms of a document, decoded once each. They may
// be asked for at the same time.
type forms struct {
	doc *optional.Document
	// trim takes out of a form what nobody looks at; nil for nothing.
	trim func([]byte) []byte

	lock  sync.Mutex
	made  map[*pdf.Stream]*formContent
	bytes int // of those that are kept
}

type formContent struct {
	once sync.Once
	data []byte
	err  error
}

func newForms(d *optional.Document, trim func([]byte) []byte) *forms {
	return &forms{doc: d, trim: trim, made: map[*pdf.Stream]*formContent{}}
}

// content gives that of a form, of a damaged one what can be read. It is not to
// be changed.
func (f *forms) content(st *pdf.Stream) ([]byte, error) {
	f.lock.Lock()
	c := f.made[st]
	if c == nil {
		c = &formContent{}
		f.made[st] = c
	}
	f.lock.Unlock()
	c.once.Do(func() {
		if c.data, c.err = f.decode(st); c.err == nil {
			f.keep(st, len(c.data))
		}
	})
	return c.data, c.err
}

func (f *forms) decode(st *pdf.Stream) ([]byte, error) {
	data, err := pdf.Decode(f.doc.PDF, st, f.doc.Limits.StreamBytes)
	if err != nil && data == nil {
		return nil, fmt.Errorf("a form cannot be read: %w", err)
	}
	if f.trim != nil {
		data = f.trim(data)
	}
	return data, nil
}

// keep forgets a form where those that are kept are too many.
func (f *forms) keep(st *pdf.Stream, size int) {
	f.lock.Lock()
	defer f.lock.Unlock()
	if f.bytes+size > maxCached {
		delete(f.made, st)
		return
	}
	f.bytes += size
}
