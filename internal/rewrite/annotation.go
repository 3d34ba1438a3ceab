package rewrite

import (
	"context"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/warning"
)

// annotations takes away the annotations of a page that belong to removed
// optional content (8.11.3.3, 12.5.2), and filters the appearances of the
// others. It changes dict, which is the caller's own.
func (w *rewriter) annotations(ctx context.Context, dict pdf.Dict) error {
	was := pdf.AsArray(w.edit, dict["Annots"])
	kept := make(pdf.Array, 0, len(was))
	for _, o := range was {
		if err := ctx.Err(); err != nil {
			return err
		}
		a := pdf.AsDict(w.edit, o)
		switch {
		case a == nil:
			kept = append(kept, o)
		case w.removes(a["OC"]):
			for _, v := range []pdf.Object{o, a["Popup"]} { // nothing is to reach them
				if ref, ok := v.(pdf.Ref); ok {
					w.edit.Set(ref, nil)
				}
			}
		default:
			v, err := w.annotation(ctx, o, a)
			if err != nil {
				return err
			}
			kept = append(kept, v)
		}
	}
	now := make(pdf.Array, 0, len(kept))
	for _, o := range kept {
		ref, ok := o.(pdf.Ref)
		if !ok || w.edit.Object(ref) != nil || w.edit.Original().Object(ref) == nil {
			now = append(now, o) // it was not made null
		}
	}
	if same(was, now) {
		return nil
	}
	if dict["Annots"] = now; len(now) == 0 {
		delete(dict, "Annots")
	}
	return nil
}

// annotation filters the appearance streams of one annotation (12.5.5).
func (w *rewriter) annotation(ctx context.Context, o pdf.Object, a pdf.Dict) (pdf.Object, error) {
	now := w.membership(a)
	was := pdf.AsDict(w.edit, a["AP"])
	ap, err := w.appearances(ctx, was, false)
	if err != nil {
		return nil, err
	}
	if !sameMap(ap, was) {
		if sameMap(now, a) {
			now = a.Clone()
		}
		now["AP"] = ap
	}
	if sameMap(now, a) {
		return o, nil
	}
	return w.version(o, now), nil
}

// appearances filters the entries of an appearance dictionary, or the states of
// one of them; the same map where nothing changes.
func (w *rewriter) appearances(ctx context.Context, was pdf.Dict, states bool) (pdf.Dict, error) {
	now := was.Clone()
	for _, k := range was.Keys() {
		if by := pdf.AsDict(w.edit, was[k]); by != nil && !states {
			filtered, err := w.appearances(ctx, by, true)
			if err != nil {
				return nil, err
			}
			if !sameMap(filtered, by) {
				now[k] = filtered
			}
		}
		st := pdf.AsStream(w.edit, was[k])
		if st == nil {
			continue
		}
		if w.removes(st.Dict["OC"]) {
			w.warn(warning.AnnotationEmptied,
				"the appearance of an annotation belongs to a layer that goes; it is empty now")
			now[k] = w.edit.Add(emptied(st))
			continue
		}
		v, err := w.drawn(ctx, was[k], nil)
		if err != nil {
			return nil, err
		}
		now[k] = v
	}
	if equalEntries(was, now) {
		return was, nil
	}
	return now, nil
}

// emptied is a stream without content.
func emptied(st *pdf.Stream) *pdf.Stream {
	dict := st.Dict.Clone()
	for _, k := range []pdf.Name{"OC", "Filter", "DecodeParms", "Resources"} {
		delete(dict, k)
	}
	return pdf.NewStream(context.Background(), dict, nil)
}
