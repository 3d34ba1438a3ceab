package cli

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
	"unicode"

	"github.com/sizeply/sizeply/internal/words"
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
		return usagef("%s: the output is the input, which is never written to; give -o another name",
			words.Printable(t.name))
	}
	switch {
	case info.IsDir():
		return usagef("%s: this is a folder; name a file in it", words.Printable(t.name))
	case !info.Mode().IsRegular():
		return usagef("%s: this is not a plain file; -o %s writes to standard output", words.Printable(t.name), stream)
	case !t.force:
		return inf(t.name, "this file exists already; give another name, or --force to replace it")
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
		return inf(t.name, "the folder cannot be written to (%w); choose another with -o", bare(err))
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
		return inf(t.name, "the folder was moved while the file was made; the file is complete, and went with it")
	}
	return nil
}

// unplaced says why a complete file could not be put in its place: what the
// target is can change while work goes on.
func (t target) unplaced(final string, err error) error {
	info, there := os.Stat(final)
	switch {
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

// defaultName is the template of output names where none is given.
const defaultName = "{file}-{size}"

// nameHelp describes the template.
const nameHelp = "{file} is the input's name without its ending, {size} the wanted sizes (or layers), " +
	"{chart} the chart's name; .pdf is added"

// outputName makes a file name from a template and the values of its
// placeholders. What cannot stand in a file name on every system becomes "_".
func outputName(template string, values map[string]string) (string, error) {
	var b strings.Builder
	for rest := template; rest != ""; {
		text, after, open := strings.Cut(rest, "{")
		b.WriteString(text)
		if !open {
			break
		}
		key, tail, closed := strings.Cut(after, "}")
		v, known := values[key]
		if !closed || !known {
			return "", usagef("--name %q: {%s} is no placeholder; %s", template, key, nameHelp)
		}
		b.WriteString(v)
		rest = tail
	}
	name := fileName(strings.TrimSuffix(b.String(), ".pdf"))
	if name == "" {
		return "", usagef("--name %q: that leaves no name", template)
	}
	return name + ".pdf", nil
}

// fileName makes one name of a text, without folders.
func fileName(s string) string {
	const most = 120 // file systems end at 255 bytes
	s = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || strings.ContainsRune(`/\:*?"<>|`, r) {
			return '_'
		}
		return r
	}, s)
	if r := []rune(s); len(r) > most {
		s = string(r[:most])
	}
	return strings.Trim(s, " .") // neither hidden nor without an end
}

// stem is the name of a file without folder and ending.
func stem(name string) string {
	base := filepath.Base(name)
	if ext := filepath.Ext(base); strings.EqualFold(ext, ".pdf") {
		base = strings.TrimSuffix(base, ext)
	}
	return base
}
