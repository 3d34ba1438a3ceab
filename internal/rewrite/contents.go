package rewrite

import (
	"github.com/sizeply/sizeply/internal/parallel"
	"github.com/sizeply/sizeply/internal/pdf"
)

// contents are the decoded contents of the pages that are to be filtered, one
// after another, made on all cores.
type contents = parallel.Queue[pdf.Page, decoded]

type decoded struct {
	content pdf.Content
	err     error
}

// newContents begins with the pages of a document, those with one object once.
func newContents(doc *pdf.Document, opt Options) *contents {
	var pages []pdf.Page
	seen := map[pdf.Ref]bool{}
	for _, p := range doc.Pages() {
		if !seen[p.Ref] {
			seen[p.Ref] = true
			pages = append(pages, p)
		}
	}
	size := func(p pdf.Page) int64 { return pdf.ContentSize(doc, p.Dict) }
	return parallel.NewQueue(pages, size, func(p pdf.Page, give func(decoded)) {
		c, err := pdf.PageContent(doc, p.Dict, opt.Limits)
		give(decoded{c, err})
		if opt.Observer != nil && err == nil {
			opt.Observer.PageRead(p, c.Data)
		}
	})
}
