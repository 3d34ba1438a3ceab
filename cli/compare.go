package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math"

	"github.com/sizeply/sizeply/layers"
)

const (
	// comparePixels is about how many pixels a page is drawn with.
	comparePixels = 4 << 20
	// compareSlack is how far a channel may be off. The renderer puts glyphs
	// on whole pixels, so a pixel may also have moved by one.
	compareSlack = 32
)

// lookAlike draws each page of the result and of the original with its layers
// switched, and says which pages differ. The password opens both.
func (p *program) lookAlike(ctx context.Context, doc *layers.Document, sel layers.Selection, result io.ReadSeeker, password string, m *meter) error {
	var switched bytes.Buffer
	if err := doc.Switch(ctx, &switched, sel); err != nil {
		return err
	}
	size, err := result.Seek(0, io.SeekEnd)
	if err != nil {
		return fmt.Errorf("reading the result: %w", err)
	}
	engine, err := p.startRenderer(ctx, m)
	if err != nil {
		return err
	}
	defer engine.Close()
	want, err := engine.Open(ctx, bytes.NewReader(switched.Bytes()), int64(switched.Len()), password)
	if err != nil {
		return fmt.Errorf("drawing the original: %w", err)
	}
	defer want.Close()
	got, err := engine.Open(ctx, result, size, password)
	if err != nil {
		return fmt.Errorf("drawing the result: %w", err)
	}
	defer got.Close()
	var bad []error
	pages := doc.Pages()
	for i, page := range pages {
		m.at("comparing", i, len(pages))
		err := comparePage(ctx, page, want, got)
		var unlike *unlikeError
		switch {
		case errors.As(err, &unlike):
			bad = append(bad, fmt.Errorf("page %d: %w", page.Number, err))
		case err != nil:
			return fmt.Errorf("page %d: %w", page.Number, err)
		}
	}
	return errors.Join(bad...)
}

// unlikeError says that a page does not look as it should.
type unlikeError struct{ pixels, of int }

func (e *unlikeError) Error() string {
	return fmt.Sprintf("drawn, it does not look as the original does with these layers: %d pixels of %d differ", e.pixels, e.of)
}

// comparePage draws one page of both.
func comparePage(ctx context.Context, p layers.Page, want, got drawer) error {
	dpi := min(150, 72*math.Sqrt(comparePixels/max(1, p.Width*p.Height)))
	a, err := want.Page(ctx, p.Number, dpi)
	if err != nil {
		return err
	}
	b, err := got.Page(ctx, p.Number, dpi)
	if err != nil {
		return err
	}
	if n := unlike(a, b); n > 0 {
		return &unlikeError{n, len(a.Pix) / 4}
	}
	return nil
}

// unlike counts the pixels of either picture that have no counterpart in the
// other.
func unlike(a, b *image.RGBA) (n int) {
	if a.Rect != b.Rect {
		return len(a.Pix) / 4
	}
	for y := a.Rect.Min.Y; y < a.Rect.Max.Y; y++ {
		for x := a.Rect.Min.X; x < a.Rect.Max.X; x++ {
			if !near(a, b, x, y) || !near(b, a, x, y) {
				n++
			}
		}
	}
	return n
}

// near tells whether a pixel of a is met in b, there or beside it.
func near(a, b *image.RGBA, x, y int) bool {
	if alike(a, b, x, y, x, y) {
		return true
	}
	for v := max(y-1, b.Rect.Min.Y); v <= min(y+1, b.Rect.Max.Y-1); v++ {
		for u := max(x-1, b.Rect.Min.X); u <= min(x+1, b.Rect.Max.X-1); u++ {
			if alike(a, b, x, y, u, v) {
				return true
			}
		}
	}
	return false
}

func alike(a, b *image.RGBA, x, y, u, v int) bool {
	i, j := a.PixOffset(x, y), b.PixOffset(u, v)
	for k := range 4 {
		d := int(a.Pix[i+k]) - int(b.Pix[j+k])
		if d > compareSlack || d < -compareSlack {
			return false
		}
	}
	return true
}
