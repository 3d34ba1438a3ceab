package rewrite

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// reduce gives a gs of removed content another dictionary where a font or a
// soft mask that it sets is needed no more, but something else is: they would
// bring what only removed content used.
func (e *eliminator) reduce(o *operation) {
	if !e.wasHidden(o.start) {
		return
	}
	var op content.Operation
	scan := content.NewScanner(e.data[o.start:o.end])
	if !scan.Next(&op) {
		return
	}
	name, _ := op.Name(0)
	k := resources.Name{Category: resources.ExtGState, Name: pdf.Name(name)}
	was := e.scope.find(k)
	now, dropped := e.reduced(pdf.AsDict(e.edit, was))
	if !dropped {
		return
	}
	o.instead = e.scope.bindAnew(k, e.shared(was, now))
	o.sets, _ = gsSets(e.edit, now)
	o.needs = 0
}

// reduced is an ExtGState dictionary without a font and a soft mask that are
// not needed; dropped is false where it has none, or another one is needed.
func (e *eliminator) reduced(gs pdf.Dict) (now pdf.Dict, dropped bool) {
	now = gs.Clone()
	for _, k := range []pdf.Name{"Font", "SMask"} {
		switch {
		case gs[k] == nil || k == "SMask" && pdf.AsDict(e.edit, gs[k]) == nil:
		case e.need&gsParams[k] != 0:
			return nil, false
		default:
			delete(now, k)
			dropped = true
		}
	}
	return now, dropped
}
