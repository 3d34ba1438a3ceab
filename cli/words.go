package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// roleWords says what a picked size is to the person: her size, or how many
// below or above it.
func roleWords(chart *sizes.Chart, pick *sizes.Pick, z sizes.PickedSize) string {
	switch z.Role {
	case sizes.RoleWanted:
		return "your size"
	case sizes.RoleBetween:
		return "in between"
	}
	labels := chart.Labels()
	at, steps := slices.Index(labels, z.Label), len(labels)
	for _, other := range pick.Sizes {
		d := slices.Index(labels, other.Label) - at
		if other.Role == sizes.RoleWanted && (d > 0) == (z.Role == sizes.RoleBelow) {
			steps = min(steps, max(d, -d))
		}
	}
	side := "above"
	if z.Role == sizes.RoleBelow {
		side = "below"
	}
	if numbers := []string{"", "one", "two", "three", "four"}; steps < len(numbers) {
		return numbers[steps] + " " + side
	}
	return fmt.Sprintf("%d %s", steps, side)
}

// fitLines say where a body stands in a chart and what to grade; none without a
// body.
func fitLines(chart *sizes.Chart, fit *sizes.Fit) []string {
	if fit == nil {
		return nil
	}
	var names, values, where []string
	for _, m := range fit.Measurements {
		names, values, where = append(names, words.Printable(m.Name)), append(values, m.Body.String()), append(where,
			words.Printable(m.String()))
	}
	lines := append([]string{titled(chart, "for this body:")}, columns(names, values, where)...)
	if fit.Grade != "" {
		before, after, _ := strings.Cut(words.Printable(fit.Grade), ": grade ")
		lines = append(lines, "The measurements fall in several sizes ("+before+").", "Grade "+after+".")
	}
	return lines
}

// titled puts the name of a chart before the title of a list.
func titled(chart *sizes.Chart, what string) string {
	if chart.Name == "" {
		return "Sizes " + what
	}
	return words.Printable(chart.Name) + ", " + what
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
			rows[i] += fmt.Sprintf("  %-*s", width, text)
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
		lines = append(lines, word+sentence(words.Printable(n.Text)))
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

// styleWords describe a line style in a few words: "line chocolate (#d35400),
// dashed 12 3 mm, 0.45 mm wide".
func styleWords(s *layers.LineStyle) string { return string(s.Kind) + " " + pattern.LineWords(s) }

// isLine reports whether a style is that of lines, or of shapes as thin as such.
func isLine(s *layers.LineStyle) bool {
	return s.Kind == layers.StrokedLine || s.Kind == layers.ThinShape
}

// pageSize writes the size of a page in centimetres and inches.
func pageSize(p layers.Page) string {
	w, h := p.Size()
	return fmt.Sprintf("%.1f x %.1f cm (%.2f x %.2f in)", w/10, h/10, w/25.4, h/25.4)
}

// paperWords says on what a page is printed.
func paperWords(p layers.Page) string {
	if sheet, ok := p.Paper(); ok {
		return sheet.Name
	}
	var names []string
	for _, s := range p.Fits() {
		names = append(names, s.Name)
	}
	switch n := len(names); n {
	case 0:
		return "wider than the usual rolls"
	case 1:
		return "fits " + names[0]
	default:
		return "fits " + strings.Join(names[:n-1], ", ") + " or " + names[n-1]
	}
}

// squareSides is how large a test square is drawn.
func squareSides(s layers.TestSquare) string {
	if s.True() {
		return fmt.Sprintf("%.2f mm, true to size", s.Side)
	}
	return fmt.Sprintf("%.2f x %.2f mm: %.1f %%, NOT true to size", s.Width, s.Height, 100*s.Scale)
}
