// Package failure declares the errors that package layers gives, which has them
// under the same names: use those. They stand here so that the packages behind
// layers can give them too. See "Errors" in the comment of package layers.
package failure

import (
	"fmt"
	"strings"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/words"
)

// A FormatError says that a file is a PDF, but broken: it cannot be read, or
// readers would differ about what it shows. It is a bad file.
type FormatError struct {
	// Object is the number of the object at fault, 0 where it is none alone.
	Object int
	// Reason says what is wrong.
	Reason string
}

func (e *FormatError) Error() string {
	if e.Object == 0 {
		return "broken PDF file: " + e.Reason
	}
	return fmt.Sprintf("broken PDF file: object %d: %s", e.Object, e.Reason)
}

// Is reports whether target is layers.ErrBadFile.
func (*FormatError) Is(target error) bool { return target == fault.ErrBadFile }

// An EncryptionError says that a file is encrypted in a way that is not
// supported, such as for the holders of certificates, whatever the password. It is
// a bad file.
type EncryptionError struct {
	// Reason says what is not known or wrong.
	Reason string
}

func (e *EncryptionError) Error() string {
	return "the file is encrypted in a way that is not supported: " + e.Reason
}

// Is reports whether target is layers.ErrBadFile.
func (*EncryptionError) Is(target error) bool { return target == fault.ErrBadFile }

// A PermissionError says that the maker of a file forbids what was asked for, and
// that it was not opened with the owner's password. The file forbids it.
type PermissionError struct {
	// Reason says what is forbidden.
	Reason string
}

func (e *PermissionError) Error() string { return e.Reason }

// Is reports whether target is layers.ErrForbidden.
func (*PermissionError) Is(target error) bool { return target == fault.ErrForbidden }

// A LimitError says that a file needs more than layers.OpenOptions allows: more
// than Bound of Limit. It is too large.
type LimitError struct {
	Limit Limit
	Bound int64 // in bytes, or a number of objects, pages, filters or operations
}

func (e *LimitError) Error() string {
	return fmt.Sprintf("the file passes the limit of %d %v", e.Bound, e.Limit)
}

// Is reports whether target is layers.ErrTooLarge.
func (*LimitError) Is(target error) bool { return target == fault.ErrTooLarge }

// A Limit is what is bounded in a file; as text it names that, such as "bytes of
// the file".
type Limit int

// What is bounded by the fields of layers.OpenOptions; pages by MaxObjects. Nothing
// raises the limits of the filters of one stream, and of what has to be remembered of
// one stream while it is filtered.
const (
	LimitFileBytes Limit = iota
	LimitStreamBytes
	LimitPageBytes
	LimitObjects
	LimitObjectBytes
	LimitPages
	LimitFilters
	LimitContentBytes
	LimitOperations
)

// String names what is bounded, such as "bytes of the file".
func (l Limit) String() string {
	return [...]string{
		"bytes of the file", "decoded bytes of a stream", "decoded bytes of the contents of a page",
		"objects", "bytes of objects", "pages", "filters of a stream", "decoded bytes of the contents of all pages",
		"operations of a stream to be remembered",
	}[l]
}

// An UnreadableError says that content cannot be read whole, so that nobody knows
// what is missing of it, and what of it belongs to what is removed;
// layers.IsolateOptions.AcceptDamage accepts that. It is a bad file.
type UnreadableError struct {
	// Page is the page that draws it, from 1; 0 where none does.
	Page int
	// Reason says what cannot be read.
	Reason string
}

func (e *UnreadableError) Error() string {
	return fmt.Sprintf("its drawing cannot be read whole (%s), so lines may be missing or out of place: "+
		"download the file again", e.Reason)
}

// Is reports whether target is layers.ErrBadFile.
func (*UnreadableError) Is(target error) bool { return target == fault.ErrBadFile }

// An UnknownWidthError says that a page cannot be kept exact: text that is removed is
// followed on its line by text that is kept, and how far to move cannot be told. It
// is a bad file.
type UnknownWidthError struct {
	// Font is the name of the font in the resources of the content, Reason why its
	// widths are unknown.
	Font, Reason string
}

func (e *UnknownWidthError) Error() string {
	return fmt.Sprintf("text that goes is followed on its line by text that stays, "+
		"and the widths of its font %s are unknown (%s)", e.Font, e.Reason)
}

// Is reports whether target is layers.ErrBadFile.
func (*UnknownWidthError) Is(target error) bool { return target == fault.ErrBadFile }

// Residue is something of removed layers that is kept, since what is kept is drawn
// with it.
type Residue struct {
	Page int `json:"page"` // from 1
	// Kind is "state" (a resource that only state set in removed content
	// names), "clip" (a clipping path set in removed content) or "text clip"
	// (text that clips what is kept).
	Kind string `json:"kind"`
	Name string `json:"name,omitempty"` // of the resource
}

// String says what is kept and where: "a clipping path (page 2)".
func (r Residue) String() string {
	what := map[string]string{
		"state": "the resource " + r.Name, "clip": "a clipping path", "text clip": "text that clips",
	}[r.Kind]
	return fmt.Sprintf("%s (page %d)", what, r.Page)
}

// A ResidueError says that something of removed layers would have to stay so that
// the rest looks as before, which layers.IsolateOptions.NoResidue forbids. It is a
// bad request.
type ResidueError struct{ Residue []Residue }

func (e *ResidueError) Error() string {
	const maxListed = 5
	var list []string
	for _, r := range e.Residue[:min(len(e.Residue), maxListed)] {
		list = append(list, r.String())
	}
	if more := len(e.Residue) - maxListed; more > 0 {
		list = append(list, fmt.Sprintf("and %d more", more))
	}
	return "something of the removed layers would have to stay, since what is kept is drawn with it: " +
		strings.Join(list, ", ")
}

// Is reports whether target is layers.ErrBadRequest.
func (*ResidueError) Is(target error) bool { return target == fault.ErrBadRequest }

// ErrNoLayers says that a file has no layers. It is a bad file.
var ErrNoLayers = fault.New(fault.ErrBadFile,
	"the file has no layers: its sizes cannot be told apart by layer")

// A LostLayersError says that a file has no layers any more (8.11.4.2): it has
// groups of optional content, by these names, and no list of them. It is an
// ErrNoLayers.
type LostLayersError struct{ Names []string }

func (e *LostLayersError) Error() string {
	return "the file has lost its list of layers, of which it still names " +
		words.Quoted(e.Names) + ": nothing can be switched in it"
}

// Unwrap returns ErrNoLayers.
func (e *LostLayersError) Unwrap() error { return ErrNoLayers }

// ErrNothingKept says that a selection keeps no layer of a file that has some, and
// that its NoLayers does not ask for that. It is a bad request.
var ErrNothingKept = fault.New(fault.ErrBadRequest, "the selection keeps no layer, so the print would have no size: "+
	"choose at least one, or ask for none at all")

// A PositionError says that a selection has a position at which the file has no
// layer. It is a bad request.
type PositionError struct {
	Position int // in the selection
	Layers   int // how many the file has
}

func (e *PositionError) Error() string {
	return fmt.Sprintf("there is no layer at position %d: the file has %d", e.Position, e.Layers)
}

// Is reports whether target is layers.ErrBadRequest.
func (*PositionError) Is(target error) bool { return target == fault.ErrBadRequest }

// A PageError says that a page is asked for that the file does not have, or none at all.
// It is a bad request.
type PageError struct {
	Page  int // that is not there, 0 where none is asked for
	Pages int // how many the file has
}

func (e *PageError) Error() string {
	if e.Page == 0 {
		return "no page is asked for: name one at least"
	}
	return fmt.Sprintf("there is no page %d: the file has %s", e.Page, words.Count(e.Pages, "page", "pages"))
}

// Is reports whether target is layers.ErrBadRequest.
func (*PageError) Is(target error) bool { return target == fault.ErrBadRequest }

// A WrongDocumentError says that a selection was made for another file. It is a bad
// request.
type WrongDocumentError struct {
	// Want is the fingerprint of the file that the selection is for, Got that of the
	// file at hand.
	Want, Got string
}

func (e *WrongDocumentError) Error() string {
	return fmt.Sprintf("the selection was made for another file, whose SHA-256 is %s; this one's is %s", e.Want, e.Got)
}

// Is reports whether target is layers.ErrBadRequest.
func (*WrongDocumentError) Is(target error) bool { return target == fault.ErrBadRequest }

// A CheckError says that a written file is not what it should be. Of one that
// Isolate wrote a moment ago (Report.Check) it is a mistake of this module, of one
// that layers.Verify was given a bad file.
type CheckError struct {
	// Own is true where the file was written a moment ago.
	Own bool
	// Err says what does not hold, and on which page.
	Err error
}

func (e *CheckError) Error() string { return e.Err.Error() }

// Unwrap returns what does not hold.
func (e *CheckError) Unwrap() error { return e.Err }

// Is reports whether target is layers.ErrInternal for an own file, layers.ErrBadFile
// for another.
func (e *CheckError) Is(target error) bool {
	if e.Own {
		return target == fault.ErrInternal
	}
	return target == fault.ErrBadFile
}
