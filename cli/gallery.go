package cli

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"
	"slices"
	"sort"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
)

// gallery draws pictures of one file.
type gallery struct {
	doc      *layers.Document
	data     []byte
	password string
	engine   *renderer
	m        *meter
}

// newGallery opens a file and starts the renderer. The caller closes it.
func (p *program) newGallery(ctx context.Context, name string) (*gallery, error) {
	data, err := p.readAll(ctx, name)
	if err != nil {
		return nil, err
	}
	doc, err := p.openPDF(ctx, layers.Bytes(data))
	if err != nil {
		return nil, in(name, err)
	}
	g := &gallery{doc: doc, data: data, password: p.passwordOf(doc), m: p.meter(name)}
	if g.engine, err = p.startRenderer(ctx, g.m); err != nil {
		return nil, err
	}
	return g, nil
}

func (g *gallery) close() {
	g.m.clear()
	_ = g.engine.Close()
}

// open opens the file for drawing: as it is, or with a selection of layers.
func (g *gallery) open(ctx context.Context, sel *layers.Selection) (*drawing, error) {
	data := g.data
	if sel != nil && (len(g.doc.Layers()) > 0 || len(sel.Lines) > 0) {
		var b bytes.Buffer
		if err := g.doc.Switch(ctx, &b, *sel); err != nil {
			return nil, err
		}
		data = b.Bytes()
	}
	f, err := g.engine.Open(ctx, bytes.NewReader(data), int64(len(data)), g.password)
	if err != nil {
		return nil, fmt.Errorf("drawing: %w", err)
	}
	return f, nil
}

// pages draws the first pages of a selection into a box each.
func (g *gallery) pages(ctx context.Context, sel *layers.Selection, most, side int) ([]image.Image, error) {
	f, err := g.open(ctx, sel)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var list []image.Image
	for n := 1; n <= min(most, f.Pages()); n++ {
		g.m.at("drawing pages", n-1, min(most, f.Pages()))
		img, err := f.PageWithin(ctx, n, side, side)
		if err != nil {
			return nil, err
		}
		list = append(list, img)
	}
	return list, nil
}

// layers draws each layer on the page where it holds most, in place among the
// rest of that page in grey; nil for one that holds nothing.
func (g *gallery) layers(ctx context.Context, list []layers.Layer, side int) ([]image.Image, error) {
	var all layers.Selection
	for i := range list {
		all.Layers = append(all.Layers, i)
	}
	none := layers.Selection{NoLayers: true}
	return g.eachAmong(ctx, len(list), side, all, none, func(i int) (layers.Selection, int) {
		return layers.Selection{Layers: []int{i}}, fullest(list[i].Uses)
	})
}

// styles draws line styles by their positions, each in place among the rest.
func (g *gallery) styles(ctx context.Context, list []layers.LineStyle, which []int, side int) ([]image.Image, error) {
	var all layers.Selection
	for i := range g.doc.Layers() {
		all.Layers = append(all.Layers, i)
	}
	nothing := layers.Selection{Layers: all.Layers, Lines: list}
	return g.eachAmong(ctx, len(which), side, all, nothing, func(n int) (layers.Selection, int) {
		i := which[n]
		page, most := 0, 0
		for _, u := range list[i].Uses {
			if u.Marks > most {
				page, most = u.Page, u.Marks
			}
		}
		others := slices.Delete(slices.Clone(list), i, i+1)
		return layers.Selection{Layers: all.Layers, Lines: others}, page
	})
}

// maxStyles is how many line styles are pictured.
const maxStyles = 40

// pictured are the positions of the styles that have pictures: lines, and
// shapes as thin as such. Fills and texts have none.
func pictured(list []layers.LineStyle) []int {
	var which []int
	for i := range list {
		if len(which) < maxStyles && isLine(&list[i]) {
			which = append(which, i)
		}
	}
	return which
}

// eachAmong draws n parts of the file, each by a selection on a page (0 for
// none), among the rest. all and nothing select every part and none.
func (g *gallery) eachAmong(ctx context.Context, n, side int, all, nothing layers.Selection,
	part func(i int) (layers.Selection, int)) ([]image.Image, error) {
	rest, bare := map[int]*image.RGBA{}, map[int]*image.RGBA{} // by page
	out := make([]image.Image, n)
	for i := range n {
		g.m.at("drawing parts", i, n)
		sel, page := part(i)
		if page == 0 {
			continue
		}
		if rest[page] == nil {
			var err error
			if rest[page], err = g.one(ctx, &all, page, side); err != nil {
				return nil, err
			}
			if bare[page], err = g.one(ctx, &nothing, page, side); err != nil {
				return nil, err
			}
		}
		alone, err := g.one(ctx, &sel, page, side)
		if err != nil {
			return nil, err
		}
		out[i] = among(alone, bare[page], rest[page])
	}
	return out, nil
}

func (g *gallery) one(ctx context.Context, sel *layers.Selection, page, side int) (*image.RGBA, error) {
	f, err := g.open(ctx, sel)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.PageWithin(ctx, page, side, side)
}

// fullest is the page on which a layer holds most, 0 where it holds nothing.
func fullest(uses []layers.Use) (page int) {
	most := 0
	for _, u := range uses {
		if n := u.Paths + u.Texts + u.Images; n > most {
			page, most = u.Page, n
		}
	}
	return page
}

// among lays a layer over the rest of the drawing in pale grey. What is drawn
// in no layer belongs to the rest.
func among(alone, nothing, rest *image.RGBA) *image.RGBA {
	out := image.NewRGBA(alone.Rect)
	for i := 0; i < len(alone.Pix); i += 4 {
		own := alone.Pix[i] != nothing.Pix[i] || alone.Pix[i+1] != nothing.Pix[i+1] ||
			alone.Pix[i+2] != nothing.Pix[i+2]
		if own {
			copy(out.Pix[i:i+4], alone.Pix[i:i+4])
			continue
		}
		grey := color.GrayModel.Convert(color.RGBA{rest.Pix[i], rest.Pix[i+1], rest.Pix[i+2], 255}).(color.Gray).Y
		v := 255 - (255-grey)/5
		out.Pix[i], out.Pix[i+1], out.Pix[i+2], out.Pix[i+3] = v, v, v, 255
	}
	return out
}

// Parts of a cell, in pixels.
const (
	cellSide   = 440
	cellGap    = 16
	labelHigh  = 34
	labelSize  = 20
	leastLabel = 12
)

// writeSheet draws all layers side by side, each with its name; of a file
// without layers the line styles.
func (p *program) writeSheet(ctx context.Context, a *previewArguments, g *gallery, t target) error {
	sheet, what, err := a.sheet(ctx, g)
	if err != nil {
		return in(a.input, err)
	}
	return p.show(g, t, " ("+what+")", func(w io.Writer) error { return png.Encode(w, sheet) })
}

// sheet draws the parts of the file, and says how many of what.
func (a *previewArguments) sheet(ctx context.Context, g *gallery) (image.Image, string, error) {
	if len(g.doc.Layers()) == 0 {
		found, err := g.doc.Lines(ctx)
		if err != nil {
			return nil, "", err
		}
		which := pictured(found.Styles)
		var names []string
		for _, i := range which {
			names = append(names, styleWords(&found.Styles[i]))
		}
		if len(names) == 0 {
			return nil, "", layers.ErrNoLayers
		}
		side, columns := a.cells(len(names))
		pictures, err := g.styles(ctx, found.Styles, which, side)
		if err != nil {
			return nil, "", err
		}
		sheet, err := contactSheet(pictures, names, side, columns)
		return sheet, words.Count(len(names), "line style", "line styles"), err
	}
	res, err := g.doc.Inspect(ctx)
	if err != nil {
		return nil, "", err
	}
	var list []layers.Layer
	for _, i := range pattern.ShownOrder(res.Layers) {
		list = append(list, res.Layers[i])
	}
	side, columns := a.cells(len(list))
	pictures, err := g.layers(ctx, list, side)
	if err != nil {
		return nil, "", err
	}
	sheet, err := contactSheet(pictures, layers.Names(list), side, columns)
	return sheet, words.Count(len(list), "layer", "layers"), err
}

// cells gives the side of a cell in pixels and the columns for n of them.
func (a *previewArguments) cells(n int) (side, columns int) {
	columns = max(1, int(math.Ceil(math.Sqrt(float64(n))))) // about as wide as high
	if a.width > 0 {
		return max(32, a.width/columns-cellGap), columns
	}
	return cellSide, columns
}

// contactSheet puts pictures in rows, with a name over each.
func contactSheet(pictures []image.Image, names []string, side, columns int) (image.Image, error) {
	faces, err := labelFaces()
	if err != nil {
		return nil, err
	}
	high := 0
	for _, img := range pictures {
		if img != nil {
			high = max(high, img.Bounds().Dy())
		}
	}
	wide, high := side+cellGap, max(high, side/4)+labelHigh+cellGap
	rows := (len(pictures) + columns - 1) / columns
	sheet := image.NewRGBA(image.Rect(0, 0, columns*wide, rows*high))
	draw.Draw(sheet, sheet.Rect, image.White, image.Point{}, draw.Src)
	for i, img := range pictures {
		at := image.Pt(i%columns*wide+cellGap/2, i/columns*high+cellGap/2)
		cell := image.Rect(0, 0, side, labelHigh).Add(at)
		label(sheet.SubImage(cell).(*image.RGBA), faces, names[i], img == nil)
		if img != nil {
			draw.Draw(sheet, img.Bounds().Add(at.Add(image.Pt(0, labelHigh))), img, img.Bounds().Min, draw.Src)
		}
	}
	return sheet, nil
}

// labelFaces are the typeface in its sizes, the largest first.
func labelFaces() ([]font.Face, error) {
	parsed, err := opentype.Parse(goregular.TTF)
	if err != nil {
		return nil, err
	}
	var list []font.Face
	for size := labelSize; size >= leastLabel; size -= 2 {
		face, err := opentype.NewFace(parsed,
			&opentype.FaceOptions{Size: float64(size), DPI: 72, Hinting: font.HintingFull})
		if err != nil {
			return nil, err
		}
		list = append(list, face)
	}
	return list, nil
}

// fitted is the largest face in which a text is no wider than a place; where
// none is, the text is cut, which three points say.
func fitted(faces []font.Face, text string, wide int) (font.Face, string) {
	for _, f := range faces {
		if font.MeasureString(f, text).Ceil() <= wide {
			return f, text
		}
	}
	face, runes := faces[len(faces)-1], []rune(text)
	n := sort.Search(len(runes),
		func(n int) bool { return font.MeasureString(face, string(runes[:n])+"…").Ceil() > wide })
	return face, string(runes[:max(n-1, 0)]) + "…"
}

// label writes a name into its place.
func label(on *image.RGBA, faces []font.Face, name string, empty bool) {
	text := words.Printable(name)
	if empty {
		text += ": nothing in it"
	}
	face, text := fitted(faces, text, on.Rect.Dx())
	d := font.Drawer{Dst: on, Src: image.NewUniform(color.Black), Face: face}
	d.Dot = fixed.P(on.Rect.Min.X, on.Rect.Min.Y+labelHigh-10)
	d.DrawString(text)
}
