package rewrite

import (
	"runtime"

	"github.com/sizeply/sizeply/internal/pdf"
)

// aheadBytes bounds the decoded bytes, about, of pages that wait to be
// filtered; a single page may have more.
const aheadBytes = 64 << 20

// ahead decodes the contents of pages on all cores, a few pages ahead of the
// walk, which filters them one after another.
type ahead struct {
	doc     *pdf.Document
	opt     Options
	pages   []pdf.Page // each object once
	first   int        // the first page that has not been taken
	begun   []decoding // pages from first on
	reading []decoding // pages before first that Options.Read may still be at
	bytes   int64      // of what is begun or being read
}

// decoding is a page on its way.
type decoding struct {
	bytes  int64
	result chan decoded
	read   chan struct{} // closed when Options.Read is done
}

type decoded struct {
	content pdf.Content
	err     error
}

// newAhead lists the pages of a document, those with one object once.
func newAhead(doc *pdf.Document, opt Options) *ahead {
	a := &ahead{doc: doc, opt: opt}
	seen := map[pdf.Ref]bool{}
	for _, p := range doc.Pages() {
		if !seen[p.Ref] {
			seen[p.Ref] = true
			a.pages = append(a.pages, p)
		}
	}
	return a
}

// next gives the contents of the page after the one it gave last.
func (a *ahead) next() (pdf.Content, error) {
	a.fill()
	d := a.begun[0]
	a.begun, a.reading, a.first = a.begun[1:], append(a.reading, d), a.first+1
	r := <-d.result
	a.free(runtime.GOMAXPROCS(0))
	a.fill() // while the walk is at this page
	return r.content, r.err
}

// fill begins pages as long as there is room: always for one, and for as many
// as there are cores within aheadBytes.
func (a *ahead) fill() {
	for i := a.first + len(a.begun); i < len(a.pages); i++ {
		cost := estimate(a.doc, a.pages[i].Dict)
		if n := len(a.begun); n > 0 && (n >= runtime.GOMAXPROCS(0) || a.bytes+cost > aheadBytes) {
			return
		}
		a.begin(a.pages[i], cost)
	}
}

func (a *ahead) begin(p pdf.Page, cost int64) {
	d := decoding{cost, make(chan decoded, 1), make(chan struct{})}
	a.begun, a.bytes = append(a.begun, d), a.bytes+cost
	go func() {
		defer close(d.read)
		c, err := pdf.PageContent(a.doc, p.Dict, a.opt.Limits)
		d.result <- decoded{c, err}
		if a.opt.Read != nil && err == nil {
			a.opt.Read(p, c.Data)
		}
	}()
}

// free lets go of the pages that have been read, and waits until no more than
// some are left.
func (a *ahead) free(most int) {
	for len(a.reading) > 0 {
		d := a.reading[0]
		select {
		case <-d.read:
		default:
			if len(a.reading) <= most {
				return
			}
			<-d.read
		}
		a.reading, a.bytes = a.reading[1:], a.bytes-d.bytes
	}
}

// wait waits until all pages have been read.
func (a *ahead) wait() { a.free(0) }

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
