package rewrite

import (
	"cmp"
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
// name stay. changed is false where nothing changes.
func (w *walker) resources(ctx context.Context, was pdf.Object, sc *scope) (now pdf.Object, changed bool, err error) {
	entries, err := w.entries(ctx, sc)
	if err != nil {
		return nil, false, err
	}
	dict := sc.Dict().Clone()
	for _, cat := range resources.Categories {
		old := pdf.AsDict(w.edit, sc.Dict()[cat])
		if old == nil || equalEntries(old, entries[cat]) {
			continue
		}
		changed = true
		dict[cat] = entries[cat]
		if len(entries[cat]) == 0 {
			delete(dict, cat)
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
func (w *walker) entries(ctx context.Context, sc *scope) (map[pdf.Name]pdf.Dict, error) {
	kept := map[pdf.Name]pdf.Dict{}
	done := map[resources.Name]bool{}
	for again := true; again; {
		again = false
		for _, cat := range resources.Categories {
			old := pdf.AsDict(w.edit, sc.Dict()[cat])
			for _, name := range old.Keys() {
				k := resources.Name{Category: cat, Name: name}
				if done[k] || sc.used[k] == 0 && !alwaysNeeded(k) {
					continue
				}
				done[k], again = true, true
				v, err := w.entry(ctx, k, old[name], sc)
				if err != nil {
					return nil, within(cat, string(name), err)
				}
				put(kept, k, v)
			}
		}
	}
	for k, ref := range sc.bound { // versions of forms, under old and new names
		if sc.used[k] != 0 {
			put(kept, k, ref)
		}
	}
	return kept, nil
}

// within says in which resource an error is. Only the outermost is named, which
// a page has under that name.
func within(cat pdf.Name, name string, err error) error {
	var inner *resourceError
	if errors.As(err, &inner) {
		err = inner.err
	}
	return &resourceError{cat, name, err}
}

type resourceError struct {
	cat  pdf.Name
	name string
	err  error
}

func (e *resourceError) Error() string { return fmt.Sprintf("%s %s: %v", e.cat, e.name, e.err) }

func (e *resourceError) Unwrap() error { return e.err }

// put sets an entry, unless it is nil.
func put(kept map[pdf.Name]pdf.Dict, k resources.Name, v pdf.Object) {
	if v == nil {
		return
	}
	if kept[k.Category] == nil {
		kept[k.Category] = pdf.Dict{}
	}
	kept[k.Category][k.Name] = v
}

// alwaysNeeded is true for colour spaces that stand in for device colours
// without being named (8.6.5.6).
func alwaysNeeded(k resources.Name) bool {
	return k.Category == resources.ColorSpace && (k.Name == "DefaultGray" || k.Name == "DefaultRGB" || k.Name == "DefaultCMYK")
}

// entry brings one used resource up to date; nil takes it away.
func (w *walker) entry(ctx context.Context, k resources.Name, v pdf.Object, sc *scope) (pdf.Object, error) {
	switch k.Category {
	case resources.XObject: // forms are bound
		if st := pdf.AsStream(w.edit, v); st != nil && pdf.AsName(w.edit, st.Dict["Subtype"]) != "Form" {
			w.image(v, st)
		}
	case resources.Pattern: // 8.7.3: a cell that becomes empty stays, for that means something
		return w.drawn(ctx, v, sc)
	case resources.Font:
		return w.type3(ctx, v, sc)
	case resources.ExtGState:
		return w.graphicsState(ctx, v, sc)
	case resources.Properties:
		return w.property(v), nil
	}
	return v, nil
}

// image brings the optional content of an image up to date. Alternates
// (8.9.5.4) go: they may show what was removed.
func (w *walker) image(v pdf.Object, st *pdf.Stream) {
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
func (w *walker) type3(ctx context.Context, v pdf.Object, sc *scope) (pdf.Object, error) {
	f := pdf.AsDict(w.edit.Original(), v)
	if pdf.AsName(w.edit, f["Subtype"]) != "Type3" {
		return v, nil
	}
	ref, _ := v.(pdf.Ref)
	if ref != 0 && w.rings.cut(ref) {
		return v, nil
	}
	w.rings.enter(ref)
	defer w.rings.leave()
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
func (w *walker) graphicsState(ctx context.Context, v pdf.Object, sc *scope) (pdf.Object, error) {
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

// property is a property list; nil for optional content that goes.
func (w *walker) property(v pdf.Object) pdf.Object {
	decision, now := w.decide.Decide(v)
	if decision == Remove || decision == Unwrap {
		return nil
	}
	return now
}

// version gives what stands for a dictionary in the output: the object itself
// where nothing changes or its first version takes its number, else another
// object. Equal versions are one.
func (w *walker) version(v pdf.Object, now pdf.Dict) pdf.Object {
	ref, ok := v.(pdf.Ref)
	if !ok {
		return now
	}
	text := describe(now)
	for _, had := range w.versions[ref] {
		if had.text == text {
			return had.ref
		}
	}
	to := ref
	if len(w.versions[ref]) > 0 {
		to = w.edit.Add(now)
	} else if !equalEntries(now, pdf.AsDict(w.edit, ref)) {
		w.edit.Set(ref, now)
	}
	w.versions[ref] = append(w.versions[ref], version{text, to})
	return to
}

// version is a dictionary as it stands in the output.
type version struct {
	text string
	ref  pdf.Ref
}

// shared gives rebuilt dictionaries that come from one object and are equal a
// single number.
func (w *walker) shared(was pdf.Object, dict pdf.Dict) pdf.Ref {
	id := fmt.Sprint(was, " ", describe(dict))
	ref, ok := w.dicts[id]
	if !ok {
		ref = w.edit.Add(dict)
		w.dicts[id] = ref
	}
	return ref
}

// describe writes an object so that equal ones read alike.
func describe(o pdf.Object) string {
	d, ok := o.(pdf.Dict)
	if !ok {
		return fmt.Sprintf("%T%v", o, o)
	}
	var b strings.Builder
	for _, k := range d.Keys() {
		fmt.Fprintf(&b, "%q:{%s}", string(k), describe(d[k]))
	}
	return b.String()
}

// same tells whether two values are the same object.
func same(a, b pdf.Object) bool { return reflect.DeepEqual(a, b) }

// sameMap tells whether two dictionaries are one map.
func sameMap(a, b pdf.Dict) bool {
	return reflect.ValueOf(a).UnsafePointer() == reflect.ValueOf(b).UnsafePointer()
}

// equalEntries tells whether two dictionaries hold the same values.
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

// sortedKeys gives the keys in an order of their own.
func sortedKeys(m map[resources.Name]use) []resources.Name {
	keys := make([]resources.Name, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b resources.Name) int {
		return cmp.Or(cmp.Compare(a.Category, b.Category), cmp.Compare(a.Name, b.Name))
	})
	return keys
}
