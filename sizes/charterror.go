package sizes

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// A ChartError says what is wrong in a chart file and where.
type ChartError struct {
	File    string `json:"file,omitempty"` // the name that Read was given
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
		where = e.File + ":" + where
	}
	text, column := e.excerpt()
	if text == "" {
		return where + ": " + e.Message
	}
	return fmt.Sprintf("%s: %s\n  %s\n  %s^", where, e.Message, text, blank(text[:column-1]))
}

// excerpt returns the part of the line around the place and the place in it.
func (e *ChartError) excerpt() (text string, column int) {
	const before, after = 60, 40
	line := []rune(e.Text)
	at := min(max(e.Column-1, 0), len(line))
	from, to := max(0, at-before), min(len(line), at+after)
	head, tail := "", ""
	if from > 0 {
		head = "..."
	}
	if to < len(line) {
		tail = "..."
	}
	lead := head + string(line[from:at])
	return lead + string(line[at:to]) + tail, len(lead) + 1
}

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

// harmless replaces what could move a terminal's cursor.
func harmless(s string) string {
	return strings.Map(func(r rune) rune {
		if r != '\t' && unicode.In(r, unicode.Cc, unicode.Bidi_Control, unicode.Zl, unicode.Zp) {
			return unicode.ReplacementChar
		}
		return r
	}, strings.ToValidUTF8(s, string(unicode.ReplacementChar)))
}
