package demo_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every file of testdata is in the table of its README with origin, licence
// and what it shows, and every file of the table is there.
func TestTestdataIsListed(t *testing.T) {
	listed := table(t)
	err := filepath.WalkDir(testdata, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		name, err := filepath.Rel(testdata, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		if !listed[name] {
			t.Errorf("testdata/README.md does not list %s", name)
		}
		delete(listed, name)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range listed {
		t.Errorf("testdata/README.md lists %s, which is not there", name)
	}
}

// table gives the files of the README's table, whose first cell is the name
// in backquotes and whose other three cells must not be empty.
func table(t *testing.T) map[string]bool {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(testdata, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for line := range strings.Lines(string(text)) {
		cells := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), "|")
		name, isFile := strings.CutPrefix(strings.TrimSpace(cells[0]), "`")
		if !strings.HasPrefix(line, "|") || !isFile {
			continue
		}
		name = strings.TrimSuffix(name, "`")
		if len(cells) != 4 {
			t.Errorf("the row of %s has %d cells, want file, origin, licence, what it shows", name, len(cells))
		}
		for _, cell := range cells[1:] {
			if strings.TrimSpace(cell) == "" {
				t.Errorf("the row of %s has an empty cell", name)
			}
		}
		listed[name] = true
	}
	return listed
}
