package sizes

import (
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// A table is a chart in CSV: the first row names the columns, each other row is a size.
type table struct {
	src     *source
	columns []column
	at      places
	chart   *Chart
	all     []quantity
}

// A cell is one field of a table, without white space around it.
type cell struct {
	text string
	at   position
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

// isTable reports whether a chart is in CSV: by the end of its file's name, or, where that says
// nothing, by a first row that names a column of labels beside others.
func (s *source) isTable() bool {
	switch strings.ToLower(path.Ext(s.file)) {
	case ".csv", ".tsv":
		return true
	case ".yaml", ".yml", ".json":
		return false
	}
	fields := strings.Split(s.firstRow(), string(s.separator()))
	labels := func(field string) bool { return isLabelHeader(strings.Trim(field, ` "`)) }
	return len(fields) > 1 && slices.ContainsFunc(fields, labels)
}

// firstRow is the first line that is not blank.
func (s *source) firstRow() string {
	for _, line := range s.lines {
		if strings.TrimSpace(line) != "" && separatorLine(line) == 0 {
			return line
		}
	}
	return ""
}

// separator is the sign between the cells: the one that the file's first line names ("sep=;"), or
// the first of tab, semicolon and comma that stands in the first row outside quotes.
func (s *source) separator() rune {
	if sign := separatorLine(s.lines[0]); sign != 0 {
		return sign
	}
	var unquoted strings.Builder
	for i, piece := range strings.Split(s.firstRow(), `"`) {
		if i%2 == 0 {
			unquoted.WriteString(piece)
		}
	}
	for _, sign := range "\t;," {
		if strings.ContainsRune(unquoted.String(), sign) {
			return sign
		}
	}
	return ','
}

// separatorLine reads the line by which spreadsheets name the separator, 0 for any other.
func separatorLine(line string) rune {
	sign, ok := strings.CutPrefix(strings.ToLower(strings.Trim(line, `"`)), "sep=")
	if !ok || len(sign) != 1 || !strings.Contains("\t;,|", sign) {
		return 0
	}
	return rune(sign[0])
}

// isLabelHeader reports whether a column of that name holds the labels.
func isLabelHeader(text string) bool {
	key := fold(text)
	return key == "label" || key == "labels" || lookUp(key).is(meansSize) && key != "age" && key != "ages"
}

// readTable reads a chart from the rows of a CSV file.
func readTable(src *source) (*Chart, places, error) {
	rows, err := src.rows()
	if err != nil {
		return nil, nil, err
	}
	if len(rows) == 0 {
		return nil, nil, src.fail(position{1, 1},
			`the table is empty; it needs a first row such as "label, bust (cm), hip (cm)" and a row for each size`)
	}
	t := &table{src: src, at: places{}, chart: &Chart{}}
	if err := t.header(rows[0]); err != nil {
		return nil, nil, err
	}
	if len(rows) == 1 {
		return nil, nil, src.fail(rows[0][0].at,
			"the table has no sizes: write one in each row below this one, the smallest first")
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

// rows splits the text into rows of cells, without those that are blank.
func (s *source) rows() ([][]cell, error) {
	text := s.text
	if separatorLine(s.lines[0]) != 0 {
		text = text[len(s.lines[0]):] // the line's end stays, so that lines keep their numbers
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.LazyQuotes, r.FieldsPerRecord = s.separator(), true, -1
	var out [][]cell
	for {
		record, err := r.Read()
		var broken *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return out, nil
		case errors.As(err, &broken):
			return nil, s.fail(s.bytePosition(broken.Line, broken.Column), "this is no row of a table: %v", broken.Err)
		case err != nil:
			return nil, s.fail(position{1, 1}, "this is no table: %v", err)
		}
		row, err := s.row(r, record)
		if err != nil {
			return nil, err
		}
		if len(row) > 0 {
			out = append(out, row)
		}
	}
}

// row gives the cells of a record up to the last that is not blank.
func (s *source) row(r *csv.Reader, record []string) ([]cell, error) {
	var row []cell
	last := -1
	for i, text := range record {
		blank := fold(strings.TrimSpace(text)) == ""
		if i >= maxColumns && blank {
			continue // a place takes as long to find as its line is, and there may be a million
		}
		at := s.bytePosition(r.FieldPos(i))
		if strings.Contains(text, "\n") {
			return nil, s.fail(at,
				"this cell goes on over the end of its line; is a quote not closed, or has the cell two lines?")
		}
		text = strings.TrimSpace(text)
		if !blank {
			last = i
		}
		if i >= maxColumns {
			return nil, s.fail(at, "the row has more than the %d cells that a table may have", maxColumns)
		}
		row = append(row, cell{text, at})
	}
	return row[: last+1 : last+1], nil
}

// bytePosition makes a position of a line and a column in bytes.
func (s *source) bytePosition(line, column int) position {
	line = min(max(line, 1), len(s.lines))
	text := s.lines[line-1]
	return position{line, utf8.RuneCountInString(text[:min(max(column-1, 0), len(text))]) + 1}
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
			return t.src.fail(c.at, "the columns %q and %q are the same; keep one of the two",
				first, c.text)
		}
		seen[key] = c.text
		t.columns = append(t.columns, col)
		t.chart.Unit = cmp.Or(t.chart.Unit, col.unit)
	}
	if !slices.ContainsFunc(t.columns, func(c column) bool { return c.kind == columnLabel }) {
		return t.src.fail(row[0].at,
			`no column is called "label"; the first row names the columns, as in "label, bust (cm), hip (cm)"`)
	}
	return nil
}

// turned refuses a table whose sizes stand side by side.
func (t *table) turned(row []cell) error {
	size := func(c cell) bool { // a number or a letter size
		m, number := readMeasure(c.text)
		return number && m.Unit == "" || letterSize(fold(c.text)) != ""
	}
	labels := slices.DeleteFunc(slices.Clone(row[1:]), func(c cell) bool { return !size(c) })
	if len(labels) < 2 || 2*len(labels) < len(row)-1 {
		return nil
	}
	if size(row[0]) {
		return t.src.fail(row[0].at,
			`the first row must name the columns, as in "label, bust (cm), hip (cm)"; the sizes begin in the second`)
	}
	return t.src.fail(labels[0].at, "%q is a size, not the name of a measurement: turn the table round "+
		"(transpose it), so that each size has a row of its own", labels[0].text)
}

// unitBehind finds the unit in "bust (cm)", "bust [in]", "bust in cm", "bust, mm".
var unitBehind = regexp.MustCompile(`^(.*?[^\s,/])\s*(?:[\[(]\s*([^\[\]()]+?)\s*[\])]|[\s,/]\s*(?:in\s+)?(\S+))$`)

// column reads one cell of the first row.
func (t *table) column(c cell) (column, error) {
	switch key := fold(c.text); key {
	case "":
		return column{kind: columnBlank, cell: c}, nil
	case "layers", "layer":
		return column{kind: columnLayers, cell: c, name: "layers"}, nil
	case "name", "unit", "names", "keep", "drop", "line", "colour", "color", "dash":
		return column{}, t.src.fail(c.at,
			"a chart in CSV has a label, layers and measurements alone; for %q write the chart in YAML",
			c.text)
	}
	if isLabelHeader(c.text) {
		return column{kind: columnLabel, cell: c, name: "label"}, nil
	}
	name, unit := headerUnit(c.text)
	return column{kind: columnMeasure, cell: c, name: name, unit: unit}, nil
}

// headerUnit splits the name of a measurement from its unit.
func headerUnit(text string) (string, Unit) {
	if parts := unitBehind.FindStringSubmatch(text); parts != nil {
		if unit, ok := unitOf(parts[2] + parts[3]); ok {
			return strings.TrimSuffix(parts[1], " in"), unit
		}
	}
	return text, ""
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
		label := slices.IndexFunc(t.columns, func(c column) bool { return c.kind == columnLabel })
		return t.src.fail(row[0].at, "this row has no label: the column %q says which size it is",
			t.columns[label].text)
	}
	return nil
}

// date is what spreadsheets make of the label "10-12" or "3/4".
var date = sync.OnceValue(func() *regexp.Regexp {
	month := "(?:" + alternatives(meansCalendar) + ")"
	return regexp.MustCompile(`(?i)^(?:[0-9]{1,2}[-. ]{1,2}` + month + `|` + month + `[-. ]{1,2}[0-9]{1,2})\.?$`)
})

// cell reads cell n of size i.
func (t *table) cell(i, n int, c cell) error {
	if fold(c.text) == "" {
		return nil
	}
	if n >= len(t.columns) || t.columns[n].kind == columnBlank {
		blank := func(c column) bool { return c.kind == columnBlank }
		named := len(slices.DeleteFunc(slices.Clone(t.columns), blank))
		return t.src.fail(c.at, "this cell has no column: the first row names %d; "+
			"is a decimal comma without quotes, or a name missing?", named)
	}
	size := &t.chart.Sizes[i]
	switch col := t.columns[n]; col.kind {
	case columnLabel:
		size.Label = c.text
		t.at[sizePath(i, ".label")] = c.at
		if date().MatchString(c.text) {
			return t.src.fail(c.at,
				"the spreadsheet has made a date of this label: format the column as text and write the label again")
		}
	case columnLayers:
		for _, name := range strings.Split(c.text, ";") {
			if name = strings.TrimSpace(name); name != "" {
				t.at[sizePath(i, fmt.Sprintf(".layers[%d]", len(size.Layers)))] = c.at
				size.Layers = append(size.Layers, name)
			}
		}
	case columnMeasure:
		return t.measure(i, col, c)
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
		return t.src.fail(c.at, `%q is no measurement (column %q); write a number, as in 62.5 or "34 5/8", `+
			`or a range, as in 82-90`, c.text, col.text)
	}
	if q.from.Unit == "" {
		q.from.Unit, q.to.Unit = col.unit, col.unit
	}
	if q.from.Unit == "" {
		return t.src.fail(col.at, `the column %q has no unit; write cm, mm or in behind its name, as in "bust (cm)"; `+
			`a column that is no measurement has no place here`, col.text)
	}
	q.size, q.name = i, col.name
	t.at[sizePath(i, ".body."+col.name)] = c.at
	t.all = append(t.all, q)
	return nil
}
