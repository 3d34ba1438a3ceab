package layers

import (
	"context"
	"io"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/isolate"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/steps"
	"github.com/sizeply/sizeply/layers/warning"
)

// OpenOptions says how to open a file. The zero value is the normal case. With 16
// MiB for the file and for a stream, 4 MiB for a page, 100,000 objects and 3 MiB for
// their text, opening, inspecting, isolating and checking one file takes a process
// less than 256 MiB, whatever the file.
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
	// MaxContentBytes bounds the decoded bytes of the contents of all pages
	// together, with forms as often as they have to be filtered. By default it is
	// 256 MiB, MaxPageBytes or 16 times the bytes of the file, whichever is most.
	MaxContentBytes int64
	// MaxObjects bounds the number of objects: 2,000,000 by default. Pages may
	// be a twentieth of that, and a hundred at least.
	MaxObjects int
	// MaxObjectBytes bounds the text of all objects but stream data, which grows
	// some twenty times in memory: 128 MiB by default.
	MaxObjectBytes int64
	// Cores bounds how many cores each call on the document works on, this one
	// included: all by default. With one, a call does all its work in the goroutine
	// that calls; with more, that many pages are read at a time, and that many
	// compressed. A service that works on several files at once gives each call one:
	// it takes least memory then. The result is the same on any number. The time of a
	// call is its context's.
	Cores int
}

// The values that describe a file.
type (
	// A Layer is one optional content group of a file (ISO 32000-1, 8.11.2.1). Its
	// Object number is its identity, since Names may repeat. On is the state in
	// which viewers open the file, Print that for printing; Listed is false where
	// the file's list leaves it out. Place and Parents say where viewers list it,
	// Intent, Usage and Locked what the file says besides. Inspect fills Uses, what
	// it holds on each page, and Within.
	Layer = optional.Layer
	// Usage is what a layer says of when to show it: View, Print and Export are
	// "ON", "OFF" or "".
	Usage = optional.Usage
	// Use is what a layer holds on one Page: how many Paths, Texts and Images, and
	// their Bounds.
	Use = optional.Use
	// Rect is a rectangle in points, 1/72 inch, from Left and Bottom to Right and
	// Top.
	Rect = optional.Rect
	// Page is one page of a file, by its Number from 1, with Width and Height in
	// points as it is seen. Size gives them in mm, Paper the sheet of that size,
	// Fits the sheets that hold it.
	Page = optional.Page
	// A Paper is a sheet or a roll that pages are printed on.
	Paper = optional.Paper
	// Warning is something that a user should know: the sentence is its Text, on a Page, 0 for
	// the whole file. Its Code says what it is about and does not change from version to version;
	// About holds what the sentence names, such as layers.
	Warning = warning.Warning
	// WarningCode sorts warnings.
	WarningCode = warning.Code
)

// Names returns the names of layers in their order.
func Names(list []Layer) []string {
	names := make([]string, len(list))
	for i, l := range list {
		names[i] = l.Name
	}
	return names
}

// Document is an open PDF file. It never changes and is safe for concurrent
// use. One that Open did not give is empty: what can fail gives ErrNotOpened.
type Document struct {
	file     *optional.Document
	isolator isolate.Isolator
}

// Open reads a PDF file from the start of in, which may be closed afterwards;
// io.NewSectionReader makes one of an io.ReaderAt. The file stays in memory. It
// gives ErrNotPDF, ErrEmpty, ErrPassword or an *EncryptionError for what cannot
// be opened at all, a *LimitError for what is too large, a *FormatError for a
// broken file, and wraps the errors of the reader and of the context.
func Open(ctx context.Context, in io.ReadSeeker, opt *OpenOptions) (*Document, error) {
	if opt == nil {
		opt = &OpenOptions{}
	}
	least := min(opt.MaxFileBytes, opt.MaxStreamBytes, opt.MaxPageBytes, opt.MaxContentBytes, int64(opt.MaxObjects),
		opt.MaxObjectBytes, int64(opt.Cores))
	if least < 0 {
		return nil, fault.Errorf(fault.ErrBadRequest,
			"a limit of OpenOptions is %d: it cannot be negative, and zero takes the default", least)
	}
	lim := pdf.Limits{
		FileBytes: opt.MaxFileBytes, StreamBytes: opt.MaxStreamBytes, PageBytes: opt.MaxPageBytes,
		ContentBytes: opt.MaxContentBytes, Objects: opt.MaxObjects, ObjectBytes: opt.MaxObjectBytes,
		Cores: opt.Cores,
	}
	end := steps.Begin(ctx, "read", 0)
	data, err := pdf.ReadAll(ctx, in, lim)
	if end(int64(len(data)), err); err != nil {
		return nil, err
	}
	end = steps.Begin(ctx, "open", int64(len(data)))
	file, err := optional.Open(ctx, data, opt.Password, lim)
	if end(0, err); err != nil {
		return nil, err
	}
	return &Document{file: file, isolator: isolate.Isolator{Document: file}}, nil
}

// A Trace is called when a step of a call begins, with its size in bytes where that is
// known, else 0. What it returns, which may be nil, is called when the step ends, with the
// size of what came of it, or 0, and the error that ended it. The steps of [Open] are
// "read" and "open", those of [Document.Isolate] "pages", "objects" and "write"; "check",
// "verify", "inspect" and "lines" are [Report.Check], [Verify], [Document.Inspect] and
// [Document.Lines]. A later version may have others.
type Trace = steps.Trace

// WithTrace gives a context by which the calls of this package, and of those that build
// on it, tell trace what they are at, for the spans of a service or to see where time
// goes. It is called in the goroutine of the call. Nothing is lost without it.
func WithTrace(ctx context.Context, trace Trace) context.Context { return steps.With(ctx, trace) }

// Bytes gives a reader of a file that is in memory already: [Open], [Report.Check] and
// [Verify] then use these bytes and make no copy. They must not be changed for as long
// as a document that was opened from them is used.
func Bytes(file []byte) io.ReadSeeker { return pdf.NewBytes(file) }

// opened gives ErrNotOpened for a document that Open did not give.
func (d *Document) opened() error {
	if d == nil || d.file == nil {
		return ErrNotOpened
	}
	return nil
}

// KeepPages gives the document with only some of its pages, by number from 1: in their
// order in the file, and numbered anew. What leads to other pages alone goes with them:
// links, outline items, names of destinations, labels, form fields, and layers that
// nothing else is in. Layers keep their object numbers; the Fingerprint is another. The
// document itself stays as it is. It gives a *PageError for a page that is not there,
// and for none at all.
func (d *Document) KeepPages(ctx context.Context, numbers []int) (*Document, error) {
	if err := d.opened(); err != nil {
		return nil, err
	}
	file, err := isolate.KeepPages(ctx, d.file, numbers)
	if err != nil {
		return nil, err
	}
	return &Document{file: file, isolator: isolate.Isolator{Document: file}}, nil
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
	// MayChange is true where the file may be isolated: its permissions
	// let it be changed, or the owner password opened it.
	MayChange bool `json:"mayChange"`
}

// Encryption tells how the file is encrypted, nil where it is not.
func (d *Document) Encryption() *Encryption {
	if d.opened() != nil {
		return nil
	}
	e, ok := d.file.PDF.Encryption()
	if !ok {
		return nil
	}
	opened := map[pdf.Credential]string{pdf.UserPassword: "user", pdf.OwnerPassword: "owner"}[e.Opened]
	return &Encryption{Cipher: e.Cipher, Bits: e.Bits, Opened: opened, MayChange: e.MayChange}
}

// Layers returns the layers: the listed ones in the file's order, then those
// that only content names, by object number. The slice is the caller's own.
func (d *Document) Layers() []Layer {
	if d.opened() != nil {
		return nil
	}
	return d.file.Layers()
}

// NoLayers says why there are no layers to choose from: ErrNoLayers, or a
// *LostLayersError; nil where there are.
func (d *Document) NoLayers() error {
	if err := d.opened(); err != nil {
		return err
	}
	return d.file.NoLayers()
}

// Pages returns the pages in order.
func (d *Document) Pages() []Page {
	if d.opened() != nil {
		return nil
	}
	return d.file.Pages()
}

// Boxes are the boundaries of a page (7.7.3.3), inherited ones too.
type Boxes struct {
	// Media and Crop are left, bottom, right and top in units of the page. The
	// crop box is cut to the media box, and is that where there is none.
	Media, Crop [4]float64
	// Rotate is by how many degrees the page is turned clockwise: 0, 90, 180 or
	// 270.
	Rotate int
	// UserUnit is the size of a unit in 1/72 inch.
	UserUnit float64
}

// Boxes returns the boundaries of the pages in order.
func (d *Document) Boxes() []Boxes {
	var list []Boxes
	if d.opened() != nil {
		return nil
	}
	for _, p := range d.file.PDF.Pages() {
		list = append(list, Boxes{corners(p.MediaBox), corners(p.CropBox), p.Rotate, p.UserUnit})
	}
	return list
}

func corners(r pdf.Rect) [4]float64 { return [4]float64{r.LLX, r.LLY, r.URX, r.URY} }

// Warnings tells what was repaired or left out on opening.
func (d *Document) Warnings() []Warning {
	if d.opened() != nil {
		return nil
	}
	return d.file.Warnings()
}
