package sizes

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// A table is a chart in CSV: the first row names the columns, each other row is
// a size.
type table struct {
	src     *source
	columns []column
	at      places
	chart   *Chart
	all     []quantity
}

// A column is what a cell of the first row says.
type column struct {
	kind columnKind
	cell
	name string // of a measurement, without its unit
	unit Unit   // of a measurement, where the header has one
}

type columnKind int

const (
	columnBlank columnKind = iota + 1
	columnLabel
	columnLayers
	columnMeasure
)

// readTable reads a chart from the rows of a CSV file.
func readTable(src *source) (*Chart, places, error) {
	rows, err := src.rows()
	if err != nil {
		return nil, nil, err
	}
	if len(rows) == 0 {
		return nil, nil, src.fail(position{1, 1}, `the table is empty; it needs a first row such as "label, bust (cm), hip (cm)" and a row for each size`)
	}
	t := &table{src: src, at: places{}, chart: &Chart{}}
	if err := t.header(rows[0]); err != nil {
		return nil, nil, err
	}
	if len(rows) == 1 {
		return nil, nil, src.fail(rows[0][0].at, "the table has no sizes: write one in each row below this one, the smallest first")
	}
	t.at["sizes"] = rows[1][0].at
	for _, row := range rows[1:] {
		if err := t.size(row); err != nil {
			return nil, nil, err
		}
	}
	t.chart.settle(t.all)
	return t.chart, t.at, nil
}

// header reads the first row.
func (t *table) header(row []cell) error {
	if err := t.turned(row); err != nil {
		return err
	}
	seen := map[string]string{}
	for _, c := range row {
		col, err := t.column(c)
		if err != nil {
			return err
		}
		key := fold(col.name)
		if first, ok := seen[key]; ok && col.kind != columnBlank {
			return t.src.fail(c.at, "the columns %q and %q are the same; keep one of the two", harmless(first), harmless(c.text))
		}
		seen[key] = c.text
		t.columns = append(t.columns, col)
		t.chart.Unit = cmp.Or(t.chart.Unit, col.unit)
	}
	if !slices.ContainsFunc(t.columns, func(c column) bool { return c.kind == columnLabel }) {
		return t.src.fail(row[0].at, `no column is called "label"; the first row names the columns, as in "label, bust (cm), hip (cm)"`)
	}
	return nil
}

// turned refuses a table whose sizes stand side by side.
func (t *table) turned(row []cell) error {
	labels, i := 0, 0
	for n, c := range row[1:] {
		if looksLikeSize(c.text) {
			if labels++; labels == 1 {
				i = n + 1
			}
		}
	}
	if labels < 2 || 2*labels < len(row)-1 {
		return nil
	}
	if looksLikeSize(row[0].text) {
		return t.src.fail(row[0].at, `the first row must name the columns, as in "label, bust (cm), hip (cm)"; the sizes begin in the second`)
	}
	return t.src.fail(row[i].at, "%q is a size, not the name of a measurement: turn the table round (transpose it), so that each size has a row of its own", harmless(row[i].text))
}

// looksLikeSize says whether a text is a number or a letter size.
func looksLikeSize(text string) bool {
	m, number := readMeasure(text)
	return number && m.Unit == "" || letterSize(fold(text)) != ""
}

// column reads one cell of the first row.
func (t *table) column(c cell) (column, error) {
	switch key := fold(c.text); {
	case key == "":
		return column{kind: columnBlank, cell: c}, nil
	case isLabelHeader(c.text):
		return column{kind: columnLabel, cell: c, name: "label"}, nil
	case key == "layers", key == "layer":
		return column{kind: columnLayers, cell: c, name: "layers"}, nil
	case slices.Contains([]string{"name", "unit", "names", "keep", "drop", "line", "colour", "color", "dash"}, key):
		return column{}, t.src.fail(c.at, "a chart in CSV has a label, layers and measurements alone; for %q write the chart in YAML", harmless(c.text))
	}
	name, unit := headerUnit(c.text)
	return column{kind: columnMeasure, cell: c, name: name, unit: unit}, nil
}

// isLabelHeader says whether a column of that name holds the labels.
func isLabelHeader(text string) bool {
	key := fold(text)
	return key == "label" || key == "labels" || lookUp(key).is(meansSize) && key != "age" && key != "ages"
}

// unitBehind finds the unit in "bust (cm)", "bust [in]", "bust in cm", "bust, mm".
var unitBehind = regexp.MustCompile(`^(.*?[^\s,/])\s*(?:[\[(]\s*([^\[\]()]+?)\s*[\])]|[\s,/]\s*(?:in\s+)?(\S+))$`)

// headerUnit splits the name of a measurement from its unit.
func headerUnit(text string) (string, Unit) {
	parts := unitBehind.FindStringSubmatch(text)
	if parts == nil {
		return text, ""
	}
	unit, ok := unitOf(parts[2] + parts[3])
	if !ok {
		return text, ""
	}
	return strings.TrimSuffix(parts[1], " in"), unit
}

// size reads a row.
func (t *table) size(row []cell) error {
	i := len(t.chart.Sizes)
	if i == maxSizes {
		return t.src.fail(row[0].at, "there are more than the %d sizes that a chart may have", maxSizes)
	}
	t.at[sizePath(i, "")] = row[0].at
	t.chart.Sizes = append(t.chart.Sizes, Size{})
	for n, c := range row {
		if err := t.cell(i, n, c); err != nil {
			return err
		}
	}
	if t.chart.Sizes[i].Label == "" {
		return t.src.fail(row[0].at, "this row has no label: the column %q says which size it is", t.labelHeader())
	}
	return nil
}

func (t *table) labelHeader() string {
	i := slices.IndexFunc(t.columns, func(c column) bool { return c.kind == columnLabel })
	return harmless(t.columns[i].text)
}

// cell reads cell n of size i.
func (t *table) cell(i, n int, c cell) error {
	if fold(c.text) == "" {
		return nil
	}
	if n >= len(t.columns) || t.columns[n].kind == columnBlank {
		return t.src.fail(c.at, "this cell has no column: the first row names %d; is a decimal comma without quotes, or a name missing?", t.named())
	}
	size := &t.chart.Sizes[i]
	switch col := t.columns[n]; col.kind {
	case columnLabel:
		size.Label = c.text
		t.at[sizePath(i, ".label")] = c.at
		return t.dated(c)
	case columnLayers:
		return t.layers(i, c)
	default:
		return t.measure(i, col, c)
	}
}

func (t *table) named() int {
	n := 0
	for _, c := range t.columns {
		if c.kind != columnBlank {
			n++
		}
	}
	return n
}

// date is what spreadsheets make of the label "10-12" or "3/4".
var date = regexp.MustCompile(`(?i)^(?:[0-9]{1,2}[-. ]{1,2}(?:jan|feb|mar|mär|mrz|apr|may|mai|jun|jul|aug|sep|oct|okt|nov|dec|dez)|(?:jan|feb|mar|mär|mrz|apr|may|mai|jun|jul|aug|sep|oct|okt|nov|dec|dez)[-. ]{1,2}[0-9]{1,2})\.?$`)

func (t *table) dated(c cell) error {
	if date.MatchString(c.text) {
		return t.src.fail(c.at, "the spreadsheet has made a date of this label: format the column as text and write the label again")
	}
	return nil
}

// layers reads names with semicolons between them.
func (t *table) layers(i int, c cell) error {
	size := &t.chart.Sizes[i]
	for _, name := range strings.Split(c.text, ";") {
		if name = strings.TrimSpace(name); name != "" {
			t.at[fmt.Sprintf("%s[%d]", sizePath(i, ".layers"), len(size.Layers))] = c.at
			size.Layers = append(size.Layers, name)
		}
	}
	return nil
}

// measure reads a measurement or a range of them; a dash stands for none.
func (t *table) measure(i int, col column, c cell) error {
	if fold(c.text) == "-" {
		return nil
	}
	q, ok := readQuantity(c.text)
	if !ok {
		return t.src.fail(c.at, `%q is no measurement (column %q); write a number, as in 62.5 or "34 5/8", or a range, as in 82-90`, harmless(c.text), harmless(col.text))
	}
	if q.from.Unit == "" {
		q.from.Unit, q.to.Unit = col.unit, col.unit
	}
	if q.from.Unit == "" {
		return t.src.fail(col.at, `the column %q has no unit; write cm, mm or in behind its name, as in "bust (cm)"; a column that is no measurement has no place here`, harmless(col.text))
	}
	q.size, q.name = i, col.name
	t.at[sizePath(i, ".body."+col.name)] = c.at
	t.all = append(t.all, q)
	return nil
}
