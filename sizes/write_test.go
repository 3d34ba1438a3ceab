package sizes

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// checkWritten wants a chart to be the same when written and read again, empty
// lists and maps apart.
func checkWritten(t *testing.T, chart *Chart) {
	t.Helper()
	var b bytes.Buffer
	if err := chart.Write(&b); err != nil {
		t.Fatal(err)
	}
	again, err := Read(bytes.NewReader(b.Bytes()), "written.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, b.Bytes())
	}
	if diff := cmp.Diff(withoutEmpty(chart), withoutEmpty(again)); diff != "" {
		t.Errorf("written and read again:\n%s\n%s", diff, b.Bytes())
	}
}

// checkJSON wants the same of JSON, read by itself and as a chart file, which has no
// place for control characters that are not escaped.
func checkJSON(t *testing.T, chart *Chart) {
	t.Helper()
	data, err := json.Marshal(chart)
	if err != nil {
		t.Fatal(err)
	}
	var back Chart
	if err := json.Unmarshal(data, &back); err != nil {
		t.Fatalf("%v\n%s", err, data)
	}
	if diff := cmp.Diff(withoutEmpty(chart), withoutEmpty(&back)); diff != "" {
		t.Errorf("as JSON and back:\n%s\n%s", diff, data)
	}
	again, err := Read(bytes.NewReader(data), "chart.json")
	if err != nil {
		t.Fatalf("%v\n%s", err, data)
	}
	if diff := cmp.Diff(withoutEmpty(chart), withoutEmpty(again)); diff != "" {
		t.Errorf("as JSON, read as YAML:\n%s\n%s", diff, data)
	}
}

// withoutEmpty is a chart with nil in place of what is empty, but for dashes,
// where empty means a solid line.
func withoutEmpty(c *Chart) *Chart {
	out := *c
	out.Keep, out.Drop = orNil(c.Keep), orNil(c.Drop)
	out.Sizes = nil
	for _, s := range c.Sizes {
		s.Layers = orNil(s.Layers)
		if len(s.Body) == 0 {
			s.Body = nil
		}
		if len(s.Ranges) == 0 {
			s.Ranges = nil
		}
		out.Sizes = append(out.Sizes, s)
	}
	return &out
}

func orNil(list []string) []string {
	if len(list) == 0 {
		return nil
	}
	return list
}

func TestWrite(t *testing.T) {
	chart, err := Read(strings.NewReader(fullChart), "chart.yaml")
	if err != nil {
		t.Fatal(err)
	}
	chart.Sizes[2].Ranges = map[string]Range{"bust": {82, 90.5}}
	var b strings.Builder
	if err := chart.Write(&b); err != nil {
		t.Fatal(err)
	}
	want := `name: "Tollmere skirt"
unit: cm
sizes:
  - label: "08"
    layers: ["Size 8", "Gr. 34*"]
    line: {colour: "#d7263d", dash: [6, 2.5], width: 0.5, text: true}
    body: {bust: 80, waist: 62.5, hip: 34.625}
  - label: "38.5"
    line: {colour: "#00aaff", dash: []}
    body: {full bust: 31.5}
  - label: "größer als 8"
    body: {bust: 82-90.5}
names: "Size {label}"
keep: ["Text*", "Grainline"]
drop: ["Background"]
`
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Error(diff)
	}
}

// The texts are such as YAML gives a meaning, or hide.
func TestWriteReadsTheSame(t *testing.T) {
	texts := []string{
		"08", "38.5", ".5", "0x10", "1e3", "yes", "no", "null", "~", "true", "2024-01-02", "- 8", "a: b", "a #b", "#b",
		"[8]", "{8}", "*", "&a", "!b", "%c", "@d", "`e", "|", ">", "?", ": ", "'", `"`, `\`, `\n`, "a\tb", "c\u00a0d", "e\u2028f",
		"\u200bzero width", "e\u0301", "小", "😀", "\U000E0041x", "\ufeffmark", "g\u0085h", "Größe 8", " spaced ", "i  j", "=", "<<",
	}
	chart := &Chart{Name: "all", Names: `"{label}" # \`, Unit: Inch}
	for i, text := range texts {
		body := map[string]float64{text: 80 + float64(i)/64, "hip": 90 + float64(i)/3}
		chart.Sizes = append(chart.Sizes, Size{Label: text, Layers: []string{"layer " + escapeGlob(text)}, Body: body})
	}
	if err := chart.Check(); err != nil {
		t.Fatal(err)
	}
	checkWritten(t, chart)
	checkJSON(t, chart)
	for _, c := range tableCases {
		checkWritten(t, &c.want)
		checkJSON(t, &c.want)
	}
	for _, c := range fuzzCharts() {
		checkWritten(t, c)
		checkJSON(t, c)
	}
}

func escapeGlob(s string) string {
	return strings.NewReplacer(`\`, `\\`, `[`, `\[`).Replace(s)
}

func TestWriteRefuses(t *testing.T) {
	var b strings.Builder
	if err := (&Chart{}).Write(&b); err == nil || b.Len() > 0 {
		t.Errorf("a chart without sizes: error %v, written %q", err, b.String())
	}
}

// FuzzWrite wants a chart of any texts and numbers that Check takes to be the
// same when written and read again.
func FuzzWrite(f *testing.F) {
	f.Add("Tollmere skirt", "8", "Size 8*", "bust", 80.0, 84.0, uint8(0))
	f.Add("a: b", "#", `\[x\]`, "full bust", 31.625, 31.625, uint8(1))
	f.Add("\u200ba", "yes", "a\u2028b", "off", 823.0001, 900.0, uint8(2))
	f.Fuzz(func(t *testing.T, name, label, layer, measurement string, from, to float64, unit uint8) {
		size := Size{Label: label, Layers: []string{layer}, Line: &Line{Colour: "#00aaff", Width: from}}
		if from == to {
			size.Body = map[string]float64{measurement: from}
		} else {
			size.Ranges = map[string]Range{measurement: {from, to}}
		}
		chart := &Chart{Name: name, Unit: []Unit{Centimetre, Inch, Millimetre}[unit%3], Sizes: []Size{size}, Keep: []string{name}}
		if chart.Check() != nil {
			return
		}
		checkWritten(t, chart)
	})
}
