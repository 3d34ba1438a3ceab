package layers

import (
	"context"

	"github.com/sizeply/sizeply/internal/pdf"
)

// Inspection tells what the layers of a file hold.
type Inspection struct {
	Pages []Page `json:"pages"`
	// Layers are the layers with their Uses.
	Layers []Layer `json:"layers"`
	// Outside is what belongs to no layer, one entry for each page that has
	// such content.
	Outside []Use `json:"outside"`
	// Squares are the test squares, page by page.
	Squares []TestSquare `json:"testSquares"`
	// Pieces are the pattern pieces that the text names, page by page.
	Pieces []Piece `json:"pieces"`
	// Private is the private data of programs (14.5).
	Private []PrivateData `json:"private,omitempty"`
	// Shown are the texts on layers, page by page in the order of the content:
	// the first 100,000 of them.
	Shown []Shown `json:"-"`
	// Warnings tell, besides what Document.Warnings does, which pages could not
	// be read to their end: what they hold from there on is missing in the
	// figures.
	Warnings []Warning `json:"warnings"`
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

// Inspect reads every page, with its annotations, and tells what each layer
// holds, and which test squares there are; a warning names those that are not
// of the size they say. Pages are read on all cores; the result is the same on
// any number of them.
func (d *Document) Inspect(ctx context.Context) (*Inspection, error) {
	res := &Inspection{
		Pages: d.Pages(), Layers: d.Layers(), Outside: []Use{}, Squares: []TestSquare{}, Pieces: []Piece{},
		Private: privateData(d.file),
	}
	uses := map[pdf.Ref][]Use{}
	s := newSurvey(ctx, d.file, aims{uses: true, shapes: true, pieces: true})
	var err error
	res.Warnings, err = s.pages(func(f *findings) error {
		for ref, u := range f.uses {
			uses[ref] = append(uses[ref], *u)
		}
		res.Squares = append(res.Squares, f.squares...)
		res.Pieces = append(res.Pieces, f.pieces...)
		res.Shown = append(res.Shown, f.shown[:min(len(f.shown), maxShown-len(res.Shown))]...)
		return nil
	})
	if err != nil {
		return nil, err
	}
	within := findInsides(d.file)
	for i := range res.Layers {
		l := &res.Layers[i]
		l.Uses, l.Within = uses[pdf.Ref(l.Object)], within[pdf.Ref(l.Object)]
	}
	res.Outside = append(res.Outside, uses[0]...)
	res.falseSquares()
	return res, nil
}

// falseSquares warns of test squares that are not of the size they say.
func (res *Inspection) falseSquares() {
	for _, s := range res.Squares {
		if !s.True() {
			res.Warnings = append(res.Warnings, s.Warning())
		}
	}
}
