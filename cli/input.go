package cli

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"time"

	urfave "github.com/urfave/cli/v2"
	"golang.org/x/term"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// stream is the file name that stands for standard input or output.
const stream = "-"

// open opens a PDF file, or standard input.
func (p *program) open(ctx context.Context, name string) (*layers.Document, error) {
	if name == stream {
		data, err := p.standardInput()
		if err != nil {
			return nil, err
		}
		doc, err := p.openPDF(ctx, layers.Bytes(data))
		return doc, in("standard input", err)
	}
	if archive, file := inside(name); archive != "" {
		data, err := unpack(ctx, archive, file, p.mostInput())
		if err != nil {
			return nil, err
		}
		collectFor(int64(len(data)))
		doc, err := p.openPDF(ctx, layers.Bytes(data))
		return doc, in(name, err)
	}
	f, err := openFile(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	before, err := f.Stat()
	if err != nil {
		return nil, plain(name, err)
	}
	if before.Mode().IsRegular() {
		collectFor(before.Size())
		doc, err := p.openPDF(ctx, f)
		if changed(f, before) {
			err = errChanged
		}
		return doc, in(name, err)
	}
	data, err := p.bounded(f, name) // a pipe by name
	if err != nil {
		return nil, err
	}
	doc, err := p.openPDF(ctx, layers.Bytes(data))
	return doc, in(name, err)
}

var errChanged = errors.New("the file was changed while it was read; run it again once nothing writes to it")

// changed reports whether a file was written to since it was looked at. One that
// was removed can still be read to its end.
func changed(f *os.File, before os.FileInfo) bool {
	now, err := f.Stat()
	return err == nil && (now.Size() != before.Size() || !now.ModTime().Equal(before.ModTime()))
}

// collectFor lets garbage be collected more often where the input is large:
// what lives then is mostly its bytes, which cost nothing to go through, and
// what is dead stays small beside them; and more often for all files where memory
// comes near half a gibibyte. GOGC and GOMEMLIMIT in the environment go before.
func collectFor(size int64) {
	if os.Getenv("GOMEMLIMIT") == "" { // small files too may unpack to much
		debug.SetMemoryLimit(512 << 20)
	}
	const garbage = 6 << 20
	if size > 2*garbage && os.Getenv("GOGC") == "" {
		debug.SetGCPercent(int(max(6, garbage*100/size)))
	}
}

// readAll reads a whole file, or standard input.
func (p *program) readAll(ctx context.Context, name string) ([]byte, error) {
	if name == stream {
		return p.standardInput()
	}
	if archive, file := inside(name); archive != "" {
		return unpack(ctx, archive, file, p.mostInput())
	}
	f, err := openFile(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	before, err := f.Stat()
	if err != nil {
		return nil, plain(name, err)
	}
	data, err := p.bounded(f, name)
	if before.Mode().IsRegular() && changed(f, before) {
		return nil, in(name, errChanged)
	}
	return data, err
}

// standardInput reads standard input, once for all that asks for it.
func (p *program) standardInput() (data []byte, err error) {
	if p.stdin == nil {
		p.stdin, err = p.bounded(p.in, "standard input")
		if err == nil && pattern.IsArchive(bytes.NewReader(p.stdin)) {
			err = inf("standard input", "this is an archive: give the ZIP by its name")
		}
	}
	return p.stdin, err
}

// mostInput is how many bytes a file may have.
func (p *program) mostInput() int64 { return cmp.Or(p.limits.MaxFileBytes, defaultInput<<20) }

// bounded reads as many bytes as a file may have.
func (p *program) bounded(from io.Reader, name string) ([]byte, error) {
	most := p.mostInput()
	data, err := io.ReadAll(io.LimitReader(from, most+1))
	if err != nil {
		return nil, plain(name, err)
	}
	if int64(len(data)) > most {
		return nil, in(name, &layers.LimitError{Limit: layers.LimitFileBytes, Bound: most})
	}
	return data, nil
}

// in says in which file an error is.
func in(name string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", words.Printable(name), err)
}

// inf is an error in a file.
func inf(name, format string, args ...any) error { return in(name, fmt.Errorf(format, args...)) }

// openFile opens a file to read; a folder is none.
func openFile(name string) (*os.File, error) {
	info, err := os.Stat(name)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, inf(name, "there is no such file")
	case err != nil:
		return nil, plain(name, err)
	case info.IsDir():
		return nil, inf(name, "this is a folder; name a file in it")
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, plain(name, err)
	}
	return f, nil
}

// plain says what went wrong with a file without the name of the system call.
func plain(name string, err error) error { return in(name, bare(err)) }

// maxChart bounds a chart in an archive, in bytes; sizes.Read has limits of its own.
const maxChart = 16 << 20

// chartOf reads the chart that --chart names, nil without. Standard input can be
// that or the pattern, not both.
func chartOf(c *urfave.Context) (*sizes.Chart, error) {
	switch name := c.String("chart"); {
	case !c.IsSet("chart"):
		return nil, nil
	case c.String("output") != stream && sameFile(onDisk(name), c.String("output")):
		return nil, usagef("%s: the output is the chart, which is never written to; give -o another name",
			words.Printable(name))
	case name != stream:
		return readChartFile(c.Context, name)
	case c.Args().First() == stream || c.String("against") == stream:
		return nil, usagef("the pattern and the chart cannot both be on standard input; give one of them a file")
	}
	return sizes.Read(c.App.Reader, "standard input")
}

func readChartFile(ctx context.Context, name string) (*sizes.Chart, error) {
	if archive, file := inside(name); archive != "" {
		data, err := unpack(ctx, archive, file, maxChart)
		if err != nil {
			return nil, err
		}
		return sizes.Read(bytes.NewReader(data), name)
	}
	f, err := openFile(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return sizes.Read(f, name)
}

// passwordVariable is the environment variable that holds a password.
const passwordVariable = "SIZEPLY_PASSWORD"

// maxPassword bounds the line that a password is read from, in bytes.
const maxPassword = 4096

// passwordFlag is for commands that open PDF files. There is none that takes
// the password itself: other users of the machine can read command lines.
func (p *program) passwordFlag() urfave.Flag {
	return &urfave.StringFlag{
		Name: "password-file",
		Usage: "open an encrypted file with the password in the first line of `FILE`; - is standard input (or set " +
			passwordVariable + ")",
		Action: func(c *urfave.Context, name string) (err error) {
			if name == stream && (c.Args().First() == stream || c.String("against") == stream) {
				return usagef("--password-file - and FILE - both want standard input; give one of them a file")
			}
			p.password, err = p.readPassword(name)
			return err
		},
	}
}

// readPassword reads the first line of a file, or of standard input.
func (p *program) readPassword(name string) (string, error) {
	from := p.in
	if name != stream {
		f, err := openFile(name)
		if err != nil {
			return "", err
		}
		defer f.Close()
		from = f
	}
	line, err := bufio.NewReader(io.LimitReader(from, maxPassword)).ReadString('\n')
	if err != nil && err != io.EOF {
		return "", plain(name, err)
	}
	line = strings.TrimPrefix(line, "\ufeff")
	line = strings.TrimSuffix(strings.TrimSuffix(line, "\n"), "\r")
	if line == "" {
		return "", inf(name, "the first line is empty; the password belongs there")
	}
	return line, nil
}

// openPDF opens a PDF file with the password given by the flag, or else by the
// environment, or else at the terminal.
func (p *program) openPDF(ctx context.Context, in io.ReadSeeker) (*layers.Document, error) {
	if p.password == "" {
		p.password = os.Getenv(passwordVariable)
	}
	open := func(ctx context.Context) (*layers.Document, error) {
		opt := p.limits
		opt.Password = p.password
		return layers.Open(ctx, in, &opt)
	}
	doc, err := p.inTime(ctx, open)
	if !errors.Is(err, layers.ErrPassword) || p.password != "" && !p.asked {
		return doc, err
	}
	asked, there := p.askPassword()
	if there != nil || asked == "" {
		return nil, err
	}
	p.password, p.asked = asked, true // another file may have another
	return p.inTime(ctx, open)
}

// askPassword asks at the terminal, without showing what is typed. It gives an
// error where standard input is none.
func (p *program) askPassword() (string, error) {
	f, ok := p.in.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return "", errors.New("no terminal")
	}
	fmt.Fprint(p.err, "Password of the file: ")
	line, err := term.ReadPassword(int(f.Fd()))
	fmt.Fprintln(p.err)
	return string(line), err
}

// passwordOf is the password that opens a document and what is made of it.
func (p *program) passwordOf(doc *layers.Document) string {
	if e := doc.Encryption(); e == nil || e.Opened == "" {
		return ""
	}
	return p.password
}

// passwordHint says what to do about an error that a password may help with.
func passwordHint(err error) string {
	switch {
	case errors.Is(err, layers.ErrPassword):
		return "put the password into the first line of a file and give it as --password-file FILE, or set " +
			passwordVariable
	case is[*layers.PermissionError](err):
		return "who made the file has the owner password, which --password-file FILE or " + passwordVariable +
			" gives; sizeply inspect FILE works without"
	}
	return ""
}

// encryptionLine describes the encryption of a file for people.
func encryptionLine(e *layers.Encryption) string {
	what := "Encrypted"
	if e.Cipher != "" {
		what = fmt.Sprintf("Encrypted with %s (%d bits)", e.Cipher, e.Bits)
	}
	by := map[string]string{"": "opens without a password", "user": "opened with the user password",
		"owner": "opened with the owner password"}
	may := "changes are allowed"
	if !e.MayChange {
		may = "changes are forbidden, so it cannot be isolated without the owner password"
	}
	return fmt.Sprintf("%s, %s: %s.", what, by[e.Opened], may)
}

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
			"unpacks to more than `MIB` mebibytes, "+
			"or all pages together to more than twice that, 512 or 16 times the file",
			func(n int) { p.limits.MaxStreamBytes, p.limits.MaxPageBytes = int64(n)<<20, int64(n)<<20 }),
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
	case layers.LimitFilters, layers.LimitOperations:
		return ""
	case layers.LimitStreamBytes, layers.LimitPageBytes, layers.LimitContentBytes:
		flag = "max-unpacked"
	case layers.LimitFileBytes:
		flag = "max-input"
	}
	return "where you trust the file and have the memory, --" + flag + " raises the limit"
}
