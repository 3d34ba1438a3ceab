package layers

import (
	"context"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
)

// searchLines looks for the line styles of what is in the layers that stay
// because the selection says so.
func (c *choice) searchLines(ctx context.Context) *pageSearch {
	stay := func(ref pdf.Ref) optional.Truth { return c.state[ref] }
	return newSearch(c.doc, ctx, aims{lines: true, stay: stay}, nil, maxOperations)
}

// styles are the line styles of all pages; nil where there is no search, or it
// did not come to its end.
func (s *pageSearch) styles() []LineStyle {
	if s == nil {
		return nil
	}
	s.finish()
	if s.ctx.Err() != nil || s.over() {
		return nil
	}
	all := newLineFinder(s.doc.PDF)
	for number, f := range s.pages() {
		if f.err != nil || all.join(f.lines, number) != nil {
			return nil
		}
	}
	return append([]LineStyle{}, all.styles()...)
}
