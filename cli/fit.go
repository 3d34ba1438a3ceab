package cli

import (
	"strings"

	"github.com/sizeply/sizeply/sizes"
)

// fitLines say where a body stands in a chart and what to grade; none without a
// body.
func fitLines(chart *sizes.Chart, fit *sizes.Fit) []string {
	if fit == nil {
		return nil
	}
	var names, values, where []string
	for _, m := range fit.Measurements {
		names, values, where = append(names, printable(m.Name)), append(values, m.Body.String()), append(where, printable(m.String()))
	}
	lines := append([]string{titled(chart, "for this body:")}, columns(names, values, where)...)
	if fit.Grade != "" {
		before, after, _ := strings.Cut(printable(fit.Grade), ": grade ")
		lines = append(lines, "The measurements fall in several sizes ("+before+").", "Grade "+after+".")
	}
	return lines
}

// titled puts the name of a chart before the title of a list.
func titled(chart *sizes.Chart, what string) string {
	if chart.Name == "" {
		return "Sizes " + what
	}
	return printable(chart.Name) + ", " + what
}

// columns sets texts side by side, one row for each text of a column.
func columns(texts ...[]string) []string {
	rows := make([]string, len(texts[0]))
	for _, column := range texts {
		width := 0
		for _, text := range column {
			width = max(width, len([]rune(text)))
		}
		for i, text := range column {
			rows[i] += "  " + text + strings.Repeat(" ", width-len([]rune(text)))
		}
	}
	for i := range rows {
		rows[i] = strings.TrimRight(rows[i], " ")
	}
	return rows
}

// noteLines write the notes of a pick; what is beyond the chart is a warning.
func noteLines(notes []sizes.Note) []string {
	var lines []string
	for _, n := range notes {
		word := "Note: "
		if n.Kind == sizes.NoteBeyondChart {
			word = "Warning: "
		}
		lines = append(lines, word+sentence(printable(n.Text)))
	}
	return lines
}

// sentence ends a text with a full stop where it has no end of its own.
func sentence(s string) string {
	if strings.HasSuffix(s, "?") || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}
