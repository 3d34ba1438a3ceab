package layers

import (
	"context"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// formCost is how many operations drawing a form counts for.
const formCost = 100

// aims are what is looked for on pages.
type aims struct {
	uses   bool // what the layers hold, and the texts they show
	shapes bool // test squares
	pieces bool // with shapes: the names of pieces
	lines  bool // line styles; annotations do not count
	sight  bool // whether anything is seen, of what does not go by stay
	// stay, where it is not nil, leaves out the lines of what goes under it, and
	// those that are in none of the layers that are true.
	stay optional.States
}

// inspector goes through pages, one after another, and remembers the fonts that
// it has met.
type inspector struct {
	ctx      context.Context
	doc      *optional.Document
	aims     aims
	forms    *forms
	fonts    map[string]*font.Font
	decoders map[string]*font.Decoder // by the names of fonts

	*findings                      // of the page at hand
	open      []pdf.Ref            // groups of the open sections, with repeats
	active    map[*pdf.Stream]bool // forms being drawn
	drawings  []*drawing           // by depth
}

// findings are what a page holds of what is looked for.
type findings struct {
	page    int
	count   int              // operations
	most    int              // and how many there might be
	uses    map[pdf.Ref]*Use // by group; 0 is no layer
	shown   []Shown
	squares []TestSquare
	pieces  []Piece
	lines   *lineFinder
	seen    bool  // something is drawn that can be seen
	err     error // what keeps the page from being read to its end

	shapes *pageShapes // until the end of the page
}

// inspector makes one.
func newInspector(d *optional.Document, ctx context.Context, a aims, f *forms) *inspector {
	return &inspector{ctx: ctx, doc: d, aims: a, forms: f, fonts: map[string]*font.Font{}, decoders: map[string]*font.Decoder{}}
}

// read goes through a page, of which it takes some operations at most.
func (in *inspector) read(p pdf.Page, data []byte, most int) *findings {
	f := &findings{page: p.Number, most: most, uses: map[pdf.Ref]*Use{}, shapes: &pageShapes{}}
	if in.aims.lines {
		f.lines = newLineFinder(in.doc.PDF)
	}
	in.findings, in.open, in.active = f, nil, map[*pdf.Stream]bool{}
	f.err = in.contents(p, data)
	f.squares = f.shapes.testSquares(p.Number)
	if in.aims.pieces {
		f.pieces = f.shapes.pieces(p.Number)
	}
	f.shapes = nil
	return f
}

// contents goes through the contents of the page at hand and its annotations.
func (in *inspector) contents(p pdf.Page, data []byte) error {
	ctm := paint.PageMatrix(p)
	crop := content.NewRect(p.CropBox.LLX, p.CropBox.LLY, p.CropBox.URX, p.CropBox.URY).Transform(ctm)
	d := in.drawing(0, ctm, crop, resources.NewScope(in.doc.PDF, p.Resources, nil))
	if err := d.run(data); err != nil {
		return err
	}
	in.open = nil // an unclosed section ends with the page
	if in.aims.lines {
		return nil
	}
	return in.annotations(p, ctm, crop)
}

// mark counts a mark for every layer that is open, once each.
func (in *inspector) mark(bounds content.Rect, count func(*Use)) {
	if !in.aims.uses {
		return
	}
	if len(in.open) == 0 {
		in.use(0, bounds, count)
	}
	for i, ref := range in.open {
		if !slices.Contains(in.open[:i], ref) {
			in.use(ref, bounds, count)
		}
	}
}

// use counts a mark for one layer.
func (in *inspector) use(ref pdf.Ref, bounds content.Rect, count func(*Use)) {
	u := in.uses[ref]
	if u == nil {
		u = &Use{Page: in.page, Bounds: optional.EmptyRect()}
		in.uses[ref] = u
	}
	count(u)
	u.Bounds = optional.Union(u.Bounds, optional.RectOf(bounds))
}

// groups are the object numbers of the open layers, once each.
func (in *inspector) groups() []int {
	list := []int{}
	for _, ref := range in.open {
		if !slices.Contains(list, int(ref)) {
			list = append(list, int(ref))
		}
	}
	return list
}

// gone is no group: it stands among the open ones for a section that goes.
const gone pdf.Ref = -1

// wanted tells whether anything is looked for where the inspector is.
func (in *inspector) wanted() bool {
	stay := in.aims.stay
	if stay == nil {
		return true
	}
	return !in.hidden() && (in.aims.sight || slices.ContainsFunc(in.open, func(r pdf.Ref) bool { return stay(r) == optional.True }))
}

// hidden tells whether the inspector is in what goes.
func (in *inspector) hidden() bool { return slices.Contains(in.open, gone) }

// enter opens the layers of an OC entry or property list and returns how to
// leave them.
func (in *inspector) enter(oc pdf.Object) (leave func()) {
	before := len(in.open)
	if m, _ := in.doc.Membership(oc); m != nil {
		if in.aims.stay != nil && m.Eval(in.aims.stay) == optional.False {
			in.open = append(in.open, gone)
		}
		m.Each(func(r pdf.Ref) { in.open = append(in.open, r) })
	}
	return func() { in.open = in.open[:before] }
}
