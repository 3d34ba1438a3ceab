package cli

import (
	"bytes"
	"context"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// layered is a file of two layers that is as large as wanted.
func layered(bytes int) []byte {
	return testpdf.Build(testpdf.Doc{Groups: []string{"Size 14", "Size 16"}, Pages: []testpdf.Page{{
		Content: "/OC /Size#2014 BDC " + strings.Repeat("0 0 m 9 9 l S ", bytes/14) + "EMC /OC /Size#2016 BDC P1 EMC",
	}}})
}

// meddling is a context that does something when it is asked a second time,
// which is while a file is read: reading asks it before each mebibyte.
type meddling struct {
	context.Context
	asked int
	do    func()
}

func (m *meddling) Err() error {
	if m.asked++; m.asked == 2 {
		m.do()
	}
	return m.Context.Err()
}

// TestChangedWhileRead: what is changed while it is read is refused with the
// reason, and what is removed is read to its end.
func TestChangedWhileRead(t *testing.T) {
	whole := layered(3 << 20)
	for _, c := range []struct {
		name string
		do   func(name string) error
		want error
	}{
		{"left alone", func(string) error { return nil }, nil},
		{"cut short", func(name string) error { return os.Truncate(name, 1<<20+5) }, errChanged},
		{"emptied", func(name string) error { return os.Truncate(name, 0) }, errChanged},
		{"appended to", func(name string) error {
			f, err := os.OpenFile(name, os.O_APPEND|os.O_WRONLY, 0)
			if err != nil {
				return err
			}
			defer f.Close()
			_, err = f.WriteString("more")
			return err
		}, errChanged},
		{"written anew", func(name string) error { return os.WriteFile(name, layered(2<<20), 0o600) }, errChanged},
		{"removed", os.Remove, nil},
		{"replaced by another", func(name string) error {
			if err := os.WriteFile(name+"2", []byte("x"), 0o600); err != nil {
				return err
			}
			return os.Rename(name+"2", name)
		}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			name := filepath.Join(t.TempDir(), "in.pdf")
			if err := os.WriteFile(name, whole, 0o600); err != nil {
				t.Fatal(err)
			}
			ctx := &meddling{Context: context.Background(), do: func() {
				if err := c.do(name); err != nil {
					t.Error(err)
				}
			}}
			p := &program{timed: true} // so that the context is asked itself
			doc, err := p.open(ctx, name)
			if !errors.Is(err, c.want) || ctx.asked < 2 {
				t.Fatalf("got %v, want %v; asked %d times", err, c.want, ctx.asked)
			}
			if c.want == nil && len(doc.Layers()) != 2 {
				t.Errorf("%d layers were read", len(doc.Layers()))
			}
		})
	}
}

// TestRewrittenInput runs the command while another program writes its input
// again and again: it ends with the result for one of the two versions, or with
// one sentence and no file.
func TestRewrittenInput(t *testing.T) {
	dir := t.TempDir()
	input, output := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
	args := []string{"isolate", input, "--layer", "Size 14", "-o", output}
	versions := [][]byte{layered(100 << 10), layered(2 << 20)}
	var right [][]byte
	for _, v := range versions {
		if err := os.WriteFile(input, v, 0o600); err != nil {
			t.Fatal(err)
		}
		if out, err := command(t, args...).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		data, err := os.ReadFile(output)
		if err != nil {
			t.Fatal(err)
		}
		right = append(right, data)
		if err := os.Remove(output); err != nil {
			t.Fatal(err)
		}
	}
	var stop atomic.Bool
	var writer sync.WaitGroup
	writer.Go(func() {
		for i := 0; !stop.Load(); i++ {
			if err := os.WriteFile(input, versions[i%2], 0o600); err != nil {
				t.Error(err)
				return
			}
			time.Sleep(rand.N(40 * time.Millisecond))
		}
	})
	defer writer.Wait()
	defer stop.Store(true)
	runs, done := 15, 0
	if os.Getenv("SIZEPLY_LONG") == "1" {
		runs = 200
	}
	for range runs {
		out, err := command(t, args...).CombinedOutput()
		data, readErr := os.ReadFile(output)
		switch {
		case err == nil && (bytes.Equal(data, right[0]) || bytes.Equal(data, right[1])):
			done++
		case err == nil:
			t.Fatalf("it wrote %d bytes, which is the result for neither version: %v", len(data), readErr)
		case !errors.Is(readErr, os.ErrNotExist):
			t.Fatalf("it failed, and there is a file: %s", out)
		case !bytes.HasPrefix(out, []byte("sizeply: ")) || bytes.Count(out, []byte("\n")) > 2:
			t.Fatalf("this is no sentence: %s", out)
		}
		if left := asides(t, dir); len(left) > 0 {
			t.Fatalf("left behind: %v", left)
		}
		_ = os.Remove(output)
	}
	t.Logf("%d of %d runs wrote a file", done, runs)
}

// TestPipe: a pipe that has a name is read like standard input.
func TestPipe(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, err := os.Stat("/dev/fd"); err != nil {
		t.Skip("open files have no names here")
	}
	cmd := command(t, "inspect", "--json", "/dev/fd/3")
	cmd.ExtraFiles = []*os.File{r}
	go func() {
		defer w.Close()
		_, _ = io.Copy(w, bytes.NewReader(layered(100<<10)))
	}()
	if out, err := cmd.CombinedOutput(); err != nil || !bytes.Contains(out, []byte("Size 16")) {
		t.Errorf("%v: %s", err, out)
	}
}
