package sizes

import (
	"bytes"
	"fmt"
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

// largestChart has as many sizes, measurements and layers as a chart may hold,
// within a megabyte.
func largestChart() *Chart {
	c := &Chart{Name: "largest", Unit: Millimetre}
	for i := range maxSizes {
		s := Size{Label: fmt.Sprintf("%d", i+1), Body: map[string]float64{}}
		for j := range 10 {
			s.Body[fmt.Sprintf("measurement %c", 'a'+j)] = float64(100 + i + j)
		}
		for j := range maxPatterns / maxSizes {
			s.Layers = append(s.Layers, fmt.Sprintf("*piece %d of %d cut", j, i+1))
		}
		c.Sizes = append(c.Sizes, s)
	}
	return c
}

// manyNames are names of layers that fit by label, by a glob, or not at all.
func manyNames(n int) []string {
	names := make([]string, n)
	for i := range names {
		form := []string{"Size %d", "Tollmere_front_sz%04d_cut", "front piece 3 of %d cut", "Sizes %d to 1000", "Layer %d with some text"}[i%5]
		names[i] = fmt.Sprintf(form, i%maxSizes+1)
	}
	return names
}

// BenchmarkMatchMany matches 10,000 names with a chart of usual size.
func BenchmarkMatchMany(b *testing.B) {
	names, chart := manyNames(10_000), pickChart()
	b.ReportAllocs()
	for b.Loop() {
		chart.Match(names)
	}
}

// BenchmarkMatchLargest matches 10,000 names with the largest chart there may
// be, and picks: a hundred million comparisons with globs.
func BenchmarkMatchLargest(b *testing.B) {
	names, chart := manyNames(10_000), largestChart()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := chart.Match(names).Pick(Want{Labels: []string{"500"}, Below: 1}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFitLargest fits a body with the largest chart there may be.
func BenchmarkFitLargest(b *testing.B) {
	chart := largestChart()
	var body Body
	for _, name := range chart.Sizes[0].measurements() {
		body = append(body, BodyMeasure{name, Measure{45.03, Centimetre}})
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := chart.Fit(body, BetweenNearest); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReadLargest reads the largest chart there may be, in YAML and CSV.
func BenchmarkReadLargest(b *testing.B) {
	var yaml bytes.Buffer
	chart := largestChart()
	for i := range chart.Sizes {
		chart.Sizes[i].Body = nil // the words of a YAML file have a limit of their own
	}
	if err := chart.Write(&yaml); err != nil {
		b.Fatal(err)
	}
	var table strings.Builder
	table.WriteString("label,bust (cm)")
	for j := range 100 {
		fmt.Fprintf(&table, ",measurement %d (cm)", j)
	}
	for i := range maxSizes {
		fmt.Fprintf(&table, "\n%d,50", i)
		table.WriteString(strings.Repeat(",82.5-90", 100))
	}
	for name, text := range map[string]string{"YAML": yaml.String(), "CSV": table.String()} {
		b.Run(name, func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Read(strings.NewReader(text), "chart."+strings.ToLower(name)); err != nil {
					b.Fatal(err)
				}
			}
		})
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
