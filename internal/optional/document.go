// Package optional reads the optional content of a PDF file (ISO 32000-1,
// 8.11): its groups, which people know as layers, with their states and the
// order in which viewers show them, and the memberships that tie content to
// groups. It also holds the values that describe layers, pages and warnings to a
// caller; package layers gives them its own names.
package optional

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"hash/maphash"
	"io"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/failure"
	"github.com/sizeply/sizeply/layers/warning"
)

// Document is an open PDF file with its optional content (8.11.4). It never
// changes and is safe for concurrent use.
type Document struct {
	PDF    *pdf.Document
	Limits pdf.Limits
	// Password opened the file, and opens what is made of it.
	Password string
	// Config is the default configuration, D of the catalog's OCProperties; nil
	// where there is none.
	Config pdf.Dict
	// Groups are the listed groups in the file's order, then those that only
	// content names, by object number.
	Groups []*Group

	data        []byte // of the file
	part        string // what is left of the file, "" for all of it
	fingerprint *once[string]
	mark        *once[Mark]
	doubt       *once[doubts]
	present     bool // the catalog has OCProperties: else nothing is optional
	byRef       map[pdf.Ref]*Group
	lost        []string         // the names of groups without OCProperties
	doubtful    map[pdf.Ref]bool // objects in the list of groups that are none
	unsure      bool             // the list of groups is none, holds something else, or one twice
	warnings    []warning.Warning
}

// Open opens a file that is in memory, where it must not change any more. What
// is broken in its optional content is passed over. The errors are those of
// [pdf.OpenBytes].
func Open(ctx context.Context, data []byte, password string, limits pdf.Limits) (*Document, error) {
	limits = limits.ForFile(int64(len(data)))
	file, err := pdf.OpenBytes(ctx, data, pdf.Options{Password: password, Limits: limits})
	if err != nil {
		return nil, err
	}
	return read(ctx, &Document{PDF: file, Limits: limits, Password: password, data: data})
}

// Part is a document that has less than this one: file holds what is left, which part
// describes, and warnings are about what was taken out.
func (d *Document) Part(ctx context.Context, file *pdf.Document, part string, warnings []warning.Warning) (*Document,
	error) {
	return read(ctx, &Document{
		PDF: file, Limits: d.Limits, Password: d.Password, data: d.data, part: d.part + part, warnings: warnings,
	})
}

// IsPart reports whether the document is a Part of its file.
func (d *Document) IsPart() bool { return d.part != "" }

// read reads the optional content of a document.
func read(ctx context.Context, d *Document) (*Document, error) {
	d.byRef, d.doubtful = map[pdf.Ref]*Group{}, map[pdf.Ref]bool{}
	d.fingerprint, d.mark, d.doubt = newOnce[string](), newOnce[Mark](), newOnce[doubts]()
	d.readGroups(ctx)
	return d, ctx.Err()
}

// Fingerprint is the SHA-256 of the file, with what describes a part of it, in
// hexadecimal digits. It is worked out when it is first asked for. The error is the
// context's.
func (d *Document) Fingerprint(ctx context.Context) (string, error) {
	return d.fingerprint.get(ctx, func(ctx context.Context) (string, error) {
		sum := sha256.New()
		err := pdf.Hash(ctx, sum, d.data)
		_, _ = io.WriteString(sum, d.part)
		return hex.EncodeToString(sum.Sum(nil)), err
	})
}

// A Mark tells files apart within one run of the program, as a Fingerprint does
// anywhere, and is quicker to work out: the size of the file, and a hash whose seed
// nobody outside knows.
type Mark struct {
	Size int
	Sum  uint64
}

// markSeed is that of all marks.
var markSeed = maphash.MakeSeed()

// Mark gives that of the file. The error is the context's.
func (d *Document) Mark(ctx context.Context) (Mark, error) {
	return d.mark.get(ctx, func(ctx context.Context) (Mark, error) {
		var sum maphash.Hash
		sum.SetSeed(markSeed)
		err := pdf.Hash(ctx, &sum, d.data)
		_, _ = sum.WriteString(d.part)
		return Mark{len(d.data), sum.Sum64()}, err
	})
}

// Group returns the group that an object is, nil where it is none.
func (d *Document) Group(ref pdf.Ref) *Group { return d.byRef[ref] }

// Layers returns the layers in the order of Groups. The slice is the caller's
// own.
func (d *Document) Layers() []Layer {
	list := make([]Layer, len(d.Groups))
	for i, g := range d.Groups {
		list[i] = g.Layer
		list[i].Parents = slices.Clone(g.Layer.Parents)
		list[i].Intent = slices.Clone(g.Layer.Intent)
	}
	return list
}

// Pages returns the pages in order.
func (d *Document) Pages() []Page {
	var list []Page
	for _, p := range d.PDF.Pages() {
		w := float64(p.CropBox.URX-p.CropBox.LLX) * p.UserUnit
		h := float64(p.CropBox.URY-p.CropBox.LLY) * p.UserUnit
		if p.Rotate%180 != 0 {
			w, h = h, w
		}
		list = append(list, Page{Number: p.Number, Width: w, Height: h})
	}
	return list
}

// ContentSize estimates the decoded bytes of a page's contents.
func (d *Document) ContentSize(p pdf.Page) int64 { return pdf.ContentSize(d.PDF, p.Dict) }

// Warnings tells what was repaired or left out on opening.
func (d *Document) Warnings() []warning.Warning {
	var list []warning.Warning
	for _, text := range d.PDF.Warnings() {
		list = append(list, warning.New(warning.Repaired, nil, "%s", text))
	}
	return append(list, d.warnings...)
}

func (d *Document) warn(code warning.Code, about []string, format string, args ...any) {
	d.warnings = append(d.warnings, warning.New(code, about, format, args...))
}

// NoLayers says why there are no layers to choose from: [failure.ErrNoLayers], or a
// *[failure.LostLayersError]; nil where there are.
func (d *Document) NoLayers() error {
	switch {
	case len(d.Groups) > 0:
		return nil
	case len(d.lost) > 0:
		return &failure.LostLayersError{Names: d.lost}
	}
	return failure.ErrNoLayers
}
