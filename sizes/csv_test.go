package sizes

import (
	"strings"
	"testing"
)

func TestIsTable(t *testing.T) {
	cases := []struct {
		file, text string
		want       bool
		why        string
	}{
		{"chart.csv", "sizes: [{label: 8}]", true, "the name says so"},
		{"CHART.TSV", "", true, "in upper case"},
		{"chart.yaml", "label,bust (cm)\n8,80\n", false, "the name says not"},
		{"chart.yml", "label,bust (cm)\n", false, "the name says not"},
		{"chart.json", "label,bust (cm)\n", false, "the name says not"},
		{"", "label,bust (cm)\n8,80\n", true, "a column of labels"},
		{"", "bust (cm);Größe\n80;8\n", true, "a column of labels in another place and language"},
		{"chart.txt", "\n\"size\"\t\"bust (cm)\"\n", true, "in quotes, below a blank line"},
		{"", "sep=;\nlabel;bust (cm)\n", true, "below the line that names the separator"},
		{"", "name: Tollmere skirt\nsizes: [{label: 8}]\n", false, "YAML"},
		{"", "sizes:\n  - label: 8\n", false, "YAML, although a key is a size word"},
		{"", "label\n8\n", false, "one column is not told from YAML by its name alone"},
		{"", "", false, "nothing"},
	}
	for _, c := range cases {
		if got := newSource([]byte(c.text), c.file).isTable(); got != c.want {
			t.Errorf("%q called %q, %s: a table is %t", c.text, c.file, c.why, got)
		}
	}
}

// FuzzReadTable wants of any text a chart that holds to its rules and reads
// back the same from YAML, or an error with a place in the text.
func FuzzReadTable(f *testing.F) {
	for _, c := range tableCases {
		f.Add(c.text)
	}
	for _, c := range tableErrors {
		if len(c.text) < 1000 {
			f.Add(c.text)
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		chart, err := Read(strings.NewReader(text), "chart.csv")
		if err != nil {
			checkChartError(t, err)
			return
		}
		if err := chart.Check(); err != nil {
			t.Errorf("a chart that was read: %v", err)
		}
		checkWritten(t, chart)
	})
}
