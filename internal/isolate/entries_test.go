package isolate

import (
	"strings"
	"testing"
)

// TestEntriesTable: every row has four cells, every kind that something leads to
// has rows, and every kind is reached from the catalog or the document information.
func TestEntriesTable(t *testing.T) {
	leads := map[string][]string{}
	for line := range strings.Lines(entriesTable) {
		cells := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		switch {
		case strings.HasPrefix(line, "#"):
		case len(cells) != 4 || strings.TrimSpace(cells[3]) == "":
			t.Errorf("%q has %d cells", line, len(cells))
		default:
			leads[cells[0]] = append(leads[cells[0]], strings.Split(cells[1], "+")...)
		}
	}
	reached := map[string]bool{}
	var reach func(kind string)
	reach = func(kind string) {
		switch kind {
		case "plain", "text", "whole", "attached", "apart":
			return
		}
		if leads[kind] == nil {
			t.Errorf("kind %q has no rows", kind)
		}
		if !reached[kind] {
			reached[kind] = true
			for _, below := range leads[kind] {
				reach(below)
			}
		}
	}
	for _, kind := range []string{"catalog", "info", "stream"} {
		reach(kind)
	}
	for kind := range leads {
		if !reached[kind] {
			t.Errorf("nothing leads to the kind %q", kind)
		}
	}
	if n := len(kindsOfDictionaries().rows); n > 64*len(kinds{}) {
		t.Errorf("%d kinds are more than a set holds", n)
	}
}
