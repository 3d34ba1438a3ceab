// Package fault sorts errors by who can mend what is wrong, whichever package they
// come from. Each error of the public packages matches one of its sentinels, by
// errors.Is; those packages show them under names of their own.
package fault

import (
	"errors"
	"fmt"
	"slices"
)

// The sentinels. An error of none of them is that of a reader, a writer or a
// context.
var (
	// ErrBadFile: the file is damaged, no PDF, or lacks what was asked for.
	ErrBadFile = errors.New("the file cannot be used")
	// ErrBadRequest: what was asked for is wrong, or does not fit the file or chart.
	ErrBadRequest = errors.New("the request cannot be met")
	// ErrForbidden: a password is missing or the file's permissions say no.
	ErrForbidden = errors.New("the file does not allow it")
	// ErrTooLarge: a limit would be passed.
	ErrTooLarge = errors.New("a limit is passed")
	// ErrInternal: a result is not what it should be, by a mistake of this module.
	ErrInternal = errors.New("the result is wrong")
)

// Sentinels lists them.
func Sentinels() []error {
	return []error{ErrBadFile, ErrBadRequest, ErrForbidden, ErrTooLarge, ErrInternal}
}

// Sorted reports whether an error matches one of them.
func Sorted(err error) bool {
	return slices.ContainsFunc(Sentinels(), func(sentinel error) bool { return errors.Is(err, sentinel) })
}

// New returns an error with a text that matches a sentinel.
func New(sentinel error, text string) error { return &sorted{sentinel, errors.New(text)} }

// Errorf is [New] with a text as fmt.Errorf makes it, which may wrap another error.
func Errorf(sentinel error, format string, args ...any) error {
	return &sorted{sentinel, fmt.Errorf(format, args...)}
}

// sorted is an error that matches a sentinel.
type sorted struct{ sentinel, err error }

func (s *sorted) Error() string { return s.err.Error() }

// Is reports whether target is the sentinel.
func (s *sorted) Is(target error) bool { return target == s.sentinel }

// Unwrap returns what the text was made of.
func (s *sorted) Unwrap() error { return errors.Unwrap(s.err) }
