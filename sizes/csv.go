package sizes

import (
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"unicode/utf8"
)

// A cell is one field of a table, without white space around it.
type cell struct {
	text string
	at   position
}

// isTable says whether a chart is in CSV: by the end of its file's name, or,
// where that says nothing, by a first row that names a column of labels beside
// others.
func (s *source) isTable() bool {
	name := strings.ToLower(s.file)
	for _, end := range []string{".csv", ".tsv"} {
		if strings.HasSuffix(name, end) {
			return true
		}
	}
	for _, end := range []string{".yaml", ".yml", ".json"} {
		if strings.HasSuffix(name, end) {
			return false
		}
	}
	separator := s.separator()
	for _, field := range strings.Split(s.firstLine(), string(separator)) {
		if isLabelHeader(strings.Trim(field, ` "`)) {
			return strings.ContainsRune(s.firstLine(), separator)
		}
	}
	return false
}

// firstLine is the first line that is not blank.
func (s *source) firstLine() string {
	for _, line := range s.lines {
		if strings.TrimSpace(line) != "" && separatorLine(line) == 0 {
			return line
		}
	}
	return ""
}

// separator is the sign between the cells: the one that the file's first line
// names ("sep=;"), or the first of tab, semicolon and comma that stands in the
// header outside quotes.
func (s *source) separator() rune {
	if sign := separatorLine(s.lines[0]); sign != 0 {
		return sign
	}
	bare := strings.Join(outsideQuotes(s.firstLine()), "")
	for _, sign := range "\t;," {
		if strings.ContainsRune(bare, sign) {
			return sign
		}
	}
	return ','
}

// separatorLine reads the line by which spreadsheets name the separator.
func separatorLine(line string) rune {
	sign, ok := strings.CutPrefix(strings.ToLower(strings.Trim(line, `"`)), "sep=")
	if !ok || utf8.RuneCountInString(sign) != 1 || !strings.Contains("\t;,|", sign) {
		return 0
	}
	r, _ := utf8.DecodeRuneInString(sign)
	return r
}

// outsideQuotes returns every other piece of a line between double quotes.
func outsideQuotes(line string) []string {
	var out []string
	for i, piece := range strings.Split(line, `"`) {
		if i%2 == 0 {
			out = append(out, piece)
		}
	}
	return out
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
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, s.brokenRow(err)
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

// brokenRow turns an error of the CSV reader into one of ours.
func (s *source) brokenRow(err error) error {
	var e *csv.ParseError
	if errors.As(err, &e) {
		return s.fail(s.bytePosition(e.Line, e.Column), "this is no row of a table: %v", e.Err)
	}
	return s.fail(position{1, 1}, "this is no table: %v", err)
}

// row gives the cells of a record up to the last that is not blank.
func (s *source) row(r *csv.Reader, record []string) ([]cell, error) {
	var row []cell
	last := -1
	for i, text := range record {
		at := s.bytePosition(r.FieldPos(i))
		if strings.Contains(text, "\n") {
			return nil, s.fail(at, "this cell goes on over the end of its line; is a quote not closed, or has the cell two lines?")
		}
		text = strings.TrimSpace(text)
		if fold(text) != "" {
			last = i
		}
		if i >= maxColumns && last == i {
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
