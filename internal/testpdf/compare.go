package testpdf

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"testing"
)

// Difference is how two images differ.
type Difference struct {
	// Pixels is the number of differing pixels, 0 for equal images.
	Pixels int
	// Max is the largest difference of one channel, 1 to 255.
	Max int
	// Box holds all differing pixels.
	Box image.Rectangle
	// Sizes says that the images are of different sizes, so nothing else was
	// compared.
	Sizes bool
}

// Equal says that the images are identical.
func (d Difference) Equal() bool { return d.Pixels == 0 && !d.Sizes }

func (d Difference) String() string {
	switch {
	case d.Sizes:
		return "the sizes differ"
	case d.Equal():
		return "identical"
	}
	return fmt.Sprintf("%d pixels differ by at most %d within %v", d.Pixels, d.Max, d.Box)
}

// Compare compares two images pixel by pixel.
func Compare(a, b *image.RGBA) Difference {
	if a.Rect.Size() != b.Rect.Size() {
		return Difference{Sizes: true}
	}
	var d Difference
	for y := range a.Rect.Dy() {
		for x := range a.Rect.Dx() {
			delta := distant(a.RGBAAt(a.Rect.Min.X+x, a.Rect.Min.Y+y), b.RGBAAt(b.Rect.Min.X+x, b.Rect.Min.Y+y))
			if delta == 0 {
				continue
			}
			d.Pixels++
			d.Max = max(d.Max, delta)
			d.Box = d.Box.Union(image.Rect(x, y, x+1, y+1))
		}
	}
	return d
}

func distant(a, b color.RGBA) int {
	return max(distance(int(a.R), b.R), distance(int(a.G), b.G), distance(int(a.B), b.B), distance(int(a.A), b.A))
}

// Shifted compares like Compare but lets pass what a shift of parts by one
// pixel explains: a pixel differs only if it is, in some channel, beyond all
// nine pixels around its place in the other image, by more than slack. PDFium
// needs it for text, whose glyphs it puts on whole pixels.
func Shifted(a, b *image.RGBA, slack int) Difference {
	if a.Rect.Size() != b.Rect.Size() {
		return Difference{Sizes: true}
	}
	var d Difference
	for y := range a.Rect.Dy() {
		for x := range a.Rect.Dx() {
			delta := max(beyond(a, b, x, y), beyond(b, a, x, y))
			if delta <= slack {
				continue
			}
			d.Pixels++
			d.Max = max(d.Max, delta)
			d.Box = d.Box.Union(image.Rect(x, y, x+1, y+1))
		}
	}
	return d
}

// beyond is how far the pixel of a is outside what b has around that place.
func beyond(a, b *image.RGBA, x, y int) int {
	out := 0
	at := a.PixOffset(a.Rect.Min.X+x, a.Rect.Min.Y+y)
	for channel := range 3 {
		low, high := 255, 0
		for dy := max(y-1, 0); dy <= min(y+1, b.Rect.Dy()-1); dy++ {
			for dx := max(x-1, 0); dx <= min(x+1, b.Rect.Dx()-1); dx++ {
				v := int(b.Pix[b.PixOffset(b.Rect.Min.X+dx, b.Rect.Min.Y+dy)+channel])
				low, high = min(low, v), max(high, v)
			}
		}
		v := int(a.Pix[at+channel])
		out = max(out, low-v, v-high)
	}
	return out
}

// Ink is the number of pixels that are not white.
func Ink(img *image.RGBA) int {
	n := 0
	for i := 0; i < len(img.Pix); i += 4 {
		if img.Pix[i] != 0xFF || img.Pix[i+1] != 0xFF || img.Pix[i+2] != 0xFF {
			n++
		}
	}
	return n
}

// SideBySide writes both images, and in red where they differ, to a file that
// stays, and logs its name.
func SideBySide(tb testing.TB, want, got *image.RGBA) {
	tb.Helper()
	f, err := os.CreateTemp("", "testpdf-*.png")
	if err != nil {
		tb.Log(err)
		return
	}
	defer f.Close()
	if err := png.Encode(f, joined(want, got)); err != nil {
		tb.Log(err)
		return
	}
	tb.Logf("wanted, got and difference side by side: %s", f.Name())
}

func joined(want, got *image.RGBA) *image.RGBA {
	const gap = 4
	w, h := max(want.Rect.Dx(), got.Rect.Dx()), max(want.Rect.Dy(), got.Rect.Dy())
	out := image.NewRGBA(image.Rect(0, 0, 3*w+2*gap, h))
	draw.Draw(out, out.Rect, image.NewUniform(color.Gray{0x80}), image.Point{}, draw.Src)
	draw.Draw(out, image.Rect(0, 0, w, h), want, want.Rect.Min, draw.Src)
	draw.Draw(out, image.Rect(w+gap, 0, 2*w+gap, h), got, got.Rect.Min, draw.Src)
	for y := range h {
		for x := range w {
			c := color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
			if out.RGBAAt(x, y) != out.RGBAAt(x+w+gap, y) {
				c = color.RGBA{0xFF, 0, 0, 0xFF}
			}
			out.SetRGBA(x+2*(w+gap), y, c)
		}
	}
	return out
}
