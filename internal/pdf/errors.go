package pdf

import (
	"errors"
	"fmt"
)

var (
	// ErrEmpty says that the file has no bytes.
	ErrEmpty = errors.New("the file is empty; copy or download it again")
	// ErrNotPDF says that the file is of another kind.
	ErrNotPDF = errors.New("the file is not a PDF: its first 1024 bytes hold no %PDF- header")
	// ErrPassword says that the file is encrypted and that no password was
	// given, or, wrapped, that the one given does not open it.
	ErrPassword = errors.New("the file is encrypted and needs a password")
)

// errWrongPassword is an ErrPassword: one was given.
var errWrongPassword = wrongPasswordError{}

type wrongPasswordError struct{}

func (wrongPasswordError) Error() string {
	return "the file is encrypted, and the password given does not open it"
}

func (wrongPasswordError) Unwrap() error { return ErrPassword }

// An EncryptionError says that a file is encrypted in a way that cannot be
// undone here, whatever the password.
type EncryptionError struct {
	// Reason says what is not known or wrong.
	Reason string
}

func (e *EncryptionError) Error() string {
	return "the file is encrypted in a way that is not supported: " + e.Reason
}

// A PermissionError says that the maker of a file forbids what was asked for,
// and that it was not opened with the owner's password.
type PermissionError struct {
	// Reason says what is forbidden.
	Reason string
}

func (e *PermissionError) Error() string { return e.Reason }

// A FormatError says that a file is a PDF, but broken beyond repair: cut
// short, or without pages.
type FormatError struct {
	// Ref is the number of the object at fault, 0 where it is none alone.
	Ref Ref
	// Reason says what is wrong.
	Reason string
}

func (e *FormatError) Error() string {
	if e.Ref == 0 {
		return "broken PDF file: " + e.Reason
	}
	return fmt.Sprintf("broken PDF file: object %d: %s", e.Ref, e.Reason)
}

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
