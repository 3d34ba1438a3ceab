package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	urfave "github.com/urfave/cli/v2"
	"golang.org/x/term"

	"github.com/sizeply/sizeply/layers"
)

// passwordVariable is the environment variable that holds a password.
const passwordVariable = "SIZEPLY_PASSWORD"

// maxPassword bounds the line that a password is read from, in bytes.
const maxPassword = 4096

// passwordFlag is for commands that open PDF files. There is none that takes
// the password itself: other users of the machine can read command lines.
func (p *program) passwordFlag() urfave.Flag {
	return &urfave.StringFlag{
		Name:  "password-file",
		Usage: "open an encrypted file with the password in the first line of `FILE`; - is standard input (or set " + passwordVariable + ")",
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
		return "", fmt.Errorf("%s: the first line is empty; the password belongs there", printable(name))
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
	if !errors.Is(err, layers.ErrPassword) || p.password != "" {
		return doc, err
	}
	asked, there := p.askPassword()
	if there != nil || asked == "" {
		return nil, err
	}
	p.password = asked
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
	var forbidden *layers.PermissionError
	switch {
	case errors.Is(err, layers.ErrPassword):
		return "put the password into the first line of a file and give it as --password-file FILE, or set " + passwordVariable
	case errors.As(err, &forbidden):
		return "who made the file has the owner password, which --password-file FILE or " + passwordVariable + " gives; sizeply inspect FILE works without"
	}
	return ""
}

// encryptionLine describes the encryption of a file for people.
func encryptionLine(e *layers.Encryption) string {
	what := "Encrypted"
	if e.Cipher != "" {
		what = fmt.Sprintf("Encrypted with %s (%d bits)", e.Cipher, e.Bits)
	}
	by := map[string]string{"": "opens without a password", "user": "opened with the user password", "owner": "opened with the owner password"}
	may := "changes are allowed"
	if !e.MayChange {
		may = "changes are forbidden, so it cannot be isolated without the owner password"
	}
	return fmt.Sprintf("%s, %s: %s.", what, by[e.Opened], may)
}
