package cli

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"text/tabwriter"
	"unicode/utf8"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers/pattern/check"
	"github.com/sizeply/sizeply/sizes"
)

func (p *program) checkCommand() *urfave.Command {
	return p.reader("check FILE...", "find what to mend in the layers of a pattern's files", p.check,
		&urfave.StringFlag{Name: "chart", Usage: "size chart `FILE` (YAML or CSV)"},
		&urfave.StringFlag{Name: "fail-on", Value: "warning",
			Usage: "exit with status 1 from this `LEVEL` on: error, warning, note, or none for never"},
		&urfave.BoolFlag{Name: "json", Usage: "as JSON"},
		&urfave.BoolFlag{Name: "sarif", Usage: "as SARIF 2.1.0, for programs that show findings of checks"},
	)
}

// checkJSON is the result for programs.
type checkJSON struct {
	Version int      `json:"version"`
	Files   []string `json:"files"`
	Drafted bool     `json:"drafted"` // the chart was made from the layer names
	*check.Result
}

func (p *program) check(c *urfave.Context) error {
	names, err := p.someFiles(c)
	if err != nil {
		return err
	}
	level := c.String("fail-on")
	var least check.Severity // 0 is none
	if level != "none" && least.UnmarshalText([]byte(level)) != nil {
		return usagef("--fail-on is error, warning, note or none, not %q", level)
	}
	switch {
	case twice(names) != "":
		return usagef("%s is given twice", words.Printable(twice(names)))
	case c.Bool("json") && c.Bool("sarif"):
		return usagef("--json and --sarif both want standard output: give one of them")
	}
	chart, err := chartOf(c)
	if err != nil {
		return err
	}
	files, err := p.readForCheck(c, names, chart)
	if err != nil {
		return err
	}
	res := check.Check(files, chart)
	switch {
	case c.Bool("json"):
		err = p.json(checkJSON{Version: formatVersion, Files: names, Drafted: res.Drafted != nil, Result: res})
	case c.Bool("sarif"):
		err = res.WriteSARIF(p.out, version())
	default:
		err = p.checked(files, res)
	}
	if err != nil {
		return err
	}
	n := 0
	for _, f := range res.Findings {
		if least != 0 && f.Severity >= least {
			n++
		}
	}
	if n > 0 {
		return fmt.Errorf("%d %s to mend", n, words.Plural(n, "finding", "findings"))
	}
	return nil
}

// twice is the first name that stands twice in a list, "" where none does.
func twice(names []string) string {
	for i, name := range names {
		if slices.Contains(names[:i], name) {
			return name
		}
	}
	return ""
}

// checkAtOnce is how many files are looked through at a time; each is in memory
// as a whole.
const checkAtOnce = 2

// readForCheck looks through the files. They are opened one after the other, since
// one may ask for a password, and looked through as they come.
func (p *program) readForCheck(c *urfave.Context, names []string, chart *sizes.Chart) ([]check.File, error) {
	ctx, stop := context.WithCancel(c.Context)
	defer stop()
	files := make([]check.File, len(names))
	errs := make([]error, len(names))
	var running sync.WaitGroup
	places := make(chan struct{}, checkAtOnce)
	for i, name := range names {
		places <- struct{}{}
		doc, err := p.open(ctx, name)
		if err != nil {
			stop()
			running.Wait()
			return nil, err
		}
		running.Go(func() {
			defer func() { <-places }()
			files[i], errs[i] = check.Read(ctx, name, doc, chart)
			errs[i] = in(name, errs[i])
		})
	}
	running.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	for _, f := range files {
		for _, w := range f.Warnings {
			p.say("%s: %s", words.Printable(f.Name), words.Printable(w.Text))
		}
	}
	return files, nil
}

// checkWidth is how many columns the findings take, nameWidth how many a layer
// takes in the table.
const (
	checkWidth = 80
	nameWidth  = 28
)

// checked writes the result of a check for people.
func (p *program) checked(files []check.File, res *check.Result) error {
	if res.Drafted != nil {
		drafted := "No chart was given, and the layer names tell no sizes."
		if labels := words.List(res.Chart.Labels(), 12); labels != "" {
			drafted = "No chart was given: held against the sizes that the layer names tell (" + labels + ")."
		}
		p.wrapped("", drafted)
		for _, d := range res.Drafted.Doubts {
			if d.Position < 0 {
				p.wrapped("", "In doubt: "+words.Printable(d.Reason))
			}
		}
	}
	for i, f := range files {
		note(p.out, "[%d] %s, %d %s", i+1, words.Printable(f.Name), len(f.Pages),
			words.Plural(len(f.Pages), "page", "pages"))
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

// checkTable writes a row for each layer and a column for each file, with how
// many marks the layer holds there.
func (p *program) checkTable(files int, res *check.Result) error {
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
		row := []string{words.Cut(words.Printable(r.Layer), nameWidth),
			words.Cut(answer(sizes.Answer{Kind: r.Kind, Sizes: r.Sizes}), 12)}
		for _, c := range r.Files {
			row = append(row, cell(c))
		}
		fmt.Fprintln(tw, strings.Join(row, "\t"))
	}
	return tw.Flush()
}

// cell is what a layer holds in a file, in a word.
func cell(c check.Cell) string {
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

// finding writes where something was found, what, and what to do.
func (p *program) finding(f check.Finding) {
	where := []string{f.ID}
	if f.File != "" {
		where = append(where, words.Printable(f.File))
	}
	if f.Layer != "" {
		where = append(where, `layer "`+words.Printable(f.Layer)+`"`)
	}
	if len(f.Pages) > 0 {
		where = append(where, words.Plural(len(f.Pages), "page ", "pages ")+words.Pages(f.Pages))
	}
	p.wrapped("", strings.ToUpper(f.Severity.String())+" "+strings.Join(where, ", "))
	p.wrapped("  ", f.Text)
	p.wrapped("  ", "To do: "+f.Do)
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
func checkSum(res *check.Result) string {
	counts := map[check.Severity]int{}
	for _, f := range res.Findings {
		counts[f.Severity]++
	}
	var parts []string
	for _, s := range []check.Severity{check.Error, check.Warning, check.Note} {
		if n := counts[s]; n > 0 {
			parts = append(parts, fmt.Sprint(n, " ", words.Plural(n, s.String(), s.String()+"s")))
		}
	}
	text := "Nothing to mend."
	if len(parts) > 0 {
		text = "Found: " + strings.Join(parts, ", ") + "."
	}
	if n := len(res.Accepted); n > 0 {
		text += fmt.Sprintf(" Left out, since the chart accepts %s: %d.", words.Plural(n, "it", "them"), n)
	}
	return text
}
