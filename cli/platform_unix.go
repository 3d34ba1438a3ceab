//go:build unix

package cli

import (
	"os"
	"syscall"
)

// lock takes a file for this process until it is closed; it fails where
// another has it.
func lock(f *os.File) error {
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
}

// flushFolder forces the names in a folder to the disk.
func flushFolder(folder *os.Root) error {
	f, err := folder.Open(".")
	if err != nil {
		return err
	}
	defer f.Close()
	return flush(f)
}
