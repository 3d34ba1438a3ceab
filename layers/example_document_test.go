package layers_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"log"
	"os"
	"strings"

	"github.com/sizeply/sizeply/layers"
)

// The layers of a file with the labels that viewers show above them.
func ExampleDocument_Layers() {
	for _, l := range skirt().Layers() {
		fmt.Printf("%d %s %v\n", l.Object, l.Name, l.Parents)
	}
	// Output:
	// 3 Size 6 [Sizes]
	// 4 Size 8 [Sizes]
	// 5 Size 10 [Sizes]
	// 6 Size 12 [Sizes]
	// 7 Size 14 [Sizes]
	// 8 Size 16 [Sizes]
	// 9 Size 18 [Sizes]
	// 10 Size 20 [Sizes]
	// 11 Size 22 [Sizes]
	// 12 Size 24 [Sizes]
	// 13 Text []
	// 14 Grainline []
	// 15 Notches []
	// 16 Test squares []
	// 17 Background []
}

// The names alone, to hold them against a chart.
func ExampleNames() {
	fmt.Println(strings.Join(layers.Names(skirt().Layers()[8:]), ", "))
	// Output:
	// Size 22, Size 24, Text, Grainline, Notches, Test squares, Background
}

// A file without layers is no mistake of its buyer: its sizes may be told apart by
// line.
func ExampleDocument_NoLayers() {
	for _, name := range []string{"tollmere-skirt.pdf", "tollmere-skirt-colour.pdf"} {
		if err := open(name).NoLayers(); errors.Is(err, layers.ErrNoLayers) {
			fmt.Println(name, "by line:", err)
		} else {
			fmt.Println(name, "by layer")
		}
	}
	// Output:
	// tollmere-skirt.pdf by layer
	// tollmere-skirt-colour.pdf by line: the file has no layers: its sizes cannot be told apart by layer
}

// What paper a pattern needs at 100 %.
func ExampleDocument_Pages() {
	for _, name := range []string{"tollmere-skirt.pdf", "tollmere-skirt-a4.pdf"} {
		pages := open(name).Pages()
		width, height := pages[0].Size()
		fmt.Printf("pages: %d of %.0f by %.0f mm:", len(pages), width, height)
		if sheet, ok := pages[0].Paper(); ok {
			fmt.Println(" the sheet", sheet.Name)
			continue
		}
		for _, p := range pages[0].Fits() {
			fmt.Printf(" on %s (%s)", p.Name, p.Standard)
		}
		fmt.Println()
	}
	// Output:
	// pages: 1 of 900 by 1170 mm: on ARCH E (ANSI/ASME Y14.1) on 36 in roll (common practice)
	// pages: 25 of 210 by 297 mm: the sheet A4
}

// The boundaries of a page as the file has them, in its own units.
func ExampleDocument_Boxes() {
	for _, b := range skirt().Boxes() {
		fmt.Printf("media %.0f, crop %.0f, turned by %d degrees, units of %v/72 in\n", b.Media, b.Crop, b.Rotate, b.UserUnit)
	}
	// Output:
	// media [0 0 2551 3317], crop [0 0 2551 3317], turned by 0 degrees, units of 1/72 in
}

// How a file is locked, and what its passwords are good for.
func ExampleDocument_Encryption() {
	locked, err := os.ReadFile("../internal/pdf/testdata/encrypted/locked.pdf")
	if err != nil {
		log.Fatal(err)
	}
	for _, password := range []string{"", "owner"} {
		doc, err := layers.Open(context.Background(), bytes.NewReader(locked), &layers.OpenOptions{Password: password})
		if err != nil {
			log.Fatal(err)
		}
		e := doc.Encryption()
		fmt.Printf("%s with %d bits, opened by %q; may be isolated: %v\n", e.Cipher, e.Bits, e.Opened, e.MayChange)
	}
	fmt.Println("the skirt is encrypted:", skirt().Encryption() != nil)
	// Output:
	// AES with 256 bits, opened by ""; may be isolated: false
	// AES with 256 bits, opened by "owner"; may be isolated: true
	// the skirt is encrypted: false
}

// What was repaired in a damaged file, for whoever prints it.
func ExampleDocument_Warnings() {
	data, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		log.Fatal(err)
	}
	cut := data[:bytes.LastIndex(data, []byte("startxref"))]
	doc, err := layers.Open(context.Background(), bytes.NewReader(cut), nil)
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range doc.Warnings() {
		fmt.Println(w.Text)
	}
	// Output:
	// the cross-reference table is broken; objects were found by searching
}

// A file by its content, as a key for what was made of it.
func ExampleDocument_Fingerprint() {
	data, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(skirt().Fingerprint() == fmt.Sprintf("%x", sha256.Sum256(data)))
	// Output:
	// true
}

// What each layer holds, and where: to tell a size from a mere label.
func ExampleDocument_Inspect() {
	in, err := skirt().Inspect(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	const mm = 25.4 / 72
	for _, l := range in.Layers[8:14] {
		for _, u := range l.Uses {
			b := u.Bounds
			fmt.Printf("%s, page %d: %d paths, %d texts, %.0f by %.0f mm\n",
				l.Name, u.Page, u.Paths, u.Texts, (b.Right-b.Left)*mm, (b.Top-b.Bottom)*mm)
		}
	}
	// Output:
	// Size 22, page 1: 18 paths, 21 texts, 810 by 996 mm
	// Size 24, page 1: 18 paths, 21 texts, 810 by 1005 mm
	// Text, page 1: 5 paths, 41 texts, 807 by 1075 mm
	// Grainline, page 1: 15 paths, 0 texts, 767 by 774 mm
	// Notches, page 1: 5 paths, 0 texts, 810 by 23 mm
	// Test squares, page 1: 2 paths, 4 texts, 126 by 51 mm
}

// The first three pages alone, as a document like any other.
func ExampleDocument_KeepPages() {
	doc := open("tollmere-skirt-a4.pdf")
	part, err := doc.KeepPages(context.Background(), []int{1, 2, 3})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(doc.Pages()), len(part.Pages()), part.Pages()[2].Number)
	_, err = doc.KeepPages(context.Background(), []int{99})
	fmt.Println(err)
	// Output:
	// 25 3 3
	// there is no page 99: the file has 25 pages
}

// A file that is in memory already is not copied.
func ExampleBytes() {
	file, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		log.Fatal(err)
	}
	doc, err := layers.Open(context.Background(), layers.Bytes(file), nil)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(len(doc.Pages()), "page")
	// Output: 1 page
}

// The steps of a call, for spans or a log. In earnest the time of both ends is noted too.
func ExampleWithTrace() {
	file, err := os.Open("../testdata/tollmere-skirt.pdf")
	if err != nil {
		log.Fatal(err)
	}
	defer file.Close()
	ctx := layers.WithTrace(context.Background(), func(step string, _ int64) func(int64, error) {
		return func(_ int64, err error) { fmt.Println(step, "done, error:", err) }
	})
	doc, err := layers.Open(ctx, file, nil)
	if err != nil {
		log.Fatal(err)
	}
	if _, err := doc.Isolate(ctx, io.Discard, named(doc, "Size 14"), nil); err != nil {
		log.Fatal(err)
	}
	// Output:
	// read done, error: <nil>
	// open done, error: <nil>
	// pages done, error: <nil>
	// objects done, error: <nil>
	// write done, error: <nil>
}

// Pages that are scans: the demo has none.
func ExampleDocument_Pictures() {
	pictures, err := skirt().Pictures(context.Background())
	fmt.Println(len(pictures), err)
	// Output: 0 <nil>
}
