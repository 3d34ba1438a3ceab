package cli

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// What a command may take on a hostile file: the time of a processor on each of two
// cores, and memory.
const (
	hostileTime   = 2 * 10 * time.Second
	hostileMemory = 700 << 20
)

// hostileCommands are the commands that read patterns, with a chart that tells sizes
// apart by layer and one by line.
var hostileCommands = []struct {
	name string
	args []string
	long bool // in the long form alone
}{
	{"inspect", []string{"inspect", "IN"}, false},
	{"inspect --lines", []string{"inspect", "--lines", "IN"}, false},
	{"draft", []string{"draft", "IN", "-o", "DIR/chart-out.yaml", "--force"}, true},
	{"draft --lines", []string{"draft", "--lines", "IN", "-o", "DIR/chart-out.yaml", "--force"}, true},
	{"check", []string{"check", "--chart", "DIR/layers.yaml", "IN"}, false},
	{"check by lines", []string{"check", "--chart", "DIR/lines.yaml", "IN"}, true},
	{"isolate", []string{"isolate", "IN", "--layer", "A", "-o", "DIR/out.pdf", "--force"}, false},
	{"isolate --by lines", []string{"isolate", "IN", "--chart", "DIR/lines.yaml", "--size", "1", "--by", "lines", "-o", "DIR/out.pdf", "--force"}, false},
	{"isolate --flatten", []string{"isolate", "IN", "--layer", "A", "--flatten", "-o", "DIR/out.pdf", "--force"}, true},
	{"isolate --each", []string{"isolate", "IN", "--chart", "DIR/layers.yaml", "--each", "--output-dir", "DIR/each", "--force"}, true},
	{"verify", []string{"verify", "DIR/out.pdf", "--against", "IN", "--layer", "A"}, true},
	{"preview", []string{"preview", "IN", "--page", "1", "--output-dir", "DIR/preview", "--force"}, true},
}

// hostileSample are the files of the short form.
var hostileSample = []string{
	"layers nested three hundred thousand deep", "forms that double forty times, with a text",
	"dash of four million numbers that repeats but for the last",
}

// TestHostile: every command ends by itself on every hostile file, in time and within
// memory, and prints the slowest and the largest. SIZEPLY_LONG=1 takes all of them.
func TestHostile(t *testing.T) {
	if testing.Short() {
		t.Skip("starts the command very often")
	}
	dir := t.TempDir()
	for name, text := range map[string]string{
		"layers.yaml": "name: Hostile\nsizes:\n  - {label: \"1\", layers: [A]}\n  - {label: \"2\", layers: [B]}\n",
		"lines.yaml":  "name: Hostile\nsizes:\n  - {label: \"1\", line: {colour: \"#000000\"}}\n  - {label: \"2\", line: {colour: \"#ff0000\"}}\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	long := os.Getenv("SIZEPLY_LONG") != ""
	for _, h := range testpdf.HostileFiles {
		if !long && !slices.Contains(hostileSample, h.Name) {
			continue
		}
		input := filepath.Join(dir, "in.pdf")
		if err := os.WriteFile(input, h.File(), 0o600); err != nil {
			t.Fatal(err)
		}
		for _, c := range hostileCommands {
			if c.long && !long {
				continue
			}
			t.Run(c.name+": "+h.Name, func(t *testing.T) {
				replace := strings.NewReplacer("DIR", dir, "IN", input)
				args := make([]string, len(c.args))
				for i, a := range c.args {
					args[i] = replace.Replace(a)
				}
				endure(t, args)
			})
		}
	}
}

// endure runs a command on a hostile file.
func endure(t *testing.T, args []string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute) // other tests run at the same time
	defer cancel()
	own := command(t, args...)
	cmd := exec.CommandContext(ctx, own.Path, args...)
	cmd.Env = own.Env
	ownPeak := testpdf.AskPeak(t, cmd)
	out, err := cmd.CombinedOutput()
	if exit := (*exec.ExitError)(nil); err != nil && (!errors.As(err, &exit) || exit.ExitCode() < 0) {
		t.Fatalf("%v: %s", err, shortened(out))
	}
	used, peak := cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime(), ownPeak()
	if peak == 0 && runtime.GOOS == "linux" {
		t.Fatal("its memory is not known")
	}
	if used > hostileTime || peak > hostileMemory || strings.Contains(string(out), "goroutine ") {
		t.Errorf("%v, %d MB: %s", used, peak>>20, shortened(out))
		return
	}
	t.Logf("%v, %d MB: %s", used.Round(10*time.Millisecond), peak>>20, shortened(out))
}

// shortened is the last of what a command said.
func shortened(out []byte) string {
	const most = 200
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	last := lines[len(lines)-1]
	return last[:min(len(last), most)]
}
