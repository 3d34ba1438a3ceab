package testpdf

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// ToolTimeout ends a run of an outside program.
const ToolTimeout = 60 * time.Second

// Tool skips the test, with a message, where a program is not installed, and
// fails it where SIZEPLY_REQUIRE_TOOLS is 1.
func Tool(tb testing.TB, program string) {
	tb.Helper()
	if _, err := exec.LookPath(program); err == nil {
		return
	}
	if os.Getenv("SIZEPLY_REQUIRE_TOOLS") == "1" {
		tb.Fatalf("%s is not installed and SIZEPLY_REQUIRE_TOOLS is 1", program)
	}
	tb.Skipf("%s is not installed, so this is not checked here", program)
}

// Poppler draws all pages with pdftocairo at the given resolution.
func Poppler(pdf []byte, dpi int) ([]*image.RGBA, error) {
	return drawWith(pdf, func(in, dir string) []string {
		return []string{"pdftocairo", "-png", "-r", strconv.Itoa(dpi), in, filepath.Join(dir, "page")}
	})
}

// MuPDF draws all pages with mutool at the given resolution.
func MuPDF(pdf []byte, dpi int) ([]*image.RGBA, error) {
	return drawWith(pdf, func(in, dir string) []string {
		return []string{"mutool", "draw", "-q", "-r", strconv.Itoa(dpi), "-o", filepath.Join(dir, "page-%04d.png"), in}
	})
}

// MuPDFText is the text that mutool sees on all pages; what it cannot read of
// them is no error.
func MuPDFText(pdf []byte) (text string, err error) {
	err = inFolder(pdf, func(in, dir string) error {
		out := filepath.Join(dir, "text")
		failed := run("mutool", "draw", "-q", "-F", "txt", "-o", out, in)
		data, err := os.ReadFile(out)
		if text = string(data); err != nil || text == "" {
			return failed
		}
		return nil
	})
	return text, err
}

// QPDF runs qpdf --check; an error carries what it said. Warnings are errors.
func QPDF(pdf []byte) error {
	return inFolder(pdf, func(in, _ string) error { return run("qpdf", "--check", in) })
}

// Encrypt encrypts a file with qpdf, with AES of 256 bits.
func Encrypt(pdf []byte, user, owner string) (out []byte, err error) {
	err = inFolder(pdf, func(in, dir string) error {
		to := filepath.Join(dir, "out.pdf")
		if err := run("qpdf", "--encrypt", user, owner, "256", "--", in, to); err != nil {
			return err
		}
		out, err = os.ReadFile(to)
		return err
	})
	return out, err
}

// drawWith runs a program that writes page*.png into a folder.
func drawWith(pdf []byte, command func(in, dir string) []string) (pages []*image.RGBA, err error) {
	err = inFolder(pdf, func(in, dir string) error {
		args := command(in, dir)
		if err := run(args[0], args[1:]...); err != nil {
			return err
		}
		pages, err = readPages(dir)
		return err
	})
	return pages, err
}

// inFolder writes the file into a folder of its own, which is removed after.
func inFolder(pdf []byte, do func(in, dir string) error) error {
	dir, err := os.MkdirTemp("", "testpdf")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	in := filepath.Join(dir, "in.pdf")
	if err := os.WriteFile(in, pdf, 0o600); err != nil {
		return err
	}
	return do(in, dir)
}

func run(program string, args ...string) error { return runIn("", program, args...) }

// runIn runs a program in a folder.
func runIn(dir, program string, args ...string) error {
	ctx, cancel := context.WithTimeout(context.Background(), ToolTimeout)
	defer cancel()
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Dir = dir
	cmd.WaitDelay = time.Second
	out, err := cmd.CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w: %s", filepath.Base(program), err, bytes.TrimSpace(out))
	}
	return nil
}

// readPages reads the images in the order of the page numbers in their names,
// which programs pad differently.
func readPages(dir string) ([]*image.RGBA, error) {
	names, err := filepath.Glob(filepath.Join(dir, "page*.png"))
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("no page was drawn")
	}
	slices.SortFunc(names, func(a, b string) int { return pageNumber(a) - pageNumber(b) })
	var out []*image.RGBA
	for _, n := range names {
		img, err := readImage(n)
		if err != nil {
			return nil, err
		}
		out = append(out, img)
	}
	return out, nil
}

func pageNumber(path string) int {
	base := strings.TrimSuffix(filepath.Base(path), ".png")
	n, _ := strconv.Atoi(base[strings.LastIndexByte(base, '-')+1:])
	return n
}

// readImage reads an image on white.
func readImage(path string) (*image.RGBA, error) {
	in, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	img, err := png.Decode(in)
	if err != nil {
		return nil, err
	}
	out := image.NewRGBA(image.Rectangle{Max: img.Bounds().Size()})
	draw.Draw(out, out.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(out, out.Rect, img, img.Bounds().Min, draw.Over)
	return out, nil
}
