package sizes

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/sizeply/sizeply/internal/words"
)

// repeated writes n things, each by its number.
func repeated(n int, form string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, form, i)
	}
	return b.String()
}

// hostileCharts are charts that were made to keep their reader busy, to take its
// memory, or to do something to who reads the error.
var hostileCharts = []struct{ name, file, text, want string }{
	{"aliases of aliases", "a.yaml", "a: &a [x,x,x]\nb: &b [*a,*a,*a]\nc: [*b,*b,*b]\n", "must be in quotes"},
	{"an alias of itself", "a.yaml", "keep: &a [*a, *a]\n", "must be in quotes"},
	{"ten megabytes", "a.yaml", "sizes:\n" + strings.Repeat("  - {label: x}\n", 10<<20/17), "longer than 1 MiB"},
	{"a million rows", "a.csv", "label,bust (cm)\n" + strings.Repeat("8,80\n", 1_000_000), "longer than 1 MiB"},
	{"as many rows as fit", "a.csv", "label,bust (cm)\n" + repeated(90_000, "%d,80\n"), "more than the 1000 sizes"},
	{"a million blank cells", "a.csv", "label" + strings.Repeat(",", 1_000_000), "the table has no sizes"},
	{"a million blank cells and one more", "a.csv", "label" + strings.Repeat(",", 1_000_000) + "x", "more than the 200 cells"},
	{"half a million cells", "a.csv", strings.Repeat("x,", 500_000), "more than the 200 cells"},
	{"a million quotes", "a.csv", "label," + strings.Repeat(`"`, 1_000_000), "the table has no sizes"},
	{"a million brackets", "a.yaml", "sizes: " + strings.Repeat("[", 1_000_000), "within each other more than 32 deep"},
	{"brackets of names", "a.yaml", "sizes: " + strings.Repeat("{a: ", 200_000), "within each other more than 32 deep"},
	{"steps of blocks", "a.yaml", repeated(1400, "%[1]*[1]d:\n"), "within each other more than 32 deep"},
	{"a list of lists of lists", "a.yaml", strings.Repeat("- ", 500_000), "within each other more than 32 deep"},
	{"as many keys as are read", "a.yaml", "sizes: [{label: 8}]\n" + repeated(16_000, "k%d: 1\n"), `nothing called "k0"`},
	{"more keys", "a.yaml", repeated(80_000, "k%d: 1\n"), "more than 65536 words and signs"},
	{"a million quotes in YAML", "a.yaml", strings.Repeat(`"`, 1_000_000), "words and signs"},
	{"a line of a megabyte", "a.yaml", strings.Repeat("x", 1_000_000), "here stands a single value"},
	{"a label of a megabyte", "a.yaml", `sizes: [{label: "` + strings.Repeat("8", 1_000_000) + `"}]`, "more than the 4096"},
	{"a key of a megabyte", "a.yaml", strings.Repeat("k", 1_000_000) + ": 1\n", "nothing called"},
	{"a unit of a megabyte", "a.yaml", "unit: " + strings.Repeat("u", 1_000_000) + "\n", "is no unit"},
	{"a measurement of a megabyte", "a.csv", "label,bust (cm)\n8," + strings.Repeat("8", 1_000_000), "is no measurement"},
	{"a name of a megabyte for a column", "a.csv", "label,layer\u202e" + strings.Repeat("b", 1_000_000) + "\n8,80", "has no unit"},
	{"not a number", "a.yaml", "unit: cm\nsizes: [{label: 8, body: {bust: .nan}}]", `".nan" is no measurement`},
	{"without an end", "a.yaml", "unit: cm\nsizes: [{label: 8, body: {bust: .inf}}]", `".inf" is no measurement`},
	{"not a number in CSV", "a.csv", "label,bust (cm)\n8,NaN", `"NaN" is no measurement`},
	{"without an end in CSV", "a.csv", "label,bust (cm)\n8,Infinity", `"Infinity" is no measurement`},
	{"larger than numbers are", "a.csv", "label,bust (cm)\n8,1e999", `"1e999" is no measurement`},
	{"a formula", "a.csv", "label,bust (cm)\n8,\"=cmd|' /C calc'!A0\"", "is no measurement"},
	{"an escape sequence", "a.csv", "label,bust (cm)\n8,\u009b31m", "is no measurement"},
	{"text turned round", "a.yaml", "sizes: [{label: 8}]\nfoo\u202e\u2066: x\n", "nothing called"},
	{"an order in the file's name", "\x1b[2J\n.yaml", "x: 1", "nothing called"},
}

// TestHostileCharts: a chart that was made to hurt is refused with one sentence
// and no more than a part of a line of it, soon.
func TestHostileCharts(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	for _, c := range hostileCharts {
		t.Run(c.name, func(t *testing.T) {
			start := time.Now()
			_, err := Read(strings.NewReader(c.text), c.file)
			if took := time.Since(start); took > 30*time.Second { // a tenth of it where nothing else runs
				t.Errorf("it took %v", took)
			}
			var chart *ChartError
			if !errors.As(err, &chart) || !strings.Contains(chart.Message, c.want) {
				t.Fatalf("got %.300v, want %q", err, c.want)
			}
			lines := strings.Split(err.Error(), "\n")
			if len(lines) != 1 && len(lines) != 3 {
				t.Errorf("the error has %d lines: %.300s", len(lines), err)
			}
			for _, line := range lines {
				if words.Harmless(line) != line || utf8.RuneCountInString(line) > maxMessage+100 {
					t.Errorf("a line of the error has %d characters, or does harm: %.300q", utf8.RuneCountInString(line), line)
				}
			}
		})
	}
}
