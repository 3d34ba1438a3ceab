package cli

import (
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"
	"sort"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"github.com/sizeply/sizeply/layers"
)

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
	if err := writePicture(t, sheet); err != nil {
		return err
	}
	g.m.clear()
	if t.name != stream {
		note(p.err, "Written: %s (%s)", printable(t.name), what)
	}
	return nil
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
		return sheet, fmt.Sprint(len(names), " ", plural(len(names), "line style", "line styles")), err
	}
	res, err := g.doc.Inspect(ctx)
	if err != nil {
		return nil, "", err
	}
	list := inShownOrder(res.Layers)
	side, columns := a.cells(len(list))
	pictures, err := g.layers(ctx, list, side)
	if err != nil {
		return nil, "", err
	}
	sheet, err := contactSheet(pictures, layers.Names(list), side, columns)
	return sheet, fmt.Sprint(len(res.Layers), " ", plural(len(res.Layers), "layer", "layers")), err
}

// cells gives the side of a cell in pixels and the columns for n of them.
func (a *previewArguments) cells(n int) (side, columns int) {
	columns = columnsFor(n)
	if a.width > 0 {
		return max(32, a.width/columns-cellGap), columns
	}
	return cellSide, columns
}

// columnsFor makes a sheet about as wide as it is high.
func columnsFor(n int) int { return max(1, int(math.Ceil(math.Sqrt(float64(n))))) }

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
		face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: float64(size), DPI: 72, Hinting: font.HintingFull})
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
	n := sort.Search(len(runes), func(n int) bool { return font.MeasureString(face, string(runes[:n])+"…").Ceil() > wide })
	return face, string(runes[:max(n-1, 0)]) + "…"
}

// label writes a name into its place.
func label(on *image.RGBA, faces []font.Face, name string, empty bool) {
	text := printable(name)
	if empty {
		text += ": nothing in it"
	}
	face, text := fitted(faces, text, on.Rect.Dx())
	d := font.Drawer{Dst: on, Src: image.NewUniform(color.Black), Face: face}
	d.Dot = fixed.P(on.Rect.Min.X, on.Rect.Min.Y+labelHigh-10)
	d.DrawString(text)
}
