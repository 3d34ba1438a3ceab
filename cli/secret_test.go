package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
)

// The passwords are such as occur nowhere by chance. See lockedWith.
const (
	rightSecret = "Tollmere-7c41f0"
	wrongSecret = "Wrongmere-99e2ab"
)

// lockedWith encrypts the demo pattern with a user password, by qpdf.
func lockedWith(t *testing.T, name, password string) {
	t.Helper()
	testpdf.Tool(t, "qpdf")
	plain, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	file, err := testpdf.Encrypt(plain, password, "owner-"+password)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, file, 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestSecrets: a password shows up in nothing that the command prints or writes,
// in whatever way it is given, whether it opens the file or not.
func TestSecrets(t *testing.T) {
	dir := t.TempDir()
	locked, file := filepath.Join(dir, "locked.pdf"), filepath.Join(dir, "password.txt")
	lockedWith(t, locked, rightSecret)
	output := func(name string) string { return filepath.Join(dir, name) }
	for i, c := range []struct {
		name  string
		args  []string
		draws bool
	}{
		{"inspect", []string{"inspect", locked}, false},
		{"inspect as JSON", []string{"inspect", "--json", locked}, false},
		{"isolate", []string{"isolate", locked, "--layer", "Size 14", "-o", output("a.pdf"), "--force"}, false},
		{"isolate as JSON", []string{"isolate", locked, "--layer", "Size 14", "-o", output("b.pdf"), "--json", "--force"}, false},
		{"isolate to a stream", []string{"isolate", locked, "--layer", "Size 14", "-o", "-"}, false},
		{"isolate many", []string{"isolate", locked, "--layer", "Size 14", "--output-dir", dir, "--json", "--force"}, false},
		{"a layer that is not there", []string{"isolate", locked, "--layer", "Size 99", "-o", output("c.pdf"), "--force"}, false},
		{"decrypting, which is the owner's", []string{"isolate", locked, "--layer", "Size 14", "--decrypt", "-o", output("d.pdf"), "--force"}, false},
		{"check", []string{"check", locked}, false},
		{"check as SARIF", []string{"check", "--sarif", locked}, false},
		{"draft", []string{"draft", locked, "-o", output("e.yaml"), "--force"}, false},
		{"verify", []string{"verify", locked, "--against", locked, "--layer", "Size 14", "--json"}, false},
		{"a report in HTML", []string{"preview", locked, "-o", output("f.html"), "--force"}, true},
	} {
		if c.draws && testing.Short() {
			continue // it draws
		}
		for k, secret := range []string{rightSecret, wrongSecret} {
			way := []string{"file", "stream", "environment"}[(i+k)%3]
			if err := os.WriteFile(file, []byte(secret+"\n"), 0o600); err != nil {
				t.Fatal(err)
			}
			t.Run(fmt.Sprintf("%s, %s, by %s", c.name, secret, way), func(t *testing.T) {
				cmd := command(t, c.args...)
				switch way {
				case "file":
					cmd.Args = append(cmd.Args, "--password-file", file)
				case "stream":
					cmd.Args = append(cmd.Args, "--password-file", "-")
					cmd.Stdin = strings.NewReader(secret + "\n")
				case "environment":
					cmd.Env = append(cmd.Env, passwordVariable+"="+secret)
				}
				said, err := cmd.CombinedOutput()
				if secret == wrongSecret && (err == nil || !bytes.Contains(said, []byte("the password given does not open it"))) {
					t.Errorf("the wrong password: %v: %s", err, said)
				}
				if err != nil && bytes.Contains(said, []byte("needs a password")) {
					t.Errorf("the password did not arrive: %s", said)
				}
				leaks(t, "what it said", said, secret)
			})
		}
	}
	list, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(list) < 6 {
		t.Errorf("only %d files were written", len(list))
	}
	opened := 0
	for _, e := range list {
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if e.Name() != filepath.Base(file) {
			leaks(t, e.Name(), data, rightSecret)
			plain := decrypted(data)
			leaks(t, e.Name(), plain, rightSecret)
			opened += min(1, len(plain))
		}
	}
	if opened < 4 {
		t.Errorf("only %d files were looked at without their encryption", opened)
	}
}

// decrypted is what a result holds once its own password has opened it.
func decrypted(data []byte) []byte {
	doc, err := layers.Open(context.Background(), bytes.NewReader(data), &layers.OpenOptions{Password: "owner-" + rightSecret})
	if err != nil {
		return nil
	}
	var b bytes.Buffer
	sel := layers.Selection{}
	for i := range doc.Layers() {
		sel.Layers = append(sel.Layers, i)
	}
	if _, err := doc.Isolate(context.Background(), &b, sel, &layers.IsolateOptions{Decrypt: true}); err != nil {
		return nil
	}
	return b.Bytes()
}

func leaks(t *testing.T, where string, data []byte, secret string) {
	t.Helper()
	if bytes.Contains(data, []byte(secret)) {
		t.Errorf("%s holds the password", where)
	}
}

// TestPasswordOnNoCommandLine: no flag of any command takes a password, and a
// running command has it neither among its arguments nor anywhere in them.
func TestPasswordOnNoCommandLine(t *testing.T) {
	for _, cmd := range (&program{}).app().Commands {
		for _, f := range cmd.Flags {
			for _, name := range f.Names() {
				if _, isString := f.(*urfave.StringFlag); strings.Contains(name, "pass") && (!isString || name != "password-file") {
					t.Errorf("%s --%s", cmd.Name, name)
				}
			}
		}
	}
	if _, err := os.Stat("/proc/self/cmdline"); err != nil {
		t.Skip("the command line of a process cannot be read here")
	}
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	cmd := command(t, "inspect", "-")
	cmd.Env = append(cmd.Env, passwordVariable+"="+rightSecret)
	cmd.Stdin = r
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	var line []byte
	for range 1000 { // it is empty until the program is in its place
		if line, err = os.ReadFile(fmt.Sprintf("/proc/%d/cmdline", cmd.Process.Pid)); err != nil || len(line) > 0 {
			break
		}
		time.Sleep(5 * time.Millisecond)
	}
	if err != nil || !bytes.Contains(line, []byte("inspect")) {
		t.Errorf("the command line is %q, %v", line, err)
	}
	leaks(t, "the command line", line, rightSecret)
	if err := w.Close(); err != nil {
		t.Error(err)
	}
	var exit *exec.ExitError
	if err := cmd.Wait(); !errors.As(err, &exit) {
		t.Errorf("an empty stream: %v", err)
	}
}

// TestCrashTellsNoPassword: what a crash prints holds no password, even where the
// environment asks for every detail. Arguments of functions show as numbers.
func TestCrashTellsNoPassword(t *testing.T) {
	dir := t.TempDir()
	cmd := command(t, "isolate", "-", "--layer", "Size 14", "-o", filepath.Join(dir, "out.pdf"), "--password-file", filepath.Join(dir, "password.txt"))
	if err := os.WriteFile(filepath.Join(dir, "password.txt"), []byte(rightSecret+"\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	defer w.Close()
	var said bytes.Buffer
	cmd.Stdin, cmd.Stderr = r, &said
	cmd.Env = append(cmd.Env, "GOTRACEBACK=system")
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	time.Sleep(time.Second) // until it has read the password and waits for the file
	if err := cmd.Process.Signal(syscall.SIGQUIT); err != nil {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
		t.Skipf("a crash cannot be made here: %v", err)
	}
	if err := cmd.Wait(); err == nil || !strings.Contains(said.String(), "goroutine ") {
		t.Fatalf("it did not crash: %v: %s", err, said.String())
	}
	leaks(t, "the crash report", said.Bytes(), rightSecret)
}
