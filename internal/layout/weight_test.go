package layout

import (
	"compress/gzip"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// TestWeight builds a program on each package that does no more than use it, and holds
// it against bounds: bytes without the symbol table, and those of WebAssembly
// compressed by gzip, which is for long runs since it compiles all anew.
func TestWeight(t *testing.T) {
	if testing.Short() {
		t.Skip("builds programs")
	}
	for _, c := range []struct {
		name, use      string
		native, zipped int64
	}{
		{"layers", `d, _ := layers.Open(context.Background(), os.Stdin, nil)
	_, _ = d.Isolate(context.Background(), os.Stdout, layers.Selection{}, nil)
	_, _ = d.Lines(context.Background())`, 5_000_000, 3_000_000},
		{"sizes", `c, _ := sizes.Read(os.Stdin, "")
	_, _ = c.Match(nil).Pick(sizes.Want{})
	_ = context.Background()`, 3_700_000, 3_000_000},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			source, file := filepath.Join(dir, "main.go"), filepath.Join(dir, "program")
			write(t, source, `package main

import (
	"context"
	"os"

	"`+module+"/"+c.name+`"
)

func main() {
	`+c.use+`
}
`)
			build(t, source, file, "CGO_ENABLED=0", "GOOS=linux", "GOARCH=amd64")
			size(t, file, c.native, false)
			if os.Getenv("SIZEPLY_LONG") != "" {
				build(t, source, file, "GOOS=js", "GOARCH=wasm")
				size(t, file, c.zipped, true)
			}
		})
	}
}

// build builds a source file as if it stood in this module.
func build(t *testing.T, source, file string, environment ...string) {
	t.Helper()
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	as := filepath.Join(root, "internal", "weight", "main.go")
	text, err := json.Marshal(map[string]any{"Replace": map[string]string{as: source}})
	if err != nil {
		t.Fatal(err)
	}
	overlay := filepath.Join(t.TempDir(), "overlay.json")
	write(t, overlay, string(text))
	cmd := exec.Command("go", "build", "-overlay", overlay, "-trimpath", "-ldflags=-s -w", "-o", file, "./internal/weight")
	cmd.Dir, cmd.Env = root, append(os.Environ(), environment...)
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v: %s", err, said)
	}
}

// size holds a file against a bound.
func size(t *testing.T, file string, most int64, zipped bool) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	n, what := counter(len(data)), "a program"
	if zipped {
		n, what = 0, "WebAssembly, compressed,"
		w := gzip.NewWriter(&n)
		if _, err := w.Write(data); err != nil || w.Close() != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%s has %d bytes", what, n)
	if int64(n) > most {
		t.Errorf("%s has %d bytes, more than %d", what, n, most)
	}
}

// counter counts what is written to it.
type counter int64

func (c *counter) Write(b []byte) (int, error) {
	*c += counter(len(b))
	return len(b), nil
}
