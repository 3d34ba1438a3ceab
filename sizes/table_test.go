package sizes

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// tableCases are charts in CSV as spreadsheets and people write them.
var tableCases = []struct {
	name, text string
	want       Chart
}{
	{"comma", "label,bust (cm),waist (cm)\n8,80,62.5\n10,84,66\n", twoSizes()},
	{"semicolon and decimal comma", "label;bust (cm);waist (cm)\n8;80;62,5\n10;84;66\n", twoSizes()},
	{"tab", "label\tbust (cm)\twaist (cm)\n8\t80\t62,5\n10\t84\t66\n", twoSizes()},
	{"byte-order mark and carriage returns", "\ufefflabel;bust (cm);waist (cm)\r\n8;80;62,5\r\n10;84;66\r\n", twoSizes()},
	{"the line that names the separator", "sep=|\nlabel|bust (cm)|waist (cm)\n8|80|62,5\n10|84|66\n", twoSizes()},
	{"that line in quotes", "\"sep=;\"\r\nlabel;bust (cm);waist (cm)\n8;80;62,5\n10;84;66\n", twoSizes()},
	{"everything in quotes", "\"label\",\"bust (cm)\",\"waist (cm)\"\n\"8\",\"80\",\"62,5\"\n\"10\",\"84\",\"66\"\n", twoSizes()},
	{"a separator in a quoted header", "label,\"bust; relaxed (cm)\",waist (cm)\n8,80,62.5\n", Chart{Unit: Centimetre, Sizes: []Size{
		{Label: "8", Body: map[string]float64{"bust; relaxed": 80, "waist": 62.5}},
	}}},
	{"blank rows, columns and cells", "\nlabel;;bust (cm);waist (cm);;\n;;;;;\n8;;80;62,5;;\n\n10;;84;66\n", twoSizes()},
	{"spaces around cells", "label , bust (cm) , waist (cm)\n 8 , 80 , 62.5 \n10, 84 ,66\n", twoSizes()},
	{"a size word over the labels", "Größe;bust (cm);waist (cm)\n8;80;62,5\n10;84;66\n", twoSizes()},
	{"labels in the last column", "bust (cm),waist (cm),size\n80,62.5,8\n84,66,10\n", twoSizes()},
	{"brackets, commas and words before the unit", "label;bust [cm];waist in cm\n8;80;62,5\n10;84;66\n", twoSizes()},
	{"units in the cells", "label;bust;waist\n8;80 cm;62,5cm\n10;84 cm;66 cm\n", twoSizes()},
	{"a unit in a cell beats that of the column", "label,bust (cm),waist (cm)\n8,800 mm,62.5\n10,84,66\n", twoSizes()},
	{"two units: the chart has the first", "label,bust (cm),waist (in)\n8,80,25\n", Chart{Unit: Centimetre, Sizes: []Size{
		{Label: "8", Body: map[string]float64{"bust": 80, "waist": 63.5}},
	}}},
	{"inches with fractions", "label,bust (in),waist (in)\n8,31 1/2,24½\n10,\"33\"\"\",25-1/4\n", Chart{Unit: Inch, Sizes: []Size{
		{Label: "8", Body: map[string]float64{"bust": 31.5, "waist": 24.5}},
		{Label: "10", Body: map[string]float64{"bust": 33, "waist": 25.25}},
	}}},
	{"ranges, a dash and a blank for none", "label;bust (cm);waist (cm)\nS;82-90;–\nM;90–98;\n", Chart{Unit: Centimetre, Sizes: []Size{
		{Label: "S", Ranges: map[string]Range{"bust": {82, 90}}},
		{Label: "M", Ranges: map[string]Range{"bust": {90, 98}}},
	}}},
	{"layers", "label;layers;bust (cm)\n8;Size 8;80\n10;\"Size 10; Size 10 copy;\";84\n12;;88\n", Chart{Unit: Centimetre, Sizes: []Size{
		{Label: "8", Layers: []string{"Size 8"}, Body: map[string]float64{"bust": 80}},
		{Label: "10", Layers: []string{"Size 10", "Size 10 copy"}, Body: map[string]float64{"bust": 84}},
		{Label: "12", Body: map[string]float64{"bust": 88}},
	}}},
	{"labels alone", "size\n08\n10\nXL\n", Chart{Sizes: []Size{{Label: "08"}, {Label: "10"}, {Label: "XL"}}}},
	{"a range as label", "size,bust (cm)\n10-12,88\n14-16,96\n", Chart{Unit: Centimetre, Sizes: []Size{
		{Label: "10-12", Body: map[string]float64{"bust": 88}}, {Label: "14-16", Body: map[string]float64{"bust": 96}},
	}}},
}

func twoSizes() Chart {
	return Chart{Unit: Centimetre, Sizes: []Size{
		{Label: "8", Body: map[string]float64{"bust": 80, "waist": 62.5}},
		{Label: "10", Body: map[string]float64{"bust": 84, "waist": 66}},
	}}
}

func TestReadTable(t *testing.T) {
	for _, c := range tableCases {
		t.Run(c.name, func(t *testing.T) {
			got, err := Read(strings.NewReader(c.text), "chart.csv")
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(&c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// tableErrors are charts in CSV that Read refuses: the place and a part of the
// message.
var tableErrors = []struct{ name, text, place, message string }{
	{"nothing", "", "1:1", `the table is empty; it needs a first row such as "label, bust (cm), hip (cm)" and a row for each size`},
	{"blank cells alone", ";;\n;;\n", "1:1", "the table is empty"},
	{"a header alone", "label,bust (cm)\n", "1:1", "the table has no sizes: write one in each row below this one, the smallest first"},
	{"no column of labels", "bust (cm),hip (cm)\n80,88\n", "1:1", `no column is called "label"; the first row names the columns`},
	{"no header", "8,80,62\n10,84,66\n", "1:1", "the first row must name the columns"},
	{"turned", "size,8,10,12\nbust (cm),80,84,88\n", "1:6", `"8" is a size, not the name of a measurement: turn the table round (transpose it), so that each size has a row of its own`},
	{"turned, without a word over the sizes", ",S,M,L\nbust (cm),80,84,88\n", "1:2", `"S" is a size, not the name of a measurement`},
	{"a key of YAML", "label,colour\n8,red\n", "1:7", `a chart in CSV has a label, layers and measurements alone; for "colour" write the chart in YAML`},
	{"column twice", "label,bust (cm),Bust (in)\n8,80,31\n", "1:17", `the columns "bust (cm)" and "Bust (in)" are the same; keep one of the two`},
	{"labels twice", "label,size\n8,8\n", "1:7", `the columns "label" and "size" are the same; keep one of the two`},
	{"no unit", "label,bust\n8,80\n", "1:7", `the column "bust" has no unit; write cm, mm or in behind its name, as in "bust (cm)"`},
	{"a column that is no measurement", "label,notes\n8,wide\n", "2:3", `"wide" is no measurement (column "notes")`},
	{"a measurement without a unit beside one with", "label;bust\n8;80 cm\n10;84\n", "1:7", `the column "bust" has no unit`},
	{"no label", "label,bust (cm)\n8,80\n,84\n", "3:1", `this row has no label: the column "label" says which size it is`},
	{"label twice", "size,bust (cm)\n8,80\n08,84\n", "3:1", `label "08" reads the same as label "8" of an earlier size`},
	{"more cells than columns", "label,bust (cm)\n8,80,5\n", "2:6", "this cell has no column: the first row names 2; is a decimal comma without quotes, or a name missing?"},
	{"a cell under a blank name", "label;;bust (cm)\n8;x;80\n", "2:3", "this cell has no column: the first row names 2"},
	{"a word for a measurement", "label;bust (cm)\n8;wide\n", "2:3", `"wide" is no measurement (column "bust (cm)"); write a number, as in 62.5 or "34 5/8", or a range, as in 82-90`},
	{"an unknown unit", "label;bust (ft)\n8;3\n", "1:7", `the column "bust (ft)" has no unit`},
	{"millimetres called centimetres", "label;bust (cm)\n8;800\n", "2:3", "bust is 800 cm, more than 5 m; is the unit right?"},
	{"nought", "label;bust (cm)\n8;0\n", "2:3", "bust is 0; a measurement is more than 0"},
	{"range backwards", "label;bust (cm)\nS;90-82\n", "2:3", "bust runs from 90 to 82; write the smaller end of a range first"},
	{"from large to small", "label;bust (cm)\n10;84\n8;80\n", "2:1", "the sizes run from large to small; list the smallest first"},
	{"a label that became a date", "label;bust (cm)\n10-Dec;84\n", "2:1", "the spreadsheet has made a date of this label: format the column as text and write the label again"},
	{"the same in German", "label;bust (cm)\n10. Dez;84\n", "2:1", "the spreadsheet has made a date of this label"},
	{"quote not closed", "label;bust (cm)\n\"8;80\n10;84\n", "2:1", "this cell goes on over the end of its line; is a quote not closed, or has the cell two lines?"},
	{"two lines in a cell", "label;\"bust\n(cm)\"\n8;80\n", "1:7", "this cell goes on over the end of its line"},
	{"broken glob", "label;layers\n8;Size [8\n", "2:3", `"Size [8" cannot be read as a layer name: "[" is never closed`},
	{"the second of two layers", "label;layers\n8;\"a; Size [8\"\n", "2:3", `"Size [8" cannot be read as a layer name`},
	{"too many columns", "label" + strings.Repeat(",x", 300) + "\n8\n", "1:405", "the row has more than the 200 cells that a table may have"},
	{"too many sizes", "label\n" + strings.Repeat("8\n", 1001), "1002:1", "there are more than the 1000 sizes that a chart may have"},
	{"column in characters", "Größe;bust (cm)\n小;x\n", "2:3", `"x" is no measurement`},
	{"control character", "label\n8\x00\n", "2:2", "a control character (U+0000) has no place in a chart"},
	{"not UTF-8", "label\ngr\xfcn\n", "2:3", "this is not UTF-8; save the chart as a text file in UTF-8"},
	{"UTF-16", "\xff\xfel\x00", "1:1", "the chart is in UTF-16; save it as UTF-8"},
	{"a spreadsheet's own file", "PK\x03\x04", "1:1", "this is a file of a spreadsheet program or an archive; save the table as CSV in UTF-8"},
}

func TestReadTableRefuses(t *testing.T) {
	for _, c := range tableErrors {
		t.Run(c.name, func(t *testing.T) {
			chart, err := Read(strings.NewReader(c.text), "chart.csv")
			var e *ChartError
			if !errors.As(err, &e) {
				t.Fatalf("chart %v, error %v; want a ChartError", chart, err)
			}
			if place := fmt.Sprintf("%d:%d", e.Line, e.Column); place != c.place || !strings.Contains(e.Message, c.message) {
				t.Errorf("error at %s:\n%v\nwant it at %s with %q", place, err, c.place, c.message)
			}
		})
	}
}

func TestHeaderUnit(t *testing.T) {
	cases := []struct {
		text, name string
		unit       Unit
	}{
		{"bust (cm)", "bust", Centimetre},
		{"bust(cm)", "bust", Centimetre},
		{"bust [in]", "bust", Inch},
		{"bust, mm", "bust", Millimetre},
		{"bust/cm", "bust", Centimetre},
		{"bust cm", "bust", Centimetre},
		{"bust in", "bust", Inch},
		{"bust in cm", "bust", Centimetre},
		{"bust in inches", "bust", Inch},
		{"Taille (Zoll)", "Taille", Inch},
		{"full hip (at widest)", "full hip (at widest)", ""},
		{"full hip (at widest) (cm)", "full hip (at widest)", Centimetre},
		{"bust", "bust", ""},
		{"cm", "cm", ""},
	}
	for _, c := range cases {
		if name, unit := headerUnit(c.text); name != c.name || unit != c.unit {
			t.Errorf("%q is %q in %q, want %q in %q", c.text, name, unit, c.name, c.unit)
		}
	}
}

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
