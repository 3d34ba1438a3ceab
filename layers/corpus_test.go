package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/failure"
)

// TestCorpus does to files of other people what the command does, the first
// layer being kept; a file without layers is written unchanged. Each comes out
// right, by checks that read the result afresh, or is refused with a sentence.
// With SIZEPLY_LONG=1 these are all files of SIZEPLY_CORPUS and all that come
// with pdfcpu, else a sample.
func TestCorpus(t *testing.T) {
	files := corpusFiles(t)
	var c counts
	var running sync.WaitGroup
	next := make(chan string)
	for range 2 {
		running.Go(func() {
			for name := range next {
				how, err := handle(name)
				c.add(t, name, how, err)
			}
		})
	}
	for _, name := range files {
		next <- name
	}
	close(next)
	running.Wait()
	t.Logf("of %d files:\n%s", len(files), c.String())
	if c.of["right: isolated"] == 0 || c.of["right: written, without layers"] == 0 {
		t.Error("no file with layers, or none without, came out right")
	}
}

// corpusFiles are the files of TestCorpus.
func corpusFiles(t *testing.T) []string {
	t.Helper()
	var own, samples []string
	if dir := os.Getenv("SIZEPLY_CORPUS"); dir != "" {
		own = pdfFiles(t, dir)
	}
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output()
	if err == nil {
		samples = pdfFiles(t, filepath.Join(strings.TrimSpace(string(out)), "pkg"))
	}
	if len(samples) == 0 {
		t.Skip("the samples of pdfcpu are not at hand: go list does not tell their folder")
	}
	if !long() {
		var some []string
		for i, name := range samples {
			if info, err := os.Stat(name); err == nil && info.Size() < 1<<20 && i%12 == 0 {
				some = append(some, name)
			}
		}
		samples = some
	}
	return append(own, samples...)
}

// A refusal is an error that is an answer; any other is a fault.
type refusal struct{ error }

// handle says how a file ended: the kind of what is right, or a refusal, or an
// error.
func handle(name string) (how string, err error) {
	file, err := os.ReadFile(name)
	if err != nil {
		return "", err
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute) // a bound against hanging
	defer cancel()
	doc, err := Open(ctx, bytes.NewReader(file), nil)
	if err != nil {
		return "", refused(err)
	}
	if len(doc.Layers()) == 0 {
		if _, err := doc.Isolate(ctx, io.Discard, Selection{}, nil); !errors.Is(err, ErrNoLayers) {
			return "", fmt.Errorf("without layers: %w", err)
		}
		return "right: written, without layers", writtenUnchanged(ctx, doc)
	}
	if _, err := doc.Inspect(ctx); err != nil {
		return "", refused(err)
	}
	var out bytes.Buffer
	sel := Selection{Layers: []int{0}}
	report, err := doc.Isolate(ctx, &out, sel, nil)
	if err != nil {
		return "", refused(err)
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		return "", fmt.Errorf("check: %w", err)
	}
	if err := Verify(ctx, bytes.NewReader(out.Bytes()), doc, sel, nil); err != nil {
		return "", fmt.Errorf("verify: %w", err)
	}
	return "right: isolated", nil
}

// refused is a refusal where an error is of a kind that is promised and one
// sentence.
func refused(err error) error {
	var (
		format     *failure.FormatError
		limit      *LimitError
		encryption *EncryptionError
		permission *PermissionError
		width      *UnknownWidthError
		unreadable *UnreadableError
	)
	known := errors.Is(err, ErrNotPDF) || errors.Is(err, ErrEmpty) || errors.Is(err, ErrPassword) || errors.As(err, &format) ||
		errors.As(err, &limit) || errors.As(err, &encryption) || errors.As(err, &permission) || errors.As(err, &width) ||
		errors.As(err, &unreadable)
	if !known || strings.ContainsAny(err.Error(), "\n\x00") {
		return fmt.Errorf("this is no answer: %w", err)
	}
	return refusal{err}
}

// writtenUnchanged writes a document and reads it again: its pages have the same
// boxes and the same content.
func writtenUnchanged(ctx context.Context, doc *Document) error {
	if err := doc.file.PDF.MayChange(); err != nil {
		return refused(err)
	}
	var out bytes.Buffer
	if _, err := doc.file.PDF.Edit().Write(ctx, &out); err != nil {
		return fmt.Errorf("writing: %w", err)
	}
	got, err := Open(ctx, bytes.NewReader(out.Bytes()), nil)
	if err != nil {
		return fmt.Errorf("opening what was written: %w", err)
	}
	was, now := doc.file.PDF.Pages(), got.file.PDF.Pages()
	if len(was) != len(now) {
		return fmt.Errorf("there are %d pages, not %d", len(now), len(was))
	}
	for i, p := range was {
		q := now[i]
		if p.MediaBox != q.MediaBox || p.CropBox != q.CropBox || p.Rotate != q.Rotate || p.UserUnit != q.UserUnit {
			return fmt.Errorf("page %d: its boxes, rotation or unit are not as they were", p.Number)
		}
		want, wantErr := pdf.PageContent(context.Background(), doc.file.PDF, p.Dict, doc.file.Limits)
		have, haveErr := pdf.PageContent(context.Background(), got.file.PDF, now[i].Dict, got.file.Limits)
		if (wantErr == nil) != (haveErr == nil) || !bytes.Equal(want.Data, have.Data) {
			return fmt.Errorf("page %d has other content: %v, %v", p.Number, wantErr, haveErr)
		}
	}
	return nil
}

// counts are how files ended.
type counts struct {
	mu sync.Mutex
	of map[string]int
}

var digits = regexp.MustCompile(`\d+`)

// add counts one file; what failed is an error of the test.
func (c *counts) add(t *testing.T, name, how string, err error) {
	t.Helper()
	var r refusal
	switch {
	case errors.As(err, &r):
		how = "refused: " + digits.ReplaceAllString(r.Error(), "N")
	case err != nil:
		how = "failed"
		t.Errorf("%s: %v", name, err)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.of == nil {
		c.of = map[string]int{}
	}
	c.of[how]++
}

// String lists them, a line each.
func (c *counts) String() string {
	var b strings.Builder
	for _, how := range slices.Sorted(maps.Keys(c.of)) {
		fmt.Fprintf(&b, "%5d  %s\n", c.of[how], how)
	}
	return b.String()
}
