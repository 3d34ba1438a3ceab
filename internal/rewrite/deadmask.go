package rewrite

import "github.com/sizeply/sizeply/internal/pdf"

// maskNeeds gives what the group of a soft mask (11.6.5.2) needs of the state
// in which gs sets it, but for the matrix. The standard does not say in which
// state it begins; Poppler and MuPDF take the one of that place.
func (r *reader) maskNeeds(mask pdf.Object) params {
	st := pdf.AsStream(r.edit.Original(), pdf.AsDict(r.edit, mask)["G"])
	switch {
	case st == nil:
		return 0
	case pdf.AsDict(r.edit, st.Dict["Resources"]) == nil:
		return allParams &^ textPosition // its names mean one thing here, another elsewhere
	}
	if need, known := r.maskNeed[st]; known {
		return need
	}
	need := allParams &^ textPosition // for one within itself, and for too many within each other
	if r.maskDepth < maxDepth {
		r.maskNeed[st] = need
		r.maskDepth++
		need = r.streamNeeds(st)
		r.maskDepth--
		r.maskNeed[st] = need
	}
	return need
}

// streamNeeds gives what a stream needs of the state in which it begins.
func (r *reader) streamNeeds(st *pdf.Stream) params {
	data, err := pdf.Decode(r.edit, st, r.lim.StreamBytes)
	if err != nil {
		return allParams &^ textPosition
	}
	e := &eliminator{walker: r.walker, scope: newScope(r.edit.Original(), st.Dict["Resources"], r.scope), data: data}
	e.read(textState{})
	for i := len(e.ops) - 1; i >= 0; i-- {
		e.back(&e.ops[i])
	}
	return e.need &^ textPosition
}
