// Package survey reads the pages of a document once and tells what is on them:
// what each layer holds, test squares, pattern pieces, line styles, and whether
// anything can be seen at all. Begin at [Inspect] and [FindLines], which read all
// pages by themselves, or at a [Search], which takes the contents of pages as
// somebody else reads them. Clauses are those of ISO 32000-1.
package survey

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/draw"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/parallel"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/warning"
)

// How many operations are gone through at most, of all pages together: a form may
// be drawn any number of times.
const (
	maxOperations = 50_000_000
	maxSearched   = 10_000_000 // for test squares alone, those in curves aside
	maxLooked     = 5_000_000  // for blank pages: those up to the first mark that is seen
)

// errSearch says that maxSearched was reached.
var errSearch = errors.New("the pages draw more than can be searched for test squares")

// aims are what is looked for on pages.
type aims struct {
	uses   bool // what the layers hold, and the texts they show
	shapes bool // test squares
	pieces bool // with shapes: the names of pieces
	lines  bool // line styles, but for those of annotations
	texts  bool // with lines: what is written in them
	sight  bool // whether anything is seen
	// pictures are pages that have a picture in place of lines.
	pictures bool
	extent   bool // with sight: what all that is seen covers
	// states, where there are any, leave out what they hide.
	states optional.States
	// trim takes out of contents what nobody looks at.
	trim func(context.Context, []byte) []byte
}

// findings are what a page holds of what is looked for.
type findings struct {
	page    int
	count   int                       // operations
	most    int                       // and how many there might have been
	uses    map[pdf.Ref]*optional.Use // by group; 0 is no layer
	shown   []Shown
	squares []TestSquare
	pieces  []Piece
	lines   *lineFinder
	pictured
	seen   bool          // something is drawn that can be seen
	extent optional.Rect // of all of it
	err    error         // what keeps the page from being read to its end
}

// reader reads pages, several at a time.
type reader struct {
	ctx     context.Context
	doc     *optional.Document
	aims    aims
	walkers sync.Pool
}

func newReader(ctx context.Context, doc *optional.Document, a aims) *reader {
	r := &reader{ctx: ctx, doc: doc, aims: a}
	source := draw.NewSource(doc, a.trim)
	r.walkers.New = func() any {
		return source.Walker(draw.Options{
			States: a.states, Annotations: !a.lines,
			Straight: a.shapes, Styles: a.lines,
		})
	}
	return r
}

// page goes through a page, of which it takes some operations at most.
func (r *reader) page(p pdf.Page, data []byte, most int) *findings {
	f := &findings{page: p.Number, most: most, uses: map[pdf.Ref]*optional.Use{}, extent: optional.EmptyRect()}
	var shapes shapes
	if r.aims.lines {
		texts := 0
		if r.aims.texts {
			texts = maxStrings
		}
		f.lines = newLineFinder(maxPageOutlines, texts)
	}
	w := r.walkers.Get().(*draw.Walker)
	defer r.walkers.Put(w)
	f.count, f.err = w.Page(r.ctx, p, data, most, func(m *draw.Mark) error {
		if r.aims.uses {
			f.use(m)
		}
		if r.aims.pictures {
			if f.pictured.add(m); f.pictured.lined && !r.aims.uses {
				return draw.ErrStop
			}
		}
		if r.aims.shapes {
			shapes.add(m)
		}
		if r.aims.lines {
			return f.lines.add(m)
		}
		if r.aims.sight && m.MayShow() {
			f.seen = true
			if !r.aims.extent {
				return draw.ErrStop
			}
			f.extent = optional.Union(f.extent, optional.RectOf(m.Clipped()))
		}
		return nil
	})
	if f.lines != nil {
		f.lines.finish(p.Number)
	}
	f.squares = shapes.testSquares(p.Number)
	if r.aims.pieces {
		f.pieces = shapes.pieces(p.Number)
	}
	return f
}

// size is about how many bytes the contents of a page have.
func (r *reader) size(p pdf.Page) int64 { return pdf.ContentSize(r.doc.PDF, p.Dict) }

// contents reads a page and goes through it.
func (r *reader) contents(p pdf.Page, most int) *findings {
	c, err := pdf.PageContent(r.ctx, r.doc.PDF, p.Dict, r.doc.Limits)
	if err != nil {
		return &findings{page: p.Number, err: fmt.Errorf("the page cannot be read: %w", err)}
	}
	f := r.page(p, c.Data, most)
	if f.err == nil && len(c.Faults) > 0 {
		f.err = fmt.Errorf("the page cannot be read whole (%s); download the file again", c.Faults[0])
	}
	return f
}

// all gives what each page holds, one after another. What keeps a page from being
// read to its end becomes a warning; it ends where there is too much, of which take
// may tell too. The pages have the operations that would be left for them if they
// were read one after another. The error is the context's.
func (r *reader) all(most int, take func(*findings) error) ([]warning.Warning, error) {
	warnings := r.doc.Warnings()
	var left atomic.Int64 // operations that there may still be
	left.Store(int64(most))
	list := r.doc.PDF.Pages()
	coming := parallel.NewQueue(list, r.doc.Limits.Cores, r.size, func(p pdf.Page, give func(*findings)) {
		// No fewer than are left when its turn comes.
		give(r.contents(p, int(left.Load())))
	})
	defer coming.Wait()
	for _, p := range list {
		f := coming.Next()
		if left := int(left.Load()); f.count > left && f.most > left {
			f = r.contents(p, left) // it went further than it may
		}
		if r.ctx.Err() != nil {
			return nil, r.ctx.Err()
		}
		left.Store(max(0, left.Load()-int64(f.count)))
		if err := take(f); f.err == nil {
			f.err = err
		}
		if f.err != nil {
			w := warning.New(warning.PageNotRead, nil, "%v", f.err)
			w.Page = f.page
			warnings = append(warnings, w)
		}
		if errors.Is(f.err, draw.ErrTooMuch) || errors.Is(f.err, errStyles) {
			break
		}
	}
	return warnings, nil
}

// A Search looks for one thing on pages as their contents come by, beside other
// work: in any order, and several at a time.
type Search struct {
	*reader
	most    int  // the operations that there may be of all pages
	watches bool // somebody gives the contents of pages

	lock  sync.Mutex
	count int                   // operations so far
	found map[pdf.Ref]*findings // by page
}

func newSearch(ctx context.Context, doc *optional.Document, a aims, most int) *Search {
	return &Search{reader: newReader(ctx, doc, a), most: most, found: map[pdf.Ref]*findings{}}
}

// SearchSquares looks for test squares alone, and finds those of [Inspect].
func SearchSquares(ctx context.Context, doc *optional.Document) *Search {
	return newSearch(ctx, doc, aims{shapes: true, trim: content.Sketch}, maxSearched)
}

// SearchLines looks for the line styles of what the states do not hide.
func SearchLines(ctx context.Context, doc *optional.Document, states optional.States) *Search {
	return newSearch(ctx, doc, aims{lines: true, states: states}, maxOperations)
}

// SearchSight looks for what can be seen of what the states do not hide: whether
// there is anything, which there is not on the tile of a sheet where only other sizes
// are, and, if asked for, what it covers.
func SearchSight(ctx context.Context, doc *optional.Document, states optional.States, extent bool) *Search {
	if extent {
		return newSearch(ctx, doc, aims{sight: true, extent: true, states: states}, maxOperations)
	}
	return newSearch(ctx, doc, aims{sight: true, states: states}, maxLooked)
}

// Watch gives a function that takes the contents of pages for searches; those that
// are nil look for nothing. What the pages hold is then what comes by and nothing
// else.
func Watch(searches ...*Search) func(pdf.Page, []byte) {
	searches = slices.DeleteFunc(searches, func(s *Search) bool { return s == nil })
	for _, s := range searches {
		s.watches = true
	}
	return func(p pdf.Page, data []byte) {
		for _, s := range searches {
			s.take(p, data)
		}
	}
}

// take goes through a page; through pages of one object once. Whatever the order of
// the pages, what is counted is more than there may be where they have more.
func (s *Search) take(p pdf.Page, data []byte) {
	s.lock.Lock()
	left, again := s.most-s.count, s.found[p.Ref] != nil
	s.lock.Unlock()
	if left < 0 || again {
		return
	}
	f := s.page(p, data, left)
	s.lock.Lock()
	defer s.lock.Unlock()
	s.found[p.Ref] = f
	s.count += f.count
}

// finish reads all pages where their contents do not come by. It reports whether
// everything has been gone through.
func (s *Search) finish() bool {
	if !s.watches {
		_, _ = parallel.Map(s.ctx, s.doc.PDF.Pages(), s.doc.Limits.Cores, s.size, func(p pdf.Page) (struct{}, error) {
			if c, err := pdf.PageContent(s.ctx, s.doc.PDF, p.Dict, s.doc.Limits); err == nil {
				s.take(p, c.Data)
			}
			return struct{}{}, nil
		})
	}
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.ctx.Err() == nil && s.count <= s.most
}

// Squares are the test squares of all pages, in their order. It gives the error of
// the context, and one where the pages draw more than can be searched.
func (s *Search) Squares() ([]TestSquare, error) {
	if !s.finish() {
		return nil, cmp.Or(s.ctx.Err(), errSearch)
	}
	list := []TestSquare{}
	for _, p := range s.doc.PDF.Pages() {
		if f := s.found[p.Ref]; f != nil {
			for _, t := range f.squares {
				t.Page = p.Number
				list = append(list, t)
			}
		}
	}
	return list, nil
}

// Styles are the line styles of all pages; nil where s is, or where the pages could
// not be read to their end.
func (s *Search) Styles() []LineStyle {
	if s == nil || !s.finish() {
		return nil
	}
	all := newLineFinder(maxOutlines, 0)
	for _, p := range s.doc.PDF.Pages() {
		if f := s.found[p.Ref]; f != nil && (f.err != nil || all.join(f.lines, p.Number) != nil) {
			return nil
		}
	}
	return append([]LineStyle{}, all.styles()...)
}

// Blank reports whether a page came by and nothing can be seen on it. In doubt
// there is something.
func (s *Search) Blank(page pdf.Ref) bool {
	f := s.found[page]
	return f != nil && f.err == nil && !f.seen
}

// Extent is what can be seen on a page covers, in points as the bounds of
// [optional.Use]: empty where that is nothing or cannot be told.
func (s *Search) Extent(page pdf.Ref) optional.Rect {
	if f := s.found[page]; f != nil && f.err == nil {
		return f.extent
	}
	return optional.EmptyRect()
}
