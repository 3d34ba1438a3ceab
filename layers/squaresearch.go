package layers

import (
	"context"
	"errors"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/optional"
)

// maxSearched bounds the operations, those in curves aside, that a search for
// test squares goes through.
const maxSearched = 10_000_000

// errSearch says that maxSearched was reached.
var errSearch = errors.New("the pages draw more than can be searched for test squares")

// searchSquares looks for test squares alone. It finds what Inspect does.
func searchSquares(ctx context.Context, d *optional.Document) *pageSearch {
	return newSearch(d, ctx, aims{shapes: true}, content.Sketch, maxSearched)
}

// squares are those of all pages, in their order.
func (s *pageSearch) squares() ([]TestSquare, error) {
	switch {
	case s.ctx.Err() != nil:
		return nil, s.ctx.Err()
	case s.over():
		return nil, errSearch
	}
	list := []TestSquare{}
	for number, f := range s.pages() {
		for _, t := range f.squares {
			t.Page = number
			list = append(list, t)
		}
	}
	return list, nil
}
