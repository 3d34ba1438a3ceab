package cli

import (
	"os"
	"path/filepath"
	"time"
)

// leftoverAge is how old a file written aside must be before it may be one that
// a run left which was killed.
const leftoverAge = time.Minute

// removeLeftovers removes from a folder what runs left there that were killed
// while they wrote. What another run writes now it leaves alone: that is locked.
func removeLeftovers(folder string) {
	names, err := filepath.Glob(filepath.Join(escapeGlob(folder), asidePrefix+"*"+asideSuffix))
	if err != nil {
		return
	}
	for _, name := range names {
		info, err := os.Lstat(name)
		if err != nil || !info.Mode().IsRegular() || time.Since(info.ModTime()) < leftoverAge {
			continue
		}
		f, err := os.OpenFile(name, os.O_RDWR, 0)
		if err != nil {
			continue
		}
		if lock(f) == nil {
			os.Remove(name)
		}
		f.Close()
	}
}

// escapeGlob writes a folder so that Glob takes it as it is.
func escapeGlob(folder string) string {
	var out []rune
	for _, r := range folder {
		if r == '*' || r == '?' || r == '[' || r == '\\' && os.PathSeparator != '\\' {
			out = append(out, '\\')
		}
		out = append(out, r)
	}
	return string(out)
}
