package sizes

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/width"

	"github.com/sizeply/sizeply/internal/words"
)

// Read reads a size chart in YAML or CSV, in UTF-8 and of at most 1 MiB. The name is that of the
// file: it appears in errors, and one that ends in .csv or .tsv says that the chart is in CSV, one
// in .yaml, .yml or .json that it is not. With any other name, or none, a first line with a column
// for the labels makes it CSV.
//
//	name: Tollmere skirt
//	unit: cm                      # of body: cm, mm or in
//	sizes:                        # smallest first
//	  - label: "8"                # the only key that a size must have
//	    layers: ["Size 8"]        # names or globs: * ? [a-z] [!a-z], \ before a sign that is meant
//	    line: {colour: "#d7263d", dash: [6, 2], width: 0.5, text: true}    # or red; mm; text of that colour too
//	    body: {bust: 78-82, waist: 62.5, hip: 34 5/8 in}
//	names: "Size {label}"
//	keep: ["Text*", "Grainline"]
//	drop: ["Background"]
//	accepted:                     # what a check may find, and why
//	  - {finding: layer-empty, layer: "Logo", file: "*-a4.pdf", reason: "no room on A4"}
//
// A label is the text as written, quoted or not: 08, 8 and 38.5 stay what they are. Every key but
// sizes and label may be left out. A measurement is a number or a range; one with a unit of its own
// is converted to the chart's, and where each has one the chart needs none. Anchors, aliases and
// tags are refused, as is a second document. chart.schema.json describes the form as JSON Schema.
//
// In CSV the first row names the columns: "label" or "size", in any of the
// languages whose size words [Chart.Match] knows, layers (optional, names with
// semicolons between), and each measurement with its unit:
//
//	label;layers;bust (cm);waist (cm)
//	8;Size 8;80;62,5
//	10;"Size 10; Size 10 copy";84-88;66
//
// Cells are separated by comma, semicolon or tab, quoted as spreadsheets do; a decimal comma is as
// good as a point, a blank cell or a dash is none. The unit of the chart is that of the first
// column that names one. What has no column here needs YAML.
//
// What is wrong in the chart gives a *[ChartError] for the first such place; an
// error of the reader is passed on wrapped.
func Read(r io.Reader, name string) (*Chart, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxChartBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: reading the chart: %w", words.Printable(name), err)
	}
	src := newSource(data, name)
	if err := src.checkBytes(data); err != nil {
		return nil, err
	}
	read := readYAML
	if src.isTable() {
		read = readTable
	}
	chart, at, err := read(src)
	if err != nil {
		return nil, err
	}
	if p := chart.problem(); p != nil {
		return nil, src.fail(at.find(p.path), "%s", p.message)
	}
	return chart, nil
}

// places tells where the values of a chart stood, by their path: "sizes[3].label".
type places map[string]position

// find returns where a path stood, or the nearest path above it.
func (p places) find(path string) position {
	for path != "" {
		if at, ok := p[path]; ok {
			return at
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return position{1, 1}
}

// A source is the text of a chart file with what errors need.
type source struct {
	file  string
	text  string
	lines []string
}

// A position is a place in a source. Line and column count from 1, columns in characters.
type position struct{ line, column int }

// newSource takes the byte-order mark from a text and unifies its line ends.
func newSource(data []byte, file string) *source {
	text := string(bytes.TrimPrefix(data, []byte("\uFEFF")))
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	return &source{file: file, text: text, lines: strings.Split(text, "\n")}
}

// fail makes the error for a place, which is moved into the text where it is not.
func (s *source) fail(at position, format string, args ...any) error {
	at.line = min(max(at.line, 1), len(s.lines))
	text := words.Harmless(s.lines[at.line-1])
	at.column = min(max(at.column, 1), utf8.RuneCountInString(text)+1)
	message := words.Middle(words.Harmless(fmt.Sprintf(format, args...)), maxMessage)
	return &ChartError{s.file, at.line, at.column, text, message}
}

// checkBytes refuses what is not a text.
func (s *source) checkBytes(data []byte) error {
	start := position{1, 1}
	switch {
	case len(data) > maxChartBytes:
		return s.fail(start, "the chart is longer than 1 MiB; is it the right file?")
	case bytes.HasPrefix(data, []byte("\xFF\xFE")), bytes.HasPrefix(data, []byte("\xFE\xFF")):
		return s.fail(start, "the chart is in UTF-16; save it as UTF-8")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")), bytes.HasPrefix(data, []byte("\xD0\xCF\x11\xE0")):
		return s.fail(start, "this is a file of a spreadsheet program or an archive; save the table as CSV in UTF-8")
	case bytes.HasPrefix(data, []byte("%PDF")):
		return s.fail(start, "this is a PDF file; a chart is a text file that lists the sizes")
	}
	for i, line := range s.lines {
		for column, r := range []rune(line) {
			at := position{i + 1, column + 1}
			if r == utf8.RuneError && !utf8.ValidString(line) {
				return s.fail(at, "this is not UTF-8; save the chart as a text file in UTF-8")
			}
			if r < ' ' && r != '\t' || r == 0x7F {
				return s.fail(at, "a control character (%U) has no place in a chart; take it out", r)
			}
		}
	}
	return nil
}

// A ChartError says what is wrong in a chart file and where.
type ChartError struct {
	File    string `json:"file,omitempty"` // the name that [Read] was given
	Line    int    `json:"line"`           // from 1
	Column  int    `json:"column"`         // from 1, in characters
	Text    string `json:"text"`           // the line, control characters replaced
	Message string `json:"message"`        // what is wrong and what would be right
}

// Error gives the place and the message in one line, then the line of the
// file and a caret under the place. A long line is cut on both sides.
func (e *ChartError) Error() string {
	where := fmt.Sprintf("%d:%d", e.Line, e.Column)
	if e.File != "" {
		where = words.Printable(e.File) + ":" + where
	}
	if e.Text == "" {
		return where + ": " + e.Message
	}
	const before, after = 60, 40 // characters of the line that are shown around the place
	line := []rune(e.Text)
	at := min(max(e.Column-1, 0), len(line))
	from, to := max(0, at-before), min(len(line), at+after)
	lead, rest := string(line[from:at]), string(line[at:to])
	if from > 0 {
		lead = "..." + lead
	}
	if to < len(line) {
		rest += "..."
	}
	return fmt.Sprintf("%s: %s\n  %s%s\n  %s^", where, e.Message, lead, rest, blank(lead))
}

// Is reports whether target is [ErrBadRequest].
func (*ChartError) Is(target error) bool { return target == ErrBadRequest }

// blank writes white space as wide as a text is on a terminal.
func blank(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch kind := width.LookupRune(r).Kind(); {
		case r == '\t':
			b.WriteByte('\t')
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		case kind == width.EastAsianWide || kind == width.EastAsianFullwidth:
			b.WriteString("  ")
		default:
			b.WriteByte(' ')
		}
	}
	return b.String()
}
