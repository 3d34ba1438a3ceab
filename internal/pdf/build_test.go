package pdf

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
)

// source is a PDF file as text: each object is the text after `n 0 obj`, from
// object 1 on. The trailer names object 1 as the catalog.
type source struct {
	before  string // before the header
	header  string // %PDF-1.4 if empty
	objects []string
	trailer string // further entries
	// shift is added to each offset of the table.
	shift int
}

// bytes writes the file with a correct table, but for shift.
func (s source) bytes() []byte {
	var b bytes.Buffer
	b.WriteString(s.before)
	base := b.Len()
	fmt.Fprintf(&b, "%s\n", orElse(s.header, "%PDF-1.4"))
	table := "0000000000 65535 f \n"
	for i, o := range s.objects {
		table += fmt.Sprintf("%010d 00000 n \n", b.Len()-base+s.shift)
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
	}
	start := b.Len() - base
	size := len(s.objects) + 1
	fmt.Fprintf(&b, "xref\n0 %d\n%strailer\n<</Size %d/Root 1 0 R%s>>\nstartxref\n%d\n%%%%EOF\n",
		size, table, size, s.trailer, start)
	return b.Bytes()
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// stream is the text of a stream object with its right length.
func stream(dict, data string) string {
	return fmt.Sprintf("<<%s/Length %d>>\nstream\n%s\nendstream", dict, len(data), data)
}

const (
	catalog = "<</Type/Catalog/Pages 2 0 R>>"
	onePage = "<</Type/Pages/Kids[3 0 R]/Count 1>>"
	page    = "<</Type/Page/Parent 2 0 R/MediaBox[0 0 100 200]/Contents 4 0 R>>"
	square  = "10 10 80 80 re f"
)

// plain is a small file without faults.
func plain() source {
	return source{objects: []string{catalog, onePage, page, stream("", square)}}
}

func open(t testing.TB, data []byte) *Document {
	t.Helper()
	doc, err := Open(context.Background(), bytes.NewReader(data), Options{})
	if err != nil {
		t.Fatalf("Open: %v", err)
	}
	return doc
}

// content returns the content of the first page.
func content(t testing.TB, doc *Document) string {
	t.Helper()
	c, err := PageContent(context.Background(), doc, doc.Pages()[0].Dict, Limits{})
	if err != nil {
		t.Fatalf("PageContent: %v", err)
	}
	return string(c.Data)
}

// hasWarning tells whether a warning has all of the words.
func hasWarning(doc *Document, words string) bool {
	for _, w := range doc.Warnings() {
		if strings.Contains(w, words) {
			return true
		}
	}
	return false
}

// noObjects has no indirect objects.
type noObjects struct{}

func (noObjects) Object(Ref) Object { return nil }
