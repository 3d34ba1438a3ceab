package testpdf

import (
	"bufio"
	"os"
	"strings"
	"testing"
)

// A LayerList is what the layers of a file are called, and what each is.
type LayerList struct {
	Why    string
	Labels []string // of the chart beside it, none where the names alone tell
	Names  []string
	Are    []string // of each layer, as the head of the table says
}

// LayerLists reads the table of layer names at a path; what it holds stands at its head.
func LayerLists(tb testing.TB, path string) []LayerList {
	tb.Helper()
	in, err := os.Open(path)
	if err != nil {
		tb.Fatal(err)
	}
	defer in.Close()
	var all []LayerList
	lines := bufio.NewScanner(in)
	for lines.Scan() {
		line := lines.Text()
		if why, ok := strings.CutPrefix(line, "== "); ok {
			all = append(all, LayerList{Why: why})
			continue
		}
		if len(all) == 0 || line == "" {
			continue
		}
		list := &all[len(all)-1]
		if labels, ok := strings.CutPrefix(line, "chart "); ok {
			list.Labels = strings.Split(labels, "|")
			continue
		}
		is, name, ok := strings.Cut(line, "|")
		if !ok {
			tb.Fatalf("%s: %q is no layer", list.Why, line)
		}
		list.Names, list.Are = append(list.Names, name), append(list.Are, is)
	}
	if err := lines.Err(); err != nil {
		tb.Fatal(err)
	}
	return all
}
