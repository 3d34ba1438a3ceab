package render

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"runtime"

	"github.com/klippa-app/go-pdfium"
	"github.com/klippa-app/go-pdfium/webassembly"
	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/experimental"
)

// DefaultMaxPixels is the largest image that is drawn unless Options say
// otherwise: 64 million pixels, which take 256 MB twice over while a page is
// drawn.
const DefaultMaxPixels = 64 << 20

// Options sets up an Engine. The zero value and a nil pointer are usable.
type Options struct {
	// CacheDir keeps the compiled engine (about 21 MB) from one process to the
	// next, which brings the start from some seconds down to a fraction of
	// one. The folder is made if need be. Without it nothing is kept.
	CacheDir string
	// Workers is the number of files that may be open at a time; a further
	// Open waits. The default is the number of processors in use.
	Workers int
	// MaxPixels bounds width times height of an image, DefaultMaxPixels if
	// zero.
	MaxPixels int
	// Interruptible makes the end of a context stop a page while it is being
	// drawn, and takes about twice the time for every page. Without it the
	// context is looked at between pages only.
	Interruptible bool
	// Sharp switches anti-aliasing off, for comparing images.
	Sharp bool
}

// Engine holds the loaded renderer. It is safe for concurrent use.
type Engine struct {
	pool  pdfium.Pool
	cache wazero.CompilationCache
	opt   Options
}

// New loads the renderer: some seconds the first time, 0.3 s from a filled
// cache. Loading cannot be interrupted; ctx is looked at beforehand, its
// values are handed on. The caller closes the Engine.
func New(ctx context.Context, opt *Options) (*Engine, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	e := &Engine{}
	if opt != nil {
		e.opt = *opt
	}
	if e.opt.Workers <= 0 {
		e.opt.Workers = runtime.GOMAXPROCS(0)
	}
	if e.opt.MaxPixels <= 0 {
		e.opt.MaxPixels = DefaultMaxPixels
	}
	if err := e.load(context.WithoutCancel(ctx)); err != nil {
		return nil, fmt.Errorf("load the page renderer: %w", err)
	}
	return e, nil
}

func (e *Engine) load(ctx context.Context) (err error) {
	if e.opt.CacheDir == "" {
		e.cache = wazero.NewCompilationCache()
	} else if e.cache, err = wazero.NewCompilationCacheWithDir(e.opt.CacheDir); err != nil {
		return err
	}
	config := wazero.NewRuntimeConfig().
		WithCoreFeatures(api.CoreFeaturesV2 | experimental.CoreFeaturesExceptionHandling).
		WithCompilationCache(e.cache).
		WithCloseOnContextDone(e.opt.Interruptible)
	e.pool, err = webassembly.Init(webassembly.Config{
		Context:       experimental.WithCompilationWorkers(ctx, runtime.GOMAXPROCS(0)),
		MaxIdle:       e.opt.Workers,
		MaxTotal:      e.opt.Workers,
		RuntimeConfig: config,
		FSConfig:      wazero.NewFSConfig(), // the default would hand over the whole disk
		Stdout:        io.Discard,
		Stderr:        io.Discard,
	})
	if err != nil {
		return errors.Join(err, e.cache.Close(ctx))
	}
	return nil
}

// Page draws one page of a file that opens without a password: Open, which has the
// errors and wants the size in bytes, and File.Page, which counts pages from 1, in one.
func (e *Engine) Page(ctx context.Context, in io.ReadSeeker, size int64, page int, dpi float64) (*image.RGBA, error) {
	f, err := e.Open(ctx, in, size, "")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Page(ctx, page, dpi)
}

// Close gives the memory of the engine back. Files still open are closed.
func (e *Engine) Close() error {
	if e == nil || e.pool == nil {
		return nil
	}
	return errors.Join(e.pool.Close(), e.cache.Close(context.Background()))
}
