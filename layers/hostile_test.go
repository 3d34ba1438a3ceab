package layers

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
)

const (
	hostileVariable = "SIZEPLY_HOSTILE_FILE"
	hostileTime     = 10 * time.Second
	hostileMemory   = 700 << 20
)

// TestHostile opens, inspects, isolates and checks each file in a process of
// its own, which must end by itself, in time and within memory. The time is a
// bound against hanging, ten times what the slowest takes. SIZEPLY_LONG=1 takes all
// files, else it is one in sixteen.
func TestHostile(t *testing.T) {
	if name := os.Getenv(hostileVariable); name != "" {
		fmt.Println(suffer(name))
		testpdf.SayPeak()
		return
	}
	if testing.Short() {
		t.Skip("takes processes of hundreds of megabytes")
	}
	t.Parallel()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range testpdf.HostileFiles {
		if i%16 != 1 && !long() {
			continue
		}
		t.Run(h.Name, func(t *testing.T) {
			name := filepath.Join(t.TempDir(), "hostile.pdf")
			if err := os.WriteFile(name, h.File(), 0o600); err != nil {
				t.Fatal(err)
			}
			ctx, cancel := context.WithTimeout(context.Background(), hostileTime*6) // other tests run at the same time
			defer cancel()
			cmd := exec.CommandContext(ctx, program, "-test.run=^TestHostile$")
			cmd.Env = append(os.Environ(), hostileVariable+"="+name)
			ownPeak := testpdf.AskPeak(t, cmd)
			out, err := cmd.CombinedOutput()
			used := time.Duration(0)
			if cmd.ProcessState != nil {
				used = cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
			}
			text, _, _ := strings.Cut(string(out), "\n")
			if strings.HasPrefix(text, "WRONG") {
				t.Error(text)
			}
			switch peak := ownPeak(); {
			case err != nil:
				t.Errorf("%v after %v: %s", err, used, text)
			case used > 2*hostileTime: // on two cores
				t.Errorf("it took %v of all cores: %s", used, text)
			case peak > hostileMemory:
				t.Errorf("it took %d MB: %s", peak>>20, text)
			default:
				t.Logf("%v, %d MB: %s", used.Round(10*time.Millisecond), peak>>20, text)
			}
		})
	}
}

// suffer does with a file what the command does, and says in one line how it
// ended.
func suffer(name string) string {
	f, err := os.Open(name)
	if err != nil {
		return err.Error()
	}
	defer f.Close()
	ctx := context.Background()
	doc, err := Open(ctx, f, nil)
	if err != nil {
		return "not opened: " + err.Error()
	}
	if _, err := doc.Inspect(ctx); err != nil {
		return "not inspected: " + err.Error()
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, Selection{Layers: []int{0}}, nil)
	if err != nil {
		return "not isolated: " + err.Error()
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		return "WRONG: " + err.Error()
	}
	lines, err := doc.Lines(ctx)
	if err != nil {
		return fmt.Sprintf("isolated: %d bytes; no lines: %v", out.Len(), err)
	}
	ProposeLines(lines.Styles)
	if err := doc.Switch(ctx, io.Discard, Selection{Layers: []int{0}}); err != nil {
		return "not switched: " + err.Error()
	}
	return fmt.Sprintf("isolated: %d bytes; %d line styles", out.Len(), len(lines.Styles))
}
