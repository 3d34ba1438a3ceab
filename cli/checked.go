package cli

import (
	"fmt"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"github.com/sizeply/sizeply/sizes"
	"github.com/sizeply/sizeply/sizes/consistency"
)

// checkWidth is how many columns the findings take, nameWidth how many a layer
// takes in the table.
const (
	checkWidth = 80
	nameWidth  = 28
)

// checked writes the result of a check for people.
func (p *program) checked(files []consistency.File, res *consistency.Result) error {
	if res.Drafted != nil {
		p.wrapped("", draftedLine(res))
		for _, d := range res.Drafted.Doubts {
			if d.Position < 0 {
				p.wrapped("", "In doubt: "+printable(d.Reason))
			}
		}
	}
	for i, f := range files {
		note(p.out, "[%d] %s, %d %s", i+1, printable(f.Name), f.Pages, plural(f.Pages, "page", "pages"))
	}
	if err := p.checkTable(len(files), res); err != nil {
		return err
	}
	for _, f := range res.Findings {
		note(p.out, "")
		p.finding(f)
	}
	note(p.out, "")
	note(p.out, "%s", checkSum(res))
	return nil
}

// draftedLine says what files are held against where no chart was given.
func draftedLine(res *consistency.Result) string {
	labels := res.Chart.Labels()
	if len(labels) == 0 {
		return "No chart was given, and the layer names tell no sizes."
	}
	return fmt.Sprintf("No chart was given: held against the sizes that the layer names tell (%s).", printables(labels, 12))
}

// checkTable writes a row for each layer and a column for each file, with how
// many marks the layer holds there.
func (p *program) checkTable(files int, res *consistency.Result) error {
	if len(res.Rows) == 0 {
		return nil
	}
	note(p.out, "")
	tw := tabwriter.NewWriter(p.out, 0, 8, 2, ' ', 0)
	head := []string{"layer", "size"}
	for i := range files {
		head = append(head, fmt.Sprintf("marks in [%d]", i+1))
		if files > 2 && i > 0 {
			head[len(head)-1] = fmt.Sprintf("[%d]", i+1)
		}
	}
	fmt.Fprintln(tw, strings.Join(head, "\t"))
	for _, r := range res.Rows {
		row := []string{clipped(printable(r.Layer), nameWidth), clipped(answer(sizes.Answer{Kind: r.Kind, Sizes: r.Sizes}), 12)}
		for _, c := range r.Files {
			row = append(row, cell(c))
		}
		fmt.Fprintln(tw, strings.Join(row, "\t"))
	}
	return tw.Flush()
}

// cell is what a layer holds in a file, in a word.
func cell(c consistency.Cell) string {
	switch {
	case c.Layers == 0:
		return "-"
	case c.Marks == 0 && c.Within:
		return "within"
	case c.Marks == 0:
		return "empty"
	case c.Layers > 1:
		return fmt.Sprintf("%d, twice", c.Marks)
	}
	return fmt.Sprint(c.Marks)
}

// clipped is a text of at most n letters.
func clipped(s string, n int) string {
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}

// finding writes where something was found, what, and what to do.
func (p *program) finding(f consistency.Finding) {
	where := []string{f.ID}
	if f.File != "" {
		where = append(where, printable(f.File))
	}
	if f.Layer != "" {
		where = append(where, `layer "`+printable(f.Layer)+`"`)
	}
	if len(f.Pages) > 0 {
		where = append(where, plural(len(f.Pages), "page ", "pages ")+spans(f.Pages))
	}
	p.wrapped("", strings.ToUpper(f.Severity.String())+" "+strings.Join(where, ", "))
	p.wrapped("  ", printable(f.Text))
	p.wrapped("  ", "To do: "+printable(f.Do))
}

// wrapped writes a text in lines of checkWidth columns.
func (p *program) wrapped(indent, text string) {
	line := indent
	for _, word := range strings.Split(text, " ") {
		if line != indent && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > checkWidth {
			note(p.out, "%s", line)
			line = indent
		}
		if line != indent {
			line += " "
		}
		line += word
	}
	note(p.out, "%s", line)
}

// checkSum counts the findings.
func checkSum(res *consistency.Result) string {
	counts := map[consistency.Severity]int{}
	for _, f := range res.Findings {
		counts[f.Severity]++
	}
	var parts []string
	for _, s := range []consistency.Severity{consistency.Error, consistency.Warning, consistency.Note} {
		if n := counts[s]; n > 0 {
			parts = append(parts, fmt.Sprint(n, " ", plural(n, s.String(), s.String()+"s")))
		}
	}
	text := "Nothing to mend."
	if len(parts) > 0 {
		text = "Found: " + strings.Join(parts, ", ") + "."
	}
	if n := len(res.Accepted); n > 0 {
		text += fmt.Sprintf(" Left out, since the chart accepts %s: %d.", plural(n, "it", "them"), n)
	}
	return text
}
