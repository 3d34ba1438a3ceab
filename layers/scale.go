package layers

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"

	"github.com/sizeply/sizeply/internal/optional"
)

// measuring finds the test squares of a document beside other work. What is
// found is kept with the document, so that many outputs cost one search.
type measuring struct {
	doc    *optional.Document
	known  *atomic.Pointer[[]TestSquare]
	search *pageSearch // nil where the squares are known
}

// measure begins to look for test squares.
func (d *Document) measure(ctx context.Context) *measuring {
	m := &measuring{doc: d.file, known: &d.measured}
	if m.known.Load() == nil {
		m.search = searchSquares(ctx, d.file)
	}
	return m
}

// result is what was found: all pages are read where they did not come by.
func (m *measuring) result() (*optional.Document, []TestSquare) {
	if m.search == nil {
		return m.doc, *m.known.Load()
	}
	m.search.finish()
	list, err := m.search.squares()
	if err != nil {
		return m.doc, nil // the result is right, whatever is said of it
	}
	m.known.Store(&list)
	return m.doc, list
}

// scale tells of a file that is not of true size, and of a choice that leaves
// nothing to measure on paper.
func (r *Report) scale(doc *optional.Document, found []TestSquare) {
	r.Squares = []TestSquare{}
	for _, s := range found {
		if !s.True() {
			r.Warnings = append(r.Warnings, s.Warning())
		}
		if !slices.ContainsFunc(r.Removed, func(l ReportedLayer) bool { return slices.Contains(s.Layers, l.Object) }) {
			r.Squares = append(r.Squares, s)
		}
	}
	if len(found) > 0 && len(r.Squares) == 0 {
		r.Warnings = append(r.Warnings, Warning{Text: fmt.Sprintf(
			"the test squares%s went with the rest: keep that layer too, so that the print can be measured", inLayers(found[0].Layers, doc.Layers()))})
	}
}

// inLayers names the layers of a square.
func inLayers(objects []int, list []Layer) string {
	var names []string
	for _, l := range list {
		if slices.Contains(objects, l.Object) {
			names = append(names, fmt.Sprintf("%q", l.Name))
		}
	}
	switch len(names) {
	case 0:
		return ""
	case 1:
		return " (layer " + names[0] + ")"
	}
	return " (layers " + strings.Join(names, ", ") + ")"
}
