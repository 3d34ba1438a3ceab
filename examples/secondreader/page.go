package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"

	"github.com/unidoc/unipdf/v3/contentstream"
	"github.com/unidoc/unipdf/v3/core"
	"github.com/unidoc/unipdf/v3/model"
)

// maxDepth bounds forms within forms.
const maxDepth = 32

// pageReader counts the operators of one page, forms included, and the sections
// and forms of each layer.
type pageReader struct {
	layers    map[int64]string
	operators map[string]int
	named     map[string]int
}

func (p *pageReader) page(page *model.PdfPage) error {
	content, err := page.GetAllContentStreams()
	if err != nil {
		return err
	}
	return p.stream(content, page.Resources, 0)
}

// stream goes through one content stream.
func (p *pageReader) stream(content string, resources *model.PdfPageResources, depth int) error {
	operations, err := contentstream.NewContentStreamParser(content).Parse()
	if err != nil {
		return err
	}
	for _, op := range *operations {
		p.operators[op.Operand]++
		if len(op.Params) == 0 || resources == nil {
			continue
		}
		name, _ := core.GetNameVal(op.Params[len(op.Params)-1])
		switch op.Operand {
		case "BDC":
			err = p.section(op.Params[0], name, resources)
		case "Do":
			err = p.form(core.PdfObjectName(name), resources, depth)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// section looks at a section of marked content with a property list (8.11.3.2).
func (p *pageReader) section(tag core.PdfObject, name string, resources *model.PdfPageResources) error {
	if t, _ := core.GetNameVal(tag); t != "OC" {
		return nil
	}
	properties, ok := core.GetDict(resources.Properties)
	if !ok {
		return fmt.Errorf("a section names %s, and the page has no property lists", name)
	}
	return p.belongs(properties.Get(core.PdfObjectName(name)))
}

// belongs notes what a section or form belongs to.
func (p *pageReader) belongs(o core.PdfObject) error {
	for _, m := range members(o) {
		number, name, ok := group(m)
		if !ok {
			continue
		}
		if _, listed := p.layers[number]; !listed {
			return fmt.Errorf("the content names the layer %q (object %d), which the file does not list", name, number)
		}
		p.named[name]++
	}
	return nil
}

// form goes through a form XObject.
func (p *pageReader) form(name core.PdfObjectName, resources *model.PdfPageResources, depth int) error {
	stream, kind := resources.GetXObjectByName(name)
	if stream != nil {
		if err := p.belongs(stream.Get("OC")); err != nil {
			return err
		}
	}
	if kind != model.XObjectTypeForm || depth >= maxDepth {
		return nil
	}
	form, err := resources.GetXObjectFormByName(name)
	if err != nil {
		return err
	}
	content, err := form.GetContentStream()
	if err != nil {
		return err
	}
	if form.Resources != nil {
		resources = form.Resources
	}
	return p.stream(string(content), resources, depth+1)
}

// write lists what was found.
func (p *pageReader) write(out io.Writer, number int) {
	fmt.Fprintf(out, "page %d\n  layers: %s\n  operators: %s\n", number, counts(p.named), counts(p.operators))
}

// counts writes names with numbers, in the order of the names.
func counts(m map[string]int) string {
	var list []string
	for _, k := range slices.Sorted(maps.Keys(m)) {
		list = append(list, fmt.Sprintf("%s %d", k, m[k]))
	}
	return strings.Join(list, ", ")
}
