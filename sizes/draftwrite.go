package sizes

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Write writes the chart in YAML as Chart.Write does, with the reasons and the
// doubts as comments. Without sizes there is no chart to write; then it gives
// the error of Check.
func (d *Drafted) Write(w io.Writer) error {
	var chart bytes.Buffer
	if err := d.Chart.Write(&chart); err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	for _, r := range d.Reasons {
		writeComment(b, "", comment(r))
	}
	for _, doubt := range d.Doubts {
		if doubt.Position < 0 {
			writeComment(b, "", "To decide: "+comment(doubt.Reason))
		}
	}
	b.Write(chart.Bytes())
	d.writeNames(b)
	return b.Flush()
}

// writeNames lists the layers that the chart does not place.
func (d *Drafted) writeNames(b *bufio.Writer) {
	first := true
	for _, doubt := range d.Doubts {
		if doubt.Position < 0 {
			continue
		}
		if first {
			fmt.Fprint(b, "# To decide: list each of these layers under keep (every print needs it), under\n# drop (no print needs it), or under the layers of a size, layers: [...].\n")
			first = false
		}
		writeComment(b, "  ", yamlText(clip(doubt.Name))+" "+comment(doubt.Reason))
	}
}

// commentWidth is how many columns a comment takes, unless a word is longer.
const commentWidth = 80

// writeComment writes a text as a comment; the lines after the first stand
// further in.
func writeComment(b *bufio.Writer, indent, text string) {
	line := "# " + indent
	empty := true
	for _, word := range strings.Split(text, " ") {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > commentWidth {
			fmt.Fprintln(b, line)
			line, empty = "#   "+indent, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	fmt.Fprintln(b, line)
}

// comment writes a text so that it stays on one line.
func comment(s string) string {
	return strings.Join(strings.Fields(harmless(s)), " ")
}
