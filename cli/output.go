package cli

import (
	"bytes"
	"crypto/rand"
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
	aside, err := create(filepath.Dir(final))
	if err != nil {
		return fmt.Errorf("%s: the folder cannot be written to (%w); choose another with -o", printable(t.name), bare(err))
	}
	defer os.Remove(aside.Name()) // nothing to remove once it is renamed
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
	if info, err := os.Stat(final); err == nil {
		if err := os.Chmod(aside.Name(), info.Mode().Perm()); err != nil {
			return plain(t.name, err)
		}
	}
	if err := os.Rename(aside.Name(), final); err != nil {
		return fmt.Errorf("%s: %w", printable(t.name), bare(err))
	}
	return nil
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
		return fmt.Errorf("standard output: %w", err)
	}
	return nil
}

// create makes a new file in a folder, with the permissions that new files
// have there.
func create(folder string) (*os.File, error) {
	removeLeftovers(folder)
	name := filepath.Join(folder, asidePrefix+rand.Text()+asideSuffix)
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, err
	}
	// Without a lock, as on some network drives, the file may be taken for a
	// leftover after leftoverAge; then renaming it fails, and nothing is lost.
	_ = lock(f)
	return f, nil
}

// What files written aside are called.
const (
	asidePrefix = ".sizeply-"
	asideSuffix = ".pdf"
)

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
