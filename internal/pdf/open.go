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
	l := loader{ctx: ctx, data: data, lim: lim, password: opt.Password, warn: &warnings{}}
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
		return nil, &LimitError{LimitFileBytes, limit}
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

// open makes a document of what the cross-reference table lists. Where that
// fails, finds no page, or leaves out objects that something refers to, the
// objects are searched for in the bytes of the file; what is found counts where
// fewer references lead to nothing then.
func (l *loader) open(version string) (*Document, error) {
	doc, err := l.byTable(version)
	var broken *FormatError
	switch {
	case errors.As(err, &broken):
		return l.bySearch(version)
	case err != nil || l.lost == 0:
		return doc, err
	}
	missing, lost := l.dangling(doc), l.lost
	if missing == 0 {
		return doc, nil
	}
	found, err := l.bySearch(version)
	switch {
	case l.ctx.Err() != nil:
		return nil, l.ctx.Err()
	case err == nil && l.dangling(found) < missing:
		return found, nil
	}
	doc.warnings = append(doc.warnings, fmt.Sprintf("objects that the cross-reference table lists cannot be read: %d", lost))
	return doc, nil
}

// byTable makes a document of what the cross-reference table lists.
func (l *loader) byTable(version string) (*Document, error) {
	t, err := l.readTable()
	if err != nil {
		return nil, err
	}
	l.offsets, l.within = t.offsets, t.within
	if t.trailer.Encrypt != nil {
		if err := l.unlock(t.trailer); err != nil {
			return nil, err
		}
	}
	if err := l.load(); err != nil {
		return nil, err
	}
	l.lost += len(l.within)
	return l.document(t.trailer, version)
}

// dangling counts the references that lead to nothing, from what is reachable.
func (l *loader) dangling(d *Document) int {
	p := planner{src: d, number: map[Ref]Ref{}, missing: map[Ref]bool{}}
	p.ref(d.root)
	p.ref(d.info)
	for i := 0; i < len(p.order) && l.ctx.Err() == nil && p.object(d.Object(p.order[i]), 0) == nil; i++ {
	}
	return len(p.missing)
}
