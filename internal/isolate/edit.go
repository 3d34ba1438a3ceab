package isolate

import (
	"context"
	"errors"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/internal/steps"
	"github.com/sizeply/sizeply/layers/failure"
	"github.com/sizeply/sizeply/layers/warning"
)

// An editor changes a document to what a selection leaves of it. The document
// stays as it is: changes are an overlay.
type editor struct {
	*decisions
	opt Options
	// ctx ends the walks through all objects early; apply gives its error then.
	ctx context.Context

	// away reports whether a destination leads to a page that is taken out; nil where
	// all pages stay.
	away func(destination pdf.Object) bool

	removedFields map[string]bool // form fields, by their full names
	untagged      bool            // nothing of the structure is left
	claimsPDFA    bool            // the result claims to be PDF/A
	unneeded      int             // entries taken out that no reader needs
}

// An observer hands pages on as they go by, see [rewrite.Observer].
type observer struct {
	read func(p pdf.Page, content []byte) // pages as they were
	left func(p pdf.Page, content []byte) // pages as they are now
	done func()                           // called after each page
	stop func()                           // ends what read is at; nil for nothing
}

// PageRead implements [rewrite.Observer].
func (o observer) PageRead(p pdf.Page, content []byte) { o.read(p, content) }

// PageFiltered implements [rewrite.Observer].
func (o observer) PageFiltered(p pdf.Page, content []byte) {
	o.left(p, content)
	o.done()
}

// Abandoned implements [rewrite.Observer].
func (o observer) Abandoned() {
	if o.stop != nil {
		o.stop()
	}
}

// filters reports whether pages are filtered. Where nothing is removed and layers
// stay layers, they stay as they are.
func (e *editor) filters() bool { return !e.keepsAll() || e.flatten }

// apply makes all the changes.
func (e *editor) apply(ctx context.Context, keepState bool, o observer) (*rewrite.Result, error) {
	e.ctx = ctx
	end := steps.Begin(ctx, "pages", 0)
	res, err := e.filter(ctx, keepState, o)
	if end(0, err); err == nil && e.filters() {
		end := steps.Begin(ctx, "objects", 0)
		err = e.editObjects(ctx, res)
		end(0, err)
	}
	if err != nil {
		return nil, err
	}
	e.editProperties()
	// No reference to a group that is null is written anywhere.
	for _, g := range e.doc.Groups {
		if e.flatten || e.removed(g.Ref) {
			e.edit.Set(g.Ref, nil)
		}
	}
	return res, nil
}

// filter filters the pages. Where nothing is removed they are read alone, for what
// cannot be read of them: they stay as they are, unless some of that has to be left out.
func (e *editor) filter(ctx context.Context, keepState bool, o observer) (*rewrite.Result, error) {
	opt := rewrite.Options{Limits: e.doc.Limits, KeepState: keepState}
	if e.filters() {
		opt.Flatten, opt.AcceptDamage, opt.Observer = e.flatten, e.opt.AcceptDamage, o
		return rewrite.Run(ctx, e.edit, e.decisions, opt)
	}
	opt.KeepState = true
	res, err := rewrite.Run(ctx, e.doc.PDF.Edit(), linesAlone{e}, opt)
	var unreadable *failure.UnreadableError
	isUnreadable := errors.As(err, &unreadable)
	if isUnreadable && e.opt.AcceptDamage {
		opt.AcceptDamage = true
		res, err = rewrite.Run(ctx, e.edit, linesAlone{e}, opt)
	}
	switch {
	case ctx.Err() != nil || isUnreadable && err != nil:
		return nil, err
	case err != nil: // too much to be read
		return &rewrite.Result{}, nil
	}
	res.Warnings = slices.DeleteFunc(res.Warnings, func(w warning.Warning) bool {
		return w.Code != warning.UnreadableContent
	})
	return &rewrite.Result{Warnings: res.Warnings}, nil
}

// editObjects takes out what removed layers leave outside of the contents of
// pages. Each step looks at what the ones before have left: first what is
// removed as a whole, then what refers to it, then drawings that no page draws
// itself, and the structure last, which knows all of them.
func (e *editor) editObjects(ctx context.Context, res *rewrite.Result) error {
	before := e.reach(e.doc.PDF, structural...)
	for _, step := range []func(){
		e.removeAnnotations, e.removeOtherPages, e.editFields, e.removeSignatures, e.editActions, e.removePrivate,
	} {
		if step(); ctx.Err() != nil {
			return ctx.Err()
		}
	}
	if err := res.FilterOthers(ctx, e.refs(e.reach(e.edit, structural...))); err != nil {
		return err
	}
	e.editStructure(res, before, e.reach(e.edit, structural...))
	e.editMetadata()
	if err := e.editGlyphs(ctx); err != nil {
		return err
	}
	e.removeTraces()
	return ctx.Err()
}

// isStopped reports whether a walk through all objects ends early. It looks at
// the context for each thousandth object, counted by n.
func (e *editor) isStopped(n int) bool { return n%1000 == 0 && e.ctx.Err() != nil }

// structural are the keys that lead to the structure of the document, which
// says nothing of what is drawn (14.7.2, 12.3.2.3 of ISO 32000-2, 12.3.3).
var structural = []pdf.Name{"StructTreeRoot", "SE", "SD"}

// catalog is the catalog as it is now, not to be changed in place.
func (e *editor) catalog() pdf.Dict {
	_, ref := e.doc.PDF.Root()
	return pdf.AsDict(e.edit, ref)
}

// setCatalog gives the catalog a value; nil takes the key out.
func (e *editor) setCatalog(key pdf.Name, v pdf.Object) {
	_, ref := e.doc.PDF.Root()
	e.edit.Set(ref, with(e.catalog(), key, v))
}

// pages are the numbers of the pages.
func (e *editor) pages() map[pdf.Ref]bool {
	pages := map[pdf.Ref]bool{}
	for _, p := range e.doc.PDF.Pages() {
		pages[p.Ref] = true
	}
	return pages
}

// page is the dictionary of a page as it is now, not to be changed in place.
func (e *editor) page(p pdf.Page) pdf.Dict {
	if d := pdf.AsDict(e.edit, p.Ref); p.Ref != 0 && d != nil {
		return d
	}
	return p.Dict
}

// isRemoved reports whether an object is a reference to one that the document
// had and that is null now.
func (e *editor) isRemoved(o pdf.Object) bool {
	ref, ok := o.(pdf.Ref)
	return ok && e.edit.Object(ref) == nil && e.doc.PDF.Object(ref) != nil
}

// remaining leaves out references to removed objects.
func (e *editor) remaining(list pdf.Array) pdf.Array {
	return slices.DeleteFunc(append(pdf.Array{}, list...), e.isRemoved)
}

// with gives a dictionary with another value; nil takes the key out.
func with(d pdf.Dict, key pdf.Name, v pdf.Object) pdf.Dict {
	d = d.Clone()
	if d[key] = v; v == nil {
		delete(d, key)
	}
	return d
}

// unlessEmpty is an array, nil where it has no elements.
func unlessEmpty(list pdf.Array) pdf.Object {
	if len(list) == 0 {
		return nil
	}
	return list
}

// without gives a dictionary without some keys; the same map where it has none
// of them.
func without(d pdf.Dict, keys ...pdf.Name) pdf.Dict {
	now := d
	for _, k := range keys {
		if _, has := now[k]; has {
			now = with(now, k, nil)
		}
	}
	return now
}

// removeAnnotations takes out annotations that are removed for what they are,
// and those that belong to one that is removed: pop-up windows and replies
// (12.5.6.2, 12.5.6.14).
func (e *editor) removeAnnotations() {
	belong := map[pdf.Ref][]pdf.Ref{}
	var todo []pdf.Ref
	for _, p := range e.doc.PDF.Pages() {
		for _, o := range pdf.AsArray(e.doc.PDF, p.Dict["Annots"]) {
			ref, ok := o.(pdf.Ref)
			if !ok {
				continue
			}
			a := pdf.AsDict(e.doc.PDF, o)
			if e.isRemoved(ref) || e.isUnwanted(a) {
				todo = append(todo, ref)
			}
			for _, k := range []pdf.Name{"IRT", "Parent"} {
				if head, ok := a[k].(pdf.Ref); ok && (k == "IRT" || pdf.AsName(e.edit, a["Subtype"]) == "Popup") {
					belong[head] = append(belong[head], ref)
				}
			}
		}
	}
	removed := map[pdf.Ref]bool{}
	for len(todo) > 0 {
		ref := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if !removed[ref] {
			removed[ref] = true
			e.edit.Set(ref, nil)
			todo = append(todo, belong[ref]...)
		}
	}
	for _, p := range e.doc.PDF.Pages() {
		e.filterAnnotations(p, func(o pdf.Object) bool {
			ref, indirect := o.(pdf.Ref)
			return indirect && removed[ref] || e.isUnwanted(pdf.AsDict(e.edit, o))
		})
	}
}

// isUnwanted reports whether an annotation is removed whatever layer it is in.
func (e *editor) isUnwanted(a pdf.Dict) bool {
	switch pdf.AsName(e.edit, a["Subtype"]) {
	case "FileAttachment": // 12.5.6.15
		if e.opt.KeepAttachments {
			return false
		}
		e.warn(whyAttached)
		return true
	case "TrapNet": // 14.11.6: it was made for the whole page
		e.warn(whyViews)
		return true
	}
	return false
}

// filterAnnotations takes annotations out of a page.
func (e *editor) filterAnnotations(p pdf.Page, remove func(pdf.Object) bool) {
	if e.isRemoved(p.Ref) {
		return
	}
	dict := e.page(p)
	was := pdf.AsArray(e.edit, dict["Annots"])
	if now := slices.DeleteFunc(slices.Clone(was), remove); len(now) < len(was) && p.Ref != 0 {
		e.edit.Set(p.Ref, with(dict, "Annots", unlessEmpty(now)))
	}
}

// removeOtherPages takes out pages that something refers to, but the page tree
// does not hold: templates (12.7.6), captured and deleted pages.
func (e *editor) removeOtherPages() {
	pages := e.pages()
	for _, ref := range e.refs(e.reach(e.edit)) {
		d, _ := e.edit.Object(ref).(pdf.Dict)
		kind := pdf.AsName(e.edit, d["Type"])
		isFont := d["Subtype"] != nil && d["Contents"] == nil // whatever its Type says
		if pages[ref] || kind != "Page" && kind != "Template" || isFont {
			continue
		}
		e.edit.Set(ref, nil)
		if kind == "Page" {
			e.warn(whyOtherPage)
		} else {
			e.warn(whyViews)
		}
	}
}
