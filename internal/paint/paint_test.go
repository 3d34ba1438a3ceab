package paint_test

import (
	"bytes"
	"context"
	"testing"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// resources finds names in one dictionary.
type resources struct {
	src  pdf.Objects
	dict pdf.Dict
}

func (r resources) Lookup(category, name pdf.Name) pdf.Object {
	return pdf.AsDict(r.src, r.dict[category])[name]
}

// stroked gives the style of each S of a page with that content and those
// resources, how the last colour was written, and the last path, measured.
func stroked(t testing.TB, stream, res string, objects ...testpdf.Object) (list []paint.Style, written string, last content.Path) {
	t.Helper()
	file := testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: stream, Resources: "<<" + res + ">>"}}, Objects: objects})
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	page := doc.Pages()[0]
	c, err := pdf.PageContent(doc, page.Dict, pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	p, m := paint.New(doc), content.NewMachine(content.Identity(), content.Everywhere())
	m.Path.Measured = true
	var op content.Operation
	for s := content.NewScanner(c.Data); s.Next(&op); {
		if op.Op.Class() == content.ClassPaint {
			list, written, last = append(list, p.StrokeStyle(&m.State)), p.Written(&m.State.Stroke), m.Path
			m.Path = content.Path{Measured: true}
		}
		m.Apply(&op)
		p.Follow(m, &op, resources{doc, pdf.AsDict(doc, page.Resources)})
	}
	if len(list) == 0 {
		t.Fatal("nothing is painted")
	}
	return list, written, last
}
