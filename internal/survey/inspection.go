package survey

import (
	"context"

	"github.com/sizeply/sizeply/internal/draw"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
	"github.com/sizeply/sizeply/layers/warning"
)

// Inspection tells what the layers of a file hold.
type Inspection struct {
	Pages []optional.Page `json:"pages"`
	// Layers are the layers with their Uses.
	Layers []optional.Layer `json:"layers"`
	// Outside is what belongs to no layer, one entry for each page that has
	// such content.
	Outside []optional.Use `json:"outside"`
	// Squares are the test squares, page by page.
	Squares []TestSquare `json:"testSquares"`
	// Pieces are the pattern pieces that the text names, page by page.
	Pieces []Piece `json:"pieces"`
	// Pictures are the numbers of the pages that are a picture in place of lines, such
	// as scans.
	Pictures []int `json:"pictures,omitempty"`
	// Private is the private data of programs (14.5).
	Private []PrivateData `json:"private,omitempty"`
	// Shown are the texts on layers, page by page in the order of the content:
	// the first 100,000 of them.
	Shown []Shown `json:"-"`
	// Warnings tell, besides what Document.Warnings does, which pages could not
	// be read to their end: what they hold from there on is missing in the
	// figures.
	Warnings []warning.Warning `json:"warnings"`
}

// Shown is a text that a layer shows.
type Shown struct {
	Layer int // the object number of the layer
	Page  int // from 1
	// Text is the string as the file has it: text where the codes of its font
	// are those of ASCII, else codes that mean nothing without the font.
	Text string
	// Left and Bottom are the lower left corner of its bounds, as those of Use.
	Left, Bottom float64
}

// maxShown bounds the texts that an inspection lists.
const maxShown = 100_000

// Inspect reads every page, with its annotations, and tells what each layer holds,
// and which test squares there are; a warning names those that are not of the size
// they say. The result is the same on any number of cores. The error is the
// context's.
func Inspect(ctx context.Context, doc *optional.Document) (*Inspection, error) {
	res := &Inspection{
		Pages: doc.Pages(), Layers: doc.Layers(), Outside: []optional.Use{}, Squares: []TestSquare{}, Pieces: []Piece{},
		Private: privateData(doc.PDF),
	}
	uses := map[pdf.Ref][]optional.Use{}
	var err error
	pages := newReader(ctx, doc, aims{uses: true, shapes: true, pieces: true, pictures: true})
	res.Warnings, err = pages.all(maxOperations, func(f *findings) error {
		for ref, u := range f.uses {
			uses[ref] = append(uses[ref], *u)
		}
		if f.err == nil && f.isPicture(doc.PDF.Pages()[f.page-1]) {
			res.Pictures = append(res.Pictures, f.page)
		}
		res.Squares = append(res.Squares, f.squares...)
		res.Pieces = append(res.Pieces, f.pieces...)
		res.Shown = append(res.Shown, f.shown[:min(len(f.shown), maxShown-len(res.Shown))]...)
		return nil
	})
	if err != nil {
		return nil, err
	}
	inside := groupsInside(doc)
	for i := range res.Layers {
		l := &res.Layers[i]
		l.Uses, l.Within = uses[pdf.Ref(l.Object)], inside[pdf.Ref(l.Object)]
	}
	res.Outside = append(res.Outside, uses[0]...)
	for _, s := range res.Squares {
		if !s.True() {
			res.Warnings = append(res.Warnings, s.Warning())
		}
	}
	return res, nil
}

// use counts a mark for every layer that it is in, and lists its text.
func (f *findings) use(m *draw.Mark) {
	if m.Kind == draw.Unknown {
		return
	}
	groups, bounds := m.Groups, m.Clipped()
	if len(groups) == 0 {
		groups = noGroup
	}
	for _, ref := range groups {
		u := f.uses[ref]
		if u == nil {
			u = &optional.Use{Page: m.Page, Bounds: optional.EmptyRect()}
			f.uses[ref] = u
		}
		switch m.Kind {
		case draw.PaintedPath, draw.Shading:
			u.Paths++
		case draw.ShownText:
			u.Texts++
		case draw.Image:
			u.Images++
		}
		u.Bounds = optional.Union(u.Bounds, optional.RectOf(bounds))
	}
	if m.Kind == draw.ShownText && len(m.Groups) > 0 {
		text := m.Text.Decoder.Text(m.Text.Codes)
		for _, ref := range m.Groups {
			if len(f.shown) < maxShown {
				f.shown = append(f.shown, Shown{int(ref), m.Page, text, m.Bounds.X0, m.Bounds.Y0})
			}
		}
	}
}

// noGroup stands for the layers of what is in none.
var noGroup = []pdf.Ref{0}

// groupsInside finds the groups inside of what is drawn with: cells of tiling
// patterns (8.7.3), groups of soft masks (11.6.5.3), glyphs of Type 3 fonts (9.6.5).
// It goes by what the resources of pages and annotations name.
func groupsInside(doc *optional.Document) map[pdf.Ref]bool {
	found := map[pdf.Ref]bool{}
	add := func(oc pdf.Object) {
		if m, _ := doc.Membership(oc); m != nil {
			m.Each(func(r pdf.Ref) { found[r] = true })
		}
	}
	walk := resources.NewWalk(doc.PDF, func(n resources.Node, _ []struct{}) (none struct{}) {
		if n.Inside && n.Role != resources.RoleGlyph {
			add(n.Dict["OC"])
			for _, oc := range pdf.AsDict(doc.PDF, pdf.AsDict(doc.PDF, n.Resources)[resources.Properties]) {
				add(oc)
			}
		}
		return none
	})
	for _, p := range doc.PDF.Pages() {
		walk.Page(p)
		walk.Appearances(p)
	}
	return found
}
