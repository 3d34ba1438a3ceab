package render_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image/color"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
	"github.com/sizeply/sizeply/layers/render"
)

// engine is started once for all tests here; two files may be open at a time.
var engine = sync.OnceValues(func() (*render.Engine, error) {
	return render.New(context.Background(), &render.Options{CacheDir: oracle.CacheDir(), Workers: 2, MaxPixels: 4 << 20})
})

func open(t *testing.T, pdf []byte) *render.File {
	t.Helper()
	e, err := engine()
	if err != nil {
		t.Fatal(err)
	}
	f, err := e.Open(context.Background(), bytes.NewReader(pdf), int64(len(pdf)), "")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func onePage(p testpdf.Page) []byte { return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{p}}) }

// Sizes follow from the page size in units of 1/72 inch (ISO 32000-1, 8.3.2.3)
// and the rotation (7.7.3.3, Table 30).
func TestImageSize(t *testing.T) {
	cases := []struct {
		name, entries string
		dpi           float64
		width, height int
	}{
		{"a unit a pixel", "/MediaBox [0 0 200 100]", 72, 200, 100},
		{"twice", "/MediaBox [0 0 200 100]", 144, 400, 200},
		{"rounded up", "/MediaBox [0 0 200.5 100]", 72, 201, 100},
		{"half a dot", "/MediaBox [0 0 200 100]", 36.5, 102, 51},
		{"turned", "/MediaBox [0 0 200 100] /Rotate 90", 72, 100, 200},
		{"cropped", "/MediaBox [0 0 200 100] /CropBox [50 10 150 60]", 72, 100, 50},
		{"origin elsewhere", "/MediaBox [-100 -100 100 0]", 72, 200, 100},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			img, err := open(t, onePage(testpdf.Page{Entries: c.entries})).Page(context.Background(), 1, c.dpi)
			if err != nil {
				t.Fatal(err)
			}
			if got := img.Rect.Size(); got.X != c.width || got.Y != c.height {
				t.Errorf("%v, want %d by %d", got, c.width, c.height)
			}
		})
	}
}

func TestPageWithin(t *testing.T) {
	for _, c := range []struct {
		name, box     string
		width, height int
		want          string // width and height, or part of the error
	}{
		{"width decides", "0 0 200 100", 120, 1000, "(120,60)"},
		{"height decides", "0 0 200 100", 1000, 30, "(60,30)"},
		{"a third of a pixel", "0 0 300 1", 100, 100, "(100,1)"},
		{"larger than the page", "0 0 20 10", 200, 200, "(200,100)"},
		{"UserUnit is no matter", "0 0 200 100] /UserUnit 10 /Nothing [", 120, 1000, "(120,60)"},
		{"too many pixels", "0 0 100 100", 3000, 3000, "passes the limit"},
		{"none", "0 0 100 100", 0, 10, "no area"},
	} {
		t.Run(c.name, func(t *testing.T) {
			img, err := open(t, onePage(testpdf.Page{Entries: "/MediaBox [" + c.box + "]"})).PageWithin(context.Background(), 1, c.width, c.height)
			got := fmt.Sprint(err)
			if err == nil {
				got = img.Rect.Size().String()
			}
			if !strings.Contains(got, c.want) {
				t.Errorf("%s, want %s", got, c.want)
			}
		})
	}
}

// A mark of known place and colour, on white. The image must stay good after
// the file is closed.
func TestPixels(t *testing.T) {
	f := open(t, testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{}, {Content: "1 0 0 rg P2"}}}))
	if f.Pages() != 2 {
		t.Fatalf("%d pages, want 2", f.Pages())
	}
	img, err := f.Page(context.Background(), 2, 72)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	red, white := color.RGBA{R: 0xFF, A: 0xFF}, color.RGBA{0xFF, 0xFF, 0xFF, 0xFF}
	for y := range 100 {
		for x := range 100 {
			want := white
			if x >= 20 && x < 28 && y >= 82 && y < 90 {
				want = red
			}
			if got := img.RGBAAt(x, y); got != want {
				t.Fatalf("pixel %d, %d is %v, want %v", x, y, got, want)
			}
		}
	}
}

// Transparency on the page must not change the background: two files that
// differ in unused transparency are to look alike.
func TestBackground(t *testing.T) {
	plain := open(t, onePage(testpdf.Page{Content: "P1"}))
	clear := open(t, onePage(testpdf.Page{Content: "q /G gs Q P1", Resources: "<</ExtGState <</G <</ca .5 /BM /Multiply>>>>>>"}))
	a, err1 := plain.Page(context.Background(), 1, 72)
	b, err2 := clear.Page(context.Background(), 1, 72)
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if d := testpdf.Compare(a, b); !d.Equal() {
		t.Error(d)
	}
}

func TestAnnotationsAreDrawn(t *testing.T) {
	pdf := testpdf.Build(testpdf.Doc{
		Pages:   []testpdf.Page{{Entries: "/Annots [<</Type /Annot /Subtype /Square /F 4 /Rect [0 0 100 100] /AP <</N 30 0 R>>>>]"}},
		Objects: []testpdf.Object{testpdf.Form(30, "", "P1")},
	})
	img, err := open(t, pdf).Page(context.Background(), 1, 72)
	if err != nil || testpdf.Ink(img) != 64 {
		t.Errorf("%d pixels are painted, error %v; want 64", testpdf.Ink(img), err)
	}
}

func TestRefusals(t *testing.T) {
	ctx := context.Background()
	f := open(t, onePage(testpdf.Page{}))
	for _, page := range []int{0, 2, -1} {
		if _, err := f.Page(ctx, page, 72); err == nil || !strings.Contains(err.Error(), "pages 1 to 1") {
			t.Errorf("page %d: error %v", page, err)
		}
	}
	for _, dpi := range []float64{0, -72} {
		if _, err := f.Page(ctx, 1, dpi); err == nil {
			t.Errorf("%g dpi: no error", dpi)
		}
	}
	for _, c := range []struct{ dpi, width float64 }{{72 * 30, 3000}, {72e20, 0}} {
		_, err := f.Page(ctx, 1, c.dpi)
		var size *render.SizeError
		if !errors.As(err, &size) || size.Width != int(c.width) || size.MaxPixels != 4<<20 {
			t.Errorf("%g dpi: error %v", c.dpi, err)
		}
	}
	if _, err := f.Page(ctx, 1, 72); err != nil {
		t.Errorf("after errors: %v", err)
	}
}

func TestOpenRefuses(t *testing.T) {
	e, err := engine()
	if err != nil {
		t.Fatal(err)
	}
	for _, in := range []string{"", "no PDF", "%PDF-1.7\n%%EOF"} {
		if _, err := e.Page(context.Background(), strings.NewReader(in), int64(len(in)), 1, 72); err == nil {
			t.Errorf("%q: no error", in)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := e.Page(ctx, strings.NewReader("x"), 1, 1, 72); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled before: error %v", err)
	}
	if _, err := render.New(ctx, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled before the start: error %v", err)
	}
}

// An engine that New did not give refuses to open, and closes.
func TestNotStarted(t *testing.T) {
	for _, e := range []*render.Engine{nil, {}} {
		if _, err := e.Page(context.Background(), strings.NewReader("x"), 1, 1, 72); err == nil {
			t.Error("it draws")
		}
		if err := e.Close(); err != nil {
			t.Error(err)
		}
	}
}

// An open file holds its place until it is closed, and a waiting Open ends
// with its context.
func TestOpenWaits(t *testing.T) {
	pdf := onePage(testpdf.Page{})
	first, second := open(t, pdf), open(t, pdf)
	e, _ := engine()
	ctx, cancel := context.WithCancel(context.Background())
	stop := time.AfterFunc(50*time.Millisecond, cancel)
	defer stop.Stop()
	if _, err := e.Open(ctx, bytes.NewReader(pdf), int64(len(pdf)), ""); err == nil {
		t.Fatal("a third file was opened with two workers")
	}
	first.Close()
	second.Close()
	third := open(t, pdf)
	third.Close()
}

func TestPassword(t *testing.T) {
	testpdf.Tool(t, "qpdf")
	pdf, err := testpdf.Encrypt(onePage(testpdf.Page{Content: "P1"}), "user", "owner")
	if err != nil {
		t.Fatal(err)
	}
	e, err := engine()
	if err != nil {
		t.Fatal(err)
	}
	for password, ok := range map[string]bool{"": false, "wrong": false, "user": true, "owner": true} {
		f, err := e.Open(context.Background(), bytes.NewReader(pdf), int64(len(pdf)), password)
		if ok != (err == nil) || !ok && !errors.Is(err, render.ErrPassword) {
			t.Errorf("password %q: error %v", password, err)
		}
		if err == nil {
			f.Close()
		}
	}
}

func TestConcurrent(t *testing.T) {
	e, err := engine()
	if err != nil {
		t.Fatal(err)
	}
	d := testpdf.Random(3)
	want, err := e.Page(context.Background(), bytes.NewReader(d.Bytes), int64(len(d.Bytes)), 1, 72)
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for range 6 {
		wg.Go(func() {
			got, err := e.Page(context.Background(), bytes.NewReader(d.Bytes), int64(len(d.Bytes)), 1, 72)
			if err != nil {
				t.Error(err)
			} else if diff := testpdf.Compare(want, got); !diff.Equal() {
				t.Error(diff)
			}
		})
	}
	wg.Wait()
}

// A page of some 10^12 marks: forms that call the next one a thousand times.
func endless() []byte {
	var objects []testpdf.Object
	for i := range 5 {
		content := strings.Repeat(fmt.Sprintf("/X%d Do ", i+1), 1000)
		resources := fmt.Sprintf("/Resources <</XObject <</X%d %d 0 R>>>>", i+1, 31+i)
		if i == 4 {
			content, resources = "P1", ""
		}
		objects = append(objects, testpdf.Form(30+i, resources, content))
	}
	return testpdf.Build(testpdf.Doc{Objects: objects,
		Pages: []testpdf.Page{{Content: "/X0 Do", Resources: "<</XObject <</X0 30 0 R>>>>"}}})
}

func TestInterruptible(t *testing.T) {
	e, err := render.New(context.Background(), &render.Options{CacheDir: oracle.CacheDir(), Workers: 1, Interruptible: true})
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close()
	ctx, cancel := context.WithTimeout(context.Background(), 100*time.Millisecond)
	defer cancel()
	pdf := endless()
	if _, err := e.Page(ctx, bytes.NewReader(pdf), int64(len(pdf)), 1, 72); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("error %v, want that the time is over", err)
	}
	plain := onePage(testpdf.Page{Content: "P1"})
	img, err := e.Page(context.Background(), bytes.NewReader(plain), int64(len(plain)), 1, 72)
	if err != nil || testpdf.Ink(img) != 64 {
		t.Errorf("afterwards: error %v", err)
	}
}

func TestSharp(t *testing.T) {
	e, err := render.New(context.Background(), &render.Options{CacheDir: oracle.CacheDir(), Sharp: true})
	if err != nil {
		t.Fatal(err)
	}
	defer e.Close()
	pdf := onePage(testpdf.Page{Content: "10 10 m 90 80 l 30 95 l f BT /F 12 Tf 5 50 Td (Wave) Tj ET"})
	img, err := e.Page(context.Background(), bytes.NewReader(pdf), int64(len(pdf)), 1, 72)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range img.Pix {
		if v != 0 && v != 0xFF {
			t.Fatalf("byte %d is %d: neither black nor white", i, v)
		}
	}
}

// The compiled engine is kept where Options say, and only there.
func TestCache(t *testing.T) {
	if _, err := engine(); err != nil {
		t.Fatal(err)
	}
	if oracle.CacheDir() == "" {
		t.Skip("there is no folder for the cache here")
	}
	if entries, err := filepath.Glob(filepath.Join(oracle.CacheDir(), "*")); err != nil || len(entries) == 0 {
		t.Errorf("the cache holds %v, error %v", entries, err)
	}
	blocked := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(blocked, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := render.New(context.Background(), &render.Options{CacheDir: blocked}); err == nil {
		t.Error("a file serves as the folder of the cache")
	}
}
