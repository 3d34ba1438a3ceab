package rewrite

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// maxDepth bounds forms within forms, counting patterns, glyphs and masks.
const maxDepth = 64

// A walker filters every content stream that the output reaches, each once
// for each way in which its names resolve.
type walker struct {
	edit   *pdf.Edit
	decide Decider
	lim    pdf.Limits
	// keepState leaves all state in place: the slow, plain way, as a
	// yardstick.
	keepState bool
	flatten   bool // no section with the tag OC stays
	gone      func(paint.Style) bool
	painter   *paint.Painter // with gone

	units map[pdf.Ref][]*unit
	rings rings
	fonts map[pdf.Ref]*font.Font
	depth int
	page  int // the page at hand, for warnings
	res   *Result
	tags  map[pdf.Ref]*tags
	// maskNeed is what groups of soft masks need; see maskNeeds.
	maskNeed  map[*pdf.Stream]params
	maskDepth int // masks within masks that are being looked at

	versions map[pdf.Ref][]version
	dicts    map[string]pdf.Ref   // rebuilt resource dictionaries
	streams  map[[32]byte]pdf.Ref // new page contents
	pack     *pdf.Packer          // compresses beside the walk
}

// unit is a content stream with resources that has been filtered.
type unit struct {
	ref           pdf.Ref
	outer         map[resources.Name]pdf.Object // what names meant that it looked up outside
	uses          map[resources.Name]use        // and how it uses them
	binds         []binding                     // and which versions of forms they stand for
	text          textState                     // the caller's, as far as needs says
	needs         textParts
	kept, removed int64
	now           *pdf.Stream // what it is in the output, where gone decides
	cuts          []pdf.Ref   // see rings
}

// fits tells whether a unit serves another caller too: all that it took from
// outside is the same there.
func (u *unit) fits(caller *scope, text textState) bool {
	if !u.text.equal(text, u.needs) {
		return false
	}
	for k, v := range u.outer {
		if !same(caller.find(k), v) {
			return false
		}
	}
	for _, b := range u.binds {
		if !caller.canBind(b) {
			return false
		}
	}
	return true
}

// serve records with a caller, whose output draws the unit, what it uses from
// outside.
func (u *unit) serve(caller *scope) {
	for _, b := range u.binds {
		caller.rebind(b)
	}
	for k, by := range u.uses {
		caller.use(k, by)
	}
}

// invoke draws an XObject: what it keeps and loses, and for a form the unit
// that it is now. An image is one mark.
func (w *walker) invoke(ctx context.Context, o pdf.Object, caller *scope, text textState) (u *unit, kept, removed int64, err error) {
	st := pdf.AsStream(w.edit.Original(), o)
	if st == nil {
		return nil, 1, 0, nil // nothing to draw: stays as it is
	}
	if decision, _ := w.decide.Decide(st.Dict["OC"]); decision == Remove {
		return nil, 0, 1, nil
	}
	if pdf.AsName(w.edit, st.Dict["Subtype"]) != "Form" {
		return nil, 1, 0, nil
	}
	u, err = w.form(ctx, o, caller, text)
	switch {
	case err != nil || u == nil:
		return nil, 1, 0, err
	case u.kept == 0 && u.removed == 0:
		return u, 1, 0, nil // paints nothing of its own: not ours to take away
	}
	return u, u.kept, u.removed, nil
}

// form filters a content stream that is an object of its own: a form XObject,
// a tiling pattern's cell, a glyph, a soft mask's group, an appearance. It
// gives nil where there is nothing to filter.
func (w *walker) form(ctx context.Context, o pdf.Object, caller *scope, text textState) (*unit, error) {
	ref, ok := o.(pdf.Ref)
	st := pdf.AsStream(w.edit.Original(), o)
	if !ok || st == nil || w.rings.cut(ref) {
		return nil, nil // a form within itself is not drawn again
	}
	for _, u := range w.units[ref] {
		if u.fits(caller, text) && w.rings.again(u.cuts) {
			return u, nil
		}
	}
	if len(w.units[ref]) >= maxWays {
		return nil, fmt.Errorf("a form is drawn in more than %d different states", maxWays)
	}
	if w.depth >= maxDepth {
		return nil, fmt.Errorf("forms are nested more than %d deep", maxDepth)
	}
	w.depth++
	w.rings.enter(ref)
	u, err := w.filter(ctx, ref, st, caller, text)
	cuts := w.rings.leave()
	if w.depth--; u != nil {
		u.cuts = cuts
	}
	return u, err
}

// drawn filters a content stream that is used in the initial text state: a
// pattern's cell, a glyph, a soft mask's group, an appearance. It gives what
// stands for it in the output.
func (w *walker) drawn(ctx context.Context, o pdf.Object, caller *scope) (pdf.Object, error) {
	u, err := w.form(ctx, o, caller, initialText)
	if err != nil || u == nil {
		return o, err
	}
	u.serve(caller)
	if caller == nil {
		w.missing(u.uses)
	}
	return u.ref, nil
}

// filter makes the unit of one caller.
func (w *walker) filter(ctx context.Context, ref pdf.Ref, st *pdf.Stream, caller *scope, text textState) (*unit, error) {
	sc := newScope(w.edit.Original(), st.Dict["Resources"], caller)
	data, err := pdf.Decode(w.edit, st, w.lim.StreamBytes)
	if err != nil && !w.damaged(err) {
		w.warn("a drawing within the page cannot be read and stays as it is: %v", err)
		sc.useAll()
		data = nil
	}
	text.own = 0
	called := text
	text.paint = text.paint.within(w.edit, st.Dict["Matrix"])
	out, err := w.strip(ctx, data, sc, text)
	if err != nil {
		return nil, err
	}
	w.residue(out.residue, sc)
	w.tagged(ref, st.Dict, out)
	if out.removed > 0 {
		w.res.Less[ref] = true
	}
	dict, err := w.formDict(ctx, st, sc)
	if err != nil {
		return nil, err
	}
	for k := range sc.outer {
		sc.find(k) // so that Outside has every name
	}
	u := &unit{
		ref: ref, kept: out.kept, removed: out.removed, text: called, needs: out.needs,
		outer: sc.Outside(), uses: sc.outer, binds: sc.outerBinds,
	}
	w.place(u, st, dict, out)
	return u, nil
}

// formDict is a stream dictionary with its optional content and resources
// brought up to date; the same map where nothing changes.
func (w *walker) formDict(ctx context.Context, st *pdf.Stream, sc *scope) (pdf.Dict, error) {
	dict := w.membership(st.Dict)
	if sc.Dict() == nil {
		return dict, nil
	}
	res, changed, err := w.resources(ctx, st.Dict["Resources"], sc)
	if err != nil || !changed {
		return dict, err
	}
	dict = dict.Clone()
	dict["Resources"] = res
	return dict, nil
}

// membership brings the OC entry of a dictionary up to date; the same map
// where nothing changes.
func (w *walker) membership(d pdf.Dict) pdf.Dict {
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
func (w *walker) place(u *unit, st *pdf.Stream, dict pdf.Dict, out stripped) {
	first := len(w.units[u.ref]) == 0
	defer func(ref pdf.Ref) { w.units[ref] = append(w.units[ref], u) }(u.ref)
	now := &pdf.Stream{Dict: dict, Raw: st.Raw}
	switch {
	case out.changed && w.gone != nil: // which compares the bytes
		now = pdf.NewStream(dict, out.data)
	case out.changed:
		now = w.pack.Stream(dict, out.data)
	}
	if w.gone != nil { // styles that differ may lose the same
		u.now = now
		for _, had := range w.units[u.ref] {
			if had.now != nil && bytes.Equal(had.now.Raw, now.Raw) && equalEntries(had.now.Dict, now.Dict) {
				u.ref = had.ref
				return
			}
		}
	}
	if !out.changed && sameMap(dict, st.Dict) && first {
		return
	}
	if first {
		w.edit.Set(u.ref, now)
		return
	}
	u.ref = w.edit.Add(now)
}

// damaged tells whether an error left data to work with, and warns.
func (w *walker) damaged(err error) bool {
	var d *pdf.DamageError
	if !errors.As(err, &d) {
		return false
	}
	w.warn("%v", err)
	return true
}

func (w *walker) warn(format string, args ...any) {
	w.res.Warnings = append(w.res.Warnings, Warning{Page: w.page, Text: fmt.Sprintf(format, args...)})
}

// residue records what a stream had to keep of removed content.
func (w *walker) residue(list []Residue, sc *scope) {
	for _, r := range list {
		r.Page = w.page
		w.res.Residue = append(w.res.Residue, r)
	}
	for _, k := range sortedKeys(sc.used) {
		if sc.used[k] == byHiddenState {
			w.res.Residue = append(w.res.Residue, Residue{Page: w.page, Kind: StateResidue, Name: string(k.Name)})
		}
	}
}
