package check

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// FuzzCheck checks two files with any names. The same files give the same
// findings, and one layer has one finding about its name at most.
func FuzzCheck(f *testing.F) {
	f.Add("Size 6\nSize 8\nSize 10 copy\nText", "Size 6\nsize 8\nSize 10\nText")
	f.Add("Sizе 10\nSize 8\nGr. 8\n\n–", "10\n8\n8-10\nDoodle")
	f.Add("green\nred\nblue", "XS/S\nM/L\nXL")
	f.Fuzz(func(t *testing.T, first, second string) {
		if len(first)+len(second) > 2000 {
			return
		}
		files := []testFile{named("a.pdf", first), named("b.pdf", second)}
		r := checked(files, nil)
		if diff := cmp.Diff(r.Findings, checked(files, nil).Findings); diff != "" {
			t.Errorf("another time:\n%s", diff)
		}
		seen := map[string]bool{}
		for _, x := range r.Findings {
			if x.Text == "" || x.Do == "" || x.Rename == x.Layer && x.Rename != "" {
				t.Errorf("%+v", x)
			}
			if !slices.Contains([]string{"name-form", "name-alike", "name-unclear"}, x.ID) {
				continue
			}
			id := x.File + "\x00" + string(rune(x.Object))
			if seen[id] {
				t.Errorf("two findings about the name %q of %s", x.Layer, x.File)
			}
			seen[id] = true
		}
	})
}

// named is a file with layers of the names, one on each line.
func named(name, lines string) testFile {
	f := testFile{Name: name, Pages: 1}
	for i, n := range strings.Split(lines, "\n") {
		f.Layers = append(f.Layers, testLayer{ID: i + 1, Name: n, Place: i + 1, Holds: []held{{Page: 1, Marks: 1, Width: 10 + float64(i), Height: 10}}})
	}
	return f
}
