package render

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"

	"github.com/klippa-app/go-pdfium"
	pdfiumerrors "github.com/klippa-app/go-pdfium/errors"
	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"
)

// ErrPassword says that a file is encrypted and the password does not open it.
var ErrPassword = errors.New("the password does not open the file; give its user or owner password")

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
	if size <= 0 {
		return nil, fmt.Errorf("open the file for drawing: its size is %d bytes", size)
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

// page draws a page in a size.
func (f *File) page(ctx context.Context, page int, pixels sizing) (*image.RGBA, error) {
	if page < 1 || page > f.pages {
		return nil, fmt.Errorf("draw page %d: the file has pages 1 to %d", page, f.pages)
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

// Close ends the use of the reader and frees the renderer for another file.
func (f *File) Close() error { return f.inst.Close() }
