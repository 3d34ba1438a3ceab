package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// target is where a result goes: a file that appears only when it is complete
// and has been checked, or standard output.
type target struct {
	name  string
	force bool
	out   io.Writer // standard output
	work  *unfinished
}

func (p *program) target(name string, force bool) target {
	return target{name: name, force: force, out: p.out, work: &p.work}
}

// check finds out before any work what would keep the result from being
// written: the output is the input, exists already, or is no file.
func (t target) check(input string) error {
	if t.name == stream {
		return nil
	}
	info, err := os.Stat(t.name)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return plain(t.name, err)
	}
	if was, err := os.Stat(input); input != stream && err == nil && os.SameFile(was, info) {
		return usagef("%s: the output is the input, which is never written to; give -o another name", printable(t.name))
	}
	switch {
	case info.IsDir():
		return usagef("%s: this is a folder; name a file in it", printable(t.name))
	case !info.Mode().IsRegular():
		return usagef("%s: this is not a plain file; -o %s writes to standard output", printable(t.name), stream)
	case !t.force:
		return fmt.Errorf("%s: this file exists already; give another name, or --force to replace it", printable(t.name))
	}
	return nil
}

// write makes the result with produce and holds it against the promises with
// check, which reads it afresh. Where either fails nothing is left.
func (t target) write(produce func(io.Writer) error, check func(io.ReadSeeker) error) error {
	if t.name == stream {
		return t.writeStream(produce, check)
	}
	final := t.name
	if real, err := filepath.EvalSymlinks(final); err == nil {
		final = real
	}
	aside, err := t.work.create(filepath.Dir(final))
	if err != nil {
		return fmt.Errorf("%s: the folder cannot be written to (%w); choose another with -o", printable(t.name), bare(err))
	}
	defer t.work.remove(aside) // nothing to remove once it is in its place
	defer aside.Close()
	if err := produce(aside); err != nil {
		return err
	}
	if err := check(aside); err != nil {
		return err
	}
	if err := aside.Close(); err != nil {
		return plain(t.name, err)
	}
	if info, err := os.Stat(final); err == nil && info.Mode().IsRegular() {
		if err := aside.folder.Chmod(aside.base, info.Mode().Perm()); err != nil {
			return t.unplaced(final, err)
		}
	}
	if err := t.work.place(aside, final, t.force); err != nil {
		return t.unplaced(final, err)
	}
	if _, err := os.Stat(final); errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%s: the folder was moved while the file was made; the file is complete, and went with it", printable(t.name))
	}
	return nil
}

// unplaced says why a complete file could not be put in its place: what the
// target is can change while work goes on.
func (t target) unplaced(final string, err error) error {
	info, there := os.Stat(final)
	switch {
	case there == nil && info.IsDir():
		return fmt.Errorf("%s: this has become a folder while the file was made; nothing was written", printable(t.name))
	case errors.Is(err, os.ErrExist):
		return fmt.Errorf("%s: a file of this name has come up while this one was made; nothing was written, give another name, or --force to replace it", printable(t.name))
	case errors.Is(err, os.ErrNotExist):
		return fmt.Errorf("%s: the folder, or the unfinished file in it, was removed while the file was made; nothing was written", printable(t.name))
	}
	return fmt.Errorf("%s: %w; nothing was written", printable(t.name), bare(err))
}

// writeStream holds the result in memory until it has been checked.
func (t target) writeStream(produce func(io.Writer) error, check func(io.ReadSeeker) error) error {
	var b bytes.Buffer
	if err := produce(&b); err != nil {
		return err
	}
	if err := check(bytes.NewReader(b.Bytes())); err != nil {
		return err
	}
	if _, err := t.out.Write(b.Bytes()); err != nil {
		return fmt.Errorf("standard output: %w", bare(err))
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
