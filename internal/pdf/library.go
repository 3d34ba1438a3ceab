package pdf

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// byLibrary makes a document of what pdfcpu reads. lost is how many objects
// that the cross-reference table lists pdfcpu could not read: it leaves them
// out without a word.
func (l *loader) byLibrary(version string) (doc *Document, lost int, err error) {
	file := newLibraryReader(l.data, cmp.Or(l.large, largeStream))
	ctx, odd, err := readLibrary(l.ctx, file, l.lim)
	switch {
	case isEncryptionError(err), err == nil && isEncrypted(ctx):
		return l.byTable(version)
	case err != nil:
		l.slow = errors.Is(err, errSlow)
		return nil, 0, libraryError(err)
	}
	if len(ctx.Table) > l.lim.Objects {
		return nil, 0, &LimitError{"objects", int64(l.lim.Objects)}
	}
	l.rereadPatched(ctx, file.patches, odd)
	if lost, err = l.convertAll(ctx, odd); err != nil {
		return nil, 0, err
	}
	t := trailer{}
	if ctx.Root != nil {
		t.Root = Ref(ctx.Root.ObjectNumber)
	}
	if ctx.Info != nil {
		t.Info = Ref(ctx.Info.ObjectNumber)
	} else { // pdfcpu overlooks one that is written in place
		eachTrailer(l.data, func(d Dict) { t.Info = d["Info"] })
	}
	if len(ctx.ID) > 0 {
		c := converter{left: 1 << 16}
		t.ID, _ = c.object(ctx.ID[0], 0).(String)
	}
	doc, err = l.document(t, version)
	return doc, lost, err
}

// errSlow says that pdfcpu took longer than files take that are not made to
// keep it busy: some of its loops take the square of the length of an object.
var errSlow = errors.New("reading the file by its cross-reference table takes too long")

// readLibrary lets pdfcpu read the file. It returns when c ends, or the time is
// over (errSlow), even where pdfcpu does not look at it; what runs on then ends
// by itself and touches nothing but data, which nobody changes. A panic is an
// error. odd are the objects that resolveLazy read itself.
func readLibrary(c context.Context, file *libraryReader, lim Limits) (ctx *model.Context, odd map[Ref]Object, err error) {
	c, cancel := context.WithTimeoutCause(c, lim.timeFor(len(file.data)), errSlow)
	defer cancel()
	type answer struct {
		ctx *model.Context
		odd map[Ref]Object
		err error
	}
	done := make(chan answer, 1)
	go func() {
		var a answer
		defer func() {
			if r := recover(); r != nil {
				a = answer{nil, nil, fmt.Errorf("reading the file: %v", r)}
			}
			done <- a
		}()
		in := &meter{ctx: c, ReadSeeker: file, left: 64<<20 + 64*len(file.data)}
		a.ctx, a.err = pdfcpu.ReadWithContext(c, in, configuration(len(file.data), lim))
		if a.err == nil {
			a.odd = resolveLazy(a.ctx)
		}
	}()
	select {
	case a := <-done:
		if c.Err() != nil {
			return nil, nil, context.Cause(c)
		}
		return a.ctx, a.odd, a.err
	case <-c.Done():
		return nil, nil, context.Cause(c)
	}
}

// configuration is built here, since pdfcpu's default writes a folder of
// settings into the user's. Relaxed validation selects the parser's repairs.
func configuration(size int, lim Limits) *model.Configuration {
	limits := model.DefaultResourceLimits()
	limits.MaxStreamBytes = int64(size) + 1
	limits.MaxDecodeBytes = lim.StreamBytes
	limits.MaxObjectCount = maxNumber + 1
	limits.MaxXRefEntries = maxNumber + 1
	return &model.Configuration{Reader15: true, ValidationMode: model.ValidationRelaxed, Limits: limits}
}

// resolveLazy reads the objects of object streams, which pdfcpu leaves as text
// until they are asked for. Those that pdfcpu does not read right are read here:
// hexadecimal strings with white space within, and dictionaries with a Length,
// which it refuses, taking them for streams. One that cannot be read is null.
func resolveLazy(ctx *model.Context) map[Ref]Object {
	odd := map[Ref]Object{}
	for nr, e := range ctx.Table {
		lazy, ok := e.Object.(types.LazyObjectStreamObject)
		if !ok {
			continue
		}
		text, broken := lazy.GetData()
		if broken != nil || !hasBrokenHex(text) {
			if _, err := ctx.Dereference(*types.NewIndirectRef(nr, 0)); err == nil {
				continue
			}
		}
		if e.Object = nil; broken != nil {
			continue
		}
		p := parser{lexer{data: text}}
		if o, fault := p.object(0); fault == nil && o != nil {
			odd[Ref(nr)] = o
		}
	}
	return odd
}

var errMeter = errors.New("its parts lead to the same bytes too often")

// meter bounds how many bytes are read through it: tables whose entries all
// lead to one big object would be read for hours. Nothing is read through it
// once ctx has ended.
type meter struct {
	ctx context.Context
	io.ReadSeeker
	left int
}

func (m *meter) Read(p []byte) (int, error) {
	if err := m.ctx.Err(); err != nil {
		return 0, err
	}
	if m.left < 0 {
		return 0, errMeter
	}
	n, err := m.ReadSeeker.Read(p)
	m.left -= n
	return n, err
}

// isEncryptionError tells the errors that pdfcpu gives for encrypted files.
func isEncryptionError(err error) bool {
	return errors.Is(err, pdfcpu.ErrWrongPassword) || errors.Is(err, pdfcpu.ErrUnsupportedEncryptionFeature) ||
		errors.Is(err, pdfcpu.ErrMalformedEncryption)
}

// libraryError sorts the errors of pdfcpu into ours. Those of the context are
// final; all others are a *FormatError, and the file may still be readable by
// searching.
func libraryError(err error) error {
	if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return &FormatError{Reason: err.Error()}
}

// isEncrypted tells whether a file is encrypted that did not look so.
func isEncrypted(ctx *model.Context) bool {
	if ctx.Encrypt != nil {
		return true
	}
	for _, e := range ctx.Table {
		if x, ok := e.Object.(types.XRefStreamDict); ok && x.Dict["Encrypt"] != nil {
			return true
		}
	}
	return false
}

// eachTrailer calls f for each trailer dictionary (7.5.5), in file order.
func eachTrailer(data []byte, f func(Dict)) {
	word := []byte("trailer")
	for at := 0; ; {
		i := bytes.Index(data[at:], word)
		if i < 0 {
			return
		}
		at += i + len(word)
		if d := dictAt(data, at); d != nil {
			f(d)
		}
	}
}
