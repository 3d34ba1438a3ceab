package cli

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"os"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/layers"
)

func TestUnlike(t *testing.T) {
	blank := func() *image.RGBA { return image.NewRGBA(image.Rect(0, 0, 20, 20)) }
	dot := func(x, y int, v uint8) *image.RGBA {
		m := blank()
		m.SetRGBA(x, y, color.RGBA{v, v, v, 255})
		return m
	}
	for _, c := range []struct {
		name string
		a, b *image.RGBA
		want bool // alike
	}{
		{"equal", dot(5, 5, 200), dot(5, 5, 200), true},
		{"a shade", dot(5, 5, 200), dot(5, 5, 190), true},
		{"another colour", dot(5, 5, 200), dot(5, 5, 100), false},
		{"moved by one", dot(5, 5, 200), dot(6, 4, 200), true},
		{"moved by two", dot(5, 5, 200), dot(7, 5, 200), false},
		{"missing", dot(5, 5, 200), blank(), false},
		{"added at the edge", blank(), dot(19, 0, 200), false},
		{"another size", blank(), image.NewRGBA(image.Rect(0, 0, 20, 21)), false},
	} {
		if got := unlike(c.a, c.b) == 0; got != c.want {
			t.Errorf("%s: alike is %t", c.name, got)
		}
	}
}

// TestLookAlike: the pictures of another selection are not taken for the
// right ones.
func TestLookAlike(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	f, err := os.Open("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	ctx := context.Background()
	doc, err := layers.Open(ctx, f, nil)
	if err != nil {
		t.Fatal(err)
	}
	right := layers.Selection{Layers: []int{4, 10}}
	wrong := layers.Selection{Layers: []int{5, 10}}
	var out bytes.Buffer
	if _, err := doc.Isolate(ctx, &out, right, nil); err != nil {
		t.Fatal(err)
	}
	if err := (&program{}).lookAlike(ctx, doc, right, bytes.NewReader(out.Bytes()), "", nil); err != nil {
		t.Errorf("the right selection: %v", err)
	}
	err = (&program{}).lookAlike(ctx, doc, wrong, bytes.NewReader(out.Bytes()), "", nil)
	if err == nil || !strings.Contains(err.Error(), "page 1: drawn, it does not look as the original does") {
		t.Errorf("the wrong selection: %v", err)
	}
}
