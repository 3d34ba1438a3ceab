package pdf

import (
	"bytes"
	"context"
	"testing"
)

// FuzzOpen checks that any file is opened or refused with an error of a kind
// that Open promises, and that one which is opened can be written, twice to
// the same bytes, and opened again with the same objects.
func FuzzOpen(f *testing.F) {
	for _, a := range awkward() {
		f.Add(a.data)
	}
	for _, e := range wrongEntries() {
		f.Add(e.data)
	}
	f.Add(rewritten(f))
	for _, e := range encryptedFiles {
		f.Add(readEncrypted(f, e.name))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		lim := Limits{StreamBytes: 1 << 20, PageBytes: 1 << 20, ObjectBytes: 1 << 20, Objects: 10_000}
		doc, err := Open(context.Background(), bytes.NewReader(data), Options{Password: "user", Limits: lim})
		if err != nil {
			if !expected(err) {
				t.Errorf("Open: %v", err)
			}
			return
		}
		checkRewriteWith(t, doc, "user")
		for _, p := range doc.Pages() {
			if p.MediaBox.empty() || p.CropBox.empty() || p.Rotate%90 != 0 || !(p.UserUnit > 0) {
				t.Errorf("page %+v", p)
			}
			if c, err := PageContent(context.Background(), doc, p.Dict, lim); err == nil && int64(len(c.Data)) > lim.PageBytes {
				t.Errorf("%d bytes of content", len(c.Data))
			}
		}
	})
}
