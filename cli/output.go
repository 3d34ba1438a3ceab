package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	urfave "github.com/urfave/cli/v2"
	"golang.org/x/term"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
)

// target is where a result goes. A file appears only when it is complete, has
// been checked and is on the disk; a link to a file stays, and the file that it
// leads to is the target; another name of a replaced file keeps the old content.
// Standard output, a pipe with a name or a device gets the checked result as a
// stream.
type target struct {
	name  string
	force bool
	out   io.Writer // standard output
	work  *unfinished
	// binary is true where what is written is nothing to read at a terminal.
	binary bool
}

func (p *program) target(name string, force bool) target {
	return target{name: name, force: force, out: p.out, work: &p.work}
}

// ofBytes is the target for what is nothing to read at a terminal.
func (t target) ofBytes() target {
	t.binary = true
	return t
}

// otherFormats are endings of file names that say what the file holds.
var otherFormats = []string{
	".pdf", ".png", ".html", ".htm", ".jpg", ".jpeg", ".gif", ".tif", ".tiff", ".bmp", ".webp", ".svg", ".ps", ".eps",
	".ai", ".dxf", ".txt", ".md", ".csv", ".json", ".yaml", ".yml", ".xml", ".zip", ".doc", ".docx",
}

// saysWritten refuses an output whose name says another format than what is written,
// which has one of some endings, the usual one first.
func saysWritten(output, what string, endings ...string) error {
	ending := strings.ToLower(filepath.Ext(output))
	if !slices.Contains(otherFormats, ending) || slices.Contains(endings, ending) {
		return nil
	}
	return usagef("%s: what is written is %s, whatever the name says: give -o a name that ends in %s",
		words.Printable(output), what, strings.Join(endings, " or "))
}

// outputOf is the file that --output names. What systems call standard output is
// the stream: opened by such a name, a file that it leads to would be written
// from its start, or replaced.
func outputOf(c *urfave.Context) string {
	switch name := c.String("output"); name {
	case "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1":
		return stream
	default:
		return name
	}
}

// check finds out before any work what would keep the result from being
// written: the output is the input, exists already, or is no file.
func (t target) check(input string) error {
	if t.name == stream {
		if t.binary && isTerminal(t.out) {
			return usagef("-o - would write the bytes of the file to the terminal: give -o FILE, " +
				"or send it on with | or >")
		}
		return nil
	}
	info, err := os.Stat(t.name)
	if errors.Is(err, os.ErrNotExist) {
		return dangling(t.name)
	}
	if err != nil {
		return plain(t.name, err)
	}
	if input != stream && sameFile(onDisk(input), t.name) {
		return usagef("%s: the output is the input, which is never written to; give -o another name",
			words.Printable(t.name))
	}
	switch {
	case info.IsDir():
		return usagef("%s: this is a folder; name a file in it", words.Printable(t.name))
	case streams(info):
		return nil
	case !info.Mode().IsRegular():
		return usagef("%s: this is neither a plain file nor a pipe; -o %s writes to standard output",
			words.Printable(t.name), stream)
	case !t.force:
		return inf(t.name, "this file exists already; give another name, or --force to replace it")
	}
	return nil
}

// isTerminal reports whether what is written goes to a terminal.
func isTerminal(out io.Writer) bool {
	if watched, ok := out.(*watchedWriter); ok {
		out = watched.w
	}
	f, ok := out.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// sameFile reports whether two names are those of one file, which is there.
func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}

// streams reports whether a file takes bytes one after the other and keeps its
// place: a pipe with a name, a terminal, /dev/null.
func streams(info fs.FileInfo) bool {
	return info.Mode()&(fs.ModeNamedPipe|fs.ModeCharDevice) != 0
}

// dangling refuses a name that is a link to nothing, where a file would appear
// in a place that nobody named.
func dangling(name string) error {
	to, err := os.Readlink(name)
	if err != nil {
		return nil // no link
	}
	return inf(name, "this is a symbolic link to %s, and there is nothing; remove the link, or give another name",
		words.Printable(to))
}

// write makes the result with produce and holds it against the promises with
// check, which reads it afresh. Where either fails nothing is left.
func (t target) write(produce func(io.Writer) error, check func(io.ReadSeeker) error) error {
	if info, err := os.Stat(t.name); t.name == stream || err == nil && streams(info) {
		return t.writeStream(produce, check)
	}
	final := t.name
	if real, err := filepath.EvalSymlinks(final); err == nil {
		final = real
	}
	aside, err := t.work.create(filepath.Dir(final))
	if err != nil {
		return inf(t.name, "the folder cannot be written to (%w); choose another with -o", bare(err))
	}
	defer t.work.remove(aside) // nothing to remove once it is in its place
	defer aside.Close()
	watched := &watchedWriter{w: aside, name: t.name}
	if err := produce(watched); watched.failed != nil {
		return watched.failed
	} else if err != nil {
		return err
	}
	if err := check(aside); err != nil {
		return err
	}
	if info, err := os.Stat(final); err == nil && info.Mode().IsRegular() {
		if err := aside.folder.Chmod(aside.base, info.Mode().Perm()); err != nil {
			return t.unplaced(final, err)
		}
	}
	if err := errors.Join(flush(aside.File), aside.Close()); err != nil {
		return t.unplaced(final, err)
	}
	if err := t.work.place(aside, final, t.force); err != nil {
		return t.unplaced(final, err)
	}
	if _, err := os.Stat(final); errors.Is(err, os.ErrNotExist) {
		return inf(t.name, "the folder was moved while the file was made; the file is complete, and went with it")
	}
	return nil
}

// unplaced says why a complete file could not be put in its place: what the
// target is can change while work goes on.
func (t target) unplaced(final string, err error) error {
	info, there := os.Stat(final)
	switch {
	case is[*unflushedError](err):
		return inf(t.name, "%w", err)
	case there == nil && info.IsDir():
		return inf(t.name, "this has become a folder while the file was made; nothing was written")
	case errors.Is(err, os.ErrExist):
		return inf(t.name, "a file of this name has come up while this one was made; nothing was written, "+
			"give another name, or --force to replace it")
	case errors.Is(err, os.ErrNotExist):
		return inf(t.name,
			"the folder, or the unfinished file in it, was removed while the file was made; nothing was written")
	}
	return inf(t.name, "%w; nothing was written", bare(err))
}

// writeStream holds the result in memory until it has been checked.
func (t target) writeStream(produce func(io.Writer) error, check func(io.ReadSeeker) error) error {
	var b bytes.Buffer
	if err := produce(&b); err != nil {
		return err
	}
	if err := check(layers.Bytes(b.Bytes())); err != nil {
		return err
	}
	if t.name == stream {
		return writeAll(t.out, "standard output", b.Bytes())
	}
	f, err := os.OpenFile(t.name, os.O_WRONLY, 0)
	if err != nil {
		return plain(t.name, err)
	}
	err = writeAll(f, t.name, b.Bytes())
	if closing := f.Close(); err == nil && closing != nil {
		return plain(t.name, closing)
	}
	return err
}

func writeAll(to io.Writer, name string, data []byte) error {
	w := &watchedWriter{w: to, name: name}
	_, _ = w.Write(data) // it remembers
	return w.failed
}

// watchedWriter remembers that something could not be written: a result that is
// lost is no success.
type watchedWriter struct {
	w      io.Writer
	name   string // what messages call it
	failed error
}

func (w *watchedWriter) Write(b []byte) (int, error) {
	n, err := w.w.Write(b)
	if err == nil || w.failed != nil {
		return n, err
	}
	if err = bare(err); errors.Is(err, syscall.EPIPE) {
		err = fmt.Errorf("what reads it has ended before it had all (%w)", err)
	}
	w.failed = in(w.name, err)
	return n, w.failed
}

// outputFolder makes the folder of --output-dir where it is missing.
func (p *program) outputFolder(name string) error {
	info, err := os.Stat(name)
	switch {
	case err == nil && info.IsDir():
		return nil
	case err == nil:
		return usagef("--output-dir %s: this is a file, not a folder", words.Printable(name))
	}
	if err := dangling(name); err != nil {
		return err
	}
	if err := p.work.makeFolder(name); err != nil {
		return plain(name, err)
	}
	return nil
}

// bare is the reason of an error of the file system without its file names.
func bare(err error) error {
	var path *os.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}
