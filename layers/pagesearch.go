package layers

import (
	"context"
	"iter"
	"slices"
	"sync"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/parallel"
	"github.com/sizeply/sizeply/internal/pdf"
)

// pageSearch goes through pages as their contents come by, beside other work: in
// any order, and several at a time.
type pageSearch struct {
	doc        *optional.Document
	ctx        context.Context
	inspectors sync.Pool
	trim       func([]byte) []byte // takes out of contents what nobody looks at
	most       int                 // the operations that there may be in all
	read       bool                // somebody lets the contents come by

	lock  sync.Mutex
	count int                   // operations so far
	found map[pdf.Ref]*findings // by page
}

// search begins to look for something.
func newSearch(d *optional.Document, ctx context.Context, a aims, trim func([]byte) []byte, most int) *pageSearch {
	s := &pageSearch{doc: d, ctx: ctx, trim: trim, most: most, found: map[pdf.Ref]*findings{}}
	f := newForms(d, trim)
	s.inspectors.New = func() any { return newInspector(d, ctx, a, f) }
	return s
}

// readers are functions that take the contents of pages, as one; nil where there
// are no searches.
func readers(list ...*pageSearch) func(pdf.Page, []byte) {
	list = slices.DeleteFunc(list, func(s *pageSearch) bool { return s == nil })
	if len(list) == 0 {
		return nil
	}
	for _, s := range list {
		s.read = true
	}
	return func(p pdf.Page, data []byte) {
		for _, s := range list {
			s.page(p, data)
		}
	}
}

// page goes through a page.
func (s *pageSearch) page(p pdf.Page, data []byte) {
	if s.over() {
		return
	}
	if s.trim != nil {
		data = s.trim(data)
	}
	in := s.inspectors.Get().(*inspector)
	defer s.inspectors.Put(in)
	f := in.read(p, data, s.most)
	s.lock.Lock()
	defer s.lock.Unlock()
	s.found[p.Ref] = f
	s.count += f.count
}

// over tells whether there are too many operations.
func (s *pageSearch) over() bool {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.count > s.most
}

// finish goes through all pages where their contents did not come by.
func (s *pageSearch) finish() {
	if s.read {
		return
	}
	// A page that cannot be read is left out; so is what the context cuts off,
	// of which the caller learns from the context.
	_, _ = parallel.Map(s.ctx, s.doc.PDF.Pages(), s.doc.ContentSize, func(p pdf.Page) (struct{}, error) {
		if c, err := pdf.PageContent(s.doc.PDF, p.Dict, s.doc.Limits); err == nil {
			s.page(p, c.Data)
		}
		return struct{}{}, nil
	})
}

// pages gives what was found, by the numbers of the pages.
func (s *pageSearch) pages() iter.Seq2[int, *findings] {
	return func(yield func(int, *findings) bool) {
		for _, p := range s.doc.PDF.Pages() {
			if f := s.found[p.Ref]; f != nil && !yield(p.Number, f) {
				return
			}
		}
	}
}
