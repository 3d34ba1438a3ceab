package layers

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
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
	Shown    []Shown   `json:"-"`
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

// maxOperations bounds the operations that an inspection goes through, since
// a form may be drawn any number of times.
const maxOperations = 50_000_000

// formCost is how many operations drawing a form counts for.
const formCost = 50

// maxCached bounds the decoded bytes of forms that an inspection remembers.
const maxCached = 64 << 20

// errTooMuch says that maxOperations was reached.
var errTooMuch = errors.New("the pages draw more than can be counted; the figures are lower bounds")

// Inspect reads every page, with its annotations, and tells what each layer
// holds, and which test squares there are; a warning names those that are not
// of the size they say. Layers that are used only within a tiling pattern, a
// soft mask or a glyph of a font count as unused.
func (d *Document) Inspect(ctx context.Context) (*Inspection, error) {
	in := d.inspector(ctx)
	res := &Inspection{Pages: d.Pages(), Layers: d.Layers(), Outside: []Use{}, Squares: []TestSquare{}, Pieces: []Piece{}}
	var squares []TestSquare
	var err error
	res.Warnings, err = in.pages(d.Warnings(), func(page int) {
		squares = append(squares, in.shapes.testSquares(page)...)
		res.Pieces = append(res.Pieces, in.shapes.pieces(page)...)
	})
	if err != nil {
		return nil, err
	}
	res.squares(squares)
	for i := range res.Layers {
		res.Layers[i].Uses = in.uses[pdf.Ref(res.Layers[i].Object)]
	}
	res.Outside = append(res.Outside, in.uses[0]...)
	res.Shown, res.Private = in.shown, d.privateData()
	return res, nil
}

// squares adds the test squares of a page, and warns of those that are not of
// the size they say.
func (res *Inspection) squares(list []TestSquare) {
	res.Squares = append(res.Squares, list...)
	for _, s := range list {
		if !s.True() {
			res.Warnings = append(res.Warnings, s.Warning())
		}
	}
}

// inspector goes through the pages.
type inspector struct {
	ctx      context.Context
	doc      *Document
	fonts    map[string]*font.Font
	decoders map[string]*font.Decoder // by the names of fonts
	shapes   *pageShapes
	uses     map[pdf.Ref][]Use // by group; 0 is no layer
	page     int
	count    int // operations so far
	most     int // and how many there may be
	shown    []Shown

	open   []pdf.Ref            // groups of the open sections, with repeats
	active map[*pdf.Stream]bool // forms being drawn

	decoded map[*pdf.Stream][]byte // forms that have been drawn
	cached  int                    // their bytes

	lines *lineFinder // nil where line styles are not asked for

	sketches *sketches // where only shapes are asked for
}

// inspector begins an inspection.
func (d *Document) inspector(ctx context.Context) *inspector {
	return &inspector{ctx: ctx, doc: d, most: maxOperations, fonts: map[string]*font.Font{}, decoders: map[string]*font.Decoder{}, uses: map[pdf.Ref][]Use{}, decoded: map[*pdf.Stream][]byte{}}
}

// pages goes through all pages, calls read after each, and adds warnings. The
// error is the context's.
func (in *inspector) pages(warnings []Warning, read func(page int)) ([]Warning, error) {
	for _, p := range in.doc.pdf.Pages() {
		err := in.inspectPage(p)
		if in.ctx.Err() != nil {
			return nil, in.ctx.Err()
		}
		if err != nil {
			warnings = append(warnings, Warning{Page: p.Number, Text: err.Error()})
		}
		read(p.Number)
		if errors.Is(err, errTooMuch) || errors.Is(err, errStyles) {
			break
		}
	}
	return warnings, nil
}

// inspectPage goes through one page.
func (in *inspector) inspectPage(p pdf.Page) error {
	in.begin(p)
	c, err := pdf.PageContent(in.doc.pdf, p.Dict, in.doc.limits)
	if err != nil {
		return fmt.Errorf("the page cannot be read: %w", err)
	}
	return in.pageContent(p, c.Data)
}

// begin forgets the page before.
func (in *inspector) begin(p pdf.Page) {
	in.page, in.open, in.active = p.Number, nil, map[*pdf.Stream]bool{}
	in.shapes = &pageShapes{}
}

// pageContent goes through the content of the page at hand.
func (in *inspector) pageContent(p pdf.Page, data []byte) error {
	ctm := paint.PageMatrix(p)
	crop := content.NewRect(p.CropBox.LLX, p.CropBox.LLY, p.CropBox.URX, p.CropBox.URY).Transform(ctm)
	m := content.NewMachine(ctm, crop)
	d := &drawing{inspector: in, m: m, scope: rewrite.NewScope(in.doc.pdf, p.Resources, nil)}
	if err := d.run(data); err != nil {
		return err
	}
	in.open = nil // an unclosed section ends with the page
	if in.lines != nil {
		return nil // annotations do not count
	}
	return in.annotations(p, ctm, crop)
}

// decode gives the content of a form, from memory where it has been drawn.
func (in *inspector) decode(st *pdf.Stream) ([]byte, error) {
	in.count += formCost
	if in.sketches != nil {
		return in.sketches.form(st)
	}
	if data, ok := in.decoded[st]; ok {
		return data, nil
	}
	data, err := decodeForm(in.doc, st)
	if err != nil {
		return nil, err
	}
	if in.cached += len(data); in.cached <= maxCached {
		in.decoded[st] = data
	}
	return data, nil
}

// decodeForm gives the content of a form, of a damaged one what can be read.
func decodeForm(doc *Document, st *pdf.Stream) ([]byte, error) {
	data, err := pdf.Decode(doc.pdf, st, doc.limits.StreamBytes)
	if err != nil && data == nil {
		return nil, fmt.Errorf("a form cannot be read: %w", err)
	}
	return data, nil
}

// mark counts a mark for every layer that is open, once each.
func (in *inspector) mark(bounds content.Rect, count func(*Use)) {
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
	list := in.uses[ref]
	if n := len(list); n == 0 || list[n-1].Page != in.page {
		list = append(list, Use{Page: in.page, Bounds: emptyBounds()})
		in.uses[ref] = list
	}
	u := &list[len(list)-1]
	count(u)
	u.Bounds = u.Bounds.union(bounds)
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

// enter opens the layers of an OC entry or property list and returns how to
// leave them.
func (in *inspector) enter(oc pdf.Object) (leave func()) {
	before := len(in.open)
	if m, _ := in.doc.props.read(in.doc.pdf, oc); m != nil {
		m.each(func(r pdf.Ref) { in.open = append(in.open, r) })
	}
	return func() { in.open = in.open[:before] }
}
