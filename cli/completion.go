package cli

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
)

// shells are those that have a script in help. It asks the hidden command
// "words" what fits; where nothing does, the shell completes file names.
var shells = []string{"bash", "fish", "zsh"}

func (p *program) completionCommand() *urfave.Command {
	return &urfave.Command{
		Name:      "completion",
		Usage:     "print the completion script for bash, zsh or fish",
		ArgsUsage: "SHELL",
		Action: func(c *urfave.Context) error {
			shell := c.Args().First()
			if !slices.Contains(shells, shell) || c.Args().Len() != 1 {
				return usagef("for which shell? sizeply completion bash, zsh or fish")
			}
			fmt.Fprintln(p.out, help("completion."+shell))
			return nil
		},
	}
}

func (p *program) manCommand() *urfave.Command {
	return &urfave.Command{
		Name:  "man",
		Usage: "print the manual page",
		Action: func(*urfave.Context) error {
			app := p.app()
			app.Description = help("manual.txt")
			for _, cmd := range app.Commands {
				cmd.UsageText = cmd.Description // the page has no other place for it
			}
			page, err := app.ToManWithSection(1)
			if err != nil {
				return fmt.Errorf("making the manual page: %w", err)
			}
			fmt.Fprint(p.out, page)
			return nil
		},
	}
}

// wordsCommand is for the scripts above: it prints what the last of its
// arguments may become, one a line.
func (p *program) wordsCommand() *urfave.Command {
	return &urfave.Command{
		Name: "words", Hidden: true, HideHelp: true, SkipFlagParsing: true,
		Action: func(c *urfave.Context) error {
			for _, w := range completions(c.Context, c.App, c.Args().Slice()) {
				fmt.Fprintln(p.out, w)
			}
			return nil
		},
	}
}

// completions are the words that the last one may become; none where file
// names belong.
func completions(ctx context.Context, app *urfave.App, line []string) []string {
	if len(line) == 0 {
		return nil
	}
	last := len(line) - 1
	word := strings.TrimLeft(line[last], `"'`)
	if last == 0 {
		return beginning(word, commandNames(app))
	}
	cmd := app.Command(line[0])
	if cmd == nil {
		return nil
	}
	switch before := strings.TrimLeft(line[last-1], "-"); {
	case last > 1 && line[last-1] != before && slices.Contains(flagNames(cmd, true), before):
		return values(ctx, cmd, line[1:], before, word)
	case strings.HasPrefix(word, "-"):
		var names []string
		for _, n := range flagNames(cmd, false) {
			if len(n) > 1 {
				names = append(names, "--"+n)
			}
		}
		return beginning(word, names)
	case cmd.Name == "completion":
		return beginning(word, shells)
	}
	return nil
}

// values completes the value of a flag.
func values(ctx context.Context, cmd *urfave.Command, line []string, flag, word string) []string {
	switch flag {
	case "size":
		done, rest := "", word // a list goes on behind its last comma
		if i := strings.LastIndex(word, ","); i >= 0 {
			done, rest = word[:i+1], word[i+1:]
		}
		var list []string
		for _, label := range beginning(rest, labelsOf(ctx, cmd, line)) {
			list = append(list, done+label)
		}
		return list
	case "layer":
		return beginning(word, layers.Names(layersOf(ctx, cmd, line)))
	case "layer-id":
		var numbers []string
		for _, l := range layersOf(ctx, cmd, line) {
			numbers = append(numbers, fmt.Sprint(l.Object))
		}
		return beginning(word, numbers)
	}
	return beginning(word, map[string][]string{
		"by": ways, "between": {"nearest", "up"}, "fail-on": {"error", "warning", "note", "none"},
		"without-layers": rulesWithout, "paper": {"a4", "a0", "letter", "36 in roll"},
	}[flag])
}

// labelsOf are the labels of the chart on a line, or those that the layers of
// its file tell without a doubt.
func labelsOf(ctx context.Context, cmd *urfave.Command, line []string) []string {
	for i, w := range line[:len(line)-1] {
		if w == "--chart" {
			if chart, err := readChartFile(ctx, line[i+1]); err == nil {
				return chart.Labels()
			}
			return nil
		}
	}
	if d := pattern.Draft(layersOf(ctx, cmd, line)); len(d.Doubts) == 0 {
		return d.Chart.Labels()
	}
	return nil
}

// layersOf are the layers of the first file on a line that opens without a
// question.
func layersOf(ctx context.Context, cmd *urfave.Command, line []string) []layers.Layer {
	valued := flagNames(cmd, true)
	for i, w := range line[:len(line)-1] {
		if strings.HasPrefix(w, "-") || isValue(line, i, valued) {
			continue
		}
		if info, err := os.Stat(w); err != nil || !info.Mode().IsRegular() || info.Size() > defaultInput<<20 {
			continue
		}
		data, err := os.ReadFile(w)
		if err != nil {
			continue
		}
		if doc, err := layers.Open(ctx, layers.Bytes(data), nil); err == nil {
			return doc.Layers()
		}
	}
	return nil
}

// beginning are the words that begin as typed, whatever the case, without
// those that would do something to a terminal.
func beginning(typed string, list []string) []string {
	var out []string
	for _, w := range list {
		if len(w) >= len(typed) && strings.EqualFold(w[:len(typed)], typed) && w == words.Printable(w) {
			out = append(out, w)
		}
	}
	return out
}
