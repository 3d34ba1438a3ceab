package check

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/sizes"
)

// slips are ways in which a name of a size comes to be written otherwise: common
// practice, no source.
var slips = []func(name, label string) string{
	func(name, _ string) string { return strings.ToUpper(name) },
	func(name, _ string) string { return strings.ToLower(name) },
	func(name, _ string) string { return strings.ReplaceAll(name, " ", "  ") },
	func(name, _ string) string { return strings.ReplaceAll(name, " ", "\u00a0") },
	func(name, _ string) string { return strings.ReplaceAll(name, " ", "_") },
	func(name, _ string) string { return name + " " },
	func(name, _ string) string { return name + " copy" },
	func(name, _ string) string { return "\u200f" + name },
	func(name, _ string) string { return strings.ReplaceAll(name, "e", "е") }, // Cyrillic
	func(name, _ string) string { return strings.ReplaceAll(name, "ö", "o\u0308") },
	func(name, label string) string { return strings.ReplaceAll(name, label, "0"+label) },
	func(name, label string) string { return strings.ReplaceAll(name, label, wide(label)) },
	func(_, label string) string { return "Gr. " + label },
	func(_, label string) string { return "sz" + label },
	func(_, label string) string { return label },
}

// wide writes digits as full-width ones.
func wide(label string) string {
	return strings.Map(func(r rune) rune {
		if '0' <= r && r <= '9' {
			return r - '0' + '０'
		}
		return r
	}, label)
}

// TestRenamed gives all layers the names that a check proposes, and wants the
// next check to find nothing about names, and no layer more than once or missing.
func TestRenamed(t *testing.T) {
	about := []string{"name-form", "name-alike", "name-repeated", "name-unclear", "layer-unknown", "layer-missing", "layer-ambiguous", "size-missing", "no-sizes"}
	r := rand.New(rand.NewPCG(8, 10))
	renamed := 0
	for _, form := range []string{"Size {label}", "Größe {label}", "T{label}", "Taille {label}", "{label}", "サイズ {label}"} {
		for turn := range 60 {
			files, chart := slipped(r, form, 1+turn%4)
			first := checked(files, chart)
			renamed += apply(files, first)
			for _, f := range checked(files, chart).Findings {
				if slices.Contains(about, f.ID) {
					t.Errorf("%s, after all proposed names: %+v\nat first: %+v", form, f, first.Findings)
				}
			}
		}
	}
	if renamed < 300 {
		t.Errorf("%d layers have a new name, want 300 at least", renamed)
	}
}

// slipped is a pattern of two files with some names written otherwise, and its
// chart in half of the cases.
func slipped(r *rand.Rand, form string, slipsPerFile int) ([]testFile, *sizes.Chart) {
	labels := []string{"34", "36", "38", "40", "42", "44", "46", "48"}
	c := &sizes.Chart{Names: form, Keep: []string{"Text", "Grainline"}}
	var files []testFile
	for _, name := range []string{"sheet.pdf", "a4.pdf"} {
		f := testFile{Name: name, Pages: 1}
		for i, label := range labels {
			f.Layers = append(f.Layers, testLayer{ID: i + 1, Name: strings.ReplaceAll(form, "{label}", label), Place: i + 1,
				Holds: []held{{Page: 1, Marks: 1, Width: 100 + 5*float64(i), Height: 50 + 5*float64(i)}}})
		}
		for range slipsPerFile {
			i := r.IntN(len(labels))
			l := &f.Layers[i]
			l.Name = slips[r.IntN(len(slips))](strings.ReplaceAll(form, "{label}", labels[i]), labels[i])
		}
		f.Layers = append(f.Layers, extra("Text"))
		files = append(files, f)
	}
	for _, label := range labels {
		c.Sizes = append(c.Sizes, sizes.Size{Label: label})
	}
	if r.IntN(2) == 0 {
		c = nil
	}
	return files, c
}

// apply gives layers the names that findings propose, and counts them.
func apply(files []testFile, res *Result) (renamed int) {
	for _, x := range res.Findings {
		for i := range files {
			for k := range files[i].Layers {
				if l := &files[i].Layers[k]; x.Rename != "" && files[i].Name == x.File && l.ID == x.Object {
					l.Name = x.Rename
					renamed++
				}
			}
		}
	}
	return renamed
}

// TestRenamedApart: layers with names of their own do not get one name, also where
// several are the same size.
func TestRenamedApart(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 400 {
		files, chart := slipped(r, "Size {label}", 3)
		for i := range files {
			for range 3 {
				l := extra(slips[r.IntN(len(slips))]("Size 40", "40"))
				l.ID = 100 + len(files[i].Layers)
				files[i].Layers = append(files[i].Layers, l)
			}
		}
		first, second := names(files[0]), names(files[1])
		found := checked(files, chart)
		apply(files, found)
		if n, m := names(files[0]), names(files[1]); n < first || m < second {
			t.Fatalf("%d and %d names, of %d and %d:\n%+v", n, m, first, second, found.Findings)
		}
	}
}

// names counts those of a file.
func names(f testFile) int {
	all := map[string]bool{}
	for _, l := range f.Layers {
		all[l.Name] = true
	}
	return len(all)
}
