package cli

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// formatVersion is the version of the JSON that the command writes. It goes
// up when a field changes its meaning or goes away.
const formatVersion = 1

// reportIsolated tells what was done.
func (p *program) reportIsolated(a *isolateArguments, c *choice, r *layers.Report, lines []sizeLine) error {
	if a.asJSON {
		return p.json(isolatedJSON{
			Version: formatVersion, Input: a.input, Output: a.written(), Pick: c.pick, By: c.by, Why: c.why, Lines: lines, Report: r, EmptyPages: r.EmptyPages(),
		})
	}
	s := &sentences{p: p}
	if c.pick != nil {
		s.sizes(a, c, lines)
	} else {
		s.line("Kept: %s.", printables(reported(r.Kept), 12))
	}
	s.removed(c, r)
	s.unknown(c, r)
	s.pages(a.input, r)
	s.residue(r)
	if c.pick != nil {
		for _, line := range noteLines(c.pick.Notes) {
			s.line("%s", line)
		}
	}
	for _, w := range r.Warnings {
		s.warning(w)
	}
	s.last(a)
	return nil
}

// isolatedJSON is the report for programs.
type isolatedJSON struct {
	Version    int            `json:"version"`
	Input      string         `json:"input"`
	Output     string         `json:"output,omitempty"` // absent for a dry run
	Pick       *sizes.Pick    `json:"pick,omitempty"`
	By         string         `json:"by,omitempty"` // layers, lines or both: what told the sizes apart
	Why        string         `json:"why,omitempty"`
	Lines      []sizeLine     `json:"lines,omitempty"` // of the sizes that are kept
	Report     *layers.Report `json:"report"`
	EmptyPages []int          `json:"emptyPages,omitempty"`
}

func (p *program) json(v any) error {
	enc := json.NewEncoder(p.out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// written is the output, "" for a dry run.
func (a *isolateArguments) written() string {
	if a.dryRun {
		return ""
	}
	return a.output
}

// sentences writes the report for people, on standard error.
type sentences struct{ p *program }

func (s *sentences) line(format string, args ...any) { note(s.p.err, format, args...) }

// sizes says which sizes are kept, from which layers, and what belongs to
// every size.
func (s *sentences) sizes(a *isolateArguments, c *choice, lines []sizeLine) {
	for _, line := range fitLines(a.chart, c.pick.Fit) {
		s.line("%s", line)
	}
	by := map[string]string{byLayers: "layer", byLines: "line", byBoth: "layer and line"}[c.by]
	s.line("%s", titled(a.chart, fmt.Sprintf("by %s (%s), kept:", by, c.why)))
	width := 0
	for _, z := range c.pick.Sizes {
		width = max(width, len([]rune(printable(z.Label))))
	}
	for i, z := range c.pick.Sizes {
		pad := strings.Repeat(" ", width-len([]rune(printable(z.Label))))
		s.line("  size %s%s  %-12s %s", printable(z.Label), pad, roleWords(a.chart, c.pick, z), c.marks(z, lines[i]))
	}
	if kept := c.kept(); len(kept) > 0 {
		s.line("  for every size: %s", printables(c.names(kept), 12))
	}
	if c.by == byLines {
		s.linesOut(a, c)
		return
	}
	if absent := c.absent(a.chart); len(absent) > 0 {
		s.line("The file has no layer for %s of the chart.", plural(len(absent), "size", "sizes")+" "+printables(absent, 12))
	}
}

// marks says what draws a size: its layers, and its line.
func (c *choice) marks(z sizes.PickedSize, line sizeLine) string {
	var parts []string
	if len(z.Positions) > 0 {
		parts = append(parts, "layer "+quoted(c.names(z.Positions)))
	}
	if len(line.Styles) > 0 {
		parts = append(parts, lookWords(&line.Styles[0]))
	}
	return strings.Join(parts, ", ")
}

// kept are the positions of the layers that every print needs.
func (c *choice) kept() []int {
	var list []int
	for _, a := range c.match.Answers {
		if a.Kind == sizes.KindKeep {
			list = append(list, a.Position)
		}
	}
	return list
}

// linesOut says which sizes' lines went, and which the file does not have.
func (s *sentences) linesOut(a *isolateArguments, c *choice) {
	var out, absent []string
	for spec, at := range c.lines.of {
		label := a.chart.Sizes[at].Label
		switch {
		case len(c.lines.match.Serves(spec)) == 0:
			absent = append(absent, label)
		case c.lines.goes(spec):
			out = append(out, label)
		}
	}
	s.line("Everything that has no size's line stays.")
	if len(out) > 0 {
		s.line("Left out: the lines of %s.", plural(len(out), "size", "sizes")+" "+printables(out, 12))
	} else {
		s.line("No size's line was left out.")
	}
	if len(absent) > 0 {
		s.line("The file has no line for %s of the chart.", plural(len(absent), "size", "sizes")+" "+printables(absent, 12))
	}
}

// absent are the sizes of the chart that no layer of the file serves.
func (c *choice) absent(chart *sizes.Chart) []string {
	has := map[string]bool{}
	for _, a := range c.match.Answers {
		for _, label := range a.Sizes {
			has[label] = true
		}
	}
	var list []string
	for _, label := range chart.Labels() {
		if !has[label] {
			list = append(list, label)
		}
	}
	return list
}

// removed says what went.
func (s *sentences) removed(c *choice, r *layers.Report) {
	if len(r.Removed) == 0 {
		if c.lines == nil {
			s.line("No layer was left out.")
		}
		return
	}
	s.line("Left out: %s.", printables(reported(r.Removed), 12))
}

// unknown says which layers the chart does not know, and what became of them.
func (s *sentences) unknown(c *choice, r *layers.Report) {
	for _, l := range r.Unchanged {
		if c.knows(l) {
			continue
		}
		state := "stays as it is"
		if !l.On {
			state = "stays switched off"
		}
		s.line("The chart does not know layer %q (object %d): it %s.", printable(l.Name), l.Object, state)
	}
}

// knows tells whether the chart says what a layer is.
func (c *choice) knows(l layers.ReportedLayer) bool {
	i := slices.IndexFunc(c.found, func(f layers.Layer) bool { return f.Object == l.Object })
	return c.match != nil && i >= 0 && c.match.Answers[i].Kind != sizes.KindUnknown
}

// pages says which pages have nothing left on them.
func (s *sentences) pages(input string, r *layers.Report) {
	empty := r.EmptyPages()
	switch len(empty) {
	case 0:
		return
	case len(r.Pages):
		s.line("Warning: no page has anything left to see on it: what was chosen draws nothing by itself; sizeply inspect %s shows what each layer holds", printable(input))
		return
	}
	s.line("Nothing is left to see on %s: %s. Print %s.",
		plural(len(empty), "this page", "these pages"), spans(empty), plural(len(empty), "it only if it lies inside of a piece", "only those that lie inside of a piece"))
}

// residue says what of the other sizes had to stay.
func (s *sentences) residue(r *layers.Report) {
	if n := len(r.Residue); n > 0 {
		s.line("%d %s of the other sizes stayed in the file, unseen, because what is kept was drawn after %s.",
			n, plural(n, "setting", "settings"), plural(n, "it", "them"))
	}
}

func (s *sentences) warning(w layers.Warning) {
	if w.Page > 0 {
		s.line("Warning, page %d: %s", w.Page, w.Text)
		return
	}
	s.line("Warning: %s", w.Text)
}

// last says where the result is, and the cautions.
func (s *sentences) last(a *isolateArguments) {
	switch {
	case a.dryRun:
		s.line("Nothing was written (--dry-run).")
		return
	case a.output == stream:
		s.line("Written to standard output.")
	default:
		s.line("Written: %s", printable(a.output))
	}
	s.caution()
}

// caution is what to mind before cloth is cut.
func (s *sentences) caution() {
	s.line(`Print it at 100 %% ("actual size"), measure the test square before you cut, and make a trial garment.`)
}

// reported are the names of layers of a report.
func reported(list []layers.ReportedLayer) []string {
	var names []string
	for _, l := range list {
		names = append(names, l.Name)
	}
	return names
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// spans writes page numbers, runs of them as first-last.
func spans(pages []int) string {
	var list []string
	for i := 0; i < len(pages); {
		j := i
		for j+1 < len(pages) && pages[j+1] == pages[j]+1 {
			j++
		}
		if j == i {
			list = append(list, fmt.Sprint(pages[i]))
		} else {
			list = append(list, fmt.Sprintf("%d-%d", pages[i], pages[j]))
		}
		i = j + 1
	}
	return strings.Join(list, ", ")
}
