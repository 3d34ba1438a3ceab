package oracle

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// original is a file of others, with what is known of it.
type original struct {
	path     string
	features []string
}

// TestCorpus holds the reference copy, with the file's own states, against
// the file as renderers draw it. The folder is that of SIZEPLY_CORPUS.
func TestCorpus(t *testing.T) {
	dir := os.Getenv("SIZEPLY_CORPUS")
	if dir == "" {
		t.Skip("SIZEPLY_CORPUS names no folder of files from other programs")
	}
	known := map[string][]string{
		// Groups for viewing and for printing alone.
		"bug1650302_reduced.pdf": {testpdf.FeatureUsage},
		// MuPDF takes no expression into account.
		"visibility_expressions.pdf": {testpdf.FeatureExpression},
		// Its groups are in a pattern.
		"issue15716.pdf": {testpdf.FeaturePatternOC},
	}
	files := layered(t, dir, 1<<20)
	if len(files) == 0 {
		t.Fatalf("%s holds no PDF files with layers", dir)
	}
	for _, path := range files {
		t.Run(filepath.Base(path), func(t *testing.T) { holds(t, original{path, known[filepath.Base(path)]}) })
	}
}

// TestSamples does the same for samples that come with the PDF library of the
// project; one in eight unless SIZEPLY_ALL_SAMPLES is 1.
func TestSamples(t *testing.T) {
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	dir := strings.TrimSpace(string(out))
	if err != nil || dir == "" {
		t.Skip("the folder of the samples is not known here: go list does not tell it")
	}
	every, size := 8, int64(200<<10)
	if os.Getenv("SIZEPLY_ALL_SAMPLES") == "1" {
		every, size = 1, 1<<30
	}
	files := layered(t, filepath.Join(dir, "pkg"), size)
	if len(files) < 20 {
		t.Skipf("only %d samples with layers are there", len(files))
	}
	for i := 0; i < len(files); i += every {
		t.Run(filepath.Base(files[i]), func(t *testing.T) { holds(t, original{path: files[i]}) })
	}
}

// layered finds the PDF files with groups below a folder.
func layered(t *testing.T, dir string, size int64) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !strings.EqualFold(filepath.Ext(path), ".pdf") {
			return err
		}
		if info, err := e.Info(); err != nil || info.Size() > size {
			return err
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if groups, err := testpdf.Groups(data); err == nil && len(groups) > 0 {
			out = append(out, path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func holds(t *testing.T, o original) {
	data, err := os.ReadFile(o.path)
	if err != nil {
		t.Fatal(err)
	}
	states, err := testpdf.DefaultState(data)
	if err != nil {
		t.Fatal(err)
	}
	copied := reference(t, data, func(obj int) bool { return states[obj] })
	if testpdf.QPDF(data) == nil {
		if err := testpdf.QPDF(copied); err != nil {
			t.Errorf("the copy of a sound file is not sound: %v", err)
		}
	}
	for _, r := range Renderers(t) {
		if !misread(r.Name, o.features) {
			r.Same(t, data, copied, 20)
		}
	}
}
