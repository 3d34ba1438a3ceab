package pdf

import (
	"context"
	"slices"
)

// KeepPages takes all pages but some, by position and ascending, out of the page
// tree (7.7.3.2), with the nodes that have no page then. What else leads to the
// pages is the caller's.
func (e *Edit) KeepPages(kept []int) {
	t := pageTrimmer{edit: e, keep: map[int]bool{}}
	stays := map[Ref]bool{} // a page may stand in the tree more than once
	for _, at := range kept {
		t.keep[at] = true
		stays[e.doc.pages[at].Ref] = true
	}
	root, catalog := e.doc.Root()
	if pages, _ := t.node(root["Pages"]); !isRef(root["Pages"]) {
		e.Set(catalog, withEntry(AsDict(e, catalog), "Pages", pages))
	}
	e.pages = nil
	for at, p := range e.doc.pages {
		if t.keep[at] {
			e.pages = append(e.pages, p)
		} else if !stays[p.Ref] {
			e.Set(p.Ref, nil)
		}
	}
}

func isRef(o Object) bool {
	_, ok := o.(Ref)
	return ok
}

// pageTrimmer takes pages out of a page tree, which was mended when it was opened:
// it has no rings, and all that stands in it is a page or a node.
type pageTrimmer struct {
	edit *Edit
	keep map[int]bool // by position
	at   int          // of the next page
}

// node gives what stands for a node or page, nil where nothing is left, and how many
// pages are below it.
func (t *pageTrimmer) node(o Object) (now Object, pages int) {
	d := AsDict(t.edit, o)
	if AsName(t.edit, d["Type"]) != "Pages" {
		t.at++
		if t.keep[t.at-1] {
			return o, 1
		}
		return nil, 0
	}
	was := AsArray(t.edit, d["Kids"])
	var kids Array
	for _, kid := range was {
		left, n := t.node(kid)
		if pages += n; left != nil {
			kids = append(kids, left)
		}
	}
	ref, isObject := lastRef(t.edit, o)
	switch {
	case pages == 0:
		if isObject {
			t.edit.Set(ref, nil)
		}
		return nil, 0
	case pages == AsInt(t.edit, d["Count"], -1) && len(kids) == len(was):
		return o, pages
	}
	changed := withEntry(withEntry(d, "Kids", kids), "Count", Integer(pages))
	if isObject {
		t.edit.Set(ref, changed)
		return o, pages
	}
	return changed, pages
}

// Document is the document with the changes, of which it has all that can be reached
// from the catalog and the information dictionary, under the same numbers. It is as
// if it had been opened so: pages that KeepPages left are numbered from 1. The error
// is the context's.
func (e *Edit) Document(ctx context.Context) (*Document, error) {
	_, number, err := e.plan(ctx)
	if err != nil {
		return nil, err
	}
	d := *e.doc
	d.info, d.next, d.pages, d.nodes = e.info, e.next, slices.Clone(e.pages), nil
	d.objects = make(map[Ref]Object, len(number))
	for ref := range number {
		d.objects[ref] = e.Object(ref)
	}
	if d.refs, err = Ascending(ctx, d.objects); err != nil {
		return nil, err
	}
	for i := range d.pages {
		p := &d.pages[i]
		p.Number = i + 1
		if now := AsDict(&d, p.Ref); now != nil {
			p.Dict = now
		}
		if own := p.Dict["Resources"]; AsDict(&d, own) != nil {
			p.Resources = own
		}
	}
	for _, ref := range e.doc.nodes {
		if d.objects[ref] != nil {
			d.nodes = append(d.nodes, ref)
		}
	}
	return &d, nil
}
