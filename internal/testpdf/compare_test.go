package testpdf

import (
	"image"
	"image/color"
	"testing"
)

// dots is a white image with black pixels.
func dots(w, h int, at ...image.Point) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = 0xFF
	}
	for _, p := range at {
		img.SetRGBA(p.X, p.Y, color.RGBA{A: 0xFF})
	}
	return img
}

func TestCompare(t *testing.T) {
	two := dots(9, 9, image.Pt(2, 3), image.Pt(4, 5))
	cases := []struct {
		name    string
		a, b    *image.RGBA
		exact   Difference
		shifted Difference
	}{
		{"equal", two, two, Difference{}, Difference{}},
		{"two pixels", dots(9, 9), two, Difference{Pixels: 2, Max: 255, Box: image.Rect(2, 3, 5, 6)},
			Difference{Pixels: 2, Max: 255, Box: image.Rect(2, 3, 5, 6)}},
		{"shifted by one", dots(9, 9, image.Pt(3, 3), image.Pt(5, 5)), two,
			Difference{Pixels: 4, Max: 255, Box: image.Rect(2, 3, 6, 6)}, Difference{}},
		{"shifted by two", dots(9, 9, image.Pt(4, 3)), dots(9, 9, image.Pt(2, 3)),
			Difference{Pixels: 2, Max: 255, Box: image.Rect(2, 3, 5, 4)}, Difference{Pixels: 2, Max: 255, Box: image.Rect(2, 3, 5, 4)}},
		{"other size", dots(9, 9), dots(9, 8), Difference{Sizes: true}, Difference{Sizes: true}},
	}
	for _, c := range cases {
		if got := Compare(c.a, c.b); got != c.exact {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.exact)
		}
		if got := Shifted(c.a, c.b, 0); got != c.shifted {
			t.Errorf("%s, shifted: %+v, want %+v", c.name, got, c.shifted)
		}
	}
	if got := Ink(two); got != 2 {
		t.Errorf("ink %d, want 2", got)
	}
	if got := joined(two, dots(9, 9)).RGBAAt(2+2*(9+4), 3); got != (color.RGBA{R: 0xFF, A: 0xFF}) {
		t.Errorf("a differing pixel is %v, want red", got)
	}
}
