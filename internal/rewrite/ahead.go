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
	doc   *pdf.Document
	lim   pdf.Limits
	pages []pdf.Page // each object once
	begun []decoding // of pages, as far as they are begun and not taken
	first int        // the page of begun[0]
	bytes int64      // of what is begun
}

// decoding is a page on its way.
type decoding struct {
	bytes  int64
	result chan decoded
}

type decoded struct {
	content pdf.Content
	err     error
}

// newAhead lists the pages of a document, those with one object once.
func newAhead(doc *pdf.Document, lim pdf.Limits) *ahead {
	a := &ahead{doc: doc, lim: lim}
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
	a.begun, a.first, a.bytes = a.begun[1:], a.first+1, a.bytes-d.bytes
	a.fill() // while the walk is at this page
	r := <-d.result
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
		a.begin(a.pages[i].Dict, cost)
	}
}

func (a *ahead) begin(page pdf.Dict, cost int64) {
	d := decoding{cost, make(chan decoded, 1)}
	a.begun, a.bytes = append(a.begun, d), a.bytes+cost
	go func() {
		c, err := pdf.PageContent(a.doc, page, a.lim)
		d.result <- decoded{c, err}
	}()
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
