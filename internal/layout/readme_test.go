package layout

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/layers"
)

// stranger is what somebody writes around the README's Go.
const stranger = `package main

import (
	"context"
	"io"
	"log"
	"os"

	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

func main() {
	file, err := os.Open(os.Args[1])
	if err != nil {
		log.Fatal(err)
	}
	chart, err := os.Open(os.Args[2])
	if err != nil {
		log.Fatal(err)
	}
	data, err := isolated(context.Background(), file, chart, os.Args[3])
	if err != nil {
		log.Fatal(err)
	}
	os.Stdout.Write(data)
}

`

// TestReadmeInAnEmptyModule copies the README's Go into a module that has nothing but
// a line which says where this one is, and isolates by layer and by line.
func TestReadmeInAnEmptyModule(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a program")
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(root + "/README.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := regexp.MustCompile("(?s)```go\n(.*?)```").FindAllSubmatch(readme, -1)
	if len(blocks) != 1 {
		t.Fatalf("the README has %d pieces of Go, not one", len(blocks))
	}
	dir := t.TempDir()
	write(t, filepath.Join(dir, "main.go"), stranger+string(blocks[0][1]))
	write(t, filepath.Join(dir, "go.mod"), fmt.Sprintf("module print.example\n\ngo %s\n\nrequire %s v0.0.0\n\nreplace %[2]s => %s\n",
		goVersion(t, root), module, root))
	sums, err := os.ReadFile(root + "/go.sum") // which 'go mod tidy' would fetch
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "go.sum"), string(sums))
	program := filepath.Join(dir, "print")
	build := exec.Command("go", "build", "-mod=mod", "-o", program, ".")
	build.Dir, build.Env = dir, append(os.Environ(), "GOWORK=off", "GOPROXY=off", "GOFLAGS=")
	if said, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	for file, chart := range map[string]string{
		"tollmere-skirt.pdf": "tollmere.yaml", "tollmere-skirt-dash.pdf": "tollmere-dash.yaml",
	} {
		run := exec.Command(program, root+"/testdata/"+file, root+"/testdata/charts/"+chart, "14")
		out, err := run.Output()
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		checkPrint(t, file, out)
	}
}

// checkPrint holds that a print of size 14 with its neighbours has three of the sizes of
// the pattern, by layer or by line.
func checkPrint(t *testing.T, name string, data []byte) {
	t.Helper()
	doc, err := layers.Open(context.Background(), bytes.NewReader(data), nil)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	if doc.NoLayers() == nil {
		var found []string
		for _, l := range layers.Names(doc.Layers()) {
			if strings.HasPrefix(l, "Size ") {
				found = append(found, l)
			}
		}
		if got := strings.Join(found, ", "); got != "Size 12, Size 14, Size 16" {
			t.Errorf("%s: its sizes are %s", name, got)
		}
		return
	}
	lines, err := doc.Lines(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if sizes := layers.ProposeLines(lines.Styles); len(sizes) != 3 {
		t.Errorf("%s: it has the lines of %d sizes, not of 3", name, len(sizes))
	}
}

// goVersion is the version of Go that the module asks for.
func goVersion(t *testing.T, root string) string {
	t.Helper()
	mod, err := os.ReadFile(root + "/go.mod")
	if err != nil {
		t.Fatal(err)
	}
	return string(regexp.MustCompile(`(?m)^go (\S+)$`).FindSubmatch(mod)[1])
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}
