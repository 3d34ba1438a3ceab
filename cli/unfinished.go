package cli

import (
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"
)

// unfinished is what a run has begun in folders: files that it has written aside
// and not yet put in their places, and folders that it has made. The zero value
// is ready.
type unfinished struct {
	mu      sync.Mutex
	files   map[*aside]bool
	folders []string // the outer ones first
	placed  int
	ended   bool
}

// aside is a file that stands beside its target until it is complete. It is
// known by its open folder, so that it is found wherever that is moved to.
type aside struct {
	*os.File
	folder *os.Root
	base   string
}

var errAbandoned = errors.New("the run has ended")

// What files written aside are called.
const (
	asidePrefix = ".sizeply-"
	asideSuffix = ".pdf"
)

// create makes a new file in a folder, with the permissions that new files
// have there.
func (u *unfinished) create(folder string) (*aside, error) {
	removeLeftovers(folder)
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.ended {
		return nil, errAbandoned
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, err
	}
	a := &aside{folder: root, base: asidePrefix + rand.Text() + asideSuffix}
	if a.File, err = root.OpenFile(a.base, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666); err != nil {
		return nil, errors.Join(err, root.Close())
	}
	// Without a lock, as on some network drives, the file may be taken for a
	// leftover after leftoverAge; then renaming it fails, and nothing is lost.
	_ = lock(a.File)
	if u.files == nil {
		u.files = map[*aside]bool{}
	}
	u.files[a] = true
	return a, nil
}

// place puts a complete file where it belongs, in its folder, and flushes that to
// the disk. A file that stands there is replaced only where that is wanted, also
// one that came in the meantime.
func (u *unfinished) place(a *aside, final string, replace bool) error {
	if err := u.rename(a, filepath.Base(final), replace); err != nil {
		return err
	}
	defer a.folder.Close()
	if err := flushFolder(a.folder); err != nil {
		return &unflushedError{err}
	}
	return nil
}

// rename gives a complete file its name; then it is cared for no more.
func (u *unfinished) rename(a *aside, name string, replace bool) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.ended {
		return errAbandoned
	}
	put := a.move
	if replace {
		put = a.folder.Rename
	}
	if err := put(a.base, name); err != nil {
		return err
	}
	delete(u.files, a)
	u.placed++
	return nil
}

// An unflushedError says that a file is complete and in its place, but perhaps
// not on the disk.
type unflushedError struct{ err error }

func (e *unflushedError) Error() string {
	return fmt.Sprintf("the file is complete and in its place, but the disk has not confirmed it (%v): "+
		"look whether it is still there before you rely on it", bare(e.err))
}

// flush forces what was written to a file to the disk. A file system that has
// nothing to force says so, which is no fault.
func flush(f *os.File) error {
	err := f.Sync()
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.EINVAL) {
		return nil
	}
	return err
}

// move renames a file to a name that is free. A second name fails where there is
// a file, which renaming does not; some file systems know no second names.
func (a *aside) move(name, final string) error {
	err := a.folder.Link(name, final)
	switch {
	case err == nil:
		return a.folder.Remove(name)
	case errors.Is(err, os.ErrExist) || errors.Is(err, os.ErrNotExist):
		return err
	}
	if _, err := a.folder.Lstat(final); err == nil {
		return os.ErrExist
	}
	return a.folder.Rename(name, final)
}

// remove takes a file away that was not put in its place.
func (u *unfinished) remove(a *aside) {
	u.mu.Lock()
	defer u.mu.Unlock()
	u.discard(a)
}

func (u *unfinished) discard(a *aside) {
	if u.files[a] {
		_ = a.folder.Remove(a.base)
		_ = a.folder.Close()
		delete(u.files, a)
	}
}

// makeFolder makes a folder, and those above it that are missing.
func (u *unfinished) makeFolder(name string) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.ended {
		return errAbandoned
	}
	var missing []string // the inner ones first
	for at := filepath.Clean(name); at != filepath.Dir(at); at = filepath.Dir(at) {
		if _, err := os.Stat(at); !errors.Is(err, os.ErrNotExist) {
			break
		}
		missing = append(missing, at)
	}
	for _, at := range slices.Backward(missing) {
		err := makeInner(at)
		if errors.Is(err, os.ErrExist) { // another run has made it
			continue
		}
		if err != nil {
			return err
		}
		u.folders = append(u.folders, at)
	}
	return nil
}

// makeInner makes a folder in one that is there, and flushes its name.
func makeInner(name string) error {
	outer, err := os.OpenRoot(filepath.Dir(name))
	if err != nil {
		return err
	}
	defer outer.Close()
	if err := outer.Mkdir(filepath.Base(name), 0o777); err != nil {
		return err
	}
	return flushFolder(outer)
}

// abandon ends a run: what is unfinished goes, and so do the folders it made that
// hold nothing. From then on nothing is made or put anywhere.
func (u *unfinished) abandon() {
	u.mu.Lock()
	defer u.mu.Unlock()
	u.ended = true
	for a := range u.files {
		u.discard(a)
	}
	for _, folder := range slices.Backward(u.folders) {
		_ = os.Remove(folder) // it fails where something is in it
	}
}

// done is how many files are in their places.
func (u *unfinished) done() int {
	u.mu.Lock()
	defer u.mu.Unlock()
	return u.placed
}

// leftoverAge is how old a file written aside must be before it may be one that
// a run left which was killed.
const leftoverAge = time.Minute

// removeLeftovers removes from a folder what runs left there that were killed
// while they wrote. What another run writes now it leaves alone: that is locked.
func removeLeftovers(folder string) {
	entries, _ := os.ReadDir(folder)
	for _, e := range entries {
		name := filepath.Join(folder, e.Name())
		if !strings.HasPrefix(e.Name(), asidePrefix) || !strings.HasSuffix(e.Name(), asideSuffix) {
			continue
		}
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() || time.Since(info.ModTime()) < leftoverAge {
			continue
		}
		f, err := os.OpenFile(name, os.O_RDWR, 0)
		if err != nil {
			continue
		}
		if lock(f) == nil {
			os.Remove(name)
		}
		f.Close()
	}
}
