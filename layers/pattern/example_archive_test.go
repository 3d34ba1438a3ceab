package pattern_test

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io"
	"log"

	"github.com/sizeply/sizeply/layers/pattern"
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
