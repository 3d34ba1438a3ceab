package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"os"
	"path/filepath"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/render"
)

// drawTime is how long one page may take to draw where --time-limit says
// nothing: far more than a page takes, and an end to what is made to keep the
// renderer busy for ever. The renderer cannot be interrupted without drawing at
// half the speed, so that this ends the command.
const drawTime = 10 * time.Minute

var errDrawTime = &timeLimitError{fmt.Sprintf("the time of %d minutes for drawing a page has passed (--time-limit "+
	"allows more)", int(drawTime.Minutes()))}

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
	cache, err := os.UserCacheDir() // where it is kept compiled
	if err == nil {
		cache = filepath.Join(cache, "sizeply", "render")
	}
	engine, err := render.New(ctx, &render.Options{CacheDir: cache})
	if err != nil {
		return nil, fmt.Errorf("starting the renderer: %w", err)
	}
	return &renderer{engine, p}, nil
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

// meter shows on a terminal how far long work on a file has come. A nil meter
// shows nothing: that is what pipes and files get.
type meter struct {
	out  io.Writer
	file string
	step string
	bar  *progressbar.ProgressBar
}

// meter makes one where standard error is a terminal that can go back on a
// line. The caller clears it.
func (p *program) meter(file string) *meter {
	f, ok := p.err.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) || os.Getenv("TERM") == "dumb" {
		return nil
	}
	return &meter{out: f, file: words.Printable(file)}
}

// progress is the callback for the library.
func (m *meter) progress() func(layers.Progress) {
	if m == nil {
		return nil
	}
	words := map[string]string{"isolate": "choosing", "verify": "checking"}
	return func(at layers.Progress) { m.at(words[at.Step], at.Page, at.Pages) }
}

// at shows how many pages of a step are done.
func (m *meter) at(step string, done, of int) {
	if m == nil {
		return
	}
	if m.bar == nil || m.step != step {
		m.clear()
		m.step = step
		m.bar = progressbar.NewOptions(of,
			progressbar.OptionSetWriter(m.out), progressbar.OptionUseANSICodes(true), progressbar.OptionSetWidth(16),
			progressbar.OptionShowCount(), progressbar.OptionShowIts(), progressbar.OptionSetItsString("pages"),
			progressbar.OptionSetPredictTime(true), progressbar.OptionThrottle(80*time.Millisecond),
			progressbar.OptionSetRenderBlankState(true), progressbar.OptionSetDescription(m.file+": "+step))
	}
	_ = m.bar.Set(done)
}

// say shows what is being done where nothing can be counted.
func (m *meter) say(text string) {
	if m == nil {
		return
	}
	m.clear()
	fmt.Fprintf(m.out, "\r%s: %s", m.file, text)
}

// clear takes the line away.
func (m *meter) clear() {
	if m == nil {
		return
	}
	m.bar, m.step = nil, ""
	fmt.Fprint(m.out, "\r\x1b[K")
}

const (
	// comparePixels is about how many pixels a page is drawn with.
	comparePixels = 4 << 20
	// compareSlack is how far a channel may be off. The renderer puts glyphs
	// on whole pixels, so a pixel may also have moved by one.
	compareSlack = 32
)

// lookAlike draws each page of the result and of the original with its layers
// switched, and says which pages differ. The password opens both.
func (p *program) lookAlike(ctx context.Context, doc *layers.Document, sel layers.Selection, result io.ReadSeeker,
	password string, m *meter) error {
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
		dpi := min(150, 72*math.Sqrt(comparePixels/max(1, page.Width*page.Height)))
		a, err := want.Page(ctx, page.Number, dpi)
		var b *image.RGBA
		if err == nil {
			b, err = got.Page(ctx, page.Number, dpi)
		}
		if err != nil {
			return fmt.Errorf("page %d: %w", page.Number, err)
		}
		if n := unlike(a, b); n > 0 {
			bad = append(bad, fmt.Errorf("page %d: %w", page.Number, &unlikeError{n, len(a.Pix) / 4}))
		}
	}
	return errors.Join(bad...)
}

// unlikeError says that a page does not look as it should.
type unlikeError struct{ pixels, of int }

func (e *unlikeError) Error() string {
	return fmt.Sprintf("drawn, it does not look as the original does with these layers: %d pixels of %d differ",
		e.pixels, e.of)
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

// near reports whether a pixel of a is met in b, there or beside it.
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
