package cli

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// runVariable makes the test program the command itself.
const runVariable = "SIZEPLY_TEST_RUN"

// command runs the command in a process of its own.
func command(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, args...)
	cmd.Env = append(os.Environ(), runVariable+"=1")
	return cmd
}

// asides are the files in a folder that were written aside.
func asides(t *testing.T, dir string) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(dir, asidePrefix+"*"))
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// TestKilled kills the command at random moments: the target is what it was or
// complete, and a later run takes away what was left beside it.
func TestKilled(t *testing.T) {
	if testing.Short() {
		t.Skip("starts the command very often")
	}
	dir := t.TempDir()
	input, output := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
	// What isolating takes long enough to be interrupted.
	file := testpdf.Build(testpdf.Doc{Groups: []string{"Size 14", "Size 16"}, Pages: []testpdf.Page{{
		Content: "/OC /Size#2014 BDC " + strings.Repeat("0 0 m 9 9 l S ", 100000) + "EMC /OC /Size#2016 BDC P1 EMC",
	}}})
	if err := os.WriteFile(input, file, 0o600); err != nil {
		t.Fatal(err)
	}
	args := []string{"isolate", input, "--layer", "Size 14", "-o", output, "--force"}
	start := time.Now()
	if out, err := command(t, args...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	took := time.Since(start)
	whole, err := os.ReadFile(output)
	if err != nil {
		t.Fatal(err)
	}
	count := 15
	if os.Getenv("SIZEPLY_LONG") == "1" {
		count = 100
	}
	killed := 0
	old := []byte("what stood here before")
	for range count {
		if err := os.WriteFile(output, old, 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := command(t, args...)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(rand.Int64N(int64(took)*5/4 + 1))) // now and then it is done before
		_ = cmd.Process.Kill()                                      // it may have ended
		if cmd.Wait() != nil {
			killed++
		}
		now, err := os.ReadFile(output)
		if err != nil || !bytes.Equal(now, old) && !bytes.Equal(now, whole) {
			t.Fatalf("the target holds %d bytes that are neither the old nor the new ones: %v", len(now), err)
		}
	}
	if killed == 0 {
		t.Error("the command was never killed while it ran")
	}
	left := asides(t, dir)
	t.Logf("killed %d of %d times; %d files left", killed, count, len(left))
	for _, name := range left { // as if they were old
		then := time.Now().Add(-2 * leftoverAge)
		if err := os.Chtimes(name, then, then); err != nil {
			t.Fatal(err)
		}
	}
	if out, err := command(t, args...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if left := asides(t, dir); len(left) > 0 {
		t.Errorf("left after a later run: %v", left)
	}
}

// TestLeftovers: what another run writes at the moment stays, however old, and
// so does what is new or only called alike.
func TestLeftovers(t *testing.T) {
	dir := t.TempDir()
	then := time.Now().Add(-2 * leftoverAge)
	file := func(name string, old bool) string {
		name = filepath.Join(dir, name)
		if err := os.WriteFile(name, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		if old {
			if err := os.Chtimes(name, then, then); err != nil {
				t.Fatal(err)
			}
		}
		return name
	}
	gone := file(".sizeply-A.pdf", true)
	busy := file(".sizeply-B.pdf", true)
	fresh := file(".sizeply-C.pdf", false)
	other := file("sizeply-D.pdf", true)
	f, err := os.OpenFile(busy, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := lock(f); err != nil {
		t.Fatal(err)
	}
	removeLeftovers(dir)
	for name, stays := range map[string]bool{gone: false, busy: true, fresh: true, other: true} {
		if _, err := os.Stat(name); (err == nil) != stays {
			t.Errorf("%s: there is %t, want %t", filepath.Base(name), err == nil, stays)
		}
	}
}

// noisy is a file whose copies have no less than 600 kB.
func noisy() []byte {
	noise := make([]byte, 600000)
	for i := range noise {
		noise[i] = byte(rand.Uint32())
	}
	return testpdf.Build(testpdf.Doc{Groups: []string{"Size 14"}, Pages: []testpdf.Page{{Content: "/OC /Size#2014 BDC P1 EMC", Entries: "/X 30 0 R"}},
		Objects: []testpdf.Object{testpdf.Stream(30, "", string(noise))}})
}

// TestFullDisk writes to a file system of 200 kB: one sentence, and nothing is
// left.
func TestFullDisk(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("mounting a small file system needs root")
	}
	dir := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", "size=200k", "tmpfs", dir).CombinedOutput(); err != nil {
		t.Skipf("no file system can be mounted here: %s", out)
	}
	defer func() {
		if out, err := exec.Command("umount", dir).CombinedOutput(); err != nil {
			t.Errorf("%v: %s", err, out)
		}
	}()
	input := filepath.Join(t.TempDir(), "in.pdf")
	if err := os.WriteFile(input, noisy(), 0o600); err != nil {
		t.Fatal(err)
	}
	output := filepath.Join(dir, "out.pdf")
	if err := os.WriteFile(output, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := command(t, "isolate", input, "--layer", "Size 14", "-o", output, "--force").CombinedOutput()
	if err == nil || string(out) != "sizeply: "+output+": no space left on device\n" {
		t.Errorf("%v: %s", err, out)
	}
	if now, err := os.ReadFile(output); err != nil || string(now) != "old" {
		t.Errorf("the old file holds %q, %v", now, err)
	}
	if left := asides(t, dir); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
