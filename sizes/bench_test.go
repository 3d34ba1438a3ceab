package sizes

import (
	"strings"
	"testing"
)

// BenchmarkMatch matches all names of the spelling cases with one chart.
func BenchmarkMatch(b *testing.B) {
	var names []string
	for _, c := range allSpellings() {
		names = append(names, c.name)
	}
	chart := pickChart()
	b.ReportAllocs()
	for b.Loop() {
		chart.Match(names)
	}
}

// BenchmarkRead reads the chart of the read tests.
func BenchmarkRead(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(strings.NewReader(fullChart), "chart.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}
