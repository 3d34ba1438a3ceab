package sizes

import (
	"bufio"
	"bytes"
	"cmp"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/sizeply/sizeply/internal/words"
)

// Write writes the chart in YAML, from which Read reads the same one: empty lists and maps apart,
// all its fields are equal. A chart that Check refuses is not written.
func (c *Chart) Write(w io.Writer) error {
	if err := c.Check(); err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	line := func(key, value string) {
		if value != "" {
			fmt.Fprintf(b, "%s: %s\n", key, value)
		}
	}
	line("name", yamlText(c.Name))
	line("unit", string(c.Unit))
	fmt.Fprintln(b, "sizes:")
	for _, s := range c.Sizes {
		fmt.Fprintf(b, "  - label: %s\n", yamlText(s.Label))
		line("    layers", yamlList(s.Layers))
		line("    line", s.Line.yaml())
		line("    body", s.yamlBody(c.Unit))
	}
	line("names", yamlText(c.Names))
	line("keep", yamlList(c.Keep))
	line("drop", yamlList(c.Drop))
	if len(c.Accepted) > 0 {
		fmt.Fprintln(b, "accepted:")
	}
	for _, a := range c.Accepted {
		var parts []string
		for i, text := range []string{a.Finding, a.Layer, a.File, a.Reason} {
			if text != "" {
				parts = append(parts, []string{"finding", "layer", "file", "reason"}[i]+": "+yamlText(text))
			}
		}
		fmt.Fprintf(b, "  - %s\n", yamlMap(parts))
	}
	return b.Flush()
}

// yamlText writes a text in double quotes (YAML 1.2.2, 7.3.1), or nothing.
func yamlText(s string) string {
	if s == "" {
		return ""
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == ' ' || unicode.IsGraphic(r) && !unicode.IsSpace(r):
			b.WriteRune(r)
		case r > 0xFFFF:
			fmt.Fprintf(&b, `\U%08X`, r)
		default:
			fmt.Fprintf(&b, `\u%04X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

func yamlList(texts []string) string { return bracketed("[", each(texts, yamlText), "]") }

func (l *Line) yaml() string {
	if l == nil {
		return ""
	}
	var parts []string
	if l.Colour != "" {
		parts = append(parts, "colour: "+yamlText(cmp.Or(l.Named, l.Colour)))
	}
	if l.Dash != nil {
		parts = append(parts, "dash: ["+strings.Join(each(l.Dash, decimal), ", ")+"]")
	}
	if l.Width != 0 {
		parts = append(parts, "width: "+decimal(l.Width))
	}
	if l.Text {
		parts = append(parts, "text: true")
	}
	return yamlMap(parts)
}

// yamlMap writes keys with their values.
func yamlMap(parts []string) string { return bracketed("{", parts, "}") }

// bracketed writes a list or a map on one line, or nothing.
func bracketed(before string, parts []string, behind string) string {
	if len(parts) == 0 {
		return ""
	}
	return before + strings.Join(parts, ", ") + behind
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// yamlBody writes the measurements of a size, the usual ones first.
func (s Size) yamlBody(unit Unit) string {
	var parts []string
	for _, name := range s.measurements() {
		value := Measure{s.Body[name], unit}.number()
		if r, ok := s.Ranges[name]; ok {
			value = Measure{r.From, unit}.number() + "-" + Measure{r.To, unit}.number()
		}
		parts = append(parts, yamlKey(name)+": "+value)
	}
	return yamlMap(parts)
}

// measurements returns the names of the measurements of a size, ordered by byPlace.
func (s Size) measurements() []string {
	names := slices.AppendSeq(slices.Collect(maps.Keys(s.Body)), maps.Keys(s.Ranges))
	slices.SortFunc(names, byPlace)
	return names
}

// byPlace orders measurements from the neck down where they are the usual ones, and by name else.
func byPlace(a, b string) int {
	usual := []string{
		"neck", "high bust", "bust", "chest", "underbust", "under-bust", "waist", "high hip", "hip", "thigh",
	}
	at := func(name string) int {
		if i := slices.Index(usual, fold(name)); i >= 0 {
			return i
		}
		return len(usual)
	}
	return cmp.Or(at(a)-at(b), cmp.Compare(a, b))
}

// yamlKey writes a name, in quotes unless it is letters and single spaces and no
// word that YAML gives a meaning.
func yamlKey(name string) string {
	switch strings.ToLower(name) {
	case "y", "n", "yes", "no", "on", "off", "true", "false", "null":
		return yamlText(name)
	}
	for i, r := range name {
		plain := unicode.IsLetter(r) || r == ' ' && i > 0 && name[i-1] != ' ' && i < len(name)-1
		if !plain {
			return yamlText(name)
		}
	}
	return name
}

// Write writes the chart in YAML as [Chart.Write] does, with the reasons and the doubts as
// comments. Without sizes there is no chart to write; then it gives the error of [Chart.Check].
func (d *Drafted) Write(w io.Writer) error {
	var chart bytes.Buffer
	if err := d.Chart.Write(&chart); err != nil {
		return err
	}
	b := bufio.NewWriter(w)
	for _, r := range d.Reasons {
		writeComment(b, "", comment(r))
	}
	var names []Doubt
	for _, doubt := range d.Doubts {
		if doubt.Position < 0 {
			writeComment(b, "", "To decide: "+comment(doubt.Reason))
		} else {
			names = append(names, doubt)
		}
	}
	b.Write(chart.Bytes())
	if len(names) > 0 {
		fmt.Fprint(b, "# To decide: list each of these layers under keep (every print needs it), under\n",
			"# drop (no print needs it), or under the layers of a size, layers: [...].\n")
	}
	for _, doubt := range names {
		writeComment(b, "  ", yamlText(clip(doubt.Name))+" "+comment(doubt.Reason))
	}
	return b.Flush()
}

// commentWidth is how many columns a comment takes, unless a word is longer.
const commentWidth = 80

// writeComment writes a text as a comment; the lines after the first stand further in.
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
func comment(s string) string { return strings.Join(strings.Fields(words.Harmless(s)), " ") }
