package layers

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/parallel"
	"github.com/sizeply/sizeply/internal/pdf"
)

// maxOperations bounds the operations that an inspection goes through, since
// a form may be drawn any number of times.
const maxOperations = 50_000_000

// errTooMuch says that maxOperations was reached.
var errTooMuch = errors.New("the pages draw more than can be counted; the figures are lower bounds")

// survey goes through the pages of a document, several at a time.
type survey struct {
	doc        *optional.Document
	inspectors sync.Pool
	ctx        context.Context

	lock sync.Mutex
	left int // operations that there may still be
}

func newSurvey(ctx context.Context, d *optional.Document, a aims) *survey {
	s := &survey{doc: d, ctx: ctx, left: maxOperations}
	f := newForms(d, nil)
	s.inspectors.New = func() any { return newInspector(d, ctx, a, f) }
	return s
}

// pages gives what each page holds, one after another. What keeps a page from
// being read to its end becomes a warning; the search ends there where there is
// too much, of which take may tell too. The error is the context's.
func (s *survey) pages(take func(*findings) error) ([]Warning, error) {
	warnings := s.doc.Warnings()
	list := s.doc.PDF.Pages()
	coming := parallel.NewQueue(list, s.doc.ContentSize, func(p pdf.Page, give func(*findings)) {
		give(s.page(p, s.budget()))
	})
	defer coming.Wait()
	for _, p := range list {
		f := coming.Next()
		if s.overdrawn(f) {
			f = s.page(p, s.budget())
		}
		if s.ctx.Err() != nil {
			return nil, s.ctx.Err()
		}
		s.spend(f.count)
		if err := take(f); f.err == nil {
			f.err = err
		}
		if f.err != nil {
			warnings = append(warnings, Warning{Page: f.page, Text: f.err.Error()})
		}
		if errors.Is(f.err, errTooMuch) || errors.Is(f.err, errStyles) {
			break
		}
	}
	return warnings, nil
}

// page goes through a page.
func (s *survey) page(p pdf.Page, most int) *findings {
	c, err := pdf.PageContent(s.doc.PDF, p.Dict, s.doc.Limits)
	if err != nil {
		return &findings{page: p.Number, err: fmt.Errorf("the page cannot be read: %w", err)}
	}
	in := s.inspectors.Get().(*inspector)
	defer s.inspectors.Put(in)
	return in.read(p, c.Data, most)
}

// budget is how many operations a page may have that is begun now: no fewer than
// are left when its turn comes.
func (s *survey) budget() int {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.left
}

// overdrawn tells whether a page went further than it may when its turn comes.
func (s *survey) overdrawn(f *findings) bool {
	left := s.budget()
	return f.count > left && f.most > left
}

// spend takes off the operations of a page.
func (s *survey) spend(count int) {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.left = max(0, s.left-count)
}
