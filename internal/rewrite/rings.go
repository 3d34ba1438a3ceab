package rewrite

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// rings know the objects that are being filtered, each within the one before. A
// broken file may draw one within itself: the ring is cut there. What lies
// between has been filtered as it is within that object, and serves elsewhere
// only where the same object is around it.
type rings struct{ open []ring }

// ring is an object that is being filtered.
type ring struct {
	ref  pdf.Ref
	cuts []pdf.Ref // those around it that were met again within
}

func (r *rings) enter(ref pdf.Ref) { r.open = append(r.open, ring{ref: ref}) }

// leave ends the innermost object, and tells where it was cut.
func (r *rings) leave() []pdf.Ref {
	last := r.open[len(r.open)-1]
	r.open = r.open[:len(r.open)-1]
	return last.cuts
}

// cut tells whether an object is being filtered. If it is, the ring is cut.
func (r *rings) cut(ref pdf.Ref) bool {
	at := r.at(ref)
	if at < 0 {
		return false
	}
	for i := at + 1; i < len(r.open); i++ {
		if x := &r.open[i]; !slices.Contains(x.cuts, ref) {
			x.cuts = append(x.cuts, ref)
		}
	}
	return true
}

// at is where an object stands among those that are being filtered, -1 where it
// is none of them.
func (r *rings) at(ref pdf.Ref) int {
	return slices.IndexFunc(r.open, func(x ring) bool { return x.ref == ref })
}

// again cuts where something was cut before; false where that is not around here.
func (r *rings) again(cuts []pdf.Ref) bool {
	for _, ref := range cuts {
		if r.at(ref) < 0 {
			return false
		}
	}
	for _, ref := range cuts {
		r.cut(ref)
	}
	return true
}
