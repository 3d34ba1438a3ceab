package isolate

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/layers/failure"
)

// KeepPages gives the document with only some of its pages, by number from 1, in
// their order in the file. All that leads to the others goes with them: links and
// actions, outline items, names of destinations, labels, article threads, form
// fields, what the structure says of them, and layers that nothing else is in. What
// only resources shared with them hold goes when the result is isolated. It gives a
// *failure.PageError for a page that is not there, and the context's error.
func KeepPages(ctx context.Context, doc *optional.Document, numbers []int) (*optional.Document, error) {
	pages := doc.PDF.Pages()
	var kept []int
	for _, n := range slices.Compact(slices.Sorted(slices.Values(numbers))) {
		if n < 1 || n > len(pages) {
			return nil, &failure.PageError{Page: n, Pages: len(pages)}
		}
		kept = append(kept, n-1)
	}
	switch len(kept) {
	case 0:
		return nil, &failure.PageError{Pages: len(pages)}
	case len(pages):
		return doc, nil
	}
	e, err := unchanged(ctx, doc)
	if err != nil {
		return nil, err
	}
	drawn := e.reach(doc.PDF, layerList)
	p := &pageEditor{editor: e, kept: kept, named: map[string]pdf.Object{}}
	if p.edit.KeepPages(kept); !p.all() {
		return nil, ctx.Err()
	}
	part, err := e.part(ctx, doc, fmt.Sprintln("pages", kept))
	if err != nil {
		return nil, err
	}
	return withoutUnused(ctx, part, drawn)
}

// unchanged makes ready to edit a document of which every layer stays.
func unchanged(ctx context.Context, doc *optional.Document) (*editor, error) {
	var sel Selection
	for i := range doc.Groups {
		sel.Unchanged = append(sel.Unchanged, i)
	}
	d, err := newDecisions(ctx, doc, sel, false)
	return &editor{decisions: d, ctx: ctx}, err
}

// part is the document with the changes.
func (e *editor) part(ctx context.Context, doc *optional.Document, what string) (*optional.Document, error) {
	file, err := e.edit.Document(ctx)
	if err != nil {
		return nil, err
	}
	return doc.Part(ctx, file, what, append(doc.Warnings(), e.warnings...))
}

// withoutUnused takes out of a document what no page draws with, although resources
// that pages share name it, and layers that only other pages were drawn with: drawn
// is what the whole document reached without its list of layers. A document that
// cannot be read whole stays as it is, to be refused when it is isolated.
func withoutUnused(ctx context.Context, doc *optional.Document, drawn extent) (*optional.Document, error) {
	e, err := unchanged(ctx, doc)
	if err != nil {
		return nil, err
	}
	opt := rewrite.Options{Limits: doc.Limits, KeepState: true}
	if _, err := rewrite.Run(ctx, e.edit, linesAlone{e}, opt); errors.Is(err, fault.ErrBadFile) {
		return doc, nil
	} else if err != nil {
		return nil, err
	}
	e.removeLayers(drawn)
	return e.part(ctx, doc, "")
}

// layerList is the key that leads to the list of layers (8.11.4.2).
const layerList = "OCProperties"

// pageEditor takes out what leads to pages that are taken out of one document.
type pageEditor struct {
	*editor
	kept []int // positions of pages
	// named are the destinations that have names, once under each (12.3.2.4).
	named map[string]pdf.Object
}

// all makes all the changes, those first that others look at. It reports whether it
// came to its end.
func (p *pageEditor) all() bool {
	before := p.reach(p.doc.PDF, structural...)
	p.readNames()
	p.away = p.isAway
	for _, step := range []func(){
		p.removeThreads, p.removeLinks, p.editFields, p.editOutline, p.editActions, p.editNames,
		p.editCatalog, p.editLabels,
	} {
		if step(); p.ctx.Err() != nil {
			return false
		}
	}
	p.editStructure(&rewrite.Result{}, before, p.reach(p.edit, structural...))
	return p.ctx.Err() == nil
}

// readNames reads the destinations that have names: in a tree, and in the dictionary
// that came before it.
func (p *pageEditor) readNames() {
	for name, o := range pdf.AsDict(p.edit, p.catalog()["Dests"]) {
		p.named[string(name)] = o
	}
	tree := pdf.AsDict(p.edit, p.catalog()["Names"])["Dests"]
	p.names().tree(tree, "Names", func(k, v pdf.Object) (pdf.Object, bool) {
		if name, ok := pdf.AsString(p.edit, k); ok {
			p.named[string(name)] = v
		}
		return v, true
	})
}

// names edits trees of names and numbers.
func (p *pageEditor) names() *structureEditor { return &structureEditor{editor: p.editor} }

// maxDestination bounds names and dictionaries on the way to a destination.
const maxDestination = 8

// array is a destination as an array that begins with the page, nil where there is
// none.
func (p *pageEditor) array(o pdf.Object) pdf.Array {
	for range maxDestination {
		switch v := pdf.Resolve(p.edit, o).(type) {
		case pdf.Array:
			return v
		case pdf.Dict:
			o = v["D"]
		case pdf.Name:
			o = p.named[string(v)]
		case pdf.String:
			o = p.named[string(v)]
		default:
			return nil
		}
	}
	return nil
}

// isAway reports whether a destination leads to a page that is taken out. One by the
// position of a page, which the standard has for other files alone, but readers take,
// does not hold any more, wherever it led.
func (p *pageEditor) isAway(destination pdf.Object) bool {
	array := p.array(destination)
	if len(array) == 0 {
		return false
	}
	switch v := array[0].(type) {
	case pdf.Ref:
		return p.isRemoved(v)
	case pdf.Integer:
		return true
	}
	return false
}

// isLink reports whether a dictionary goes to a page that is taken out, when it is
// clicked: an annotation or an item of the outline.
func (p *pageEditor) isLink(d pdf.Dict) bool {
	return d["Dest"] != nil && p.isAway(d["Dest"]) || p.leadsAway(pdf.AsDict(p.edit, d["A"]))
}

// removeLinks takes out the annotations of the pages that go, and links to them. A
// link that is seen, by its border, stays and leads nowhere.
func (p *pageEditor) removeLinks() {
	stay := map[pdf.Ref]bool{}
	for _, at := range p.kept {
		page := p.doc.PDF.Pages()[at]
		was := pdf.AsArray(p.edit, p.page(page)["Annots"])
		var now pdf.Array
		for _, o := range was {
			a := pdf.AsDict(p.edit, o)
			if pdf.AsName(p.edit, a["Subtype"]) == "Link" && p.isLink(a) {
				if !p.isSeen(a) {
					continue
				}
				o = p.store(o, without(a, "Dest", "A", "PA", "Contents"))
			}
			if ref, ok := o.(pdf.Ref); ok {
				stay[ref] = true
			}
			now = append(now, o)
		}
		if !slices.EqualFunc(now, was, same) {
			p.edit.Set(page.Ref, with(p.page(page), "Annots", unlessEmpty(now)))
		}
	}
	for _, page := range p.doc.PDF.Pages() {
		for _, o := range pdf.AsArray(p.doc.PDF, page.Dict["Annots"]) {
			if ref, ok := o.(pdf.Ref); ok && !stay[ref] {
				p.edit.Set(ref, nil)
			}
		}
	}
}

// isSeen reports whether a link has a border, as it has where nothing says otherwise
// (12.5.4), or an appearance.
func (p *pageEditor) isSeen(a pdf.Dict) bool {
	width, known := 1.0, false
	if style := pdf.AsDict(p.edit, a["BS"]); style != nil {
		width, known = pdf.AsNumber(p.edit, style["W"])
	} else if border := pdf.AsArray(p.edit, a["Border"]); len(border) > 2 {
		width, known = pdf.AsNumber(p.edit, border[2])
	}
	return a["AP"] != nil || !known || width != 0
}

// editNames takes names of destinations out that lead to pages that go.
func (p *pageEditor) editNames() {
	root := p.catalog()
	dests := pdf.AsDict(p.edit, root["Dests"])
	var away []pdf.Name
	for _, name := range slices.Sorted(maps.Keys(dests)) {
		if p.isAway(dests[name]) {
			away = append(away, name)
		}
	}
	if len(away) > 0 {
		p.setCatalog("Dests", p.store(root["Dests"], without(dests, away...)))
	}
	names := pdf.AsDict(p.edit, root["Names"])
	var list pdf.Array // as one node: those of the tree say between which names they are
	gone := false
	p.names().tree(names["Dests"], "Names", func(k, v pdf.Object) (pdf.Object, bool) {
		if p.isAway(v) {
			gone = true
		} else {
			list = append(list, k, v)
		}
		return v, true
	})
	if !gone {
		return
	}
	now := with(names, "Dests", pdf.Dict{"Names": list})
	if len(list) == 0 {
		now = without(names, "Dests")
	}
	p.setCatalog("Names", p.store(root["Names"], now))
}

// editCatalog takes out where a viewer is to begin, if that is a page that goes, and
// which pages it is to print, which are other pages now (12.2).
func (p *pageEditor) editCatalog() {
	root := p.catalog()
	if _, isAction := pdf.Resolve(p.edit, root["OpenAction"]).(pdf.Dict); !isAction && p.isAway(root["OpenAction"]) {
		p.setCatalog("OpenAction", nil)
	}
	view := pdf.AsDict(p.edit, root["ViewerPreferences"])
	if view["PrintPageRange"] != nil {
		p.setCatalog("ViewerPreferences", p.store(root["ViewerPreferences"], without(view, "PrintPageRange")))
	}
}

// removeThreads takes out article threads (12.4.3) with a bead on a page that goes:
// they would end in the middle of their text.
func (p *pageEditor) removeThreads() {
	gone := map[pdf.Ref]bool{}
	for at, page := range p.doc.PDF.Pages() {
		if slices.Contains(p.kept, at) {
			continue
		}
		for _, o := range pdf.AsArray(p.doc.PDF, page.Dict["B"]) {
			for ref, ok := o.(pdf.Ref); ok && !gone[ref]; ref, ok = pdf.AsDict(p.doc.PDF, ref)["N"].(pdf.Ref) {
				gone[ref] = true
			}
		}
	}
	if len(gone) == 0 {
		return
	}
	list := pdf.AsArray(p.edit, p.catalog()["Threads"])
	for _, o := range list {
		ref, _ := o.(pdf.Ref)
		if first, ok := pdf.AsDict(p.edit, o)["F"].(pdf.Ref); ok && gone[first] && ref != 0 {
			gone[ref] = true
		}
	}
	for ref := range gone {
		p.edit.Set(ref, nil)
	}
	if rest := p.remaining(list); len(rest) < len(list) {
		p.setCatalog("Threads", unlessEmpty(rest))
	}
	for _, at := range p.kept {
		page := p.doc.PDF.Pages()[at]
		dict := p.page(page)
		was := pdf.AsArray(p.edit, dict["B"])
		if rest := p.remaining(was); len(rest) < len(was) {
			p.edit.Set(page.Ref, with(dict, "B", unlessEmpty(rest)))
		}
	}
}

// removeLayers takes out layers that are in drawn, and that nothing is drawn with any
// more.
func (e *editor) removeLayers(drawn extent) {
	now := e.reach(e.edit, layerList)
	l := &listEditor{editor: e, gone: map[pdf.Ref]bool{}, seen: map[pdf.Ref]bool{}}
	for _, g := range e.doc.Groups {
		_, was := drawn[g.Ref]
		if _, is := now[g.Ref]; was && !is {
			l.gone[g.Ref] = true
		}
	}
	if len(l.gone) == 0 {
		return
	}
	e.setCatalog(layerList, l.edited(e.catalog()[layerList], 0))
	for ref := range l.gone {
		e.edit.Set(ref, nil)
	}
}

// listEditor takes groups out of the lists of layers of one document.
type listEditor struct {
	*editor
	gone, seen map[pdf.Ref]bool
}

// edited is a dictionary or array without the groups that go.
func (l *listEditor) edited(o pdf.Object, depth int) pdf.Object {
	ref, indirect := o.(pdf.Ref)
	if indirect && (l.seen[ref] || l.doc.Group(ref) != nil) || depth > optional.MaxOrderDepth {
		return o
	}
	l.seen[ref] = indirect
	switch v := pdf.Resolve(l.edit, o).(type) {
	case pdf.Dict:
		d := v.Clone()
		for _, k := range v.Keys() {
			d[k] = l.edited(v[k], depth+1)
		}
		return l.store(o, d)
	case pdf.Array:
		return l.store(o, l.members(v, depth))
	}
	return o
}

// members are those of an array without the groups that go. The array of those below
// such a group takes its place (8.11.4.3, Table 101).
func (l *listEditor) members(was pdf.Array, depth int) pdf.Array {
	now := pdf.Array{}
	orphans := false // the group before goes
	for _, o := range was {
		if ref, ok := o.(pdf.Ref); ok && l.doc.Group(ref) != nil {
			if orphans = l.gone[ref]; !orphans {
				now = append(now, o)
			}
			continue
		}
		o = l.edited(o, depth+1)
		inner, isList := pdf.Resolve(l.edit, o).(pdf.Array)
		switch {
		case isList && len(inner) == 0:
		case isList && orphans && !optional.Labelled(l.edit, inner):
			now = append(now, inner...)
		default:
			now = append(now, o)
		}
		orphans = false
	}
	return now
}
