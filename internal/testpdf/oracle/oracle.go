// Package oracle draws PDF files in several renderers and says whether two
// files look the same in each. Start with Same; Renderers gives the renderers
// themselves. It starts PDFium once for a test program.
package oracle

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers/render"
)

// DPI is the resolution at which Same compares.
const DPI = 100

// Renderer draws all pages of a file.
type Renderer struct {
	Name string // as testpdf.Gaps knows it
	Draw func(pdf []byte, dpi int) ([]*image.RGBA, error)
}

// Same fails the test unless both files give the same pages, pixel for pixel,
// in every renderer that implements the features; where hidden text stands
// before visible text, PDFium may shift glyphs by one pixel. A renderer left
// out is logged with the reason, and a difference is kept as an image. Same
// returns how many renderers it asked: with none, it has checked nothing.
func Same(tb testing.TB, want, got []byte, features ...string) (asked int) {
	tb.Helper()
	for _, r := range Renderers(tb) {
		if unfit := testpdf.Unfit(r.Name, features); len(unfit) > 0 {
			tb.Logf("%s is not asked: %s: %s", r.Name, unfit[0].Feature, unfit[0].Reason)
			continue
		}
		asked++
		r.compare(tb, want, got, DPI, snaps(r.Name, features))
	}
	return asked
}

// snaps says that glyphs may stand a pixel apart: PDFium puts them on whole
// pixels, so that a displacement written as a number of another precision can
// tip one over.
func snaps(renderer string, features []string) bool {
	return renderer == testpdf.NamePDFium && slices.Contains(features, testpdf.FeatureHiddenAdvance)
}

// Same compares in one renderer, pixel for pixel.
func (r Renderer) Same(tb testing.TB, want, got []byte, dpi int) {
	tb.Helper()
	r.compare(tb, want, got, dpi, false)
}

func (r Renderer) compare(tb testing.TB, want, got []byte, dpi int, snaps bool) {
	tb.Helper()
	wantPages, err := r.Draw(want, dpi)
	if err != nil {
		tb.Errorf("%s does not draw the wanted file: %v", r.Name, err)
		return
	}
	gotPages, err := r.Draw(got, dpi)
	if err != nil {
		tb.Errorf("%s does not draw the file: %v", r.Name, err)
		return
	}
	if len(wantPages) != len(gotPages) {
		tb.Errorf("%s draws %d pages, want %d", r.Name, len(gotPages), len(wantPages))
		return
	}
	for i := range wantPages {
		d := testpdf.Compare(wantPages[i], gotPages[i])
		if snaps && testpdf.Shifted(wantPages[i], gotPages[i], 0).Equal() {
			continue
		}
		if !d.Equal() {
			tb.Errorf("%s, page %d: %v", r.Name, i+1, d)
			testpdf.SideBySide(tb, wantPages[i], gotPages[i])
		}
	}
}

// Renderers gives PDFium, which is always there, and Poppler where it is
// installed; with SIZEPLY_WITNESSES=1 also MuPDF and pdf.js where they are.
// What must be there (SIZEPLY_REQUIRE_TOOLS is 1) and is not fails the test.
func Renderers(tb testing.TB) []Renderer {
	tb.Helper()
	out := []Renderer{PDFium(tb)}
	required := os.Getenv("SIZEPLY_REQUIRE_TOOLS") == "1"
	if _, err := exec.LookPath("pdftocairo"); err == nil || required {
		out = append(out, Poppler(tb))
	} else {
		tb.Log("pdftocairo is not installed: not compared in Poppler")
	}
	if os.Getenv("SIZEPLY_WITNESSES") != "1" {
		return out
	}
	if err := testpdf.WitnessesInstalled(); err != nil && !required {
		tb.Logf("%v: not compared in MuPDF and pdf.js", err)
		return out
	}
	return append(out, MuPDFCurrent(tb), PDFJS(tb))
}

// Poppler is pdftocairo; the test skips where it is not installed.
func Poppler(tb testing.TB) Renderer {
	tb.Helper()
	testpdf.Tool(tb, "pdftocairo")
	return Renderer{testpdf.NamePoppler, testpdf.Poppler}
}

// MuPDF is mutool; the test skips where it is not installed.
func MuPDF(tb testing.TB) Renderer {
	tb.Helper()
	testpdf.Tool(tb, "mutool")
	return Renderer{testpdf.NameMuPDF, testpdf.MuPDF}
}

// MuPDFCurrent is MuPDF as Node.js runs it; the test skips where it is not
// installed.
func MuPDFCurrent(tb testing.TB) Renderer {
	tb.Helper()
	testpdf.Witnesses(tb)
	return Renderer{testpdf.NameMuPDFCurrent, testpdf.MuPDFCurrent}
}

// PDFJS is pdf.js; the test skips where it is not installed.
func PDFJS(tb testing.TB) Renderer {
	tb.Helper()
	testpdf.Witnesses(tb)
	return Renderer{testpdf.NamePDFJS, testpdf.PDFJS}
}

// PDFium is the renderer of layers/render, started at the first call.
func PDFium(tb testing.TB) Renderer {
	tb.Helper()
	e, err := engine()
	if err != nil {
		tb.Fatal(err)
	}
	return Renderer{testpdf.NamePDFium, func(pdf []byte, dpi int) ([]*image.RGBA, error) { return drawAll(e, pdf, dpi) }}
}

// engine is shared by all tests of a program and lives as long as it does.
var engine = sync.OnceValues(func() (*render.Engine, error) {
	return render.New(context.Background(), &render.Options{CacheDir: CacheDir(), Workers: 4})
})

// CacheDir is where tests keep the compiled renderer: the folder that
// SIZEPLY_RENDER_CACHE names, else one in the user's cache, else none.
func CacheDir() string {
	if dir := os.Getenv("SIZEPLY_RENDER_CACHE"); dir != "" {
		return dir
	}
	dir, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "sizeply", "render")
}

func drawAll(e *render.Engine, pdf []byte, dpi int) ([]*image.RGBA, error) {
	ctx, cancel := context.WithTimeout(context.Background(), testpdf.ToolTimeout)
	defer cancel()
	f, err := e.Open(ctx, bytes.NewReader(pdf), int64(len(pdf)), "")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var out []*image.RGBA
	for page := 1; page <= f.Pages(); page++ {
		img, err := f.Page(ctx, page, float64(dpi))
		if err != nil {
			return nil, fmt.Errorf("page %d: %w", page, err)
		}
		out = append(out, img)
	}
	return out, nil
}
