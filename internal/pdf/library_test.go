package pdf

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"
	"time"
)

// TestSlowLibrary: a file that keeps pdfcpu busy for minutes, whatever its
// context, is read by searching its objects, and says so; the end of the
// context ends it as soon.
func TestSlowLibrary(t *testing.T) {
	file := []byte("%PDF-1.4\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Pages/Kids[3 0 R]/Count 1>>\nendobj\n" +
		"3 0 obj\n<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>\nendobj\n4 0 obj\n[" + strings.Repeat("stream ", 200000) + "]\nendobj\n" +
		"trailer\n<</Root 1 0 R/Size 5>>\nstartxref\n0\n%%EOF\n")
	doc, err := Open(context.Background(), bytes.NewReader(file), Options{Limits: Limits{LibraryTime: 50 * time.Millisecond}})
	if err != nil {
		t.Fatal(err)
	}
	if len(doc.Pages()) != 1 || len(doc.Warnings()) == 0 || !strings.Contains(strings.Join(doc.Warnings(), "; "), "takes too long") {
		t.Errorf("%d pages, with the warnings %q", len(doc.Pages()), doc.Warnings())
	}
	ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
	defer cancel()
	if _, err := Open(ctx, bytes.NewReader(file), Options{}); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("when the context ended: %v", err)
	}
}
