package pdf

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/fault"
)

var (
	// ErrEmpty says that the file has no bytes.
	ErrEmpty = fault.New(fault.ErrBadFile, "the file is empty; copy or download it again")
	// ErrNotPDF says that the file is of another kind.
	ErrNotPDF = fault.New(fault.ErrBadFile, "the file is not a PDF: its first 1024 bytes hold no %PDF- header")
	// ErrPassword says that the file is encrypted and that no password was
	// given, or, wrapped, that the one given does not open it.
	ErrPassword = fault.New(fault.ErrForbidden, "the file is encrypted and needs a password")
)

// errWrongPassword is an ErrPassword: one was given.
var errWrongPassword = wrongPasswordError{}

type wrongPasswordError struct{}

func (wrongPasswordError) Error() string {
	return "the file is encrypted, and the password given does not open it"
}

func (wrongPasswordError) Unwrap() error { return ErrPassword }

// A DamageError says that the data of a stream is damaged. It comes together
// with the data that could be decoded.
type DamageError struct {
	// Filter is the filter that met the damage, such as "FlateDecode"; "" where the data
	// ends with the file.
	Filter Name
	// Err is what it met.
	Err error
}

func (e *DamageError) Error() string {
	if e.Filter == "" {
		return "the data is cut short"
	}
	return fmt.Sprintf("damaged %s data: %v", e.Filter, e.Err)
}

// Unwrap returns what the filter met.
func (e *DamageError) Unwrap() error { return e.Err }

// warnings collects sentences, each once, and counts those past the bound.
type warnings struct {
	list []string
	seen map[string]bool
	more int
}

func (w *warnings) add(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	switch {
	case w.seen[s]:
	case len(w.list) == maxWarnings:
		w.more++
	default:
		if w.seen == nil {
			w.seen = map[string]bool{}
		}
		w.seen[s] = true
		w.list = append(w.list, s)
	}
}

// sentences returns the list, with the number of those left out.
func (w *warnings) sentences() []string {
	if w.more == 0 {
		return w.list
	}
	return append(w.list, fmt.Sprintf("%d further warnings are left out", w.more))
}
