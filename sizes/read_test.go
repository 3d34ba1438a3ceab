package sizes

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
)

const fullChart = `# a chart with all there is
name: Tollmere skirt
unit: cm
sizes:
  - label: 08
    layers: ["Size 8", "Gr. 34*"]
    line: {colour: "#D7263D", dash: [6, 2.5], width: 0.5, text: true}
    body: {bust: 80, waist: 62.5, hip: 34 5/8}
  - label: 38.5
    line:
      color: '#0af'
      dash: []
    body:
      full bust: 31 1/2
  - {label: "größer als 8"}
names: "Size {label}"
keep: ["Text*", Grainline]
drop:
- Background
`

func TestRead(t *testing.T) {
	want := &Chart{
		Name: "Tollmere skirt",
		Unit: Centimetre,
		Sizes: []Size{
			{
				Label:  "08",
				Layers: []string{"Size 8", "Gr. 34*"},
				Line:   &Line{Colour: "#d7263d", Dash: []float64{6, 2.5}, Width: 0.5, Text: true},
				Body:   map[string]float64{"bust": 80, "waist": 62.5, "hip": 34.625},
			},
			{
				Label: "38.5",
				Line:  &Line{Colour: "#00aaff", Dash: []float64{}},
				Body:  map[string]float64{"full bust": 31.5},
			},
			{Label: "größer als 8"},
		},
		Names: "Size {label}",
		Keep:  []string{"Text*", "Grainline"},
		Drop:  []string{"Background"},
	}
	forms := map[string]string{
		"as written":            fullChart,
		"with carriage returns": strings.ReplaceAll(fullChart, "\n", "\r\n"),
		"byte-order mark":       "\ufeff" + fullChart,
		"schema for an editor":  "# yaml-language-server: $schema=chart.schema.json\n" + fullChart,
		"document marks":        "---\n" + fullChart + "...\n",
	}
	for name, text := range forms {
		t.Run(name, func(t *testing.T) {
			got, err := Read(strings.NewReader(text), "chart.yaml")
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// A label is the text as written, whatever YAML would make of it.
func TestReadLabels(t *testing.T) {
	labels := []string{
		"8", "08x", "38.5", "38.50", "00", "0x10", "0o17", "1e3", "1_000", "+8", ".inf", "yes", "no", "on", "true",
		"2024-01-02", "XXL", "XS/S", "6-9 m", "US 8 / EU 38", "尺码", "Size 12, tall", "green",
	}
	var text strings.Builder
	text.WriteString("sizes:\n")
	for _, label := range labels {
		fmt.Fprintf(&text, "- label: %s # as written\n", label)
	}
	c, err := Read(strings.NewReader(text.String()), "chart.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(labels, c.Labels()); diff != "" {
		t.Error(diff)
	}
}

func TestReadDemoChart(t *testing.T) {
	file, err := os.Open("../testdata/charts/tollmere.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	c, err := Read(file, "tollmere.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"6", "8", "10", "12", "14", "16", "18", "20", "22", "24"}
	if diff := cmp.Diff(want, c.Labels()); diff != "" {
		t.Error(diff)
	}
	for _, name := range []string{"bust", "waist", "hip"} {
		for i := range c.Sizes[1:] {
			if low, high := c.Sizes[i].Body[name], c.Sizes[i+1].Body[name]; !(0 < low && low < high) {
				t.Errorf("%s of sizes %s and %s: %v and %v, want them to rise", name, want[i], want[i+1], low, high)
			}
		}
	}
}

// readErrors are charts that Read refuses: the place and a part of the
// message.
var readErrors = []struct{ name, text, place, message string }{
	{"nothing", "", "1:1", "the chart is empty"},
	{"comments alone", "# nothing\n", "1:1", "the chart is empty"},
	{"a text", "sizes", "1:1", `the chart is written as words with values, such as "name: My skirt" and "sizes:" with a line for each size; here stands a single value`},
	{"a list", "- label: 8", "1:1", "with a line for each size; here stands a list"},
	{"no sizes", "name: x\n", "1:1", "the chart has no sizes"},
	{"empty sizes", "name: x\nsizes: []\n", "2:8", "the chart has no sizes"},
	{"sizes is a text", "sizes: 8", "1:8", `sizes is a list in square brackets, such as [{label: "8"}, {label: "10"}]; here stands a single value`},
	{"sizes is a mapping", "sizes:\n  label: 8", "2:3", `{label: "10"}]; here stand words with values`},
	{"a size is a text", "sizes:\n  - 8", "2:5", `a size is written as words with values, such as {label: "8"}; here stands a single value`},
	{"a size is nothing", "sizes:\n  - label: 8\n  -\n", "3:4", `such as {label: "8"}; nothing stands here`},
	{"no label", "sizes:\n  - layers: [a]\n", "2:5", "a size needs a label"},
	{"empty label", "sizes:\n  - label:\n", "2:11", "label is a text; nothing stands here"},
	{"blank label", "sizes:\n  - label: ' '\n", "2:12", "the label is empty"},
	{"invisible label", "sizes:\n  - label: \"\\u200b\"\n", "2:12", "the label is empty"},
	{"label twice", "sizes:\n  - label: 8\n  - label: 10\n  - label: 08\n", "4:12", `label "08" reads the same as label "8"`},
	{"label twice in another case", "sizes: [{label: Rot}, {label: ROT}]", "1:31", `label "ROT" reads the same as label "Rot"`},
	{"label is a list", "sizes: [{label: [8]}]", "1:17", "label is a text; here stands a list; a text that begins with [ or { must be in quotes"},
	{"unknown key", "sizes:\n  - lable: 8\n", "2:5", `a size has nothing called "lable"; did you mean "label"?`},
	{"unknown key of the chart", "nmae: x\n", "1:1", `the chart has nothing called "nmae"; did you mean "name"?`},
	{"unknown key of a line", "sizes:\n- label: 8\n  line: {thickness: 2}\n", "3:10", `a line has nothing called "thickness"; it may have colour, dash, text and width`},
	{"key twice", "name: a\nunit: cm\nname: b\n", "3:1", `"name" stands here a second time; keep one of the two`},
	{"key of a size twice", "sizes: [{label: 8, label: 9}]", "1:20", `"label" stands here a second time; keep one of the two`},
	{"bad unit", "unit: feet\n", "1:7", `"feet" is no unit of a chart; write cm, mm or in`},
	{"measurements without a unit", "sizes:\n- label: 8\n  body: {bust: 80}\n", "3:9", `a measurement here has no unit; write "unit: cm", mm or in at the top of the chart`},
	{"measurement is zero", "unit: cm\nsizes:\n- label: 8\n  body: {bust: 80, hip: 0}\n", "4:25", "hip is 0; a measurement is more than 0, and is left away where there is none"},
	{"measurement is negative", "unit: cm\nsizes:\n- label: 8\n  body: {bust: -80}\n", "4:16", "bust is -80; a measurement is more than 0, and is left away where there is none"},
	{"measurement in the wrong unit", "unit: cm\nsizes:\n- label: 8\n  body: {bust: 800}\n", "4:16", "bust is 800 cm, more than 5 m; is the unit right?"},
	{"decimal comma", "unit: cm\nsizes:\n- label: 8\n  body:\n    bust: 80,5\n", "5:11", "write 80.5 with a point"},
	{"decimal comma in braces", "unit: cm\nsizes:\n- label: 8\n  body: {bust: 80,5}\n", "4:19", "write a point before the 5"},
	{"one measurement with a unit and one without", "sizes:\n- label: 8\n  body: {bust: 80 cm, hip: 88}\n", "3:9", `a measurement here has no unit; write "unit: cm", mm or in at the top of the chart`},
	{"measurement in a fourth unit", "unit: cm\nsizes:\n- label: 8\n  body: {bust: 2 ft}\n", "4:16", `"2 ft" is no measurement`},
	{"range backwards", "unit: cm\nsizes:\n- label: 8\n  body: {bust: 84-80}\n", "4:16", "bust runs from 84 to 80; write the smaller end of a range first"},
	{"range of two units", "unit: cm\nsizes:\n- label: 8\n  body: {bust: 80 cm-32 in}\n", "4:16", `"80 cm-32 in" is no measurement`},
	{"measurement in metres", "unit: cm\nsizes:\n- label: 8\n  body: {bust: 0.92}\n", "4:16", "bust is 0.92 cm, less than 1 cm; is the unit right?"},
	{"dash in centimetres", "sizes:\n- label: 8\n  line: {dash: [1 cm]}\n", "3:17", "the lengths of a line are in mm"},
	{"dash with a comma", "sizes:\n- label: 8\n  line:\n    width: 0,5\n", "4:12", "write 0.5 with a point"},
	{"name that is not seen", "name: \"\\u200b\"\nsizes: [{label: 8}]\n", "1:7", "the name of the chart is empty"},
	{"measurement is a word", "unit: cm\nsizes:\n- label: 8\n  body: {bust: wide}\n", "4:16", `"wide" is no measurement`},
	{"division by zero", "unit: in\nsizes:\n- label: 8\n  body: {bust: 30 1/0}\n", "4:16", `"30 1/0" is no measurement`},
	{"not a number", "unit: cm\nsizes:\n- label: 8\n  body: {bust: .nan}\n", "4:16", `".nan" is no measurement`},
	{"measurement twice", "unit: cm\nsizes:\n- label: 8\n  body: {bust: 80, Bust: 81}\n", "4:20", `"bust" and "Bust" are the same measurement; keep one of the two`},
	{"from large to small", "unit: cm\nsizes:\n- {label: 8, body: {hip: 70}}\n- {label: 6, body: {hip: 64}}\n", "3:1", "the sizes run from large to small"},
	{"layers is a text", "sizes:\n- label: 8\n  layers: Size 8\n", "3:11", `layers is a list in square brackets, such as ["Size 8"]; here stands a single value`},
	{"layers is nothing", "sizes:\n- label: 8\n  layers:\n", "3:10", `such as ["Text*", "Grainline"]; nothing stands here`},
	{"empty layer name", "sizes:\n- label: 8\n  layers: [a, '']\n", "3:15", "the layer name is empty"},
	{"broken glob", "sizes:\n- label: 8\n  layers: [a, \"Size [8\"]\n", "3:15", `"Size [8" cannot be read as a layer name: "[" is never closed`},
	{"broken glob under keep", "sizes: [{label: 8}]\nkeep:\n- Text\n- '[z-a]'\n", "4:3", `"[z-a]" cannot be read as a layer name: the range z-a runs backwards; write \[ for a bracket in a name`},
	{"keep and drop", "sizes: [{label: 8}]\nkeep: [Text*]\ndrop: [text*]\n", "2:8", `"Text*" stands under drop and under keep`},
	{"layers and drop", "sizes:\n- {label: 8, layers: [Border]}\ndrop: [a, border]\n", "3:11", `"border" stands under layers and under drop`},
	{"colour without quotes", "sizes:\n- label: 8\n  line:\n    colour: #d7263d\n", "4:13", "a text that begins with # must be in quotes"},
	{"colour without quotes in braces", "sizes:\n- label: 8\n  line: {colour: #d7263d}\n", "3:16", "a text that begins with # must be in quotes"},
	{"colour is no word for one", "sizes:\n- label: 8\n  line: {colour: reddish}\n", "3:18", `"reddish" is no colour; write its name, such as red`},
	{"colour has five digits", "sizes:\n- label: 8\n  line: {colour: '#12345'}\n", "3:18", `"#12345" is no colour`},
	{"dash is negative", "sizes:\n- label: 8\n  line: {dash: [6, -2]}\n", "3:20", "a dash of -2 mm cannot be drawn"},
	{"dash is nought", "sizes:\n- label: 8\n  line: {dash: [0, 0]}\n", "3:16", "dashes and gaps of 0 mm draw nothing"},
	{"width is negative", "sizes:\n- label: 8\n  line: {width: -1}\n", "3:17", "a width of -1 mm cannot be drawn"},
	{"text without a colour", "sizes:\n- label: 8\n  line: {dash: [6, 2], text: true}\n", "3:30", "text is told apart by its colour"},
	{"text is a word", "sizes:\n- label: 8\n  line: {colour: '#0af', text: grey}\n", "3:32", "text is true or false"},
	{"text alone", "sizes:\n- label: 8\n  line: {text: false}\n", "3:9", "the line says nothing"},
	{"line says nothing", "sizes:\n- label: 8\n  line: {}\n", "3:9", "the line says nothing"},
	{"names without a field", "sizes: [{label: 8}]\nnames: Size\n", "2:8", `"Size" says nowhere where the label goes`},
	{"names with another field", "sizes: [{label: 8}]\nnames: 'Size {label} {view}'\n", "2:8", "has more braces than those of one {label}"},
	{"names is a mapping", "names: {label}\n", "1:8", "names is a text; here stand words with values; a text that begins with [ or { must be in quotes"},
	{"star without quotes", "sizes: [{label: 8}]\nkeep: [Text, *note*]\n", "2:14", `a text that begins with "*" must be in quotes: "*note*"`},
	{"anchor", "sizes: &all [{label: 8}]\n", "1:8", `a text that begins with "&" must be in quotes`},
	{"tag", "sizes: [{label: !!str 8}]\n", "1:17", `a text that begins with "!" must be in quotes`},
	{"merge key", "sizes: [{label: 8, <<: x}]\n", "1:20", `a size has nothing called "<<"`},
	{"complex key", "? a\n: b\n", "1:1", `a text that begins with "?" must be in quotes`},
	{"directive", "%YAML 1.2\n---\nsizes: [{label: 8}]\n", "1:1", `a line that begins with "%" has no place in a chart`},
	{"two documents", "sizes: [{label: 8}]\n---\nsizes: [{label: 9}]\n", "2:1", "a second chart begins here"},
	{"tab", "sizes:\n\t- label: 8\n", "2:1", "the line begins with a tab; indent with spaces"},
	{"quote not closed", "name: \"Tollmere\nunit: cm\n", "1:7", "this cannot be read; is a quote on this line not closed?"},
	{"a name that looks like a place in a list", "sizes:\n- label: 8\n  body: {0]}\n", "3:11", `0] is a measurement; nothing stands here`},
	{"a name with a point", "sizes:\n- label: 8\n  body: {hip.low: []}\n", "3:19", `hip.low is a measurement; here stands a list`},
	{"bracket not closed", "sizes: [{label: 8}\n", "1:8", "this cannot be read; is a bracket not closed, or a comma missing?"},
	{"comma missing", "sizes: [{label: 8} {label: 9}]\n", "1:20", "is a bracket not closed, or a comma missing?"},
	{"colon in a text", "name: skirt: long\n", "1:7", "a text with a colon and a space in it must be in quotes"},
	{"missing colon", "sizes\n- label: 8\n", "1:1", `this cannot be read; a word such as "sizes" ends with a colon, as in "sizes:"`},
	{"wrong indent", "sizes:\n- label: 8\n - label: 9\n", "3:2", "do the lines of one list begin in one column?"},
	{"reserved sign", "name: @home\n", "1:7", "this cannot be read; a text that begins with @ or ` must be in quotes"},
	{"column in characters", "name: größer\nsizes: [{label: äöü}, {läbel: x}]\n", "2:24", `a size has nothing called "läbel"; did you mean "label"?`},
	{"UTF-16", "\xff\xfen\x00", "1:1", "the chart is in UTF-16; save it as UTF-8"},
	{"not UTF-8", "name: x\nunit: \"gr\xf6\"\n", "2:10", "this is not UTF-8"},
	{"control character", "name: a\x1b[31m\n", "1:8", "a control character (U+001B) has no place in a chart"},
	{"a PDF file", "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "1:1", "this is a PDF file; a chart is a text file that lists the sizes"},
	{"nested lists", strings.Repeat("[", 5000), "1:33", "brackets or lists stand within each other more than 32 deep; is it the right file?"},
	{"nested mappings", strings.Repeat("{a: ", 5000), "1:129", "brackets or lists stand within each other more than 32 deep; is it the right file?"},
	{"nested blocks on a line", strings.Repeat("- ", 5000), "1:65", "brackets or lists stand within each other more than 32 deep; is it the right file?"},
	{"nested blocks", nestedBlocks(2000), "33:34", "brackets or lists stand within each other more than 32 deep; is it the right file?"},
	{"too many keys", manyKeys(40_000), "21846:7", "more than 65536 words and signs"},
	{"too long", "# " + strings.Repeat("x", maxChartBytes), "1:1", "longer than 1 MiB"},
	{"too many sizes", "sizes:\n" + strings.Repeat("- label: 8\n", 1001), "2:1", "1001 sizes are more than the 1000"},
	{"too many layers", "sizes: [{label: 8}]\nkeep: [" + strings.Repeat("a,", 10_001) + "]\n", "2:7", "more than 10000 entries"},
	{"label too long", "sizes:\n- label: " + strings.Repeat("x", 4097), "2:10", "the label has 4097 bytes"},
}

// nestedBlocks gives mappings of which each stands in the one before.
func nestedBlocks(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Repeat(" ", min(i, 400)) + "a:\n")
	}
	return b.String()
}

func manyKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "k%d: v\n", i)
	}
	return b.String()
}

func TestReadRefuses(t *testing.T) {
	for _, c := range readErrors {
		t.Run(c.name, func(t *testing.T) {
			chart, err := Read(strings.NewReader(c.text), "chart.yaml")
			var e *ChartError
			if !errors.As(err, &e) {
				t.Fatalf("chart %v, error %v; want a ChartError", chart, err)
			}
			if place := fmt.Sprintf("%d:%d", e.Line, e.Column); place != c.place || !strings.Contains(e.Message, c.message) {
				t.Errorf("error at %s:\n%v\nwant it at %s with %q", place, err, c.place, c.message)
			}
			if e.File != "chart.yaml" || strings.Contains(e.Message, "\n") || chart != nil {
				t.Errorf("file %q, message %q, chart %v", e.File, e.Message, chart)
			}
		})
	}
}

func TestReadErrorShowsTheLine(t *testing.T) {
	_, err := Read(strings.NewReader("unit: cm\nsizes:\n  - lable: 8\n"), "tollmere.yaml")
	want := `tollmere.yaml:3:5: a size has nothing called "lable"; did you mean "label"?
    - lable: 8
      ^`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

func TestReadPassesErrorsOn(t *testing.T) {
	broken := errors.New("the disk is gone")
	_, err := Read(io.MultiReader(strings.NewReader("sizes:\n"), iotest.ErrReader(broken)), "chart.yaml")
	if !errors.Is(err, broken) {
		t.Errorf("error %v does not wrap that of the reader", err)
	}
	if errors.As(err, new(*ChartError)) {
		t.Errorf("error %v blames the chart", err)
	}
}

func TestChartErrorText(t *testing.T) {
	cases := []struct {
		name string
		err  ChartError
		want string
	}{
		{"place, message, line and caret", ChartError{"c.yaml", 2, 7, "unit: feet", "no unit"},
			"c.yaml:2:7: no unit\n  unit: feet\n        ^"},
		{"without a file name", ChartError{"", 2, 7, "unit: feet", "no unit"},
			"2:7: no unit\n  unit: feet\n        ^"},
		{"an empty line shows nothing", ChartError{"c.yaml", 2, 1, "", "no unit"},
			"c.yaml:2:1: no unit"},
		{"a tab keeps its width", ChartError{"c.yaml", 1, 3, "\ta: b", "no"},
			"c.yaml:1:3: no\n  \ta: b\n  \t ^"},
		{"wide characters take two columns", ChartError{"c.yaml", 1, 3, "尺码: b", "no"},
			"c.yaml:1:3: no\n  尺码: b\n      ^"},
		{"combining marks take none", ChartError{"c.yaml", 1, 3, "a\u0308: b", "no"},
			"c.yaml:1:3: no\n  a\u0308: b\n   ^"},
		{"behind the end", ChartError{"c.yaml", 1, 4, "abc", "no"},
			"c.yaml:1:4: no\n  abc\n     ^"},
		{"a long line is cut", ChartError{"c.yaml", 1, 101, strings.Repeat("a", 100) + "b" + strings.Repeat("c", 100), "no"},
			"c.yaml:1:101: no\n  ..." + strings.Repeat("a", 60) + "b" + strings.Repeat("c", 39) + "...\n  " + strings.Repeat(" ", 63) + "^"},
		{"a column that is not there", ChartError{"c.yaml", 1, -3, "abc", "no"},
			"c.yaml:1:-3: no\n  abc\n  ^"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := c.err.Error(); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}
