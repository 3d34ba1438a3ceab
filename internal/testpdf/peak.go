package testpdf

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// peakVariable names the file into which a process says its peak.
const peakVariable = "SIZEPLY_PEAK_FILE"

// AskPeak has a command, which calls SayPeak at its end, say the most memory that it
// had; the result reads that once the command has ended, in bytes, 0 where it is not
// known. What the system counts for an ended process would not do: it begins with
// what its parent had.
func AskPeak(tb testing.TB, cmd *exec.Cmd) func() int64 {
	tb.Helper()
	name := filepath.Join(tb.TempDir(), "peak")
	cmd.Env = append(cmd.Environ(), peakVariable+"="+name)
	return func() (peak int64) {
		said, err := os.ReadFile(name)
		if err != nil {
			return 0
		}
		fmt.Sscan(string(said), &peak)
		return peak << 10
	}
}

// SayPeak says the most memory that this process has had so far, where AskPeak asked
// for it and the system is Linux.
func SayPeak() {
	name := os.Getenv(peakVariable)
	status, err := os.ReadFile("/proc/self/status")
	if name == "" || err != nil {
		return
	}
	_, peak, _ := strings.Cut(string(status), "VmHWM:")
	peak, _, _ = strings.Cut(peak, "kB")
	_ = os.WriteFile(name, []byte(strings.TrimSpace(peak)), 0o600) // else AskPeak gives 0
}
