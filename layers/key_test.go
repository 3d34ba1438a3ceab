package layers

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/golden"
	"github.com/sizeply/sizeply/internal/isolate"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// key is the key of a selection and options.
func key(t *testing.T, doc *Document, sel Selection, opt *IsolateOptions) string {
	t.Helper()
	k, err := doc.Key(sel, opt)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// TestKey: what is written alike has one key however it is asked for, and nothing else
// has it.
func TestKey(t *testing.T) {
	doc := open(t, three())
	lines, err := doc.Lines(context.Background())
	if err != nil || len(lines.Styles) == 0 {
		t.Fatalf("%d styles, %v", len(lines.Styles), err)
	}
	alike := [][]Selection{
		{{Layers: []int{0, 1}}, {Layers: []int{1, 0, 1}}, {Layers: []int{0, 1}, Unchanged: []int{1}},
			{Layers: []int{0, 1}, NoLayers: true}, {Layers: []int{0, 1}, Document: doc.Fingerprint()}},
		{{Layers: []int{0}}},
		{{Layers: []int{0}, Unchanged: []int{1, 2}}, {Layers: []int{0}, Unchanged: []int{2, 1}}},
		{{Layers: []int{0, 1}, Lines: []LineStyle{}}},
		{{Layers: []int{0, 1}, Lines: lines.Styles[:1]}},
	}
	seen := map[string]string{}
	for i, group := range alike {
		for _, sel := range group {
			if had, ok := seen[key(t, doc, sel, nil)]; ok && had != fmt.Sprint(i) {
				t.Errorf("selection %d has the key of %s", i, had)
			}
			seen[key(t, doc, sel, nil)] = fmt.Sprint(i)
		}
	}
	for i, opt := range []IsolateOptions{{Flatten: true}, {KeepAttachments: true}, {NoResidue: true}, {AcceptDamage: true},
		{Decrypt: true}} {
		k := key(t, doc, Selection{Layers: []int{0}}, &opt)
		if had, ok := seen[k]; ok {
			t.Errorf("options %d have the key of %s", i, had)
		}
		seen[k] = fmt.Sprintf("options %d", i)
	}
	if want := len(alike) + 5; len(seen) != want {
		t.Errorf("there are %d keys, not %d", len(seen), want)
	}
	other := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B", "C"}, Pages: []testpdf.Page{{}}}))
	if _, ok := seen[key(t, other, Selection{Layers: []int{0}}, nil)]; ok {
		t.Error("another file has the key of this one")
	}
	if _, err := doc.Key(Selection{Layers: []int{9}}, nil); err == nil {
		t.Error("a selection that is not one of the file has a key")
	}
}

// TestOutputVersion holds the bytes that are written for the demo files. Where this
// fails, what Isolate writes has changed: raise isolate.OutputVersion, so that results
// which services have kept by Document.Key are not taken for today's, and run the test
// with -update.
func TestOutputVersion(t *testing.T) {
	files, err := filepath.Glob("../testdata/*.pdf")
	if err != nil || len(files) < 6 {
		t.Fatalf("found %v: %v", files, err)
	}
	var text strings.Builder
	fmt.Fprintf(&text, "version %d\n", isolate.OutputVersion)
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		doc := open(t, data)
		sel := Selection{Lines: []LineStyle{}}
		for i := range len(doc.Layers()) / 2 {
			sel.Layers = append(sel.Layers, i)
		}
		if lines, err := doc.Lines(context.Background()); err != nil {
			t.Fatal(err)
		} else {
			sel.Lines = lines.Styles[:len(lines.Styles)/2]
		}
		for _, flatten := range []bool{false, true} {
			var out bytes.Buffer
			if _, err := doc.Isolate(context.Background(), &out, sel, &IsolateOptions{Flatten: flatten}); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			fmt.Fprintf(&text, "%x %s flatten %t\n", sha256.Sum256(out.Bytes()), filepath.Base(name), flatten)
		}
	}
	golden.Equal(t, "output.golden", []byte(text.String()))
}
