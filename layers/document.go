package layers

import (
	"context"
	"errors"
	"io"
	"slices"
	"sync/atomic"

	"github.com/sizeply/sizeply/internal/pdf"
)

// OpenOptions says how to open a file. The zero value is the normal case.
type OpenOptions struct {
	// Password opens an encrypted file. It is tried as the owner's, then as
	// the user's; then the empty one is.
	Password string
	// MaxFileBytes bounds the size of the file: 512 MiB by default, which
	// zero takes for each limit.
	MaxFileBytes int64
	// MaxStreamBytes and MaxPageBytes bound the decoded bytes of one stream
	// and of one page's contents: 256 MiB each by default.
	MaxStreamBytes, MaxPageBytes int64
	// MaxObjects bounds the number of objects: 2,000,000 by default. Pages may
	// be a twentieth of that, and a hundred at least. MaxObjectBytes bounds the text of all objects but stream
	// data, which grows some twenty times in memory: 128 MiB by default.
	MaxObjects     int
	MaxObjectBytes int64
}

// The errors that a caller may want to tell apart, for errors.Is.
var (
	// ErrNotPDF says that the input is no PDF file at all.
	ErrNotPDF = pdf.ErrNotPDF
	// ErrEmpty says that the input has no bytes.
	ErrEmpty = pdf.ErrEmpty
	// ErrPassword says that the file is encrypted, and that no password was
	// given or the one given does not open it.
	ErrPassword = pdf.ErrPassword
	// ErrNoLayers says that the file has no layers.
	ErrNoLayers = errors.New("the file has no layers (optional content): its sizes cannot be told apart by layer")
)

// Further ones, for errors.As.
type (
	// An EncryptionError says that a file is encrypted in a way that is not
	// supported, such as for the holders of certificates. Its Reason, a string,
	// says what.
	EncryptionError = pdf.EncryptionError
	// A FormatError says that a file is a PDF, but broken beyond repair. Its
	// Reason, a string, says what is wrong, its Ref the number of the object at
	// fault, 0 where it is none alone.
	FormatError = pdf.FormatError
	// A PermissionError says that a file forbids what was asked for, and was
	// not opened with its owner password. Its Reason, a string, says what.
	PermissionError = pdf.PermissionError
	// A LimitError says that a file needs more than OpenOptions allows: more
	// than Limit, an int64, of What, such as "bytes of the file".
	LimitError = pdf.LimitError
)

// Document is an open PDF file. It never changes and is safe for concurrent
// use.
type Document struct {
	pdf    *pdf.Document
	limits pdf.Limits
	props  *properties
	// password opened the file, and opens what is made of it.
	password string
	// measured holds the test squares once they have been looked for.
	measured atomic.Pointer[[]TestSquare]
}

// Open reads a PDF file from the start of in, which may be closed afterwards;
// io.NewSectionReader makes one of an io.ReaderAt. The file stays in memory. It
// gives ErrNotPDF, ErrEmpty, ErrPassword or an *EncryptionError for what cannot
// be opened at all, a *LimitError for what is too large, a *FormatError for a
// broken file, and wraps the errors of the reader and of the context.
//
// It returns soon after ctx ends. The PDF reader beneath has loops that do not
// look at the context, so that on a file made for it one goroutine may run on
// behind, for minutes, over bytes that nothing else uses. A program that has to
// stop it reads such files in a process of their own, as the command does.
func Open(ctx context.Context, in io.ReadSeeker, opt *OpenOptions) (*Document, error) {
	if opt == nil {
		opt = &OpenOptions{}
	}
	lim := pdf.Limits{
		FileBytes: opt.MaxFileBytes, StreamBytes: opt.MaxStreamBytes, PageBytes: opt.MaxPageBytes,
		Objects: opt.MaxObjects, ObjectBytes: opt.MaxObjectBytes,
	}
	data, err := pdf.ReadAll(ctx, in, lim)
	if err != nil {
		return nil, err
	}
	return openBytes(ctx, data, opt.Password, lim)
}

// openBytes opens a file that is in memory, where it must not change any more.
func openBytes(ctx context.Context, data []byte, password string, lim pdf.Limits) (*Document, error) {
	file, err := pdf.OpenBytes(ctx, data, pdf.Options{Password: password, Limits: lim})
	if err != nil {
		return nil, err
	}
	return &Document{pdf: file, limits: lim, props: readProperties(file), password: password}, nil
}

// options open what is made of a document as that was opened.
func (d *Document) options() *OpenOptions {
	lim := d.limits
	return &OpenOptions{
		Password: d.password, MaxFileBytes: lim.FileBytes, MaxStreamBytes: lim.StreamBytes, MaxPageBytes: lim.PageBytes,
		MaxObjects: lim.Objects, MaxObjectBytes: lim.ObjectBytes,
	}
}

// Encryption tells how a file is encrypted, and what opened it.
type Encryption struct {
	// Cipher is "RC4" or "AES", with a key of that many bits; "" where the
	// pages are not encrypted.
	Cipher string `json:"cipher"`
	Bits   int    `json:"bits"`
	// Opened is the password that opened the file: "owner", "user", or "" for
	// none.
	Opened string `json:"opened"`
	// MayChange says whether the file may be isolated: whether its permissions
	// let it be changed, or the owner password opened it.
	MayChange bool `json:"mayChange"`
}

// Encryption tells how the file is encrypted, nil where it is not.
func (d *Document) Encryption() *Encryption {
	e, ok := d.pdf.Encryption()
	if !ok {
		return nil
	}
	opened := map[pdf.Credential]string{pdf.UserPassword: "user", pdf.OwnerPassword: "owner"}[e.Opened]
	return &Encryption{Cipher: e.Cipher, Bits: e.Bits, Opened: opened, MayChange: e.MayChange}
}

// Layers returns the layers: the listed ones in the file's order, then those
// that only content names, by object number. The slice is the caller's own.
func (d *Document) Layers() []Layer {
	list := make([]Layer, len(d.props.groups))
	for i, g := range d.props.groups {
		list[i] = g.layer
		list[i].Parents = slices.Clone(g.layer.Parents)
		list[i].Intent = slices.Clone(g.layer.Intent)
	}
	return list
}

// Pages returns the pages in order.
func (d *Document) Pages() []Page {
	var list []Page
	for _, p := range d.pdf.Pages() {
		w := float64(p.CropBox.URX-p.CropBox.LLX) * p.UserUnit
		h := float64(p.CropBox.URY-p.CropBox.LLY) * p.UserUnit
		if p.Rotate%180 != 0 {
			w, h = h, w
		}
		list = append(list, Page{Number: p.Number, Width: w, Height: h})
	}
	return list
}

// Warnings tells what was repaired or left out on opening.
func (d *Document) Warnings() []Warning {
	var list []Warning
	for _, text := range d.pdf.Warnings() {
		list = append(list, Warning{Text: text})
	}
	return append(list, d.props.warnings...)
}
