package pattern_test

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io"
	"log"

	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// bought is a ZIP as a shop sends it.
func bought() *bytes.Reader {
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, name := range []string{"Skirt/A4/skirt.pdf", "Skirt/licence.txt", "../guide.pdf", "__MACOSX/._skirt.pdf"} {
		f, err := w.Create(name)
		if err == nil {
			_, err = io.WriteString(f, "what is in "+name)
		}
		if err != nil {
			log.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		log.Fatal(err)
	}
	return bytes.NewReader(b.Bytes())
}

// The PDF files of a pattern, each to be opened by layers.Open.
func ExampleOpenArchive() {
	in := bought()
	archive, err := pattern.OpenArchive(in, in.Size())
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range archive.PDFs() {
		data, err := f.Read(context.Background(), 512<<20)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: %d bytes\n", f.Name, len(data))
	}
	// Output:
	// Skirt/A4/skirt.pdf: 29 bytes
	// guide.pdf: 23 bytes
}

// What was sent is an archive, or else may be a PDF file.
func ExampleIsArchive() {
	fmt.Println(pattern.IsArchive(bought()), pattern.IsArchive(bytes.NewReader([]byte("%PDF-1.7\n"))))
	// Output: true false
}

// Which pages of a file are on which paper, and those on one.
func ExamplePagesOn() {
	doc, _ := open("tollmere-skirt-a4.pdf", "tollmere.yaml")
	numbers, err := pattern.PagesOn("a4", doc.Pages())
	fmt.Println(len(numbers), err)
	_, err = pattern.PagesOn("a0", doc.Pages())
	fmt.Println(err)
	// Output:
	// 25 <nil>
	// no page is on the paper "a0"; the file has pages 1-25: A4
}

func ExamplePapers() {
	doc, _ := open("tollmere-skirt-a4.pdf", "tollmere.yaml")
	for _, p := range pattern.Papers(doc.Pages()) {
		fmt.Println(p)
	}
	// Output: pages 1-25: A4
}

// Pages as people write them.
func ExampleReadPages() {
	fmt.Println(pattern.ReadPages("2,4-6", 8))
	fmt.Println(pattern.ReadPages("2,4-9", 8))
	// Output:
	// [2 4 5 6] <nil>
	// [] 2,4-9: the file has pages 1 to 8; give such as 1 or 2,4-6
}

// The pages that lost lines of other sizes are those of the pattern.
func ExampleChoice_SizePapers() {
	doc, chart := open("tollmere-skirt-a4.pdf", "tollmere.yaml")
	choice, err := pattern.New(doc, chart).Choose(context.Background(), pattern.Want{Sizes: sizes.Want{Labels: []string{"14"}}})
	if err != nil {
		log.Fatal(err)
	}
	report, err := doc.Isolate(context.Background(), io.Discard, choice.Selection(), nil)
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range choice.SizePapers(report) {
		fmt.Println(p.Paper, len(p.Pages))
	}
	// Output: A4 23
}

// What is at risk where pages are scans.
func ExamplePictureWarnings() {
	for _, w := range pattern.PictureWarnings([]int{2, 3}) {
		fmt.Println(w.Text)
	}
	// Output:
	// pages 2-3 are pictures (scans or photos): their lines cannot be told apart, so all sizes on them stay in every print
}
