package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// stream is the file name that stands for standard input or output.
const stream = "-"

// maxInput bounds what is read into memory.
const maxInput = 512 << 20

// open opens a PDF file, or standard input.
func (p *program) open(ctx context.Context, name string) (*layers.Document, error) {
	if name == stream {
		data, err := p.readStream()
		if err != nil {
			return nil, err
		}
		doc, err := p.openPDF(ctx, bytes.NewReader(data))
		return doc, in("standard input", err)
	}
	f, err := openFile(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil {
		collectFor(info.Size())
	}
	doc, err := p.openPDF(ctx, f)
	return doc, in(name, err)
}

// collectFor lets garbage be collected more often where the input is large:
// what lives then is mostly its bytes, which cost nothing to go through, and
// what is dead stays small beside them. GOGC in the environment goes before.
func collectFor(size int64) {
	if size > 16<<20 && os.Getenv("GOGC") == "" {
		debug.SetGCPercent(25)
	}
}

// readAll reads a whole file, or standard input.
func (p *program) readAll(name string) ([]byte, error) {
	if name == stream {
		return p.readStream()
	}
	f, err := openFile(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return bounded(f, name)
}

// readStream reads standard input.
func (p *program) readStream() ([]byte, error) { return bounded(p.in, "standard input") }

// bounded reads up to maxInput bytes.
func bounded(in io.Reader, name string) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(in, maxInput+1))
	if err != nil {
		return nil, plain(name, err)
	}
	if len(data) > maxInput {
		return nil, fmt.Errorf("%s: more than %d MiB", printable(name), maxInput>>20)
	}
	return data, nil
}

// in says in which file an error is.
func in(name string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", printable(name), err)
}

// openFile opens a file to read; a folder is none.
func openFile(name string) (*os.File, error) {
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, fmt.Errorf("%s: there is no such file", printable(name))
	case err != nil:
		return nil, plain(name, err)
	case info.IsDir():
		return nil, fmt.Errorf("%s: this is a folder; name a file in it", printable(name))
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, plain(name, err)
	}
	return f, nil
}

// plain says what went wrong with a file without the name of the system call.
func plain(name string, err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return fmt.Errorf("%s: %w", printable(name), err)
}

// readChart reads a size chart. Standard input can be that or the pattern, not
// both.
func readChart(c *urfave.Context, name string) (*sizes.Chart, error) {
	if name == stream {
		if c.Args().First() == stream || c.String("against") == stream {
			return nil, usagef("the pattern and the chart cannot both be on standard input; give one of them a file")
		}
		return sizes.Read(c.App.Reader, "standard input")
	}
	return readChartFile(name)
}

func readChartFile(name string) (*sizes.Chart, error) {
	f, err := openFile(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return sizes.Read(f, name)
}
