package cli

import (
	"context"
	"fmt"
	"image"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/sizeply/sizeply/layers/render"
)

// drawTime is how long one page may take to draw where --time-limit says
// nothing: far more than a page takes, and an end to what is made to keep the
// renderer busy for ever. The renderer cannot be interrupted without drawing at
// half the speed, so that this ends the command.
const drawTime = 10 * time.Minute

var errDrawTime = &timeLimitError{fmt.Sprintf("the time of %d minutes for drawing a page has passed (--time-limit allows more)", int(drawTime.Minutes()))}

// renderer draws pages in bounded time.
type renderer struct {
	*render.Engine
	p *program
}

// startRenderer loads the renderer, which takes some seconds the first time on
// a machine. The caller closes it.
func (p *program) startRenderer(ctx context.Context, m *meter) (*renderer, error) {
	m.say("starting the renderer (some seconds the first time)")
	defer m.clear()
	engine, err := render.New(ctx, &render.Options{CacheDir: renderCache()})
	if err != nil {
		return nil, fmt.Errorf("starting the renderer: %w", err)
	}
	return &renderer{engine, p}, nil
}

// renderCache is where the renderer is kept compiled; "" where there is no
// place for it.
func renderCache() string {
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "sizeply", "render")
}

// drawing is a file that is open for drawing.
type drawing struct {
	*render.File
	p *program
}

// Open opens a file, as render.Engine does.
func (r *renderer) Open(ctx context.Context, in io.ReadSeeker, size int64, password string) (*drawing, error) {
	defer r.p.watch(drawTime)()
	f, err := r.Engine.Open(ctx, in, size, password)
	if err != nil {
		return nil, err
	}
	return &drawing{f, r.p}, nil
}

// Page draws a page, as render.File does.
func (d *drawing) Page(ctx context.Context, page int, dpi float64) (*image.RGBA, error) {
	defer d.p.watch(drawTime)()
	return d.File.Page(ctx, page, dpi)
}

// PageWithin draws a page, as render.File does.
func (d *drawing) PageWithin(ctx context.Context, page, width, height int) (*image.RGBA, error) {
	defer d.p.watch(drawTime)()
	return d.File.PageWithin(ctx, page, width, height)
}

// watch ends the run unless it is stopped in time.
func (p *program) watch(most time.Duration) (stop func()) {
	if p.timed {
		return func() {}
	}
	t := time.AfterFunc(most, func() { p.stop(errDrawTime) })
	return func() { t.Stop() }
}
