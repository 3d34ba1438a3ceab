package pdf

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"
)

// TestSquare: files that would have each of their many parts read to the end of
// the file are read in a time that grows with their size.
func TestSquare(t *testing.T) {
	const head = "%PDF-1.7\n" +
		"1 0 obj <</Type /Catalog /Pages 2 0 R>> endobj 2 0 obj <</Type /Pages /Kids [3 0 R] /Count 1>> endobj\n" +
		"3 0 obj <</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9]>> endobj\n"
	// chain repeats a section of the cross-reference table that leads to the next.
	chain := func(n int, section string) string {
		var b strings.Builder
		b.WriteString(head)
		for range n {
			fmt.Fprintf(&b, section, b.Len()+len(fmt.Sprintf(section, 0)))
		}
		fmt.Fprintf(&b, "\n>>\nstartxref\n%d\n%%%%EOF", len(head))
		return b.String()
	}
	overlapping := strings.Builder{}
	overlapping.WriteString(head)
	for i := range 300 {
		fmt.Fprintf(&overlapping, "%d 0 obj <</Length %d>> stream\n", 10+i, 5_000_000)
	}
	overlapping.WriteString(strings.Repeat(" ", 5_000_000) + "\nendstream endobj")
	for _, tt := range []struct{ name, file string }{
		{"streams without an end", head + strings.Repeat(">>stream\n", 400000)},
		{"trailers with strings without an end", head + strings.Repeat("trailer<</A(\n", 200000)},
		{"trailers with comments without an end", head + strings.Repeat("trailer<</A %", 200000)},
		{"tables with comments without an end", chain(150000, "xref trailer<</Prev %010d%%")},
		{"cross-reference streams without an end",
			chain(100000, "7 0 obj<</Type/XRef/W[1 1 1]/Size 1/Filter/AHx/Prev %010d>>stream\n00>\n")},
		{"streams within each other", overlapping.String()},
	} {
		began := time.Now()
		doc, err := OpenBytes(context.Background(), []byte(tt.file), Options{})
		if err != nil || len(doc.Pages()) != 1 {
			t.Errorf("%s: %v", tt.name, err)
		}
		if took := time.Since(began); took > 10*time.Second {
			t.Errorf("%s: opened in %v", tt.name, took)
		}
	}
}

// TestOverlap: streams that share their data are refused where together they are
// many times the file.
func TestOverlap(t *testing.T) {
	build := func(n int) []byte {
		const size, header = 100000, len("10 0 obj <</Length 100000>> stream\n")
		b := strings.Builder{}
		b.WriteString("%PDF-1.7\n1 0 obj <</Type /Catalog /Pages 2 0 R>> endobj 2 0 obj <</Type /Pages /Kids [3 0 R]>> endobj\n")
		b.WriteString("3 0 obj <</Type /Page /Parent 2 0 R>> endobj\n")
		at := map[int]int{1: strings.Index(b.String(), "1 0 obj"), 2: strings.Index(b.String(), "2 0 obj"), 3: strings.Index(b.String(), "3 0 obj")}
		for i := range n {
			at[10+i] = b.Len()
			fmt.Fprintf(&b, "%d 0 obj <</Length %06d>> stream\n", 10+i, size+(n-1-i)*header)
		}
		b.WriteString(strings.Repeat(" ", size) + "\nendstream endobj\n")
		start := b.Len()
		b.WriteString("xref\n")
		for num, offset := range at {
			fmt.Fprintf(&b, "%d 1\n%010d 00000 n \n", num, offset)
		}
		fmt.Fprintf(&b, "trailer <</Root 1 0 R>>\nstartxref\n%d\n%%%%EOF", start)
		return []byte(b.String())
	}
	for n, found := range map[int]int{1: 1, 3: 3, 50: 1} { // by searching only the first is found
		doc, err := OpenBytes(context.Background(), build(n), Options{})
		if err != nil {
			t.Fatalf("%d streams: %v", n, err)
		}
		streams := 0
		for i := range n {
			if _, ok := doc.Object(Ref(10 + i)).(*Stream); ok {
				streams++
			}
		}
		if streams != found {
			t.Errorf("%d streams: %d are there, want %d", n, streams, found)
		}
	}
}
