//go:build unix

package cli

import (
	"bytes"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
)

// TestTargetKinds: what a result is written to besides a plain file. A link
// stays a link, another name of a file keeps what it held, a pipe or a device
// stays what it is, and nothing is left beside it.
func TestTargetKinds(t *testing.T) {
	const made, old = "complete", "old"
	holds := func(name, want string) func(*testing.T, string) {
		return func(t *testing.T, dir string) {
			if got, err := os.ReadFile(filepath.Join(dir, name)); string(got) != want {
				t.Errorf("%s holds %q, %v; want %q", name, got, err, want)
			}
		}
	}
	link := func(to string) func(dir, target string) error {
		return func(_, target string) error { return os.Symlink(to, target) }
	}
	is := func(kind os.FileMode) func(*testing.T, string) {
		return func(t *testing.T, dir string) {
			info, err := os.Lstat(filepath.Join(dir, "target"))
			if err != nil || info.Mode().Type() != kind {
				t.Errorf("the target is %v, %v; want %v", info.Mode().Type(), err, kind)
			}
		}
	}
	for _, c := range []struct {
		name  string
		make  func(dir, target string) error // beside a file called "file"
		force bool
		want  string // in the error, "" for none
		then  []func(t *testing.T, dir string)
	}{
		{"a link to a file", link("file"), false, "exists already", []func(*testing.T, string){is(os.ModeSymlink), holds("file", old)}},
		{"a link to a file that may be replaced", link("file"), true, "", []func(*testing.T, string){is(os.ModeSymlink), holds("file", made)}},
		{"a link to a link", func(dir, target string) error {
			return firstError(os.Symlink("file", filepath.Join(dir, "second")), os.Symlink("second", target))
		}, true, "", []func(*testing.T, string){is(os.ModeSymlink), holds("file", made)}},
		{"a link to nothing", link("nothing"), false, "this is a symbolic link to nothing, and there is nothing", []func(*testing.T, string){is(os.ModeSymlink)}},
		{"a link to nothing, with force", link("nothing"), true, "this is a symbolic link to nothing, and there is nothing", []func(*testing.T, string){is(os.ModeSymlink)}},
		{"a link to itself", link("target"), true, "too many levels of symbolic links", []func(*testing.T, string){is(os.ModeSymlink)}},
		{"a second name of a file", func(dir, target string) error { return os.Link(filepath.Join(dir, "file"), target) }, true, "", []func(*testing.T, string){holds("target", made), holds("file", old)}},
		{"a link to a device", link("/dev/null"), false, "", []func(*testing.T, string){is(os.ModeSymlink)}},
		{"a link to a device, with force", link("/dev/null"), true, "", []func(*testing.T, string){is(os.ModeSymlink)}},
		{"a device that is full", link("/dev/full"), false, "target: no space left on device", []func(*testing.T, string){is(os.ModeSymlink)}},
		{"a socket", func(_, target string) error {
			l, err := net.ListenUnix("unix", &net.UnixAddr{Name: target, Net: "unix"})
			if err == nil {
				l.SetUnlinkOnClose(false)
				err = l.Close()
			}
			return err
		}, true, "neither a plain file nor a pipe", []func(*testing.T, string){is(os.ModeSocket)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			target := filepath.Join(dir, "target")
			if err := os.WriteFile(filepath.Join(dir, "file"), []byte(old), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := c.make(dir, target); err != nil {
				t.Skip(err)
			}
			err := writeMade((&program{}).target(target, c.force), made)
			if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
			for _, then := range c.then {
				then(t, dir)
			}
			if left := asides(t, dir); len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}

// firstError is the first of the errors.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// writeMade writes a text to a target.
func writeMade(to target, text string) error {
	if err := to.check(stream); err != nil {
		return err
	}
	return to.write(func(w io.Writer) error {
		_, err := io.WriteString(w, text)
		return err
	}, func(io.ReadSeeker) error { return nil })
}

// TestNamedPipe: a pipe with a name gets the whole result; one whose reader goes
// away is a sentence; one that is full ends with the time.
func TestNamedPipe(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Skip(err)
	}
	input := filepath.Join(t.TempDir(), "in.pdf")
	if err := os.WriteFile(input, noisy(), 0o600); err != nil {
		t.Fatal(err)
	}
	args := []string{"isolate", input, "--layer", "Size 14", "-o"}
	whole, err := command(t, append(args, "-")...).Output()
	if err != nil || len(whole) < 600_000 { // more than a pipe holds
		t.Fatalf("%d bytes, %v", len(whole), err)
	}
	for _, c := range []struct {
		name string
		read func(*os.File) []byte
		want string
	}{
		{"read to its end", func(f *os.File) []byte { data, _ := io.ReadAll(f); return data }, ""},
		{"left", func(f *os.File) []byte { f.Close(); return nil }, "what reads it has ended before it had all (broken pipe)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			cmd := command(t, append(args, pipe)...)
			var said bytes.Buffer
			cmd.Stderr = &said
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			f, err := os.OpenFile(pipe, os.O_RDONLY, 0) // once the command opens it to write
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			got := c.read(f)
			if err := cmd.Wait(); (err == nil) != (c.want == "") || !strings.Contains(said.String(), c.want) {
				t.Errorf("%v: %s", err, said.String())
			}
			if c.want == "" && !bytes.Equal(got, whole) {
				t.Errorf("%d bytes came, not those %d that standard output gets", len(got), len(whole))
			}
		})
	}
	t.Run("full", func(t *testing.T) {
		f, err := os.OpenFile(pipe, os.O_RDONLY|syscall.O_NONBLOCK, 0) // nobody reads from it
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		out, err := command(t, append(args, pipe, "--time-limit", "3s")...).CombinedOutput()
		if err == nil || string(out) != "sizeply: the time limit of 3s has passed: nothing was written\n" {
			t.Errorf("%v: %s", err, out)
		}
	})
	if list, _ := os.ReadDir(filepath.Dir(pipe)); len(list) != 1 {
		t.Errorf("there is %v", list)
	}
}

// TestGoneReader: where nobody reads standard output any more, the command says
// so and does not end by a signal.
func TestGoneReader(t *testing.T) {
	skirt := "../testdata/tollmere-skirt.pdf"
	for _, args := range [][]string{
		{"isolate", skirt, "--layer", "Text", "-o", "-"}, {"isolate", skirt, "--layer", "Text", "-o", "/dev/stdout"},
		{"inspect", "--json", skirt}, {"inspect", skirt}, {"draft", skirt},
	} {
		r, w, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		r.Close()
		cmd := command(t, args...)
		var said bytes.Buffer
		cmd.Stdout, cmd.Stderr = w, &said
		err = cmd.Run()
		w.Close()
		if err == nil || cmd.ProcessState.ExitCode() != statusFail ||
			!strings.Contains(said.String(), "sizeply: standard output: what reads it has ended before it had all (broken pipe)\n") {
			t.Errorf("%v: %v: %s", args, err, said.String())
		}
	}
}

// TestStandardOutputByName: what systems call standard output is the stream,
// which goes on where it stands.
func TestStandardOutputByName(t *testing.T) {
	name := filepath.Join(t.TempDir(), "log")
	f, err := os.OpenFile(name, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err := f.WriteString("before\n"); err != nil {
		t.Fatal(err)
	}
	cmd := command(t, "draft", "../testdata/tollmere-skirt.pdf", "-o", "/dev/stdout")
	cmd.Stdout = f
	if err := cmd.Run(); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(name); err != nil || !bytes.HasPrefix(got, []byte("before\n")) || !bytes.Contains(got, []byte("\nsizes:\n")) {
		t.Errorf("it holds %q, %v", got, err)
	}
}

// traced runs the command under strace, which sees and spoils what it asks of the
// system.
func traced(t *testing.T, options []string, args ...string) (trace, said string, err error) {
	t.Helper()
	if _, err := exec.LookPath("strace"); err != nil {
		t.Skip("strace is not installed")
	}
	into := filepath.Join(t.TempDir(), "trace")
	cmd := command(t, args...)
	cmd.Args = append(append([]string{"strace", "-f", "-y", "-o", into}, options...), cmd.Args...)
	cmd.Path, _ = exec.LookPath("strace")
	out, err := cmd.CombinedOutput()
	data, readErr := os.ReadFile(into)
	if readErr != nil || bytes.Contains(out, []byte("ptrace")) {
		t.Skipf("nothing can be traced here: %s", out)
	}
	return string(data), string(out), err
}

// TestDurable: a result is on the disk before it gets its name, and the name is
// on the disk before the command says that it is written; so is a folder that is
// made for it. strace is the witness.
func TestDurable(t *testing.T) {
	calls := []string{"-e", "trace=fsync,linkat,renameat,renameat2,mkdirat,write"}
	for _, c := range []struct {
		name  string
		args  func(dir string) []string
		order string // of calls, as a pattern over their lines
	}{
		{"a new file", func(dir string) []string { return []string{"-o", dir + "/mine.pdf"} },
			`(?s)fsync\(\d+<DIR/\.sizeply-[^>]*>.*linkat\(.*"mine.pdf".*fsync\(\d+<DIR>.*write\(2.*"Written: `},
		{"a file that is replaced", func(dir string) []string { return []string{"-o", dir + "/old.pdf", "--force"} },
			`(?s)fsync\(\d+<DIR/\.sizeply-[^>]*>.*renameat2?\(.*"old.pdf".*fsync\(\d+<DIR>.*write\(2.*"Written: `},
		{"folders of their own", func(dir string) []string { return []string{"--output-dir", dir + "/a/b", "--name", "mine"} },
			`(?s)mkdirat\(.*"a", .*fsync\(\d+<DIR>.*mkdirat\(.*"b", .*fsync\(\d+<DIR/a>.*linkat\(.*"mine.pdf".*fsync\(\d+<DIR/a/b>`},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir, err := filepath.EvalSymlinks(t.TempDir())
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(dir+"/old.pdf", nil, 0o600); err != nil {
				t.Fatal(err)
			}
			trace, said, err := traced(t, calls, append([]string{"isolate", "../testdata/tollmere-skirt.pdf", "--layer", "Text"}, c.args(dir)...)...)
			if err != nil {
				t.Fatalf("%v: %s", err, said)
			}
			order := strings.ReplaceAll(c.order, "DIR", regexp.QuoteMeta(dir))
			if !regexp.MustCompile(order).MatchString(trace) {
				t.Errorf("the calls are not in the order %s:\n%s", order, trace)
			}
		})
	}
}

// TestUnflushed: a disk that fails when it is asked to keep what was written is
// no success, and the sentence says how it stands.
func TestUnflushed(t *testing.T) {
	for _, c := range []struct {
		name   string
		placed bool
		want   string
	}{
		{"the file", false, "mine.pdf: input/output error; nothing was written"},
		{"the folder", true, "mine.pdf: the file is complete and in its place, but the disk has not confirmed it (input/output error)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir, err := filepath.EvalSymlinks(t.TempDir())
			if err != nil {
				t.Fatal(err)
			}
			options := []string{"-e", "trace=fsync", "-e", "inject=fsync:error=EIO"}
			if c.placed {
				options = append(options, "-P", dir)
			}
			_, said, err := traced(t, options, "isolate", "../testdata/tollmere-skirt.pdf", "--layer", "Text", "-o", dir+"/mine.pdf")
			if err == nil || !strings.Contains(said, c.want) {
				t.Errorf("%v: %s", err, said)
			}
			list, _ := os.ReadDir(dir)
			if there := len(list) == 1 && list[0].Name() == "mine.pdf"; there != c.placed || len(list) > 1 {
				t.Errorf("there is %v", list)
			}
		})
	}
}

// TestEmptyFolder: a run that writes nothing leaves no folder that it has made,
// and one that stood there before.
func TestEmptyFolder(t *testing.T) {
	skirt := "../testdata/tollmere-skirt.pdf"
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "there"), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("nothing", filepath.Join(dir, "link")); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, folder string
		args         []string
		want         string
	}{
		{"isolate", "a/b", []string{"isolate", skirt, "--layer", "Nonsense"}, "there is no layer"},
		{"isolate into one that is there", "there", []string{"isolate", skirt, "--layer", "Nonsense"}, "there is no layer"},
		{"preview", "a/b", []string{"preview", skirt, "--time-limit", "1ns"}, "the time limit of 1ns has passed"},
		{"preview of a page that is not there", "a/b", []string{"preview", skirt, "--page", "99"}, "the file has pages 1 to"},
		{"a link to nothing", "link", []string{"isolate", skirt, "--layer", "Text"}, "this is a symbolic link to nothing, and there is nothing"},
		{"a file", "link/../there/../file", []string{"isolate", skirt, "--layer", "Text"}, "--output-dir"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if err := os.WriteFile(filepath.Join(dir, "file"), nil, 0o600); err != nil {
				t.Fatal(err)
			}
			status, said := run(append(c.args, "--output-dir", filepath.Join(dir, c.folder))...)
			if status == statusDone || !strings.Contains(said, c.want) {
				t.Errorf("status %d: %s", status, said)
			}
			var names []string
			list, _ := os.ReadDir(dir)
			for _, e := range list {
				names = append(names, e.Name())
			}
			if got := strings.Join(names, " "); got != "file link there" {
				t.Errorf("there is %s", got)
			}
		})
	}
}
