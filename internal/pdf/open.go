package pdf

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
)

// Options says how to open a file. The zero value opens a file without a
// password under the default limits.
type Options struct {
	// Password opens an encrypted file. It is tried as the owner's, then as
	// the user's; then the empty one is.
	Password string
	// Limits bounds the work. Zero fields take the default.
	Limits Limits
}

// Open reads a whole PDF file from the start of in, wherever in stands. It
// gives ErrEmpty, ErrNotPDF, ErrPassword, an *EncryptionError, a *FormatError,
// a *LimitError, the error of ctx, or that of in, wrapped.
func Open(ctx context.Context, in io.ReadSeeker, opt Options) (*Document, error) {
	data, err := ReadAll(ctx, in, opt.Limits)
	if err != nil {
		return nil, err
	}
	return OpenBytes(ctx, data, opt)
}

// OpenBytes is Open for the bytes of a file, which must not change any more.
func OpenBytes(ctx context.Context, data []byte, opt Options) (*Document, error) {
	lim := opt.Limits.withDefaults()
	data, version, err := cutHeader(data)
	if err != nil {
		return nil, err
	}
	l := loader{ctx: ctx, data: data, lim: lim, password: opt.Password}
	doc, err := l.open(version)
	if err != nil {
		return nil, err
	}
	return doc, nil
}

// ReadAll reads the whole of a file, as Open does.
func ReadAll(ctx context.Context, in io.ReadSeeker, lim Limits) ([]byte, error) {
	limit := lim.withDefaults().FileBytes
	size, err := in.Seek(0, io.SeekEnd)
	if err == nil {
		_, err = in.Seek(0, io.SeekStart)
	}
	switch {
	case err != nil:
		return nil, fmt.Errorf("reading the file: %w", err)
	case size == 0:
		return nil, ErrEmpty
	case size > limit:
		return nil, &LimitError{"bytes of the file", limit}
	}
	data := make([]byte, size)
	if _, err := io.ReadFull(contextReader{ctx, in}, data); err != nil {
		return nil, fmt.Errorf("reading the file: %w", err)
	}
	return data, nil
}

// contextReader stops reading when its context ends.
type contextReader struct {
	ctx context.Context
	in  io.Reader
}

func (r contextReader) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.in.Read(p[:min(len(p), 1<<20)])
}

// cutHeader cuts what stands before the header (7.5.2), which offsets do not
// count, and reads the version. Viewers accept a header within the first 1024
// bytes (Annex H.3, note 13).
func cutHeader(data []byte) (rest []byte, version string, err error) {
	const mark = "%PDF-"
	i := bytes.Index(data[:min(len(data), 1024)], []byte(mark))
	if i < 0 {
		return nil, "", ErrNotPDF
	}
	data = data[i:]
	if v := data[len(mark):]; len(v) >= 3 && isDigit(v[0]) && v[1] == '.' && isDigit(v[2]) {
		return data, string(v[:3]), nil
	}
	return data, "1.4", nil
}

// open makes a document of what pdfcpu reads; an encrypted file, and a hybrid one
// that hides objects, is read here.
// Where that fails, finds no page, or leaves objects out, the objects are
// searched for in the bytes of the file; what is found counts where fewer
// references lead to nothing then.
func (l *loader) open(version string) (*Document, error) {
	l.warn = &warnings{}
	read := l.byLibrary
	if l.looksEncrypted() || l.hidesObjects() {
		read = l.byTable
	}
	doc, lost, err := read(version)
	var broken *FormatError
	switch {
	case err != nil && !errors.As(err, &broken):
		return nil, err
	case err == nil && (lost == 0 || dangling(doc) == 0):
		return doc, nil
	}
	found, err := l.bySearch(version)
	if doc != nil && (err != nil || dangling(found) >= dangling(doc)) {
		doc.warnings = append(doc.warnings, fmt.Sprintf("objects that the cross-reference table lists cannot be read: %d", lost))
		return doc, nil
	}
	return found, err
}

// looksEncrypted tells whether a trailer names an encryption dictionary, or may
// since the trailers cannot be read. They are never encrypted themselves.
func (l *loader) looksEncrypted() bool {
	if !bytes.Contains(l.data, []byte("/Encrypt")) {
		return false
	}
	t, err := l.readTable()
	return err != nil || t.trailer.Encrypt != nil
}

// hidesObjects tells whether a file is a hybrid one that hides objects.
func (l *loader) hidesObjects() bool {
	if !bytes.Contains(l.data, []byte("/XRefStm")) {
		return false
	}
	t, err := l.readTable()
	return err == nil && t.hides
}

// byTable makes a document of an encrypted file, or one that hides objects, by
// its cross-reference table.
func (l *loader) byTable(version string) (doc *Document, lost int, err error) {
	t, err := l.readTable()
	if err == nil && t.trailer.Encrypt == nil && !t.hides {
		err = errXref
	}
	if err != nil {
		return nil, 0, libraryError(err)
	}
	l.scanned, l.within = scanned{offsets: t.offsets}, t.within
	if t.trailer.Encrypt != nil {
		if err := l.unlock(t.trailer); err != nil {
			return nil, 0, err
		}
	}
	if err := l.load(); err != nil {
		return nil, 0, err
	}
	for num := range l.within {
		if l.objects[num] == nil {
			l.lost++
		}
	}
	doc, err = l.document(t.trailer, version)
	return doc, l.lost, err
}

// dangling counts the references that lead to nothing, from what is reachable.
func dangling(d *Document) int {
	p := planner{src: d, number: map[Ref]Ref{}, missing: map[Ref]bool{}}
	p.ref(d.root)
	p.ref(d.info)
	for i := 0; i < len(p.order); i++ {
		if p.object(d.Object(p.order[i]), 0) != nil {
			break
		}
	}
	return len(p.missing)
}

// bySearch loads what the scan found. Of several objects of one number the
// last in the file counts, one of an object stream standing where that does.
func (l *loader) bySearch(version string) (*Document, error) {
	l.warn = &warnings{}
	l.scanned, l.within, l.enc, l.encRef = scan(l.data), nil, nil, 0
	if err := l.load(); err != nil {
		return nil, err
	}
	t := l.foundTrailer()
	if t.Encrypt != nil { // all was read without decrypting it
		l.warn = &warnings{}
		if err := l.unlock(t); err != nil {
			return nil, err
		}
		if err := l.load(); err != nil {
			return nil, err
		}
		t = l.foundTrailer()
	}
	why := "the cross-reference table is broken"
	if l.slow {
		why = errSlow.Error()
	}
	l.warn.add("%s; objects were found by searching", why)
	return l.document(t, version)
}
