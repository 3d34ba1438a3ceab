package rewrite

import (
	"bytes"
	"context"
	"fmt"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

const (
	// maxDepth bounds forms within forms, counting patterns, glyphs and masks.
	maxDepth = 64
	// maxWays bounds the ways in which one form is filtered: forms within each
	// other may have any number of them.
	maxWays = 4096
	// formBytes and wayBytes are how many bytes of content count as much as
	// filtering a form, and as holding one way of filtering it against a caller.
	formBytes, wayBytes = 4096, 32
)

// form is a content stream with resources that is an object of its own, as it is
// in the output for some of its callers.
type form struct {
	ref           pdf.Ref
	kept, removed int64 // marks

	// What it took from outside: the text state as far as needs says, what names
	// meant there, how it uses them, and which versions of forms they stand for.
	text  textState
	needs textParts
	outer map[resources.Name]pdf.Object
	uses  map[resources.Name]use
	binds []binding

	unread unread      // of it and what it draws
	cuts   []pdf.Ref   // see nesting
	now    *pdf.Stream // what it is in the output, where marks are removed for their styles
}

// fits reports whether a form serves another caller too: all that it took from
// outside is the same there.
func (f *form) fits(caller *scope, text textState) bool {
	if !f.text.equal(text, f.needs) {
		return false
	}
	for k, v := range f.outer {
		if !same(caller.find(k), v) {
			return false
		}
	}
	return !slices.ContainsFunc(f.binds, func(b binding) bool { return !caller.canBind(b) })
}

// serve records with a caller, whose output draws the form, what it uses from
// outside.
func (f *form) serve(caller *scope) {
	for _, b := range f.binds {
		caller.rebind(b)
	}
	for k, by := range f.uses {
		caller.use(k, by)
	}
}

// invoke draws an XObject: what it keeps and loses, and for a form what it is
// now. An image is one mark; of what is left out since no reader draws it, nothing
// is kept or lost.
func (w *rewriter) invoke(ctx context.Context, o pdf.Object, caller *scope, text textState) (
	f *form, kept, removed int64, err error,
) {
	st := pdf.AsStream(w.edit.Original(), o)
	if st == nil {
		return nil, 1, 0, nil // nothing to draw: kept as it is
	}
	if w.removes(st.Dict["OC"]) {
		return nil, 0, 1, nil
	}
	switch subtype := pdf.AsName(w.edit, st.Dict["Subtype"]); subtype {
	case "Form":
	case "Image":
		return nil, 1, 0, nil
	default:
		return nil, 0, 0, w.undrawn(subtype)
	}
	f, err = w.form(ctx, o, caller, text)
	switch {
	case err != nil || f == nil:
		return nil, 1, 0, err
	case f.kept == 0 && f.removed == 0:
		return f, 1, 0, nil // paints nothing of its own: not ours to take away
	}
	return f, f.kept, f.removed, nil
}

// drawn filters a content stream that is used in the initial text state: a
// pattern's cell, a glyph, a soft mask's group, an appearance. It gives what
// stands for it in the output.
func (w *rewriter) drawn(ctx context.Context, o pdf.Object, caller *scope) (pdf.Object, error) {
	f, err := w.form(ctx, o, caller, initialText)
	if err != nil || f == nil {
		return o, err
	}
	f.serve(caller)
	if caller == nil {
		w.noteMissing(f.uses)
	}
	return f.ref, nil
}

// form filters a content stream that is an object of its own: a form XObject,
// a tiling pattern's cell, a glyph, a soft mask's group, an appearance. It
// gives nil where there is nothing to filter.
func (w *rewriter) form(ctx context.Context, o pdf.Object, caller *scope, text textState) (*form, error) {
	ref, ok := o.(pdf.Ref)
	st := pdf.AsStream(w.edit.Original(), o)
	if !ok || st == nil || w.nesting.cut(ref) {
		return nil, nil // a form within itself is not drawn again
	}
	for _, f := range w.forms[ref] {
		if err := w.spend(wayBytes + text.paint.size()); err != nil {
			return nil, err
		}
		if f.fits(caller, text) && w.nesting.cutAgain(f.cuts) {
			w.unread.join(f.unread)
			return f, nil
		}
	}
	if len(w.forms[ref]) >= maxWays {
		return nil, fmt.Errorf("a form is drawn in more than %d different states", maxWays)
	}
	if w.depth >= maxDepth {
		return nil, fmt.Errorf("forms are nested more than %d deep", maxDepth)
	}
	around := w.unread
	w.unread = nil
	w.depth++
	w.nesting.enter(ref)
	f, err := w.filterForm(ctx, ref, st, caller, text)
	cuts := w.nesting.leave()
	if w.depth--; f != nil {
		f.cuts, f.unread = cuts, w.unread
	}
	around.join(w.unread)
	w.unread = around
	return f, err
}

// filterForm filters a form for one caller.
func (w *rewriter) filterForm(
	ctx context.Context, ref pdf.Ref, st *pdf.Stream, caller *scope, text textState,
) (*form, error) {
	sc := newScope(w.edit.Original(), st.Dict["Resources"], caller)
	data, whole, err := w.formContent(ctx, st)
	if err != nil {
		return nil, err
	}
	if err := w.spend(formBytes); err != nil {
		return nil, err
	}
	text.own = 0
	called := text
	text.paint = text.paint.within(w.edit, st.Dict["Matrix"])
	out, err := w.stream(ctx, data, whole, sc, text)
	if err != nil {
		return nil, err
	}
	w.noteResidue(out.residue, sc)
	w.tagged(ref, st.Dict, out)
	if out.removed > 0 {
		w.res.Reduced[ref] = true
	}
	dict := w.membership(st.Dict)
	if sc.Dict() != nil {
		res, changed, err := w.resources(ctx, st.Dict["Resources"], sc)
		if err != nil {
			return nil, err
		}
		if changed {
			dict = dict.Clone()
			dict["Resources"] = res
		}
	}
	for k := range sc.outer {
		sc.Find(k) // so that Outside has every name
	}
	f := &form{
		ref: ref, kept: out.kept, removed: out.removed, text: called, needs: out.needs,
		outer: sc.Outside(), uses: sc.outer, binds: sc.outerBinds,
	}
	w.place(ctx, f, st, dict, out)
	return f, ctx.Err()
}

// formContent decodes the content of a form; whole is false where that is only a part
// of it, or none.
func (w *rewriter) formContent(ctx context.Context, st *pdf.Stream) (data []byte, whole bool, err error) {
	data, fault, err := pdf.DecodeWhole(ctx, w.edit, st, w.lim.StreamBytes)
	if err != nil {
		return nil, false, err
	}
	if fault != nil {
		return data, false, w.damaged(fmt.Sprintf("a form or another part: %v", fault))
	}
	return data, true, nil
}

// membership brings the OC entry of a dictionary up to date; the same map
// where nothing changes.
func (w *rewriter) membership(d pdf.Dict) pdf.Dict {
	oc, ok := d["OC"]
	if !ok {
		return d
	}
	decision, now := w.decide.Decide(oc)
	switch {
	case decision == Unwrap || decision == Remove:
		d = d.Clone()
		delete(d, "OC")
	case !same(oc, now):
		d = d.Clone()
		d["OC"] = now
	}
	return d
}

// place puts a filtered stream under its own number, or a new one where an
// earlier caller's version has that.
func (w *rewriter) place(ctx context.Context, f *form, st *pdf.Stream, dict pdf.Dict, out filtered) {
	had := w.forms[f.ref]
	defer func(ref pdf.Ref) { w.forms[ref] = append(had, f) }(f.ref)
	now := &pdf.Stream{Dict: dict, Raw: st.Raw}
	if out.changed && w.removed == nil {
		now = w.pack.Stream(dict, out.data, nil)
	} else if out.changed { // the bytes are compared
		now = pdf.NewStream(ctx, dict, out.data)
	}
	if w.removed != nil { // styles that differ may lose the same
		f.now = now
		for _, g := range had {
			if g.now != nil && bytes.Equal(g.now.Raw, now.Raw) && equalEntries(g.now.Dict, now.Dict) {
				f.ref = g.ref
				return
			}
		}
	}
	switch {
	case len(had) > 0:
		f.ref = w.edit.Add(now)
	case out.changed || !sameMap(dict, st.Dict):
		w.edit.Set(f.ref, now)
	}
}

// nesting is the objects that are being filtered, each within the one before. A
// broken file may draw one within itself: it is cut there. What lies between has
// been filtered as it is within that object, and serves elsewhere only where the
// same object is around it.
type nesting []nested

// nested is an object that is being filtered.
type nested struct {
	ref  pdf.Ref
	cuts []pdf.Ref // those around it that were met again within
}

func (n *nesting) enter(ref pdf.Ref) { *n = append(*n, nested{ref: ref}) }

// leave ends the innermost object, and tells where it was cut.
func (n *nesting) leave() []pdf.Ref {
	last := (*n)[len(*n)-1]
	*n = (*n)[:len(*n)-1]
	return last.cuts
}

// cut reports whether an object is being filtered, and notes with all that stands
// within it that they were cut there.
func (n nesting) cut(ref pdf.Ref) bool {
	at := n.at(ref)
	if at < 0 {
		return false
	}
	for i := at + 1; i < len(n); i++ {
		if x := &n[i]; !slices.Contains(x.cuts, ref) {
			x.cuts = append(x.cuts, ref)
		}
	}
	return true
}

// at is where an object stands among those that are being filtered, -1 where it
// is none of them.
func (n nesting) at(ref pdf.Ref) int {
	return slices.IndexFunc(n, func(x nested) bool { return x.ref == ref })
}

// cutAgain cuts where something was cut before; false where that is not around
// here.
func (n nesting) cutAgain(cuts []pdf.Ref) bool {
	if slices.ContainsFunc(cuts, func(ref pdf.Ref) bool { return n.at(ref) < 0 }) {
		return false
	}
	for _, ref := range cuts {
		n.cut(ref)
	}
	return true
}
