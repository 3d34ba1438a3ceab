package layers

import (
	"context"
	"errors"
	"runtime"
	"sync"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// maxSearched bounds the operations, those in curves aside, that a search for
// test squares goes through.
const maxSearched = 10_000_000

// errSearch says that maxSearched was reached.
var errSearch = errors.New("the pages draw more than can be searched for test squares")

// squareSearch looks for test squares alone, page by page as their contents
// come by. Pages may be searched at the same time. It finds what Inspect does.
type squareSearch struct {
	ctx      context.Context
	doc      *Document
	sketches *sketches

	lock  sync.Mutex
	idle  []*inspector
	found map[pdf.Ref][]TestSquare // by page
	count int                      // operations so far
}

func (d *Document) searchSquares(ctx context.Context) *squareSearch {
	return &squareSearch{
		ctx: ctx, doc: d, found: map[pdf.Ref][]TestSquare{},
		sketches: &sketches{doc: d, made: map[*pdf.Stream]*formSketch{}},
	}
}

// page searches a page.
func (s *squareSearch) page(p pdf.Page, data []byte) {
	in := s.take()
	if in == nil {
		return
	}
	in.begin(p)
	in.count, in.shown = 0, nil
	clear(in.uses)
	_ = in.pageContent(p, content.Sketch(data)) // what came before an error counts
	s.give(in, p.Ref, in.shapes.testSquares(p.Number))
}

// take gives an inspector that nobody uses; nil where the search is over.
func (s *squareSearch) take() *inspector {
	s.lock.Lock()
	defer s.lock.Unlock()
	if s.count > maxSearched {
		return nil
	}
	n := len(s.idle)
	if n == 0 {
		in := s.doc.inspector(s.ctx)
		in.most, in.sketches = maxSearched, s.sketches
		return in
	}
	in := s.idle[n-1]
	s.idle = s.idle[:n-1]
	return in
}

// give takes an inspector back, with what it found.
func (s *squareSearch) give(in *inspector, page pdf.Ref, found []TestSquare) {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.idle = append(s.idle, in)
	s.found[page] = found
	s.count += in.count
}

// all searches all pages.
func (s *squareSearch) all() {
	work := make(chan pdf.Page)
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for p := range work {
				if c, err := pdf.PageContent(s.doc.pdf, p.Dict, s.doc.limits); err == nil {
					s.page(p, c.Data)
				}
			}
		})
	}
	for _, p := range s.doc.pdf.Pages() {
		if s.ctx.Err() == nil {
			work <- p
		}
	}
	close(work)
	group.Wait()
}

// squares are those of all pages, in their order.
func (s *squareSearch) squares() ([]TestSquare, error) {
	switch {
	case s.ctx.Err() != nil:
		return nil, s.ctx.Err()
	case s.count > maxSearched:
		return nil, errSearch
	}
	list := []TestSquare{}
	for _, p := range s.doc.pdf.Pages() {
		for _, t := range s.found[p.Ref] {
			t.Page = p.Number
			list = append(list, t)
		}
	}
	return list, nil
}
