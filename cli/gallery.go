package cli

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"

	"github.com/sizeply/sizeply/layers"
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
	data, err := p.readAll(name)
	if err != nil {
		return nil, err
	}
	doc, err := p.openPDF(ctx, bytes.NewReader(data))
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
	return g.eachAmong(ctx, len(list), side, all, layers.Selection{}, func(i int) (layers.Selection, int) {
		return layers.Selection{Layers: []int{i}}, fullest(list[i].Uses)
	})
}

// eachAmong draws n parts of the file, each by a selection on a page (0 for
// none), among the rest. all and nothing select every part and none.
func (g *gallery) eachAmong(ctx context.Context, n, side int, all, nothing layers.Selection, part func(i int) (layers.Selection, int)) ([]image.Image, error) {
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
		own := alone.Pix[i] != nothing.Pix[i] || alone.Pix[i+1] != nothing.Pix[i+1] || alone.Pix[i+2] != nothing.Pix[i+2]
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
