package rewrite

import (
	"context"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// Further filters those of some objects that are content streams and that no
// page draws itself: icons of buttons (12.5.6.19), overlays of redactions
// (12.5.6.23), resources of forms (12.7.2). One that belongs to removed
// optional content becomes empty. What pages draw is passed over: Run has
// filtered that.
func (r *Result) Further(ctx context.Context, refs []pdf.Ref) error {
	w := r.walker
	defer w.pack.Wait()
	w.page = 0
	for _, ref := range refs {
		st, ok := w.edit.Original().Object(ref).(*pdf.Stream)
		if !ok || len(w.units[ref]) > 0 || !resources.IsDrawing(w.edit, st.Dict) {
			continue
		}
		if decision, _ := w.decide.Decide(st.Dict["OC"]); decision == Remove {
			w.edit.Set(ref, emptied(st))
			continue
		}
		if _, err := w.drawn(ctx, ref, nil); err != nil {
			return err
		}
	}
	w.settleTags()
	return nil
}

// emptied is a stream without content.
func emptied(st *pdf.Stream) *pdf.Stream {
	dict := st.Dict.Clone()
	for _, k := range []pdf.Name{"OC", "Filter", "DecodeParms", "Resources"} {
		delete(dict, k)
	}
	return pdf.NewStream(dict, nil)
}

// Versions are the numbers of what a drawing of the original has become: its
// own, and those of copies for callers that resolve its names differently.
func (r *Result) Versions(ref pdf.Ref) []pdf.Ref {
	var list []pdf.Ref
	for _, u := range r.walker.units[ref] {
		list = append(list, u.ref)
	}
	return list
}
