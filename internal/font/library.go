package font

import (
	"context"
	"sync"

	"github.com/sizeply/sizeply/internal/pdf"
)

// A Library reads the fonts of a document. Fonts often share a character map, which
// may be large: it is read once. A Library is safe for concurrent use.
type Library struct {
	src pdf.Objects

	mu    sync.Mutex
	cmaps map[*pdf.Stream]*cmap
	texts map[*pdf.Stream]*toUnicode
}

// NewLibrary makes one for the objects of a document, nil for none.
func NewLibrary(src pdf.Objects) *Library {
	if src == nil {
		src = noObjects{}
	}
	return &Library{src: src, cmaps: map[*pdf.Stream]*cmap{}, texts: map[*pdf.Stream]*toUnicode{}}
}

// Load reads a font dictionary. It never fails: a font that cannot be
// understood gives glyphs that are not Known.
func (l *Library) Load(dict pdf.Object) *Font { return load(l.reader(), dict) }

// Decoder reads a font dictionary for its text. It never fails: codes that cannot be
// understood give no text.
func (l *Library) Decoder(dict pdf.Object) *Decoder { return loadDecoder(l.reader(), dict) }

func (l *Library) reader() reader { return reader{src: l.src, decode: decode, shared: l} }

// decode decodes a character map or a table of widths, which are small.
func decode(src pdf.Objects, s *pdf.Stream, limit int64) ([]byte, error) {
	return pdf.Decode(context.Background(), src, s, limit)
}

// once gives what was read of a stream, which it reads the first time.
func once[T any](l *Library, known map[*pdf.Stream]T, s *pdf.Stream, read func() T) T {
	l.mu.Lock()
	defer l.mu.Unlock()
	v, ok := known[s]
	if !ok {
		v = read()
		known[s] = v
	}
	return v
}
