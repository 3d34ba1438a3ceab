package layers

import (
	"os"
	"syscall"
)

// peakMemory is the most memory that a process had, in bytes.
func peakMemory(p *os.ProcessState) int64 {
	usage, ok := p.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	return usage.Maxrss << 10
}
