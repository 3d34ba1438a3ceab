package layers

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// needs are the resources that content names; true for those that begin
// optional content (ISO 32000-1, 8.11.3.2).
type needs map[resources.Name]bool

// reading is one content stream to be read: a page's or that of an object.
type reading struct {
	ref       pdf.Ref
	page      *pdf.Page
	stream    *pdf.Stream
	resources pdf.Object
}

// readContents reads what every content stream of a document names, on all
// cores: the pages, and all streams that are drawings or glyphs.
func readContents(ctx context.Context, doc *optional.Document) (map[pdf.Ref]needs, error) {
	list := readings(doc)
	work, results := make(chan reading), make(map[pdf.Ref]needs, len(list))
	var lock sync.Mutex
	var first error
	var group sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		group.Go(func() {
			for r := range work {
				n, err := r.read(doc)
				lock.Lock()
				results[r.ref] = n
				if err != nil && first == nil {
					first = err
				}
				lock.Unlock()
			}
		})
	}
	for _, r := range list {
		if ctx.Err() == nil {
			work <- r
		}
	}
	close(work)
	group.Wait()
	return results, errors.Join(first, ctx.Err())
}

// readings lists what has to be read: pages, forms, cells of patterns, glyphs.
func readings(doc *optional.Document) (list []reading) {
	done := map[pdf.Ref]bool{}
	add := func(r reading) {
		if !done[r.ref] && r.ref != 0 {
			done[r.ref] = true
			list = append(list, r)
		}
	}
	for _, p := range doc.PDF.Pages() {
		add(reading{ref: p.Ref, page: &p, resources: p.Resources})
	}
	for _, ref := range doc.PDF.Refs() {
		switch o := doc.PDF.Object(ref).(type) {
		case *pdf.Stream:
			if resources.IsDrawing(doc.PDF, o.Dict) {
				add(reading{ref: ref, stream: o, resources: o.Dict["Resources"]})
			}
		case pdf.Dict:
			for _, glyph := range pdf.AsDict(doc.PDF, o["CharProcs"]) {
				if s := pdf.AsStream(doc.PDF, glyph); s != nil {
					ref, _ := glyph.(pdf.Ref)
					add(reading{ref: ref, stream: s, resources: o["Resources"]})
				}
			}
		}
	}
	return list
}

// read decodes a stream and gives what it names.
func (r reading) read(doc *optional.Document) (needs, error) {
	data, err := r.decode(doc)
	var damaged *pdf.DamageError
	if err != nil && r.page == nil && !errors.As(err, &damaged) {
		return needs{}, nil // a drawing that cannot be read stays as it was
	}
	if err != nil && r.page != nil {
		return nil, fmt.Errorf("page %d: %w", r.page.Number, err)
	}
	found := needs{}
	scan := content.NewScanner(data)
	spaces := pdf.AsDict(doc.PDF, pdf.AsDict(doc.PDF, r.resources)["ColorSpace"])
	scan.ColourComponents = func(name string) (int, bool) { return resources.Components(doc.PDF, spaces[pdf.Name(name)]) }
	var op content.Operation
	for scan.Next(&op) {
		if n, ok := resources.NamedBy(&op); ok {
			tag := ""
			if op.Op == content.OpBeginMarkedProps {
				tag, _ = op.Name(0)
			}
			found[n] = found[n] || tag == "OC"
		}
		if op.Op.Class() == content.ClassPath {
			scan.SkipPath() // it names nothing
		}
	}
	return found, nil
}

func (r reading) decode(doc *optional.Document) ([]byte, error) {
	if r.page == nil {
		return pdf.Decode(doc.PDF, r.stream, doc.Limits.StreamBytes)
	}
	c, err := pdf.PageContent(doc.PDF, r.page.Dict, doc.Limits)
	return c.Data, err
}
