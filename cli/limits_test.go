package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestLimits: what passes a limit is refused with the flag that raises it, and
// is done once it is raised.
func TestLimits(t *testing.T) {
	dir := t.TempDir()
	input, output := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
	if err := os.WriteFile(input, layered(3<<20), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, low, high, want string
		status                int
	}{
		{"size of the file", "--max-input=2", "--max-input=4", "passes the limit of 2097152 bytes of the file\n  where you trust the file and have the memory, --max-input raises", statusFail},
		{"one page unpacked", "--max-unpacked=2", "--max-unpacked=4", "passes the limit of 2097152 decoded bytes of a stream\n  where you trust the file and have the memory, --max-unpacked raises", statusFail},
		{"objects", "--max-objects=5", "--max-objects=50", "passes the limit of 5 objects\n  where you trust the file and have the memory, --max-objects raises", statusFail},
		{"no limit at all", "--max-objects=0", "--max-objects=100", "give a number from 1 to", statusUsage},
		{"time that is none", "--time-limit=-1s", "--time-limit=10m", "give a time such as 90s", statusUsage},
		{"time without a unit", "--time-limit=soon", "--time-limit=0", "time-limit", statusUsage},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, text := run("isolate", input, "--layer", "Size 14", "-o", output, c.low)
			if status != c.status || !strings.Contains(text, c.want) {
				t.Errorf("%s: status %d: %s", c.low, status, text)
			}
			if _, err := os.Stat(output); !errors.Is(err, os.ErrNotExist) {
				t.Errorf("%s: there is a file", c.low)
			}
			if status, text := run("isolate", input, "--layer", "Size 14", "-o", output, c.high); status != statusDone {
				t.Errorf("%s: status %d: %s", c.high, status, text)
			}
			_ = os.Remove(output)
		})
	}
}

// run runs the command here and gives its exit status and what it said.
func run(args ...string) (int, string) {
	var said bytes.Buffer
	status := Run(context.Background(), append([]string{"sizeply"}, args...), strings.NewReader(""), &said, &said)
	return status, said.String()
}

// TestTimeLimit ends the command at random moments: the target is what it was or
// complete, and nothing else stays.
func TestTimeLimit(t *testing.T) {
	dir := t.TempDir()
	input, output := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
	if err := os.WriteFile(input, layered(4<<20), 0o600); err != nil {
		t.Fatal(err)
	}
	args := []string{"isolate", input, "--layer", "Size 14", "-o", output, "--force"}
	start := time.Now()
	if status, text := run(args...); status != statusDone {
		t.Fatal(text)
	}
	took := time.Since(start)
	whole, err := os.ReadFile(output)
	if err != nil {
		t.Fatal(err)
	}
	old, ended := []byte("what stood here before"), 0
	for range 20 {
		if err := os.WriteFile(output, old, 0o600); err != nil {
			t.Fatal(err)
		}
		limit := 1 + rand.N(took)
		status, text := run(append(args, "--time-limit", limit.String())...)
		want := whole
		if status != statusDone {
			ended++
			want = old
			if text != "sizeply: the time limit of "+limit.String()+" has passed: nothing was written\n" {
				// it may have passed just behind the file
				if !strings.Contains(text, "has passed: 1 file is complete") {
					t.Errorf("after %v: %s", limit, text)
				}
				want = whole
			}
		}
		if now, err := os.ReadFile(output); err != nil || !bytes.Equal(now, want) {
			t.Errorf("after %v the target holds %d bytes, with status %d: %v", limit, len(now), status, err)
		}
		if left := asides(t, dir); len(left) > 0 {
			t.Fatalf("left behind after %v: %v", limit, left)
		}
	}
	if ended == 0 {
		t.Error("the time was always enough")
	}
}

// TestHangs: where work goes on whatever the context says, the command ends all
// the same, by its time and by an interruption. Reading from a pipe that nobody
// writes to is such work.
func TestHangs(t *testing.T) {
	for name, c := range map[string]struct {
		flag string
		stop func(*os.Process) error
		want string
	}{
		"time": {"--time-limit=100ms", func(*os.Process) error { return nil }, "sizeply: the time limit of 100ms has passed: nothing was written\n"},
		"interruption": {"--time-limit=0", func(p *os.Process) error {
			time.Sleep(time.Second) // so that it has begun
			return p.Signal(os.Interrupt)
		}, "sizeply: interrupted: nothing was written\n"},
	} {
		t.Run(name, func(t *testing.T) {
			r, w, err := os.Pipe()
			if err != nil {
				t.Fatal(err)
			}
			defer r.Close()
			defer w.Close()
			output := filepath.Join(t.TempDir(), "out.pdf")
			cmd := command(t, "isolate", "-", "--layer", "Size 14", "-o", output, c.flag)
			var said bytes.Buffer
			cmd.Stdin, cmd.Stderr = r, &said
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			watch := time.AfterFunc(time.Minute, func() { _ = cmd.Process.Kill() }) // a bound against hanging
			defer watch.Stop()
			if err := c.stop(cmd.Process); err != nil {
				t.Skipf("no interruption can be sent here: %v", err)
			}
			if err := cmd.Wait(); err == nil || cmd.ProcessState.ExitCode() != statusFail || said.String() != c.want {
				t.Errorf("%v: %s", err, said.String())
			}
			if _, err := os.Stat(output); !errors.Is(err, os.ErrNotExist) {
				t.Error("there is a file")
			}
		})
	}
}

// TestWatch: what takes longer than it may ends the run with the reason, unless
// --time-limit is given.
func TestWatch(t *testing.T) {
	for _, timed := range []bool{false, true} {
		ended := make(chan error, 1)
		p := &program{timed: timed, stop: func(err error) { ended <- err }}
		stop := p.watch(time.Millisecond)
		if !timed {
			if err := <-ended; err != errDrawTime {
				t.Errorf("it ends with %v", err)
			}
		}
		stop()
		time.Sleep(20 * time.Millisecond)
		if len(ended) > 0 {
			t.Errorf("timed %t: it ends in vain", timed)
		}
	}
}

// TestEndlessDrawing: the renderer draws a picture of pictures of pictures for
// ever; the time ends it, and there is no picture.
func TestEndlessDrawing(t *testing.T) {
	if testing.Short() {
		t.Skip("it draws")
	}
	objects := []testpdf.Object{testpdf.Form(60, "", "P1")}
	for i := range 20 {
		objects = append(objects, testpdf.Form(61+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R>>>>", 60+i), strings.Repeat("/X Do ", 10)))
	}
	file := testpdf.Build(testpdf.Doc{Groups: []string{"A"}, Objects: objects, Pages: []testpdf.Page{{Content: "/X Do", Resources: "<</XObject <</X 80 0 R>>>>"}}})
	dir := t.TempDir()
	input, output := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.png")
	if err := os.WriteFile(input, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := command(t, "preview", input, "-o", output, "--time-limit", "4s").CombinedOutput()
	if err == nil || string(out) != "sizeply: the time limit of 4s has passed: nothing was written\n" {
		t.Errorf("%v: %s", err, out)
	}
	if left, _ := os.ReadDir(dir); len(left) != 1 {
		t.Errorf("there is %v", left)
	}
}

// TestLostOutput: what standard output does not take is an error, whatever prints
// it.
func TestLostOutput(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skipf("there is no device that is always full: %v", err)
	}
	defer full.Close()
	skirt, chart := "../testdata/tollmere-skirt.pdf", "../testdata/charts/tollmere.yaml"
	for _, args := range [][]string{
		{"inspect", skirt}, {"inspect", "--json", skirt}, {"check", skirt, "--chart", chart, "--fail-on", "none"}, {"draft", skirt},
		{"pick", "--chart", chart, "--size", "14"}, {"isolate", skirt, "--layer", "Text", "-o", "-"}, {"--help"}, {"--version"},
	} {
		var said bytes.Buffer
		cmd := command(t, args...)
		cmd.Stdout, cmd.Stderr = full, &said
		if err := cmd.Run(); err == nil || !strings.Contains(said.String(), "sizeply: standard output: no space left on device\n") {
			t.Errorf("%v: %v: %s", args, err, said.String())
		}
	}
}
