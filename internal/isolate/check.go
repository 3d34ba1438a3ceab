package isolate

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/parallel"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/internal/steps"
	"github.com/sizeply/sizeply/internal/survey"
	"github.com/sizeply/sizeply/layers/failure"
)

// What may be wrong with a result, besides its layers, pages and resources.
var (
	ErrNotMade     = fault.New(fault.ErrBadRequest, "the report is not one that Isolate gave")
	ErrWritten     = errors.New("the bytes of the result are not those that were written")
	ErrBytes       = errors.New("the result is not what isolating this selection gives")
	ErrUnreachable = errors.New("the result holds objects that nothing refers to")
	ErrHidden      = errors.New("hidden content is left")
	ErrUnread      = errors.New("content cannot be read")
)

// written is what Isolate noted of the file that it wrote.
type written struct {
	original *optional.Document
	layers   []string         // see layerStates
	states   []optional.Truth // of layers: True or Undecided
	filtered bool             // something was removed, so that pages were read
	missing  map[resources.Name]bool
	sum      [sha256.Size]byte // of all bytes
	size     int64             // how many they are
}

// written notes what was done.
func (e *editor) written(res *rewrite.Result, to *measured) *written {
	w := &written{
		original: e.doc, layers: e.layerStates(), filtered: !e.keepsAll(), missing: res.Missing,
		sum: [sha256.Size]byte(to.sum.Sum(nil)), size: to.size,
	}
	for _, g := range e.layers() {
		w.states = append(w.states, e.states[g.Ref])
	}
	return w
}

// layerStates describes the layers that are kept, with their states.
func (e *editor) layerStates() (list []string) {
	for _, g := range e.layers() {
		list = append(list, fmt.Sprintf("%q, on: %t", g.Layer.Name, e.printed(g.Ref) == optional.True))
	}
	return list
}

// Check opens the file that Isolate wrote afresh and checks it without
// isolating a second time: every byte is the one written; the layers that are
// kept are there in their states and no others; every page is there with its
// boxes; every object is reachable; all content can be decoded and none of it is
// hidden while the chosen layers are on; every resource that it names is there,
// unless it was missing in the original. It gives the first thing that does
// not hold, and is for the program that isolates; Verify needs no report, and
// holds a file of unknown origin against the original.
func (r *Report) Check(ctx context.Context, result io.ReadSeeker) error {
	if r.written == nil {
		return ErrNotMade
	}
	end := steps.Begin(ctx, "check", r.written.size)
	err := r.check(ctx, result)
	end(0, err)
	return err
}

func (r *Report) check(ctx context.Context, result io.ReadSeeker) error {
	data, err := pdf.ReadAll(ctx, result, r.written.original.Limits)
	if err != nil {
		return fmt.Errorf("reading the result: %w", err)
	}
	sum := sha256.New()
	parallel.Both(r.written.original.Limits.Cores, func() { err = CheckFile(ctx, r, data) }, func() {
		_ = pdf.Hash(ctx, sum, data)
	})
	if [sha256.Size]byte(sum.Sum(nil)) != r.written.sum && ctx.Err() == nil {
		return &failure.CheckError{Own: true, Err: ErrWritten} // whatever else is wrong
	}
	return err
}

// CheckFile checks all that [Report.Check] does but that the bytes are those
// that were written.
func CheckFile(ctx context.Context, r *Report, data []byte) error {
	return notAsItShouldBe(true, r.written.check(ctx, data))
}

// notAsItShouldBe makes a *failure.CheckError of what is wrong with a file, and
// leaves the end of a context and limits as they are. What kind of error a reader
// gave of the file tells nothing about who has to mend it.
func notAsItShouldBe(own bool, err error) error {
	switch {
	case err == nil, errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded),
		errors.Is(err, fault.ErrTooLarge):
		return err
	case fault.Sorted(err):
		err = errors.New(err.Error())
	}
	return &failure.CheckError{Own: own, Err: err}
}

// check holds a file against what was noted of it.
func (w *written) check(ctx context.Context, data []byte) error {
	got, err := optional.Open(ctx, data, w.original.Password, w.original.Limits)
	if err != nil {
		return fmt.Errorf("opening the result: %w", err)
	}
	if err := checkLayers(w.layers, got); err != nil {
		return err
	}
	if err := checkGeometry(w.original, got); err != nil {
		return err
	}
	if err := checkReachable(ctx, got); err != nil || !w.filtered {
		return err
	}
	return w.checkContent(ctx, got)
}

// Verify holds a result against the document and a selection: see Verify of
// package layers.
func (i *Isolator) Verify(ctx context.Context, result io.ReadSeeker, sel Selection, opt *Options) error {
	doc := i.Document
	e, err := i.begin(ctx, sel, opt)
	if err != nil {
		return err
	}
	done := e.opt.begin("verify", 2*len(doc.PDF.Pages()))
	data, err := pdf.ReadAll(ctx, result, doc.Limits)
	if err != nil {
		return fmt.Errorf("reading the result: %w", err)
	}
	got, err := optional.Open(ctx, data, doc.Password, doc.Limits)
	if err != nil {
		return notAsItShouldBe(false, fmt.Errorf("opening the result: %w", err))
	}
	if err := checkLayers(e.layerStates(), got); err != nil {
		return notAsItShouldBe(false, err)
	}
	res, err := e.apply(ctx, i.KeepState, observer{survey.Watch(), survey.Watch(), done, nil})
	if err == nil {
		_, err = e.residue(res)
	}
	if err != nil {
		return err
	}
	return notAsItShouldBe(false, e.compare(ctx, got, data, done))
}

// compare holds a result, with its bytes, against what isolating gave. done is called
// after each page.
func (e *editor) compare(ctx context.Context, got *optional.Document, data []byte, done func()) error {
	doc := e.doc
	if err := checkGeometry(doc, got); err != nil {
		return err
	}
	now := got.PDF.Pages()
	for i, p := range doc.PDF.Pages() {
		want, err := pdf.PageContent(ctx, e.edit, e.page(p), doc.Limits)
		if err != nil {
			return fmt.Errorf("page %d: %w", p.Number, err)
		}
		have, err := pdf.PageContent(ctx, got.PDF, now[i].Dict, doc.Limits)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err != nil || !bytes.Equal(want.Data, have.Data) {
			return fmt.Errorf("page %d: its content is not what it should be", p.Number)
		}
	}
	if err := checkReachable(ctx, got); err != nil {
		return err
	}
	if err := e.checkHidden(ctx, got, done); err != nil {
		return err
	}
	in := bufio.NewReader(bytes.NewReader(data))
	if _, err := e.edit.Write(ctx, &comparer{in: in}); err != nil {
		return err
	}
	if _, err := in.ReadByte(); err != io.EOF {
		return ErrBytes
	}
	return nil
}

// checkLayers compares the layers and their states.
func checkLayers(want []string, got *optional.Document) error {
	var have []string
	for _, g := range got.Groups {
		if g.Layer.On != g.Layer.Print || !g.Layer.Listed {
			return fmt.Errorf("layer %q is not shown as it is printed, or not listed", g.Layer.Name)
		}
		have = append(have, fmt.Sprintf("%q, on: %t", g.Layer.Name, g.Layer.On))
	}
	if !slices.Equal(want, have) {
		return fmt.Errorf("the layers are %v, not %v", have, want)
	}
	return nil
}

// checkGeometry compares how many pages there are, and their geometry.
func checkGeometry(original, got *optional.Document) error {
	was, now := original.PDF.Pages(), got.PDF.Pages()
	if len(was) != len(now) {
		return fmt.Errorf("there are %d pages, not %d", len(now), len(was))
	}
	for i := range was {
		a, b := was[i], now[i]
		if a.MediaBox != b.MediaBox || a.CropBox != b.CropBox || a.Rotate != b.Rotate || a.UserUnit != b.UserUnit {
			return fmt.Errorf("page %d: its boxes, rotation or unit are not as they were", a.Number)
		}
	}
	return nil
}

// checkReachable writes the result once more: a file in which everything is
// reachable keeps all its objects.
func checkReachable(ctx context.Context, got *optional.Document) error {
	numbers, err := got.PDF.Edit().Write(ctx, io.Discard)
	if err == nil && len(numbers) != len(got.PDF.Refs()) {
		return ErrUnreachable
	}
	return err
}

// checkHidden isolates the result once more, with every layer as it is: nothing
// may be left that no state of the layers shows. done is called after each page.
func (e *editor) checkHidden(ctx context.Context, got *optional.Document, done func()) error {
	if e.keepsAll() {
		return nil
	}
	var sel Selection
	for i := range got.Groups {
		sel.Unchanged = append(sel.Unchanged, i)
	}
	again, err := newDecisions(ctx, got, sel, false)
	if err != nil {
		return err
	}
	again.lines = e.lines
	opt := rewrite.Options{Limits: got.Limits, Observer: observer{survey.Watch(), survey.Watch(), done, nil}}
	res, err := rewrite.Run(ctx, again.edit, again, opt)
	if err != nil {
		return fmt.Errorf("reading the result: %w", err)
	}
	for _, p := range res.Pages {
		if p.Removed > 0 {
			return fmt.Errorf("page %d: %w", p.Number, ErrHidden)
		}
	}
	return nil
}

// comparer is a writer that compares with a reader.
type comparer struct {
	in  io.Reader
	buf []byte
}

func (c *comparer) Write(p []byte) (int, error) {
	c.buf = slices.Grow(c.buf[:0], len(p))[:len(p)]
	if _, err := io.ReadFull(c.in, c.buf); err != nil || !bytes.Equal(c.buf, p) {
		return 0, ErrBytes
	}
	return len(p), nil
}

// checkContent checks all content streams of the result, from the pages and
// their annotations on, then those that no page draws.
func (w *written) checkContent(ctx context.Context, got *optional.Document) error {
	var sel Selection
	for i, t := range w.states {
		if t == optional.True {
			sel.Layers = append(sel.Layers, i)
		} else {
			sel.Unchanged = append(sel.Unchanged, i)
		}
	}
	states, err := newDecisions(ctx, got, sel, false)
	if err != nil {
		return err
	}
	named, err := readNames(ctx, got)
	if err != nil {
		return err
	}
	var wrong error // the first thing that is
	check := func(oc pdf.Object) {
		if oc != nil && wrong == nil && states.isHidden(oc) {
			wrong = ErrHidden
		}
	}
	seen := map[pdf.Ref]bool{}
	var root pdf.Ref // which nothing draws
	// What the content of an object, with all that it draws, takes from outside.
	walk := resources.NewWalk(got.PDF, func(n resources.Node, parts []needs) needs {
		seen[n.Ref] = true
		if (n.Role == resources.RoleForm || n.Role == resources.RoleImage) && n.Ref != root {
			check(n.Dict["OC"])
		}
		dict, left := pdf.AsDict(got.PDF, n.Resources), needs{}
		for _, part := range append(parts, named[n.Ref]) {
			for name, optional := range part {
				v := pdf.AsDict(got.PDF, dict[name.Category])[name.Name]
				switch {
				case pdf.Resolve(got.PDF, v) == nil:
					left[name] = left[name] || optional
				case optional:
					check(v)
				}
			}
		}
		return left
	})
	checkRoot := func(left needs) {
		for name := range left {
			if !w.missing[name] && wrong == nil {
				wrong = fmt.Errorf("its %s %q is missing", name.Category, string(name.Name))
			}
		}
	}
	for _, p := range got.PDF.Pages() {
		checkRoot(walk.Page(p))
		for _, o := range pdf.AsArray(got.PDF, p.Dict["Annots"]) {
			check(pdf.AsDict(got.PDF, o)["OC"])
		}
		if wrong != nil {
			return fmt.Errorf("page %d: %w", p.Number, wrong)
		}
	}
	for _, root = range got.PDF.Refs() {
		if st := pdf.AsStream(got.PDF, root); st != nil && !seen[root] && resources.IsDrawing(got.PDF, st.Dict) {
			checkRoot(walk.Drawing(root))
		}
	}
	return wrong
}

// needs are the resources that content names; true for those that begin
// optional content (8.11.3.2).
type needs map[resources.Name]bool

// stream is a content stream to be read: that of an object, or the contents of a
// page.
type stream struct {
	ref       pdf.Ref
	resources pdf.Object
	size      int64 // of what decode gives, about
	decode    func() (pdf.Content, error)
}

// readNames reads what every content stream of a document names: pages, forms,
// cells of patterns, glyphs.
func readNames(ctx context.Context, doc *optional.Document) (map[pdf.Ref]needs, error) {
	var list []stream
	seen := map[pdf.Ref]bool{0: true}
	add := func(s stream) {
		if !seen[s.ref] {
			seen[s.ref] = true
			list = append(list, s)
		}
	}
	for _, p := range doc.PDF.Pages() {
		add(stream{p.Ref, p.Resources, doc.ContentSize(p), func() (pdf.Content, error) {
			c, err := pdf.PageContent(ctx, doc.PDF, p.Dict, doc.Limits)
			if err != nil {
				return c, fmt.Errorf("page %d: %w", p.Number, err)
			}
			if len(c.Faults) > 0 {
				return c, fmt.Errorf("page %d: %w: %s", p.Number, ErrUnread, c.Faults[0])
			}
			return c, nil
		}})
	}
	addObject := func(o, resources pdf.Object) {
		ref, _ := o.(pdf.Ref)
		st := pdf.AsStream(doc.PDF, o)
		if st == nil {
			return
		}
		add(stream{ref, resources, 4 * int64(len(st.Raw)), func() (c pdf.Content, err error) {
			c.Data, err = pdf.Decode(ctx, doc.PDF, st, doc.Limits.StreamBytes)
			if ctx.Err() != nil {
				return c, ctx.Err()
			}
			if err != nil {
				return c, fmt.Errorf("object %d: %w: %v", ref, ErrUnread, err)
			}
			return c, nil
		}})
	}
	for _, ref := range doc.PDF.Refs() {
		switch o := doc.PDF.Object(ref).(type) {
		case *pdf.Stream:
			if resources.IsDrawing(doc.PDF, o.Dict) {
				addObject(ref, o.Dict["Resources"])
			}
		case pdf.Dict:
			for _, glyph := range pdf.AsDict(doc.PDF, o["CharProcs"]) {
				addObject(glyph, o["Resources"])
			}
		}
	}
	size := func(s stream) int64 { return s.size }
	found, err := parallel.Map(ctx, list, doc.Limits.Cores, size,
		func(s stream) (needs, error) { return s.names(ctx, doc.PDF) })
	if err != nil {
		return nil, err
	}
	named := make(map[pdf.Ref]needs, len(list))
	for i, s := range list {
		named[s.ref] = found[i]
	}
	return named, nil
}

// names decodes a stream and gives what it names.
func (s stream) names(ctx context.Context, src pdf.Objects) (needs, error) {
	c, err := s.decode()
	if err != nil {
		return nil, err
	}
	defer c.Share(1).Done()
	found := needs{}
	scan := content.NewScanner(c.Data).Within(ctx)
	spaces := pdf.AsDict(src, pdf.AsDict(src, s.resources)["ColorSpace"])
	scan.ColourComponents = func(name string) (int, bool) { return resources.Components(src, spaces[pdf.Name(name)]) }
	var op content.Operation
	for scan.Next(&op) {
		if n, ok := resources.NamedBy(&op); ok {
			tag := ""
			if op.Op == content.OpBeginMarkedProps {
				tag, _ = op.Name(0)
			}
			found[n] = found[n] || tag == "OC"
		}
		if op.Op.Class() == content.ClassPath {
			scan.SkipPath() // it names nothing
		}
	}
	return found, ctx.Err()
}
