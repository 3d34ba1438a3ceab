package rewrite

import (
	"context"

	"github.com/sizeply/sizeply/internal/pdf"
)

// annotations takes away the annotations of a page that belong to removed
// optional content (8.11.3.3, 12.5.2), and filters the appearances of the
// others. It changes dict, which is the caller's own.
func (w *walker) annotations(ctx context.Context, dict pdf.Dict) error {
	was := pdf.AsArray(w.edit, dict["Annots"])
	now := make(pdf.Array, 0, len(was))
	for _, o := range was {
		a := pdf.AsDict(w.edit, o)
		if a == nil {
			now = append(now, o)
			continue
		}
		if decision, _ := w.decide.Decide(a["OC"]); decision == Remove {
			w.forget(o, a)
			continue
		}
		v, err := w.annotation(ctx, o, a)
		if err != nil {
			return err
		}
		now = append(now, v)
	}
	now = w.present(now)
	if same(was, now) {
		return nil
	}
	if len(now) == 0 {
		delete(dict, "Annots")
		return nil
	}
	dict["Annots"] = now
	return nil
}

// forget makes an annotation and its pop-up window null, so that nothing
// reaches them.
func (w *walker) forget(o pdf.Object, a pdf.Dict) {
	for _, v := range []pdf.Object{o, a["Popup"]} {
		if ref, ok := v.(pdf.Ref); ok {
			w.edit.Set(ref, nil)
		}
	}
}

// present leaves out references to annotations that are gone.
func (w *walker) present(list pdf.Array) pdf.Array {
	now := make(pdf.Array, 0, len(list))
	for _, o := range list {
		ref, ok := o.(pdf.Ref)
		if ok && w.edit.Object(ref) == nil && w.edit.Original().Object(ref) != nil {
			continue
		}
		now = append(now, o)
	}
	return now
}

// annotation filters the appearance streams of one annotation (12.5.5).
func (w *walker) annotation(ctx context.Context, o pdf.Object, a pdf.Dict) (pdf.Object, error) {
	now := w.membership(a)
	ap := pdf.AsDict(w.edit, a["AP"])
	if ap != nil {
		filtered := ap.Clone()
		for _, k := range ap.Keys() {
			v, err := w.appearance(ctx, ap[k])
			if err != nil {
				return nil, err
			}
			filtered[k] = v
		}
		if !equalEntries(ap, filtered) {
			if sameMap(now, a) {
				now = a.Clone()
			}
			now["AP"] = filtered
		}
	}
	if sameMap(now, a) {
		return o, nil
	}
	return w.version(o, now), nil
}

// appearance filters an appearance stream, or each of a dictionary of them by
// state.
func (w *walker) appearance(ctx context.Context, v pdf.Object) (pdf.Object, error) {
	if states := pdf.AsDict(w.edit, v); states != nil {
		now := states.Clone()
		for _, k := range states.Keys() {
			if pdf.AsStream(w.edit, states[k]) == nil {
				continue
			}
			s, err := w.appearance(ctx, states[k])
			if err != nil {
				return nil, err
			}
			now[k] = s
		}
		if equalEntries(states, now) {
			return v, nil
		}
		return now, nil
	}
	st := pdf.AsStream(w.edit, v)
	if st == nil {
		return v, nil
	}
	if decision, _ := w.decide.Decide(st.Dict["OC"]); decision == Remove {
		w.warn("the appearance of an annotation belongs to a layer that goes; it is empty now")
		return w.edit.Add(emptied(st)), nil
	}
	return w.drawn(ctx, v, nil)
}
