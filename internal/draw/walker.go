// Package draw walks the content of pages and yields every mark that they make:
// what is painted, where on the page, in which graphics state, inside of which
// layers. It is the only place that knows how content streams, forms, appearances
// of annotations, fonts and optional content come together on a page. Begin at
// [NewSource].
//
// All geometry is in points (1/72 inch, UserUnit applied) with the origin at the
// lower left corner of the crop box, before rotation. Clauses are those of ISO
// 32000-1.
package draw

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"sync"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

const (
	// maxFormDepth bounds forms within forms.
	maxFormDepth = 64
	// formCost is how many operations drawing a form counts for.
	formCost = 100
	// operationBytes is how many bytes of content count for one operation more: white
	// space, comments and paths that nobody wants cost time too.
	operationBytes = 256
	// maxCached bounds the bytes of forms that a Source remembers.
	maxCached = 64 << 20
)

// ErrTooMuch says that a page has more operations than it may.
var ErrTooMuch = errors.New("the pages draw more than can be counted; the figures are lower bounds")

// ErrStop, given back for a mark, ends the page without an error.
var ErrStop = errors.New("stop")

// A Source is a document whose pages are walked. It decodes each form once, and
// serves any number of walkers at the same time.
type Source struct {
	doc     *optional.Document
	trim    func(context.Context, []byte) []byte
	library *font.Library

	lock  sync.Mutex
	forms map[*pdf.Stream]*form
	bytes int // of the forms that are remembered
}

// form is a form that is decoded by the first walker that needs it.
type form struct {
	once  sync.Once
	data  []byte
	fault error // of which a part cannot be read
	err   error
}

// NewSource makes a source. trim, where it is not nil, takes out of the contents
// of pages and forms what nobody looks at; it may return what it was given.
func NewSource(doc *optional.Document, trim func(context.Context, []byte) []byte) *Source {
	if trim == nil {
		trim = func(_ context.Context, data []byte) []byte { return data }
	}
	return &Source{doc: doc, trim: trim, library: font.NewLibrary(doc.PDF), forms: map[*pdf.Stream]*form{}}
}

// content gives that of a form, of a damaged one what can be read, and what of it
// cannot be. It is not to be changed.
func (s *Source) content(ctx context.Context, st *pdf.Stream) (data []byte, fault, err error) {
	s.lock.Lock()
	f := s.forms[st]
	if f == nil {
		f = &form{}
		s.forms[st] = f
	}
	s.lock.Unlock()
	f.once.Do(func() {
		data, fault, err := pdf.DecodeContent(ctx, s.doc.PDF, st, s.doc.Limits.StreamBytes)
		if err != nil {
			f.err = fmt.Errorf("a form cannot be read: %w", err)
			return
		}
		if fault != nil {
			f.fault = fmt.Errorf("a form cannot be read whole (%w); download the file again", fault)
		}
		f.data = s.trim(ctx, data)
		s.lock.Lock()
		defer s.lock.Unlock()
		if s.bytes+len(f.data) > maxCached {
			delete(s.forms, st)
			return
		}
		s.bytes += len(f.data)
	})
	return f.data, f.fault, f.err
}

// Options say which marks a walker yields, and what it works out of them.
type Options struct {
	// States, where there are any, leave out what they hide.
	States optional.States
	// Annotations draws the appearances of annotations too.
	Annotations bool
	// Straight asks paths for their subpaths of straight lines.
	Straight bool
	// Styles follows what the styles of marks need, and measures paths.
	Styles bool
}

// A Walker goes through pages, one after another, and remembers the fonts that it
// has met. It is for one goroutine at a time.
type Walker struct {
	*Source
	options Options
	fonts   map[string]*fonts // by the names that stand in the graphics state
	members map[pdf.Ref]*membership

	ctx         context.Context
	count, most int // operations of the page so far, and how many there may be
	yield       func(*Mark) error
	mark        Mark
	place       place
	open        map[pdf.Ref]bool     // the groups of place
	active      map[*pdf.Stream]bool // forms being drawn
	fault       error                // of a form that was drawn
	streams     []*stream            // by depth
}

// fonts are the two readings of a font.
type fonts struct {
	font    *font.Font
	decoder *font.Decoder
}

// place is where in the optional content a walker is.
type place struct {
	groups []pdf.Ref // of the open sections, outermost first, each once
	hidden bool      // what is drawn is left out
}

// Walker makes one.
func (s *Source) Walker(o Options) *Walker {
	return &Walker{Source: s, options: o, fonts: map[string]*fonts{}, members: map[pdf.Ref]*membership{}}
}

// Page walks a page with that content and gives every mark to yield, as long as
// that returns no error. It returns the number of operations that it went
// through, [ErrTooMuch] where there are more than most, and the errors of ctx, of
// yield and of forms that cannot be read, or not whole.
func (w *Walker) Page(
	ctx context.Context, p pdf.Page, data []byte, most int, yield func(*Mark) error,
) (count int, err error) {
	w.ctx, w.count, w.most, w.yield = ctx, 0, most, yield
	w.place, w.active = place{groups: w.place.groups[:0]}, map[*pdf.Stream]bool{}
	w.open, w.fault = map[pdf.Ref]bool{}, nil
	w.mark = Mark{Page: p.Number}
	if w.options.Styles {
		w.mark.Painter = paint.New(w.doc.PDF)
	}
	ctm := paint.PageMatrix(p)
	crop := content.NewRect(p.CropBox.LLX, p.CropBox.LLY, p.CropBox.URX, p.CropBox.URY).Transform(ctm)
	s := w.stream(0, content.NewState(ctm, crop), resources.NewScope(w.doc.PDF, p.Resources, nil))
	err = s.run(w.trim(ctx, data))
	w.leave(place{}) // an unclosed section ends with the page
	if err == nil && w.options.Annotations {
		err = w.annotations(p, ctm, crop)
	}
	if errors.Is(err, ErrStop) {
		return w.count, nil
	}
	return w.count, cmp.Or(err, w.fault)
}

// spend counts operations, and tells of a reason to stop.
func (w *Walker) spend(n int) error {
	before := w.count
	if w.count += n; w.count > w.most {
		return ErrTooMuch
	}
	if w.count/4096 > before/4096 {
		return w.ctx.Err()
	}
	return nil
}

// membership is what an OC entry or property list says of what is within.
type membership struct {
	groups []pdf.Ref // that it names, each once
	hidden bool
	cost   int // what entering it counts for: the groups that it names, however often
}

// membership reads one, that of an object once; nil where it is no optional content.
func (w *Walker) membership(oc pdf.Object) (m *membership) {
	ref, indirect := oc.(pdf.Ref)
	if m, known := w.members[ref]; known && indirect {
		return m
	}
	if read, _ := w.doc.Membership(oc); read != nil {
		states := w.options.States
		m = &membership{hidden: states != nil && read.Eval(states) == optional.False}
		seen := map[pdf.Ref]bool{}
		read.Each(func(ref pdf.Ref) {
			m.cost++
			if !seen[ref] {
				seen[ref] = true
				m.groups = append(m.groups, ref)
			}
		})
	}
	if indirect {
		w.members[ref] = m
	}
	return m
}

// enter opens the groups of an OC entry or property list, and returns the place to
// leave it for.
func (w *Walker) enter(oc pdf.Object) (before place) {
	before = w.place
	m := w.membership(oc)
	if m == nil {
		return before
	}
	w.count += m.cost
	w.place.hidden = w.place.hidden || m.hidden
	for _, ref := range m.groups {
		if !w.open[ref] {
			w.open[ref] = true
			w.place.groups = append(w.place.groups, ref)
		}
	}
	return before
}

// leave goes back to a place that was left by entering.
func (w *Walker) leave(before place) {
	for _, ref := range w.place.groups[len(before.groups):] {
		delete(w.open, ref)
	}
	before.groups = w.place.groups[:len(before.groups)]
	w.place = before
}

// wanted reports whether marks are yielded where the walker is.
func (w *Walker) wanted() bool {
	return !w.place.hidden
}

// give yields a mark, where it is wanted.
func (w *Walker) give(kind Kind, state *content.State, bounds content.Rect) error {
	if !w.wanted() {
		return nil
	}
	if err := w.spend(len(w.place.groups)); err != nil { // each of them is told of the mark
		return err
	}
	m := &w.mark
	m.Kind, m.State, m.Bounds, m.Groups = kind, state, bounds, w.place.groups
	return w.yield(m)
}

// annotations draws the appearances of a page's annotations (12.5.5).
func (w *Walker) annotations(p pdf.Page, ctm content.Matrix, crop content.Rect) error {
	src := w.doc.PDF
	for _, o := range pdf.AsArray(src, p.Dict["Annots"]) {
		a := pdf.AsDict(src, o)
		if a == nil {
			continue
		}
		// The appearance that is shown is N, or what AS chooses from it.
		n := pdf.AsDict(src, a["AP"])["N"]
		st := pdf.AsStream(src, n)
		if st == nil {
			st = pdf.AsStream(src, pdf.AsDict(src, n)[pdf.AsName(src, a["AS"])])
		}
		rect, ok := rectangle(src, a["Rect"])
		before := w.enter(a["OC"])
		var err error
		if st != nil && ok {
			w.enter(st.Dict["OC"])
			state := content.NewState(fit(src, st, rect).Multiply(ctm), crop)
			err = w.form(st, &state, nil, 0)
		} else if pdf.AsName(src, a["Subtype"]) != "Popup" {
			// A viewer may draw it by itself.
			state := content.NewState(ctm, crop)
			err = w.give(Unknown, &state, content.Everywhere())
		}
		if w.leave(before); err != nil {
			return err
		}
	}
	return nil
}

// fit is the matrix that lays the box of an appearance over the rectangle of
// its annotation (12.5.5, Algorithm 8.1).
func fit(src pdf.Objects, st *pdf.Stream, rect content.Rect) content.Matrix {
	box, ok := rectangle(src, st.Dict["BBox"])
	box = box.Transform(matrix(src, st.Dict["Matrix"]))
	if !ok || box.Width() == 0 || box.Height() == 0 {
		return content.Translation(rect.X0, rect.Y0)
	}
	sx, sy := rect.Width()/box.Width(), rect.Height()/box.Height()
	return content.Matrix{A: sx, D: sy, E: rect.X0 - float64(box.X0*sx), F: rect.Y0 - float64(box.Y0*sy)}
}

// form draws a form XObject in the state of its caller (8.10.1).
func (w *Walker) form(st *pdf.Stream, state *content.State, caller *resources.Scope, depth int) error {
	if w.active[st] || depth >= maxFormDepth || w.place.hidden {
		return nil
	}
	w.active[st] = true
	defer delete(w.active, st)
	data, fault, err := w.content(w.ctx, st)
	if err != nil {
		return err
	}
	if w.fault == nil {
		w.fault = fault
	}
	if err := w.spend(formCost); err != nil {
		return err
	}
	s := w.stream(depth+1, *state, resources.NewScope(w.doc.PDF, st.Dict["Resources"], caller))
	s.m.Concat(matrix(w.doc.PDF, st.Dict["Matrix"]))
	if box, ok := rectangle(w.doc.PDF, st.Dict["BBox"]); ok {
		s.m.State.Clip = s.m.State.Clip.Intersect(box.Transform(s.m.State.CTM))
	}
	before := w.place
	err = s.run(data)
	w.leave(before) // what the form leaves open ends with it
	return err
}

// matrix reads a matrix; the identity where there is none (Table 95).
func matrix(src pdf.Objects, o pdf.Object) content.Matrix {
	var v [6]float64
	if !numbers(src, o, v[:]) {
		return content.Identity()
	}
	return content.Matrix{A: v[0], B: v[1], C: v[2], D: v[3], E: v[4], F: v[5]}
}

// rectangle reads a rectangle (7.9.5).
func rectangle(src pdf.Objects, o pdf.Object) (content.Rect, bool) {
	var v [4]float64
	ok := numbers(src, o, v[:])
	return content.NewRect(v[0], v[1], v[2], v[3]), ok
}

// numbers fills dst with what an array begins with; false where that is too short.
func numbers(src pdf.Objects, o pdf.Object, dst []float64) bool {
	a := pdf.AsArray(src, o)
	if len(a) < len(dst) {
		return false
	}
	for i := range dst {
		dst[i], _ = pdf.AsNumber(src, a[i])
	}
	return true
}
