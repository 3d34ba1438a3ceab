// Package ahead works on the pages of a document on all cores, a few pages ahead
// of who takes what comes out, page after page. Begin at New. However many
// cores there are, the results come in the order of the pages; the memory for
// contents that are being worked on is bounded.
package ahead

import (
	"runtime"

	"github.com/sizeply/sizeply/internal/pdf"
)

// maxBytes bounds the decoded bytes, about, of pages that are being worked on or
// wait to be taken; a single page may have more.
const maxBytes = 64 << 20

// Pages are the pages on their way.
type Pages[T any] struct {
	src     pdf.Objects
	pages   []pdf.Page
	work    func(pdf.Page, func(T))
	first   int          // the first page that has not been taken
	begun   []started[T] // pages from first on
	reading []started[T] // pages before first that work may still be at
	bytes   int64        // of what is begun or being read
}

// started is a page that is worked on.
type started[T any] struct {
	bytes  int64
	result chan T
	done   chan struct{} // closed when work has returned
}

// New makes ready to work on pages. work is called for several of them at a time;
// it hands over what comes out once, and may go on with the page after that.
func New[T any](src pdf.Objects, pages []pdf.Page, work func(p pdf.Page, give func(T))) *Pages[T] {
	return &Pages[T]{src: src, pages: pages, work: work}
}

// Next gives what came out of the page after the one before. There is one for
// each page.
func (a *Pages[T]) Next() T {
	if a.fill(); len(a.begun) == 0 {
		a.free(0) // a page that has no room beside others
		a.fill()
	}
	s := a.begun[0]
	a.begun, a.reading, a.first = a.begun[1:], append(a.reading, s), a.first+1
	r := <-s.result
	a.free(runtime.GOMAXPROCS(0))
	a.fill() // while the caller is at this page
	return r
}

// Wait waits until nothing is being worked on.
func (a *Pages[T]) Wait() {
	a.reading = append(a.reading, a.begun...)
	a.begun, a.first = nil, len(a.pages)
	a.free(0)
}

// fill begins pages as long as there is room: for one where nothing is being
// worked on, and for as many as there are cores within maxBytes.
func (a *Pages[T]) fill() {
	for i := a.first + len(a.begun); i < len(a.pages) && len(a.begun) < runtime.GOMAXPROCS(0); i++ {
		cost := estimate(a.src, a.pages[i].Dict)
		if len(a.begun)+len(a.reading) > 0 && a.bytes+cost > maxBytes {
			return
		}
		a.begin(a.pages[i], cost)
	}
}

func (a *Pages[T]) begin(p pdf.Page, cost int64) {
	s := started[T]{cost, make(chan T, 1), make(chan struct{})}
	a.begun, a.bytes = append(a.begun, s), a.bytes+cost
	go func() {
		defer close(s.done)
		a.work(p, func(r T) { s.result <- r })
	}()
}

// free lets go of the pages that have been worked on, and waits until no more
// than some are left.
func (a *Pages[T]) free(most int) {
	for len(a.reading) > 0 {
		s := a.reading[0]
		select {
		case <-s.done:
		default:
			if len(a.reading) <= most {
				return
			}
			<-s.done
		}
		a.reading, a.bytes = a.reading[1:], a.bytes-s.bytes
	}
}

// estimate is how many bytes the contents of a page may decode to, as content
// commonly does.
func estimate(src pdf.Objects, page pdf.Dict) (n int64) {
	list := pdf.AsArray(src, page["Contents"])
	if list == nil {
		list = pdf.Array{page["Contents"]}
	}
	for _, o := range list {
		if s := pdf.AsStream(src, o); s != nil {
			n += 4 * int64(len(s.Raw))
		}
	}
	return n
}
