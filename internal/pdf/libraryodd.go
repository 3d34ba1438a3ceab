package pdf

import (
	"cmp"
	"slices"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// rereadPatched adds to odd the objects in whose text pdfcpu was shown
// something else than the file has, as the file has them: of a stream its
// dictionary.
func (l *loader) rereadPatched(ctx *model.Context, patches []patch, odd map[Ref]Object) {
	if len(patches) == 0 {
		return
	}
	type place struct{ at, nr int }
	var places []place
	for nr, e := range ctx.Table {
		if e != nil && !e.Free && !e.Compressed && e.Offset != nil && *e.Offset > 0 && *e.Offset < int64(len(l.data)) {
			places = append(places, place{int(*e.Offset), nr})
		}
	}
	slices.SortFunc(places, func(a, b place) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.nr, b.nr)) })
	end := 0 // of what has been read again
	for _, x := range patches {
		i, _ := slices.BinarySearchFunc(places, x.at, func(p place, at int) int { return cmp.Compare(p.at, at) })
		if i == 0 || places[i-1].at < end {
			continue
		}
		at, nr := places[i-1].at, places[i-1].nr
		p := parser{lexer{data: l.data, pos: at}}
		num, _, ok := p.header()
		if !ok || int(num) != nr {
			continue
		}
		o, _, fault := p.body()
		if end = p.pos; fault == nil && p.pos > x.at && o != nil {
			odd[num] = o
		}
	}
}
