package render

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/enums"
	pdfiumerrors "github.com/klippa-app/go-pdfium/errors"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"

	"github.com/sizeply/sizeply/internal/fault"
)

// ErrPassword says that a file is encrypted and the password does not open it.
var ErrPassword = fault.New(fault.ErrForbidden, "the password does not open the file; give its user or owner password")

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

// Is reports whether target is layers.ErrTooLarge.
func (*SizeError) Is(target error) bool { return target == fault.ErrTooLarge }

// File is an open PDF file. It is not safe for concurrent use.
type File struct {
	engine *Engine
	inst   pdfium.Pdfium
	doc    references.FPDF_DOCUMENT
	pages  int
}

// Open opens a file of the given size in bytes; pages are read from in as they
// are drawn, so in stays in use until Close. It waits while Options.Workers
// files are open. A wrong password gives ErrPassword; "" serves files that are
// not encrypted or open without one.
func (e *Engine) Open(ctx context.Context, in io.ReadSeeker, size int64, password string) (*File, error) {
	if e == nil || e.pool == nil {
		return nil, fault.New(fault.ErrBadRequest,
			"the renderer was not started: take one that New returned without an error")
	}
	if size <= 0 {
		return nil, fault.Errorf(fault.ErrBadRequest, "open the file for drawing: its size is %d bytes", size)
	}
	inst, err := e.pool.GetInstanceWithContext(ctx)
	if err != nil {
		return nil, fmt.Errorf("wait for a free renderer: %w", err)
	}
	f := &File{engine: e, inst: inst}
	if err := f.during(ctx, func() error { return f.load(in, size, password) }); err != nil {
		f.Close()
		return nil, fmt.Errorf("open the file for drawing: %w", err)
	}
	return f, nil
}

// during runs one step, cut short by the end of ctx where the engine allows.
func (f *File) during(ctx context.Context, step func() error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if !f.engine.opt.Interruptible {
		return step()
	}
	killed := make(chan struct{})
	stop := context.AfterFunc(ctx, func() {
		defer close(killed)
		_ = f.inst.Kill() // the step comes back with an error of its own
	})
	err := step()
	if !stop() {
		<-killed
		return ctx.Err()
	}
	return err
}

func (f *File) load(in io.ReadSeeker, size int64, password string) error {
	req := &requests.OpenDocument{FileReader: in, FileReaderSize: size}
	if password != "" {
		req.Password = &password
	}
	doc, err := f.inst.OpenDocument(req)
	if errors.Is(err, pdfiumerrors.ErrPassword) {
		return ErrPassword
	}
	if err != nil {
		return err
	}
	f.doc = doc.Document
	count, err := f.inst.FPDF_GetPageCount(&requests.FPDF_GetPageCount{Document: f.doc})
	if err != nil {
		return err
	}
	f.pages = count.PageCount
	return nil
}

// Pages returns the number of pages.
func (f *File) Pages() int { return f.pages }

// Page draws a page, counted from 1, with its annotations but without form
// fields, on white. The image covers the crop box as rotated for display, dpi
// pixels an inch of default user space (72 units, UserUnit is not applied),
// rounded up. An image beyond Options.MaxPixels gives a *SizeError. After an
// interrupted page (Options.Interruptible) the File is of no more use.
func (f *File) Page(ctx context.Context, page int, dpi float64) (*image.RGBA, error) {
	return f.page(ctx, page, func(w, h float64) (int, int, error) {
		return pixels(w, h, dpi, f.engine.opt.MaxPixels)
	})
}

// PageWithin draws a page as Page does, as large as it gets in a box of pixels.
func (f *File) PageWithin(ctx context.Context, page, width, height int) (*image.RGBA, error) {
	return f.page(ctx, page, func(w, h float64) (int, int, error) {
		return within(w, h, width, height, f.engine.opt.MaxPixels)
	})
}

// Close ends the use of the reader and frees the renderer for another file.
func (f *File) Close() error { return f.inst.Close() }

// sizing turns the size of a page in points into that of its image in pixels.
type sizing func(w, h float64) (width, height int, err error)

// pixels gives the size of an image from a page size in points.
func pixels(w, h, dpi float64, limit int) (int, int, error) {
	if !(dpi > 0) {
		return 0, 0, fault.Errorf(fault.ErrBadRequest, "the resolution of %g dpi is not above zero", dpi)
	}
	return bounded(math.Ceil(w*dpi/72), math.Ceil(h*dpi/72), limit)
}

// within gives the size of the largest image of a page that is no wider and no
// higher than that, at least one pixel each way.
func within(w, h float64, width, height, limit int) (int, int, error) {
	if width < 1 || height < 1 {
		return 0, 0, fault.Errorf(fault.ErrBadRequest, "an image of %d by %d pixels has no area", width, height)
	}
	if !(w > 0 && h > 0) {
		return 0, 0, fault.New(fault.ErrBadFile, "the page has no area")
	}
	scale := min(float64(width)/w, float64(height)/h)
	return bounded(max(1, math.Round(w*scale)), max(1, math.Round(h*scale)), limit)
}

// bounded refuses images without pixels, or with too many.
func bounded(w, h float64, limit int) (int, int, error) {
	if !(w >= 1 && h >= 1) {
		return 0, 0, fault.New(fault.ErrBadFile, "the page has no area")
	}
	if w*h <= float64(limit) {
		return int(w), int(h), nil
	}
	if w > math.MaxInt32 || h > math.MaxInt32 {
		w, h = 0, 0
	}
	return 0, 0, &SizeError{Width: int(w), Height: int(h), MaxPixels: limit}
}

// page draws a page in a size.
func (f *File) page(ctx context.Context, page int, pixels sizing) (*image.RGBA, error) {
	if page < 1 || page > f.pages {
		return nil, fault.Errorf(fault.ErrBadRequest, "draw page %d: the file has pages 1 to %d", page, f.pages)
	}
	var img *image.RGBA
	err := f.during(ctx, func() (err error) {
		img, err = f.draw(page-1, pixels)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("draw page %d: %w", page, err)
	}
	return img, nil
}

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
	flags := enums.FPDF_RENDER_FLAG_ANNOT | enums.FPDF_RENDER_FLAG_REVERSE_BYTE_ORDER
	if f.engine.opt.Sharp {
		flags |= enums.FPDF_RENDER_FLAG_RENDER_NO_SMOOTHTEXT |
			enums.FPDF_RENDER_FLAG_RENDER_NO_SMOOTHIMAGE | enums.FPDF_RENDER_FLAG_RENDER_NO_SMOOTHPATH
	}
	_, err = f.inst.FPDF_RenderPageBitmap(&requests.FPDF_RenderPageBitmap{
		Bitmap: bitmap, Page: page, SizeX: width, SizeY: height, Flags: flags,
	})
	return err
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
