package cli

import (
	"crypto/rand"
	"errors"
	"os"
	"path/filepath"
	"sync"
)

// unfinished are the files that a run has written aside and not yet put in
// their places. The zero value is ready.
type unfinished struct {
	mu        sync.Mutex
	files     map[*aside]bool
	placed    int
	abandoned bool
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
	if u.abandoned {
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

// place puts a complete file where it belongs, in its folder. A file that stands
// there is replaced only where that is wanted, also one that came in the meantime.
func (u *unfinished) place(a *aside, final string, replace bool) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.abandoned {
		return errAbandoned
	}
	put := a.move
	if replace {
		put = a.folder.Rename
	}
	if err := put(a.base, filepath.Base(final)); err != nil {
		return err
	}
	u.forget(a)
	u.placed++
	return nil
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

// forget closes the folder of a file that is cared for.
func (u *unfinished) forget(a *aside) {
	delete(u.files, a)
	_ = a.folder.Close()
}

// remove takes a file away that was not put in its place.
func (u *unfinished) remove(a *aside) {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.files[a] {
		_ = a.folder.Remove(a.base)
		u.forget(a)
	}
}

// abandon removes all that is unfinished; from then on nothing is made or put
// anywhere.
func (u *unfinished) abandon() {
	u.mu.Lock()
	defer u.mu.Unlock()
	u.abandoned = true
	for a := range u.files {
		_ = a.folder.Remove(a.base)
		u.forget(a)
	}
}

// done is how many files are in their places.
func (u *unfinished) done() int {
	u.mu.Lock()
	defer u.mu.Unlock()
	return u.placed
}
