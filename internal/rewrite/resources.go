package rewrite

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// resources rebuilds a resource dictionary from the names that the output
// uses, filtering what they lead to. Categories that content streams do not
// name are kept. changed is false where nothing changes.
func (w *rewriter) resources(ctx context.Context, was pdf.Object, sc *scope) (now pdf.Object, changed bool, err error) {
	entries, err := w.entries(ctx, sc)
	if err != nil {
		return nil, false, err
	}
	dict := sc.Dict().Clone()
	for _, category := range resources.Categories {
		old := pdf.AsDict(w.edit, dict[category])
		if old == nil || equalEntries(old, entries[category]) {
			continue
		}
		changed = true
		dict[category] = entries[category]
		if len(entries[category]) == 0 {
			delete(dict, category)
		}
	}
	if !changed {
		return was, false, nil
	}
	if _, indirect := was.(pdf.Ref); !indirect {
		return dict, true, nil
	}
	return w.shared(was, dict), true, nil
}

// entries are the used resources by category, brought up to date. What one
// leads to may use further ones of the same dictionary, so it goes round until
// nothing is new.
func (w *rewriter) entries(ctx context.Context, sc *scope) (map[pdf.Name]pdf.Dict, error) {
	kept := map[pdf.Name]pdf.Dict{}
	put := func(k resources.Name, v pdf.Object) {
		if kept[k.Category] == nil {
			kept[k.Category] = pdf.Dict{}
		}
		kept[k.Category][k.Name] = v
	}
	done := map[resources.Name]bool{}
	for again := true; again; {
		again = false
		for _, category := range resources.Categories {
			old := pdf.AsDict(w.edit, sc.Dict()[category])
			for _, name := range old.Keys() {
				k := resources.Name{Category: category, Name: name}
				if done[k] || sc.used[k] == 0 && !alwaysNeeded(k) {
					continue
				}
				done[k], again = true, true
				v, err := w.entry(ctx, category, old[name], sc)
				if err != nil {
					return nil, inResource(k, err)
				}
				if v != nil {
					put(k, v)
				}
			}
		}
	}
	for k, ref := range sc.bound { // versions of forms, under old and new names
		if sc.used[k] != 0 {
			put(k, ref)
		}
	}
	return kept, nil
}

// alwaysNeeded reports whether a name is that of a colour space that stands in
// for device colours without being named (8.6.5.6).
func alwaysNeeded(k resources.Name) bool {
	return k.Category == resources.ColorSpace &&
		(k.Name == "DefaultGray" || k.Name == "DefaultRGB" || k.Name == "DefaultCMYK")
}

// inResource says in which resource an error is. Only the outermost is named,
// which a page has under that name.
func inResource(k resources.Name, err error) error {
	var inner *resourceError
	if errors.As(err, &inner) {
		err = inner.err
	}
	return &resourceError{k, err}
}

type resourceError struct {
	name resources.Name
	err  error
}

func (e *resourceError) Error() string {
	return fmt.Sprintf("%s %s: %v", e.name.Category, e.name.Name, e.err)
}

func (e *resourceError) Unwrap() error { return e.err }

// entry brings one used resource up to date; nil takes it away.
func (w *rewriter) entry(ctx context.Context, category pdf.Name, v pdf.Object, sc *scope) (pdf.Object, error) {
	switch category {
	case resources.XObject: // forms are bound
		if st := pdf.AsStream(w.edit, v); st != nil && pdf.AsName(w.edit, st.Dict["Subtype"]) != "Form" {
			w.image(v, st)
		}
	case resources.Pattern: // 8.7.3: a cell that becomes empty is kept, for that means something
		return w.drawn(ctx, v, sc)
	case resources.Font:
		return w.type3(ctx, v, sc)
	case resources.ExtGState:
		return w.graphicsState(ctx, v, sc)
	case resources.Properties:
		decision, now := w.decide.Decide(v)
		switch {
		case decision == Remove || decision == Unwrap:
			return nil, nil
		case pdf.AsDict(w.edit, now) == nil: // a stream, or another thing that is no list
			return pdf.Dict{}, nil
		}
		return now, nil
	}
	return v, nil
}

// image brings the optional content of an image up to date. Alternates
// (8.9.5.4) are removed: they may show what was removed.
func (w *rewriter) image(v pdf.Object, st *pdf.Stream) {
	ref, ok := v.(pdf.Ref)
	if !ok {
		return
	}
	dict := w.membership(st.Dict)
	if _, has := dict["Alternates"]; has {
		dict = dict.Clone()
		delete(dict, "Alternates")
	}
	if !sameMap(dict, st.Dict) {
		w.edit.Set(ref, &pdf.Stream{Dict: dict, Raw: st.Raw})
	}
}

// type3 filters the glyphs of a Type 3 font (9.6.5).
func (w *rewriter) type3(ctx context.Context, v pdf.Object, sc *scope) (pdf.Object, error) {
	f := pdf.AsDict(w.edit.Original(), v)
	ref, _ := v.(pdf.Ref)
	if pdf.AsName(w.edit, f["Subtype"]) != "Type3" || ref != 0 && w.nesting.cut(ref) {
		return v, nil
	}
	w.nesting.enter(ref)
	defer w.nesting.leave()
	inner := newScope(w.edit, f["Resources"], sc)
	procs := pdf.AsDict(w.edit, f["CharProcs"])
	now := procs.Clone()
	for _, name := range procs.Keys() {
		glyph, err := w.drawn(ctx, procs[name], inner)
		if err != nil {
			return nil, err
		}
		now[name] = glyph
	}
	res, changed, err := w.resources(ctx, f["Resources"], inner)
	if err != nil {
		return nil, err
	}
	for k, by := range inner.outer { // what the glyphs take from the page
		sc.use(k, by)
	}
	f = f.Clone()
	if !equalEntries(procs, now) {
		f["CharProcs"] = now
	}
	if changed {
		f["Resources"] = res
	}
	return w.version(v, f), nil
}

// graphicsState filters the group of a soft mask (11.6.5.2) and the glyphs of
// a Type 3 font that an ExtGState dictionary sets.
func (w *rewriter) graphicsState(ctx context.Context, v pdf.Object, sc *scope) (pdf.Object, error) {
	gs := pdf.AsDict(w.edit.Original(), v)
	if gs == nil {
		return v, nil
	}
	now := gs.Clone()
	if mask := pdf.AsDict(w.edit, gs["SMask"]); mask != nil {
		group, err := w.drawn(ctx, mask["G"], sc)
		if err != nil {
			return nil, err
		}
		if !same(mask["G"], group) {
			mask = mask.Clone()
			mask["G"] = group
			now["SMask"] = mask
		}
	}
	if f := pdf.AsArray(w.edit, gs["Font"]); len(f) >= 2 {
		font, err := w.type3(ctx, f[0], sc)
		if err != nil {
			return nil, err
		}
		if !same(font, f[0]) {
			f = slices.Clone(f)
			f[0] = font
			now["Font"] = f
		}
	}
	return w.version(v, now), nil
}

// version gives what stands for a dictionary in the output: the object itself
// where nothing changes or its first version takes its number, else another
// object. Equal versions are one.
func (w *rewriter) version(v pdf.Object, now pdf.Dict) pdf.Object {
	ref, ok := v.(pdf.Ref)
	if !ok {
		return now
	}
	text, had := spelled(now), w.versions[ref]
	if same, ok := had[text]; ok {
		return same
	}
	to := ref
	if had == nil {
		had = map[string]pdf.Ref{}
		w.versions[ref] = had
		if !equalEntries(now, pdf.AsDict(w.edit, ref)) {
			w.edit.Set(ref, now)
		}
	} else {
		to = w.edit.Add(now)
	}
	had[text] = to
	return to
}

// shared gives rebuilt dictionaries that come from one object and are equal a
// single number.
func (w *rewriter) shared(was pdf.Object, dict pdf.Dict) pdf.Ref {
	id := fmt.Sprint(was, " ", spelled(dict))
	ref, ok := w.dicts[id]
	if !ok {
		ref = w.edit.Add(dict)
		w.dicts[id] = ref
	}
	return ref
}

// spelled writes an object so that equal ones read alike.
func spelled(o pdf.Object) string {
	d, ok := o.(pdf.Dict)
	if !ok {
		return fmt.Sprintf("%T%v", o, o)
	}
	var b strings.Builder
	for _, k := range d.Keys() {
		fmt.Fprintf(&b, "%q:{%s}", string(k), spelled(d[k]))
	}
	return b.String()
}

// same reports whether two values are the same object.
func same(a, b pdf.Object) bool { return reflect.DeepEqual(a, b) }

// sameMap reports whether two dictionaries are one map.
func sameMap(a, b pdf.Dict) bool {
	return reflect.ValueOf(a).UnsafePointer() == reflect.ValueOf(b).UnsafePointer()
}

// equalEntries reports whether two dictionaries hold the same values.
func equalEntries(a, b pdf.Dict) bool {
	if len(a) != len(b) {
		return false
	}
	for k, v := range a {
		if w, ok := b[k]; !ok || !same(v, w) {
			return false
		}
	}
	return true
}
