package pdf

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// byOwnTable reads a file by its table alone, and by searching alone.
func byOwnTable(data []byte) (*Document, error) { return readBy(data, (*loader).byTable) }

func bySearching(data []byte) (*Document, error) { return readBy(data, (*loader).bySearch) }

func readBy(data []byte, read func(*loader, string) (*Document, error)) (*Document, error) {
	data, version, err := cutHeader(data)
	if err != nil {
		return nil, err
	}
	return read(&loader{ctx: context.Background(), data: data, lim: Limits{}.withDefaults(), warn: &warnings{}}, version)
}

// TestTableFiles reads other people's files in both ways: what the table of a
// file without a fault lists is what is found by searching. Without
// SIZEPLY_LONG=1 it takes some files.
func TestTableFiles(t *testing.T) {
	compared := 0
	for i, file := range sample(corpusFiles(t)) {
		if !long() && i%3 > 0 {
			continue
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		want, err := byOwnTable(data)
		if err != nil || len(want.Warnings()) > 0 {
			continue
		}
		got, err := bySearching(data)
		if err != nil {
			t.Errorf("%s: %v", filepath.Base(file), err)
			continue
		}
		compared++
		a, _ := write(t, want.Edit())
		b, _ := write(t, got.Edit())
		if !bytes.Equal(a, b) {
			t.Errorf("%s (-table +search):\n%.2000s", filepath.Base(file), cmp.Diff(graph(want), graph(got)))
		}
	}
	if compared == 0 {
		t.Error("no file was compared")
	}
	t.Logf("%d files compared", compared)
}

func TestTable(t *testing.T) {
	for name, data := range map[string][]byte{"stream": xrefStream("000000"), "object streams": rewritten(t), "hybrid": hybrid()} {
		doc, err := byOwnTable(data)
		if err != nil || content(t, doc) != square {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestTableErrors(t *testing.T) {
	data := string(plain().bytes())
	start := strings.Index(data, "xref\n0")
	chain := func(extra string) string {
		return strings.Replace(data, "/Root 1 0 R", extra+"/Root 1 0 R", 1)
	}
	tests := []struct{ name, data string }{
		{"no startxref", strings.Replace(data, "startxref", "startxxxx", 1)},
		{"an offset past the end", strings.Replace(data, fmt.Sprintf("startxref\n%d", start), "startxref\n9999", 1)},
		{"an offset of something else", strings.Replace(data, fmt.Sprintf("startxref\n%d", start), "startxref\n10", 1)},
		{"sections in a circle", chain(fmt.Sprintf("/Prev %d", start))},
		{"an older section that is none", chain("/Prev 10")},
		{"a hybrid section that is none", chain("/XRefStm 10")},
		{"an entry of another kind", strings.Replace(data, "00000 n", "00000 x", 1)},
		{"more entries than lines", strings.Replace(data, "xref\n0 5", "xref\n0 9", 1)},
		{"no trailer", strings.Replace(data, "trailer", "trailed", 1)},
		{"widths that no row has", strings.Replace(string(xrefStream("000000")), "/W[", "/W[9 9 9]/V[", 1)},
	}
	for _, tt := range tests {
		if tt.data == data {
			t.Errorf("%s: nothing was changed", tt.name)
		}
		if doc, err := byOwnTable([]byte(tt.data)); err == nil {
			t.Errorf("%s: read as %v", tt.name, doc.Refs())
		}
	}
}
