package layers

import (
	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/survey"
	"github.com/sizeply/sizeply/layers/failure"
)

// What sorts errors by who can mend what is wrong, for errors.Is: see "Errors" in the
// package comment.
var (
	// ErrBadFile says that the file is damaged, no PDF, or lacks what was asked for:
	// another file is needed.
	ErrBadFile = fault.ErrBadFile
	// ErrBadRequest says that what was asked for is wrong, or does not fit the file or
	// the chart: another call is needed.
	ErrBadRequest = fault.ErrBadRequest
	// ErrForbidden says that a password is missing or wrong, or that the permissions
	// of the file do not allow what was asked for.
	ErrForbidden = fault.ErrForbidden
	// ErrTooLarge says that a limit of OpenOptions would be passed.
	ErrTooLarge = fault.ErrTooLarge
	// ErrInternal says that the check of a result failed, by a mistake of this module.
	ErrInternal = fault.ErrInternal
)

// The errors that have no fields.
var (
	// ErrNotPDF says that the input is no PDF file at all.
	ErrNotPDF = pdf.ErrNotPDF
	// ErrEmpty says that the input has no bytes.
	ErrEmpty = pdf.ErrEmpty
	// ErrPassword says that the file is encrypted, and that no password was
	// given or the one given does not open it.
	ErrPassword = pdf.ErrPassword
	// ErrNoLayers says that the file has no layers.
	ErrNoLayers = failure.ErrNoLayers
	// ErrNothingKept says that a selection keeps no layer of a file that has some,
	// and does not ask for that.
	ErrNothingKept = failure.ErrNothingKept
	// ErrNotOpened says that a Document is nil, or none that Open gave.
	ErrNotOpened = fault.New(fault.ErrBadRequest,
		"the document was not opened: take one that Open returned without an error")
)

// The errors that have fields, for errors.As; package failure shows these.
type (
	// An EncryptionError says that a file is encrypted in a way that is not supported.
	EncryptionError = failure.EncryptionError
	// A FormatError says that a file is a PDF, but broken.
	FormatError = failure.FormatError
	// A PermissionError says that a file forbids what was asked for.
	PermissionError = failure.PermissionError
	// A LimitError says that a file needs more than OpenOptions allows.
	LimitError = failure.LimitError
	// A Limit is what is bounded, such as "bytes of the file".
	Limit = failure.Limit
	// A LostLayersError says that a file has groups of optional content and no list
	// of them. It is an ErrNoLayers.
	LostLayersError = failure.LostLayersError
	// A ResidueError says that something of removed layers would have to stay,
	// which IsolateOptions.NoResidue forbids.
	ResidueError = failure.ResidueError
	// An UnreadableError says that content cannot be read whole, which
	// IsolateOptions.AcceptDamage accepts.
	UnreadableError = failure.UnreadableError
	// An UnknownWidthError says that a page cannot be kept exact, since widths of
	// removed text are unknown.
	UnknownWidthError = failure.UnknownWidthError
	// A PositionError says that a selection has a position at which the file has no
	// layer.
	PositionError = failure.PositionError
	// A PageError says that a page is asked for that the file does not have, or none at
	// all.
	PageError = failure.PageError
	// A WrongDocumentError says that a selection was made for another file.
	WrongDocumentError = failure.WrongDocumentError
	// A ForeignLineError says that the Style of a selection was not found in the file
	// by Document.Lines, so that nobody knows what removing it would remove.
	ForeignLineError = survey.ForeignLineError
	// A CheckError says that a written file is not what it should be.
	CheckError = failure.CheckError
)

// What a LimitError may tell of.
const (
	LimitFileBytes    = failure.LimitFileBytes
	LimitStreamBytes  = failure.LimitStreamBytes
	LimitPageBytes    = failure.LimitPageBytes
	LimitObjects      = failure.LimitObjects
	LimitObjectBytes  = failure.LimitObjectBytes
	LimitPages        = failure.LimitPages
	LimitFilters      = failure.LimitFilters
	LimitContentBytes = failure.LimitContentBytes
	LimitOperations   = failure.LimitOperations
)
