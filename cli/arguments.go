package cli

import (
	"os"
	"slices"
	"strings"

	urfave "github.com/urfave/cli/v2"
)

// reorder moves flags before the other arguments of a command, since the flag
// parser stops at the first of those: flags work on both sides of a file name.
// What follows "--" is left as it is.
func reorder(app *urfave.App, args []string) []string {
	if len(args) < 2 {
		return args
	}
	cmd := app.Command(args[1])
	if cmd == nil || cmd.SkipFlagParsing {
		return args
	}
	valued := valuedFlags(cmd)
	flags, rest := []string{args[0], args[1]}, []string{}
	for i := 2; i < len(args); i++ {
		a := args[i]
		switch {
		case a == "--":
			rest = append(rest, args[i+1:]...)
			i = len(args)
		case len(a) < 2 || a[0] != '-':
			rest = append(rest, a)
		default:
			flags = append(flags, a)
			if !valued[strings.TrimLeft(a, "-")] {
				break
			}
			if i++; i == len(args) || isFlag(cmd, args[i]) {
				return flags // the parser says that the value is missing
			}
			flags = append(flags, args[i])
		}
	}
	return append(append(flags, "--"), rest...)
}

// isFlag tells whether an argument is a flag of a command, which is then no value
// of the flag before it; --layer=--size gives one that looks so.
func isFlag(cmd *urfave.Command, arg string) bool {
	name, dashed := strings.CutPrefix(arg, "--")
	name, _, _ = strings.Cut(name, "=")
	return dashed && slices.Contains(flagNames(cmd), name)
}

// valuedFlags are the names of flags that take a value as the next argument.
func valuedFlags(cmd *urfave.Command) map[string]bool {
	names := map[string]bool{}
	for _, f := range cmd.Flags {
		if d, ok := f.(urfave.DocGenerationFlag); ok && d.TakesValue() {
			for _, n := range f.Names() {
				names[n] = true
			}
		}
	}
	return names
}

// oneFile is the single file that a command takes.
func oneFile(c *urfave.Context) (string, error) {
	switch n := c.Args().Len(); {
	case n == 0:
		return "", usagef("which file? sizeply %s FILE", c.Command.Name)
	case n > 1 && unquoted(c.Args().Slice()):
		return "", unquotedError(c.Args().Slice())
	case n > 1:
		return "", usagef("sizeply %s takes one file, not %d (%s)", c.Command.Name, n, strings.Join(c.Args().Slice(), ", "))
	}
	return c.Args().First(), nil
}

// unquoted tells whether arguments are the parts of one file's name with
// spaces, which the shell took for several.
func unquoted(args []string) bool {
	_, err := os.Stat(strings.Join(args, " "))
	return len(args) > 1 && err == nil
}

func unquotedError(args []string) error {
	return usagef(`a name with spaces stands in quotes: "%s"`, printable(strings.Join(args, " ")))
}
