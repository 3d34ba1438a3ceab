package cli

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestTargetChanges: the target, or its folder, becomes another while a file is
// made. The target is what it became, or complete; one sentence says why; no
// unfinished file stays.
func TestTargetChanges(t *testing.T) {
	const made = "complete"
	for _, c := range []struct {
		name   string
		force  bool
		do     func(dir, target string) error // while the file is made
		want   string                         // in the error, "" for none
		stands string                         // what the target holds, "" for no file
	}{
		{"nothing happens", false, func(string, string) error { return nil }, "", made},
		{"a file comes up", false, func(_, target string) error { return os.WriteFile(target, []byte("other"), 0o600) }, "a file of this name has come up", "other"},
		{"a file comes up that may be replaced", true, func(_, target string) error { return os.WriteFile(target, []byte("other"), 0o600) }, "", made},
		{"a folder comes up", false, func(_, target string) error { return os.Mkdir(target, 0o700) }, "this has become a folder", ""},
		{"a folder comes up where a file may be replaced", true, func(_, target string) error { return os.Mkdir(target, 0o700) }, "this has become a folder", ""},
		{"the folder goes", false, func(dir, _ string) error { return os.RemoveAll(dir) }, "was removed while the file was made", ""},
		{"the folder goes, with force", true, func(dir, _ string) error { return os.RemoveAll(dir) }, "was removed while the file was made", ""},
		{"the folder goes and comes again", true, func(dir, _ string) error {
			if err := os.RemoveAll(dir); err != nil {
				return err
			}
			return os.Mkdir(dir, 0o700)
		}, "was removed while the file was made", ""},
		{"the folder is renamed", false, func(dir, _ string) error { return os.Rename(dir, dir+"2") }, "went with it", ""},
		{"making it fails", false, func(string, string) error { return errors.New("no more ink") }, "no more ink", ""},
		{"making it fails where a file may be replaced", true, func(_, target string) error {
			return errors.Join(os.WriteFile(target, []byte("old"), 0o600), errors.New("no more ink"))
		}, "no more ink", "old"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "out")
			if err := os.Mkdir(dir, 0o700); err != nil {
				t.Fatal(err)
			}
			final := filepath.Join(dir, "mine.pdf")
			err := (&program{}).target(final, c.force).write(func(w io.Writer) error {
				if _, err := io.WriteString(w, made); err != nil {
					return err
				}
				return c.do(dir, final)
			}, func(io.ReadSeeker) error { return nil })
			if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			if err != nil && strings.ContainsAny(err.Error(), "\n") {
				t.Errorf("this is no sentence: %q", err)
			}
			if got, _ := os.ReadFile(final); string(got) != c.stands {
				t.Errorf("the target holds %q, want %q", got, c.stands)
			}
			if moved, err := os.ReadFile(filepath.Join(dir+"2", "mine.pdf")); err == nil && string(moved) != made {
				t.Errorf("the moved target holds %q", moved)
			}
			if left := append(asides(t, dir), asides(t, dir+"2")...); len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}

// TestAbandoned: what is unfinished goes when a run is left, and nothing comes
// after that.
func TestAbandoned(t *testing.T) {
	dir := t.TempDir()
	p := &program{}
	target := p.target(filepath.Join(dir, "mine.pdf"), false)
	err := target.write(func(w io.Writer) error {
		p.work.abandon()
		if left := asides(t, dir); len(left) > 0 {
			t.Errorf("left behind: %v", left)
		}
		_, err := io.WriteString(w, "late")
		return err
	}, func(io.ReadSeeker) error { return nil })
	if !errors.Is(err, errAbandoned) {
		t.Errorf("writing on gives %v", err)
	}
	if err := target.write(func(io.Writer) error { return nil }, func(io.ReadSeeker) error { return nil }); !errors.Is(err, errAbandoned) {
		t.Errorf("writing anew gives %v", err)
	}
	if list, _ := os.ReadDir(dir); len(list) > 0 {
		t.Errorf("there is %v", list)
	}
}
