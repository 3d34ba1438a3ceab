package layers

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// annotations counts what the appearances of a page's annotations draw
// (12.5.5).
func (in *inspector) annotations(p pdf.Page, ctm content.Matrix, crop content.Rect) error {
	src := in.doc.PDF
	for _, o := range pdf.AsArray(src, p.Dict["Annots"]) {
		a := pdf.AsDict(src, o)
		st := normalAppearance(src, a)
		rect, ok := rectangle(src, a["Rect"])
		if st == nil || !ok {
			in.unsure(a)
			continue
		}
		if err := in.annotation(a, st, rect, ctm, crop); err != nil {
			return err
		}
	}
	return nil
}

// unsure takes an annotation without an appearance for one that a viewer draws.
func (in *inspector) unsure(a pdf.Dict) {
	defer in.enter(a["OC"])()
	if a != nil && pdf.AsName(in.doc.PDF, a["Subtype"]) != "Popup" {
		in.see()
	}
}

// annotation draws one appearance.
func (in *inspector) annotation(a pdf.Dict, st *pdf.Stream, rect content.Rect, ctm content.Matrix, crop content.Rect) error {
	defer in.enter(a["OC"])()
	defer in.enter(st.Dict["OC"])()
	state := content.NewState(fit(in.doc.PDF, st, rect).Multiply(ctm), crop)
	return in.form(st, state, nil, 0)
}

// normalAppearance is the appearance stream that is shown: N, or what AS
// chooses from it.
func normalAppearance(src pdf.Objects, a pdf.Dict) *pdf.Stream {
	n := pdf.AsDict(src, a["AP"])["N"]
	if st := pdf.AsStream(src, n); st != nil {
		return st
	}
	return pdf.AsStream(src, pdf.AsDict(src, n)[pdf.AsName(src, a["AS"])])
}

// fit is the matrix that lays the box of an appearance over the rectangle of
// its annotation (12.5.5, Algorithm 8.1).
func fit(src pdf.Objects, st *pdf.Stream, rect content.Rect) content.Matrix {
	box, ok := rectangle(src, st.Dict["BBox"])
	box = box.Transform(matrix(src, st.Dict["Matrix"]))
	if !ok || box.Width() == 0 || box.Height() == 0 {
		return content.Translation(rect.X0, rect.Y0)
	}
	sx, sy := rect.Width()/box.Width(), rect.Height()/box.Height()
	return content.Matrix{A: sx, D: sy, E: rect.X0 - float64(box.X0*sx), F: rect.Y0 - float64(box.Y0*sy)}
}
