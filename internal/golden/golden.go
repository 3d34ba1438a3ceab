// Package golden compares what a test got with a file under testdata. Run the
// tests with -update to write the files anew, then read the difference before
// it is committed. Nothing outside tests imports it.
package golden

import (
	"bytes"
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the files under testdata from what the tests get")

// Equal fails the test unless got is the content of testdata/name of the
// package under test. With -update it writes the file and passes.
func Equal(tb testing.TB, name string, got []byte) {
	tb.Helper()
	path := filepath.Join("testdata", filepath.FromSlash(name))
	if *update {
		if err := write(path, got); err != nil {
			tb.Fatal(err)
		}
		return
	}
	if message := compare(path, got); message != "" {
		tb.Error(message)
	}
}

// compare says how got differs from the file, "" where they are equal. Line
// ends count.
func compare(path string, got []byte) string {
	want, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return path + " is not there; run the test with -update to write it"
	case err != nil:
		return err.Error()
	case bytes.Equal(want, got):
		return ""
	}
	return path + " differs (-file +got); run the test with -update if this is right:\n" +
		cmp.Diff(string(want), string(got))
}

// write makes the folder too.
func write(path string, got []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	return os.WriteFile(path, got, 0o644)
}
