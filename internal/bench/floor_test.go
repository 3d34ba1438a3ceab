package bench

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/klauspost/compress/zlib"

	"github.com/sizeply/sizeply/internal/pdf"
)

// TestFloor: the floor writes as many bytes of content as isolating keeps, up
// to what the marked content costs: it is neither too low nor too high.
func TestFloor(t *testing.T) {
	for _, w := range small() {
		t.Run(w.Name, func(t *testing.T) {
			folder := t.TempDir()
			in, out := filepath.Join(folder, "in"), filepath.Join(folder, "out")
			f, err := os.Create(in)
			if err == nil {
				err = w.Write(f, nil)
			}
			if err == nil {
				err = f.Close()
			}
			if err == nil {
				err = Floor(in, out)
			}
			if err != nil {
				t.Fatal(err)
			}
			floor, want := inflated(t, out), isolated(t, w)
			if less, more := want*99/100, want*101/100; floor < less || floor > more {
				t.Errorf("the floor has %d bytes of content, isolating keeps %d", floor, want)
			}
		})
	}
}

// TestInflate: the streams of a workload are all found, twice where it is given
// twice.
func TestInflate(t *testing.T) {
	for _, w := range small() {
		t.Run(w.Name, func(t *testing.T) {
			var b bytes.Buffer
			if err := w.Write(&b, nil); err != nil {
				t.Fatal(err)
			}
			in := filepath.Join(t.TempDir(), "in")
			if err := os.WriteFile(in, b.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			n, err := Inflate(in, in)
			if want := 2 * decoded(t, b.Bytes()); err != nil || n != int64(want) {
				t.Errorf("%d bytes (%v), not %d", n, err, want)
			}
		})
	}
}

// inflated counts the bytes in a file of compressed data one behind the other.
func inflated(t *testing.T, file string) (n int) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for in := bytes.NewReader(data); in.Len() > 0; {
		r, err := zlib.NewReader(in)
		if err != nil {
			t.Fatal(err)
		}
		var text strings.Builder
		if _, err := io.Copy(&text, r); err != nil {
			t.Fatal(err)
		}
		n += text.Len()
	}
	return n
}

// isolated counts the bytes of all streams that isolating keeps.
func isolated(t *testing.T, w Workload) (n int) {
	t.Helper()
	var b bytes.Buffer
	if _, err := written(t, w).Isolate(context.Background(), &b, kept(), nil); err != nil {
		t.Fatal(err)
	}
	return decoded(t, b.Bytes())
}

// decoded counts the bytes of all streams of a PDF file.
func decoded(t *testing.T, file []byte) (n int) {
	t.Helper()
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range doc.Refs() {
		if st := pdf.AsStream(doc, r); st != nil {
			data, err := pdf.Decode(context.Background(), doc, st, 0)
			if err != nil {
				t.Fatal(err)
			}
			n += len(data)
		}
	}
	return n
}
