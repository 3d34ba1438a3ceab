package pdf

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/sizeply/sizeply/layers/failure"
)

// long says whether the tests go through every file, with other programs as
// witnesses.
func long() bool { return os.Getenv("SIZEPLY_LONG") == "1" }

// corpusFiles lists the PDFs of other people that are at hand: the folder
// SIZEPLY_CORPUS and those that come with the module pdfcpu.
func corpusFiles(t testing.TB) []string {
	t.Helper()
	var files []string
	dirs := []string{os.Getenv("SIZEPLY_CORPUS")}
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	if err == nil {
		dirs = append(dirs, filepath.Join(strings.TrimSpace(string(out)), "pkg"))
	}
	for _, dir := range dirs {
		if dir == "" {
			continue
		}
		err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
			if err == nil && !e.IsDir() && strings.EqualFold(filepath.Ext(path), ".pdf") {
				files = append(files, path)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(files) == 0 {
		t.Skip("no PDFs: set SIZEPLY_CORPUS to a folder of some")
	}
	slices.Sort(files)
	return files
}

// sample returns a part of files that is read in seconds, all if long.
func sample(files []string) []string {
	if long() {
		return files
	}
	var some []string
	for i, f := range files {
		info, err := os.Stat(f)
		inCorpus := strings.HasPrefix(f, os.Getenv("SIZEPLY_CORPUS")+string(filepath.Separator))
		if err == nil && info.Size() < 2<<20 && (inCorpus || i%6 == 0) {
			some = append(some, f)
		}
	}
	return some
}

// tally counts what became of the files of a test.
type tally struct {
	sync.Mutex
	counts map[string]int
	lines  []string
}

func (y *tally) add(outcome, file, detail string) {
	y.Lock()
	defer y.Unlock()
	if y.counts == nil {
		y.counts = map[string]int{}
	}
	y.counts[outcome]++
	if detail != "" {
		y.lines = append(y.lines, fmt.Sprintf("%s: %s: %s", outcome, filepath.Base(file), detail))
	}
}

func (y *tally) log(t *testing.T) {
	slices.Sort(y.lines)
	t.Logf("%v\n%s", y.counts, strings.Join(y.lines, "\n"))
}

// TestRewriteFiles writes each file without a change, twice, and opens the
// result: the bytes have to be equal, and so have the objects.
func TestRewriteFiles(t *testing.T) {
	var y tally
	t.Run("files", func(t *testing.T) {
		for _, file := range sample(corpusFiles(t)) {
			t.Run(filepath.Base(file), func(t *testing.T) {
				t.Parallel()
				rewriteFile(t, file, &y)
			})
		}
	})
	if y.counts["written"] == 0 {
		t.Error("no file could be opened")
	}
	y.log(t)
}

func rewriteFile(t *testing.T, file string, y *tally) {
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := Open(context.Background(), bytes.NewReader(data), Options{})
	if err != nil {
		if !expected(err) {
			t.Errorf("Open: %v, which is of no kind that a caller can tell", err)
		}
		y.add("refused", file, err.Error())
		return
	}
	checkRewrite(t, doc)
	y.add("written", file, "")
	if w := doc.Warnings(); len(w) > 0 {
		y.add("with warnings", file, strings.Join(w, "; "))
	}
}

// expected tells whether an error of Open is of a kind that Open promises.
func expected(err error) bool {
	var format *failure.FormatError
	var limit *failure.LimitError
	var encryption *failure.EncryptionError
	return errors.Is(err, ErrEmpty) || errors.Is(err, ErrNotPDF) || errors.Is(err, ErrPassword) ||
		errors.As(err, &format) || errors.As(err, &limit) || errors.As(err, &encryption)
}

// checkRewrite writes doc without a change and holds the result against it.
func checkRewrite(t testing.TB, doc *Document) []byte {
	t.Helper()
	return checkRewriteWith(t, doc, "")
}

// checkRewriteWith is checkRewrite for a file that a password opens. One that
// forbids changes cannot be written.
func checkRewriteWith(t testing.TB, doc *Document, password string) []byte {
	t.Helper()
	var forbidden *failure.PermissionError
	if _, err := doc.Edit().Write(context.Background(), io.Discard); errors.As(err, &forbidden) {
		return nil
	}
	before := doc.Hash()
	out, number := write(t, doc.Edit())
	if again, _ := write(t, doc.Edit()); !bytes.Equal(out, again) {
		t.Error("two writes differ")
	}
	if doc.Hash() != before {
		t.Error("writing changed the document")
	}
	result, err := Open(context.Background(), bytes.NewReader(out), Options{Password: password})
	if err != nil {
		t.Fatalf("opening what was written: %v", err)
	}
	if w := result.Warnings(); !slices.Equal(pageWarnings(w), pageWarnings(doc.Warnings())) {
		t.Errorf("opening what was written warns of %q", w)
	}
	checkSameGraph(t, doc, result, number)
	if fixed, _ := write(t, result.Edit()); !bytes.Equal(out, fixed) {
		t.Error("writing the result again gives other bytes")
	}
	return out
}

// pageWarnings keeps the warnings on pages, which a copy shares.
func pageWarnings(list []string) (pages []string) {
	for _, w := range list {
		if strings.HasPrefix(w, "page ") {
			pages = append(pages, w)
		}
	}
	return pages
}

func write(t testing.TB, e *Edit) ([]byte, map[Ref]Ref) {
	t.Helper()
	var out bytes.Buffer
	number, err := e.Write(context.Background(), &out)
	if err != nil {
		t.Fatalf("Write: %v", err)
	}
	return out.Bytes(), number
}

// checkSameGraph checks that each object of doc that was written is the same
// in result, that there are no others, and that the pages are the same.
func checkSameGraph(t testing.TB, doc, result *Document, number map[Ref]Ref) {
	t.Helper()
	written := map[Ref]bool{}
	for old, num := range number {
		written[num] = true
		if !same(doc, number, Resolve(doc, old), result.Object(num)) {
			t.Errorf("object %d differs from object %d of the original:\n%v\n%v",
				num, old, result.Object(num), doc.Object(old))
		}
	}
	if len(written) != len(result.Refs()) {
		t.Errorf("%d objects were written, %d are there", len(written), len(result.Refs()))
	}
	if _, root := doc.Root(); number[root] != result.root {
		t.Errorf("the catalog is object %d, not %d", result.root, number[root])
	}
	a, b := doc.Pages(), result.Pages()
	if len(a) != len(b) {
		t.Fatalf("%d pages, not %d", len(b), len(a))
	}
	for i := range a {
		if number[a[i].Ref] != b[i].Ref || a[i].MediaBox != b[i].MediaBox || a[i].CropBox != b[i].CropBox ||
			a[i].Rotate != b[i].Rotate || a[i].UserUnit != b[i].UserUnit {
			t.Errorf("page %d differs: %+v, %+v", i+1, b[i], a[i])
		}
	}
}

// same compares an object of a document with that of its copy.
func same(src Objects, number map[Ref]Ref, a, b Object) bool {
	switch a := a.(type) {
	case Ref:
		r, isRef := b.(Ref)
		if number[a] == 0 {
			return b == nil
		}
		return isRef && r == number[a]
	case Array:
		list, ok := b.(Array)
		if !ok || len(list) != len(a) {
			return false
		}
		for i := range a {
			if !same(src, number, a[i], list[i]) {
				return false
			}
		}
		return true
	case Dict:
		d, ok := b.(Dict)
		return ok && sameDict(src, number, a, d)
	case *Stream:
		s, ok := b.(*Stream)
		return ok && sameDict(src, number, a.Dict, s.Dict) && bytes.Equal(a.Raw, s.Raw)
	}
	return a == b
}

func sameDict(src Objects, number map[Ref]Ref, a, b Dict) bool {
	n := 0
	for key, value := range a {
		if r, isRef := value.(Ref); isRef && number[r] == 0 {
			continue
		}
		n++
		if !same(src, number, value, b[key]) {
			return false
		}
	}
	return n == len(b)
}
