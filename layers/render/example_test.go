package render_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"log"
	"os"

	"github.com/sizeply/sizeply/internal/testpdf/oracle"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/render"
)

// skirt is the demo pattern, one sheet of 900 by 1170 mm or tiles of A4, with its size
// in bytes.
func skirt(name string) (file *os.File, size int64) {
	file, err := os.Open("../../testdata/" + name)
	if err != nil {
		log.Fatal(err)
	}
	info, err := file.Stat()
	if err != nil {
		log.Fatal(err)
	}
	return file, info.Size()
}

// started is the engine that the examples share: one is enough for a process.
func started() *render.Engine {
	e, err := engine()
	if err != nil {
		log.Fatal(err)
	}
	return e
}

// tiles opens the demo pattern as tiles of A4.
func tiles() (file *render.File, done func()) {
	in, size := skirt("tollmere-skirt-a4.pdf")
	file, err := started().Open(context.Background(), in, size, "")
	if err != nil {
		log.Fatal(err)
	}
	return file, func() { file.Close(); in.Close() }
}

// An engine with bounds, that starts from a cache.
func ExampleNew() {
	ctx := context.Background()
	e, err := render.New(ctx, &render.Options{CacheDir: oracle.CacheDir(), Workers: 1, MaxPixels: 1 << 20})
	if err != nil {
		log.Fatal(err)
	}
	defer e.Close()
	in, size := skirt("tollmere-skirt.pdf")
	defer in.Close()
	_, err = e.Page(ctx, in, size, 1, 300)
	var large *render.SizeError
	fmt.Println(errors.As(err, &large), err)
	// Output:
	// true draw page 1: an image of 10630 by 13819 pixels passes the limit of 1048576 pixels; ask for a lower resolution
}

// A small picture of the first page.
func ExampleEngine_Page() {
	in, size := skirt("tollmere-skirt.pdf")
	defer in.Close()
	img, err := started().Page(context.Background(), in, size, 1, 10)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(img.Bounds().Size(), "pixels")
	// Output:
	// (355,461) pixels
}

// A picture of a selection, for somebody to look at before a file is written: the copy
// is made in memory.
func ExampleEngine_Page_selection() {
	ctx := context.Background()
	in, _ := skirt("tollmere-skirt.pdf")
	defer in.Close()
	doc, err := layers.Open(ctx, in, nil)
	if err != nil {
		log.Fatal(err)
	}
	var sel layers.Selection
	for i, l := range doc.Layers() {
		if l.Name == "Size 14" || l.Name == "Text" {
			sel.Layers = append(sel.Layers, i)
		}
	}
	var copied bytes.Buffer
	if _, err := doc.Isolate(ctx, &copied, sel, nil); err != nil {
		log.Fatal(err)
	}
	img, err := started().Page(ctx, bytes.NewReader(copied.Bytes()), int64(copied.Len()), 1, 10)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(img.Bounds().Size(), "pixels")
	// Output:
	// (355,461) pixels
}

// Several pages of one file.
func ExampleEngine_Open() {
	ctx := context.Background()
	in, size := skirt("tollmere-skirt-a4.pdf")
	defer in.Close()
	file, err := started().Open(ctx, in, size, "")
	if err != nil {
		log.Fatal(err)
	}
	defer file.Close()
	for page := 1; page <= 2; page++ {
		img, err := file.Page(ctx, page, 36)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println("page", page, img.Bounds().Size())
	}
	// Output:
	// page 1 (298,421)
	// page 2 (298,421)
}

// Beyond the last page there is nothing to draw.
func ExampleFile_Pages() {
	file, done := tiles()
	defer done()
	fmt.Println(file.Pages(), "pages")
	_, err := file.Page(context.Background(), file.Pages()+1, 36)
	fmt.Println(err)
	// Output:
	// 25 pages
	// draw page 26: the file has pages 1 to 25
}

// A page at the resolution of a screen, and how much of it is white.
func ExampleFile_Page() {
	file, done := tiles()
	defer done()
	img, err := file.Page(context.Background(), 1, 72)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(img.Bounds().Size(), "with lines:", !white(img))
	// Output:
	// (596,842) with lines: true
}

// A page for a place on a screen.
func ExampleFile_PageWithin() {
	file, done := tiles()
	defer done()
	img, err := file.PageWithin(context.Background(), 1, 400, 300)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(img.Bounds().Size())
	// Output:
	// (212,300)
}

// white reports whether an image has nothing on it.
func white(img *image.RGBA) bool {
	for _, v := range img.Pix {
		if v != 0xFF {
			return false
		}
	}
	return true
}
