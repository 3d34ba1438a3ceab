package cli

import (
	"context"
	"errors"
	"fmt"
	"time"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
)

const (
	// readTime is how long reading one file may take where --time-limit says
	// nothing: far more than a whole pattern takes, and an end to what is made
	// to keep its reader busy for hours.
	readTime = 5 * time.Minute
	// patience is how long work may go on after its time or an interruption,
	// until it is left where it is.
	patience = 2 * time.Second
)

// The limits in MiB, or objects, where no flag says another.
const (
	defaultInput    = 512
	defaultUnpacked = 256
	defaultObjects  = 2_000_000
)

// fileFlags are for commands that open PDF files.
func (p *program) fileFlags() []urfave.Flag {
	return []urfave.Flag{
		&urfave.DurationFlag{
			Name: "time-limit", DefaultText: "5m for reading each file, 10m for drawing each page",
			Usage: "give up after this `TIME`, such as 90s or 10m, and leave nothing half done; 0 for never",
			Action: func(_ *urfave.Context, d time.Duration) error {
				if d < 0 {
					return usagef("--time-limit %v: give a time such as 90s or 10m, or 0 for none", d)
				}
				p.timed = true
				if d > 0 {
					time.AfterFunc(d,
						func() { p.stop(&timeLimitError{fmt.Sprintf("the time limit of %v has passed", d)}) })
				}
				return nil
			},
		},
		p.limitFlag("max-input", defaultInput, "refuse files of more than `MIB` mebibytes",
			func(n int) { p.limits.MaxFileBytes = int64(n) << 20 }),
		p.limitFlag("max-unpacked", defaultUnpacked, "refuse files in which a stream, or the drawing of a page, "+
			"unpacks to more than `MIB` mebibytes", func(n int) {
			p.limits.MaxStreamBytes, p.limits.MaxPageBytes = int64(n)<<20, int64(n)<<20
		}),
		p.limitFlag("max-objects", defaultObjects,
			"refuse files of more than `N` objects, or of more text in them than 64 bytes for each", func(n int) {
				p.limits.MaxObjects, p.limits.MaxObjectBytes = n, int64(n)*64
			}),
		p.passwordFlag(),
	}
}

// limitFlag is a flag that takes a number from 1 on.
func (p *program) limitFlag(name string, value int, usage string, set func(int)) urfave.Flag {
	const most = 1 << 30 // in mebibytes too it fits 64 bits
	return &urfave.IntFlag{Name: name, Value: value, Usage: usage, Action: func(_ *urfave.Context, n int) error {
		if n < 1 || n > most {
			return usagef("--%s %d: give a number from 1 to %d", name, n, most)
		}
		set(n)
		return nil
	}}
}

// A timeLimitError says which time was not enough.
type timeLimitError struct{ text string }

func (e *timeLimitError) Error() string { return e.text }

// errReadTime says that reading a file took longer than readTime.
var errReadTime = fmt.Errorf("reading it takes longer than %d minutes, "+
	"as files do that are made to keep a reader busy; --time-limit allows more", int(readTime.Minutes()))

// inTime opens a file within readTime, where --time-limit says nothing else.
func (p *program) inTime(ctx context.Context, open func(context.Context) (*layers.Document, error)) (*layers.Document,
	error) {
	if p.timed {
		return open(ctx)
	}
	ctx, cancel := context.WithTimeoutCause(ctx, readTime, errReadTime)
	defer cancel()
	doc, err := open(ctx)
	if err != nil && context.Cause(ctx) == errReadTime {
		err = errReadTime
	}
	return doc, err
}

// An endedError says that the work was ended early, and how far it came.
type endedError struct {
	cause   error
	written int
}

func (e *endedError) Error() string {
	why := "interrupted"
	if limit := (*timeLimitError)(nil); errors.As(e.cause, &limit) {
		why = limit.Error()
	}
	if e.written == 0 {
		return why + ": nothing was written"
	}
	return fmt.Sprintf("%s: %d %s complete, the rest was not written", why, e.written,
		words.Plural(e.written, "file is", "files are"))
}

// limitHint says which flag raises a limit that a file passes.
func limitHint(err error) string {
	var limit *layers.LimitError
	if !errors.As(err, &limit) {
		return ""
	}
	flag := "max-objects"
	switch limit.Limit {
	case layers.LimitFilters:
		return ""
	case layers.LimitStreamBytes, layers.LimitPageBytes:
		flag = "max-unpacked"
	case layers.LimitFileBytes:
		flag = "max-input"
	}
	return "where you trust the file and have the memory, --" + flag + " raises the limit"
}
