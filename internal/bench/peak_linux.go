package bench

import (
	"os"
	"syscall"
)

// peak is the most memory that a process had at a time, in bytes. Linux counts
// in KiB, and begins with what the parent had: that has to be small.
func peak(s *os.ProcessState) int64 {
	if u, ok := s.SysUsage().(*syscall.Rusage); ok {
		return int64(u.Maxrss) << 10
	}
	return 0
}
