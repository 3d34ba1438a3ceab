package layers

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// large is a page of two and a half megabytes of decoded content: twenty sizes,
// each a section with curves and labels, over and over.
func large() []byte {
	var names []string
	var b strings.Builder
	for i := range 20 {
		names = append(names, fmt.Sprintf("S%d", i))
	}
	for round := range 200 {
		for i, name := range names {
			fmt.Fprintf(&b, "/OC /%s BDC\nq .%d 0 0 RG .5 w [3 %d] 0 d\n", name, i%10, i+1)
			for k := range 12 {
				fmt.Fprintf(&b, "%d.%d %d.25 m %d 40.5 %d 60.125 %d.75 %d.5 c S\n", k, round, i, k+3, k+5, round%90, i+60)
			}
			fmt.Fprintf(&b, "BT /F 7 Tf 1 0 0 1 %d %d Tm (size %d) Tj [(cut) -30 (two)] TJ ET\nQ\nEMC\n", i*4, round%90, i)
		}
	}
	return testpdf.Build(testpdf.Doc{Groups: names, Pages: []testpdf.Page{{Content: b.String()}}, Layout: testpdf.Layout{Compress: true}})
}

type benchFile struct {
	name string
	data []byte
}

// benchFiles are what the benchmarks run over.
func benchFiles(b *testing.B) []benchFile {
	skirt, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		b.Fatal(err)
	}
	return []benchFile{{"skirt", skirt}, {"large", large()}}
}

// decoded is the size of the decoded contents of all pages.
func decoded(tb testing.TB, file []byte) (n int64) {
	for _, s := range contents(tb, file) {
		n += int64(len(s))
	}
	return n
}

// BenchmarkIsolate keeps three layers; MB/s are of decoded page content.
func BenchmarkIsolate(b *testing.B) {
	for _, f := range benchFiles(b) {
		b.Run(f.name, func(b *testing.B) {
			file := f.data
			doc := open(b, file)
			b.SetBytes(decoded(b, file))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := doc.Isolate(context.Background(), io.Discard, Selection{Layers: []int{3, 4, 5}}, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkOpen opens a file; MB/s are of the file.
func BenchmarkOpen(b *testing.B) {
	for _, f := range benchFiles(b) {
		b.Run(f.name, func(b *testing.B) {
			file := f.data
			b.SetBytes(int64(len(file)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Open(context.Background(), bytes.NewReader(file), nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkInspect measures every layer; MB/s are of decoded page content.
func BenchmarkInspect(b *testing.B) {
	for _, f := range benchFiles(b) {
		b.Run(f.name, func(b *testing.B) {
			file := f.data
			doc := open(b, file)
			b.SetBytes(decoded(b, file))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := doc.Inspect(context.Background()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkVerify holds an output against its original; MB/s are of decoded
// page content of the original.
func BenchmarkVerify(b *testing.B) {
	for _, f := range benchFiles(b) {
		b.Run(f.name, func(b *testing.B) {
			file := f.data
			doc := open(b, file)
			sel := Selection{Layers: []int{3, 4, 5}}
			var out bytes.Buffer
			if _, err := doc.Isolate(context.Background(), &out, sel, nil); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(decoded(b, file))
			b.ReportAllocs()
			for b.Loop() {
				if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkLines finds the line styles, BenchmarkIsolateLines takes out all but a
// few; MB/s are of decoded page content.
func BenchmarkLines(b *testing.B) {
	for _, f := range benchFiles(b) {
		b.Run(f.name, func(b *testing.B) {
			doc := open(b, f.data)
			b.SetBytes(decoded(b, f.data))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := doc.Lines(context.Background()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkIsolateLines(b *testing.B) {
	for _, f := range benchFiles(b) {
		b.Run(f.name, func(b *testing.B) {
			doc := open(b, f.data)
			found, err := doc.Lines(context.Background())
			if err != nil {
				b.Fatal(err)
			}
			sel := Selection{Lines: found.Styles[min(3, len(found.Styles)):]}
			for i := range doc.Layers() {
				sel.Unchanged = append(sel.Unchanged, i)
			}
			b.SetBytes(decoded(b, f.data))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := doc.Isolate(context.Background(), io.Discard, sel, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
