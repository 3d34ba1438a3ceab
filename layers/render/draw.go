package render

import (
	"fmt"
	"image"
	"math"

	"github.com/klippa-app/go-pdfium/enums"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// SizeError says that an image would have more pixels than Options allow; a
// lower resolution helps. Width and Height are in pixels, 0 where they pass
// all bounds.
type SizeError struct {
	Width, Height, MaxPixels int
}

func (e *SizeError) Error() string {
	return fmt.Sprintf("an image of %d by %d pixels passes the limit of %d pixels; ask for a lower resolution",
		e.Width, e.Height, e.MaxPixels)
}

// sizing gives the size of an image in pixels from that of a page in points.
type sizing func(w, h float64) (width, height int, err error)

// draw renders the page with the given index from 0.
func (f *File) draw(index int, pixels sizing) (*image.RGBA, error) {
	ref := requests.Page{ByIndex: &requests.PageByIndex{Document: f.doc, Index: index}}
	size, err := f.inst.GetPageSize(&requests.GetPageSize{Page: ref})
	if err != nil {
		return nil, err
	}
	width, height, err := pixels(size.Width, size.Height)
	if err != nil {
		return nil, err
	}
	bitmap, err := f.inst.FPDFBitmap_Create(&requests.FPDFBitmap_Create{Width: width, Height: height})
	if err != nil {
		return nil, err
	}
	defer func() {
		_, _ = f.inst.FPDFBitmap_Destroy(&requests.FPDFBitmap_Destroy{Bitmap: bitmap.Bitmap})
	}()
	if err := f.paint(bitmap.Bitmap, ref, width, height); err != nil {
		return nil, err
	}
	return f.copyOut(bitmap.Bitmap, width, height)
}

// pixels gives the size of an image from a page size in points.
func pixels(w, h, dpi float64, limit int) (int, int, error) {
	if !(dpi > 0) {
		return 0, 0, fmt.Errorf("the resolution of %g dpi is not above zero", dpi)
	}
	return bounded(math.Ceil(w*dpi/72), math.Ceil(h*dpi/72), limit)
}

// bounded refuses images without pixels, or with too many.
func bounded(w, h float64, limit int) (int, int, error) {
	if !(w >= 1 && h >= 1) {
		return 0, 0, fmt.Errorf("the page has no area")
	}
	if w*h > float64(limit) {
		return 0, 0, tooLarge(w, h, limit)
	}
	return int(w), int(h), nil
}

// within gives the size of the largest image of a page that is no wider and no
// higher than that, at least one pixel each way.
func within(w, h float64, width, height, limit int) (int, int, error) {
	if width < 1 || height < 1 {
		return 0, 0, fmt.Errorf("an image of %d by %d pixels has no area", width, height)
	}
	if !(w > 0 && h > 0) {
		return 0, 0, fmt.Errorf("the page has no area")
	}
	scale := min(float64(width)/w, float64(height)/h)
	return bounded(max(1, math.Round(w*scale)), max(1, math.Round(h*scale)), limit)
}

func tooLarge(w, h float64, limit int) *SizeError {
	if w > math.MaxInt32 || h > math.MaxInt32 {
		w, h = 0, 0
	}
	return &SizeError{Width: int(w), Height: int(h), MaxPixels: limit}
}

// paint fills the bitmap white and draws the page. The background is white
// even where the page has transparency, so that two files that differ in that
// alone give one image.
func (f *File) paint(bitmap references.FPDF_BITMAP, page requests.Page, width, height int) error {
	_, err := f.inst.FPDFBitmap_FillRect(&requests.FPDFBitmap_FillRect{
		Bitmap: bitmap, Width: width, Height: height, Color: 0xFFFFFFFF,
	})
	if err != nil {
		return err
	}
	_, err = f.inst.FPDF_RenderPageBitmap(&requests.FPDF_RenderPageBitmap{
		Bitmap: bitmap, Page: page, SizeX: width, SizeY: height, Flags: f.flags(),
	})
	return err
}

func (f *File) flags() enums.FPDF_RENDER_FLAG {
	flags := enums.FPDF_RENDER_FLAG_ANNOT | enums.FPDF_RENDER_FLAG_REVERSE_BYTE_ORDER
	if f.engine.opt.Sharp {
		flags |= enums.FPDF_RENDER_FLAG_RENDER_NO_SMOOTHTEXT |
			enums.FPDF_RENDER_FLAG_RENDER_NO_SMOOTHIMAGE | enums.FPDF_RENDER_FLAG_RENDER_NO_SMOOTHPATH
	}
	return flags
}

// copyOut copies the pixels, which live in the engine's memory until the
// bitmap is destroyed. The fourth byte of each is not meaningful there.
func (f *File) copyOut(bitmap references.FPDF_BITMAP, width, height int) (*image.RGBA, error) {
	buf, err := f.inst.FPDFBitmap_GetBuffer(&requests.FPDFBitmap_GetBuffer{Bitmap: bitmap})
	if err != nil {
		return nil, err
	}
	img := image.NewRGBA(image.Rect(0, 0, width, height))
	if len(buf.Buffer) != len(img.Pix) {
		return nil, fmt.Errorf("the renderer gave %d bytes for %d by %d pixels", len(buf.Buffer), width, height)
	}
	copy(img.Pix, buf.Buffer)
	for i := 3; i < len(img.Pix); i += 4 {
		img.Pix[i] = 0xFF
	}
	return img, nil
}
