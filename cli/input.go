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
	before, err := f.Stat()
	switch {
	case err != nil:
		return nil, plain(name, err)
	case !before.Mode().IsRegular(): // a pipe by name
		data, err := p.bounded(f, name)
		if err != nil {
			return nil, err
		}
		doc, err := p.openPDF(ctx, bytes.NewReader(data))
		return doc, in(name, err)
	}
	collectFor(before.Size())
	doc, err := p.openPDF(ctx, f)
	if changed(f, before) {
		err = errChanged
	}
	return doc, in(name, err)
}

var errChanged = errors.New("the file was changed while it was read; run it again once nothing writes to it")

// changed tells whether a file was written to since it was looked at. One that
// was removed can still be read to its end.
func changed(f *os.File, before os.FileInfo) bool {
	now, err := f.Stat()
	return err == nil && (now.Size() != before.Size() || !now.ModTime().Equal(before.ModTime()))
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
	before, err := f.Stat()
	if err != nil {
		return nil, plain(name, err)
	}
	data, err := p.bounded(f, name)
	if before.Mode().IsRegular() && changed(f, before) {
		return nil, in(name, errChanged)
	}
	return data, err
}

// readStream reads standard input.
func (p *program) readStream() ([]byte, error) { return p.bounded(p.in, "standard input") }

// bounded reads as many bytes as a file may have.
func (p *program) bounded(from io.Reader, name string) ([]byte, error) {
	most := p.limits.MaxFileBytes
	if most == 0 {
		most = defaultInput << 20
	}
	data, err := io.ReadAll(io.LimitReader(from, most+1))
	if err != nil {
		return nil, plain(name, err)
	}
	if int64(len(data)) > most {
		return nil, in(name, &layers.LimitError{Limit: layers.LimitFileBytes, Bound: most})
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
