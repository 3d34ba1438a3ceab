// Package cli is the command sizeply: it turns arguments into calls of the
// libraries layers and sizes, and their answers into text. Start at Run; each
// command is a file of its own. Nothing here is for other programs.
//
// Results go to standard output, everything else to standard error. The exit
// status is 0 when all is done, 1 when something could not be done, 2 when the
// command was called wrongly.
package cli

import (
	"context"
	"embed"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strings"
	"syscall"
	"time"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// The exit statuses.
const (
	statusDone  = 0
	statusFail  = 1
	statusUsage = 2
)

// program is one run of the command.
type program struct {
	in       io.Reader
	out, err io.Writer
	work     unfinished // files on the way to their places, folders that may stay empty
	stdin    []byte     // what standard input held, once it has been read
	password string     // opens encrypted files, "" where none was given
	asked    bool       // the password was typed at the terminal
	limits   layers.OpenOptions
	timed    bool        // --time-limit is given
	stop     func(error) // ends the run early
}

// Main runs the command as this process and returns its exit status. An
// interruption ends it; an output that nobody reads any more is an error like
// others, not the signal that ends a program without a word.
func Main() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	signal.Ignore(syscall.SIGPIPE)
	return Run(ctx, os.Args, os.Stdin, os.Stdout, os.Stderr)
}

// Run runs the command with the arguments, the program's name first, and
// returns its exit status. It returns soon after ctx ends, even where some work
// does not: the caller is to end the process then.
func Run(ctx context.Context, args []string, in io.Reader, out, errOut io.Writer) int {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	watched := &watchedWriter{w: out, name: "standard output"}
	p := &program{in: in, out: watched, err: errOut, stop: stop}
	app := p.app()
	err := p.toEnd(ctx, func() error { return app.RunContext(ctx, reorder(app, args)) })
	p.work.abandon()
	switch {
	case err != nil && ctx.Err() != nil:
		err = &endedError{context.Cause(ctx), p.work.done()}
	case watched.failed != nil:
		err = watched.failed
	}
	if err == nil {
		return statusDone
	}
	p.fail(err)
	if is[*usageError](err) {
		return statusUsage
	}
	return statusFail
}

// toEnd runs work to its end, or to a little after that of ctx: the libraries
// end with it, but reading from a pipe and some loops of the PDF reader do not.
// Of work that goes on then nothing is left but its memory.
func (p *program) toEnd(ctx context.Context, work func() error) error {
	ended := make(chan error, 1)
	go func() { ended <- work() }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	select {
	case err := <-ended:
		return err
	case <-time.After(patience):
		return ctx.Err()
	}
}

// helpFiles are what the commands say of themselves, and the scripts for shells.
//
//go:embed help
var helpFiles embed.FS

// help is the text of a file in help.
func help(name string) string {
	text, err := helpFiles.ReadFile("help/" + name)
	if err != nil {
		panic(err) // it is part of the program
	}
	return strings.TrimSuffix(string(text), "\n")
}

// reader describes a command that reads PDF files: its name and arguments, such
// as "draft FILE...", what it does, and the flags that it has before fileFlags.
func (p *program) reader(line, usage string, action urfave.ActionFunc, flags ...urfave.Flag) *urfave.Command {
	name, arguments, _ := strings.Cut(line, " ")
	return &urfave.Command{Name: name, Usage: usage, ArgsUsage: arguments, Action: action,
		Flags: append(flags, p.fileFlags()...)}
}

// app describes the commands.
func (p *program) app() *urfave.App {
	app := &urfave.App{
		Name:            "sizeply",
		Usage:           "print only your sizes of a multi-size PDF pattern",
		Description:     help("sizeply.txt"),
		Version:         built(),
		Reader:          p.in,
		Writer:          p.out,
		ErrWriter:       p.err,
		HideHelpCommand: true,
		// A label or a layer's name may hold a comma; the libraries take lists.
		DisableSliceFlagSeparator: true,
		OnUsageError:              onUsageError,
		ExitErrHandler:            func(*urfave.Context, error) {},
		Commands: []*urfave.Command{
			p.pickCommand(), p.draftCommand(), p.inspectCommand(), p.previewCommand(), p.isolateCommand(),
			p.verifyCommand(), p.checkCommand(), p.completionCommand(), p.manCommand(),
		},
		Action: noCommand,
	}
	for _, c := range app.Commands {
		c.Description, c.OnUsageError = help(c.Name+".txt"), onUsageError
	}
	app.Commands = append(app.Commands, p.wordsCommand())
	return app
}

// noCommand is what runs without a command, or with one that is none.
func noCommand(c *urfave.Context) error {
	if name := c.Args().First(); name != "" {
		if strings.EqualFold(filepath.Ext(name), ".pdf") {
			return usagef("which command? sizeply inspect %s shows what the file holds", words.Printable(name))
		}
		if like := sizes.Nearest(name, commandNames(c.App)); like != "" {
			return usagef("there is no command %q; did you mean %q?", name, like)
		}
		return usagef("there is no command %q; sizeply --help lists them", name)
	}
	return urfave.ShowAppHelp(c)
}

func commandNames(app *urfave.App) []string {
	var names []string
	for _, c := range app.VisibleCommands() {
		names = append(names, c.Name)
	}
	return names
}

// onUsageError says what is wrong with a flag, and which one was meant.
func onUsageError(c *urfave.Context, err error, _ bool) error {
	name, unknown := strings.CutPrefix(err.Error(), "flag provided but not defined: ")
	if !unknown {
		return valueError(c.Command.Name, err)
	}
	name = strings.TrimLeft(name, "-")
	if like := sizes.Nearest(name, flagNames(c.Command, false)); like != "" {
		return usagef("there is no flag --%s; did you mean --%s?", name, like)
	}
	if c.Command.Name == c.App.Name {
		return usagef("there is no flag --%s before the command; sizeply --help lists the commands", name)
	}
	return usagef("there is no flag --%s; sizeply %s --help lists them", name, c.Command.Name)
}

// The errors of the flag package for values, as it words them.
var (
	badValue = regexp.MustCompile(`^invalid (?:boolean )?value "(.*)" for (?:flag )?-+([a-z-]+):`)
	noValue  = regexp.MustCompile(`^flag needs an argument: -+([a-z-]+)$`)
)

// valueError says which flag was given what it does not take.
func valueError(command string, err error) error {
	if m := badValue.FindStringSubmatch(err.Error()); m != nil {
		return usagef("%s does not take %q; sizeply %s --help says what it takes", withDashes(m[2]), m[1], command)
	}
	if m := noValue.FindStringSubmatch(err.Error()); m != nil {
		return usagef("%s needs a value; sizeply %s --help says which", withDashes(m[1]), command)
	}
	return &usageError{text: err.Error()}
}

// withDashes is the name of a flag as it is written on the line.
func withDashes(name string) string {
	if len(name) == 1 {
		return "-" + name
	}
	return "--" + name
}

// built is the version with the commit that the program was built from, where the
// build knows it.
func built() string {
	text := version()
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return text
	}
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			text += ", commit " + s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			text += " with changes"
		}
	}
	return text
}

// version is what the build knows of its own version.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(unknown)"
	}
	return info.Main.Version
}
