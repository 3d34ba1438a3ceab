//go:build !unix

package cli

import "os"

// lock does nothing: a file that another process has open cannot be removed
// here.
func lock(*os.File) error { return nil }

// flushFolder does nothing: folders cannot be flushed here.
func flushFolder(*os.Root) error { return nil }
