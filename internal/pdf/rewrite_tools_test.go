package pdf

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// tool finds a program that serves as a witness. Without it the test is
// skipped, or fails where SIZEPLY_REQUIRE_TOOLS is 1.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("SIZEPLY_REQUIRE_TOOLS") == "1" {
			t.Fatalf("%s is not installed", name)
		}
		t.Skipf("%s is not installed", name)
	}
	return path
}

// TestRewriteRenders writes each file without a change and has Poppler draw
// the first pages of both, and qpdf check both. It takes minutes.
func TestRewriteRenders(t *testing.T) {
	if !long() {
		t.Skip("takes minutes; set SIZEPLY_LONG=1 to run it")
	}
	cairo, qpdf := tool(t, "pdftocairo"), tool(t, "qpdf")
	var y tally
	t.Run("files", func(t *testing.T) {
		for _, file := range corpusFiles(t) {
			t.Run(filepath.Base(file), func(t *testing.T) {
				t.Parallel()
				compareWithTools(t, file, cairo, qpdf, &y)
			})
		}
	})
	y.log(t)
}

func compareWithTools(t *testing.T, file, cairo, qpdf string, y *tally) {
	in, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	doc, err := Open(context.Background(), in, Options{})
	if err != nil {
		y.add("refused", file, err.Error()+"; qpdf: "+qpdfCheck(qpdf, file))
		return
	}
	out := filepath.Join(t.TempDir(), "out.pdf")
	data, _ := write(t, doc.Edit())
	if err := os.WriteFile(out, data, 0o600); err != nil {
		t.Fatal(err)
	}
	if before, after := qpdfCheck(qpdf, file), qpdfCheck(qpdf, out); after != "clean" && after != before {
		t.Errorf("qpdf calls the input %s, the output %s", before, after)
	}
	a, b := draw(t, cairo, file), draw(t, cairo, out)
	switch {
	case a == nil && b == nil:
		y.add("not drawn either way", file, "")
	case len(a) != len(b):
		t.Errorf("%d pages were drawn, not %d", len(b), len(a))
		y.add("differing", file, "number of pages")
	default:
		for i := range a {
			if !bytes.Equal(a[i], b[i]) {
				t.Errorf("page image %d differs", i+1)
				y.add("differing", file, "picture")
				return
			}
		}
		y.add("identical", file, "")
	}
}

// draw has the first two pages drawn and returns their images, nil where that
// fails.
func draw(t *testing.T, cairo, file string) (images [][]byte) {
	t.Helper()
	dir := t.TempDir()
	cmd := exec.Command(cairo, "-png", "-r", "30", "-f", "1", "-l", "2", file, filepath.Join(dir, "page"))
	if cmd.Run() != nil {
		return nil
	}
	names, err := filepath.Glob(filepath.Join(dir, "*.png"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		images = append(images, data)
	}
	return images
}

// qpdfCheck returns what qpdf says of a file: clean, warnings or errors.
func qpdfCheck(qpdf, file string) string {
	err := exec.Command(qpdf, "--check", file).Run()
	var exit *exec.ExitError
	switch {
	case err == nil:
		return "clean"
	case errors.As(err, &exit) && exit.ExitCode() == 3:
		return "warnings"
	}
	return "errors"
}
