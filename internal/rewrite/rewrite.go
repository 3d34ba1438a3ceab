// Package rewrite passes each content stream of a document once through a
// decision on optional content and takes out what is to be removed: the marks of
// removed sections and XObjects, and what only they used. It knows content
// streams and resources; which content is removed is the [Decider]'s.
//
// Start at [Run]. What is kept of a stream is kept byte for byte; a stream that
// loses nothing is not touched at all. Everything that hidden content does to
// the graphics state stays in place (ISO 32000-1, 8.11.3.1): colours,
// matrices, clips, text state. Hidden text is replaced by its displacement
// where visible text follows it on the same line. State that no mark needs any
// more is removed then.
//
// Marks may also be removed for how they are painted, which takes the whole
// graphics state to be followed; see [Decider].
package rewrite

import (
	"cmp"
	"context"
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"

	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/parallel"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
	"github.com/sizeply/sizeply/layers/failure"
	"github.com/sizeply/sizeply/layers/warning"
)

// lookEvery is how many operations are gone through between two looks at a context.
const lookEvery = 4096

// Options says how to filter. The zero value is the normal case.
type Options struct {
	Limits pdf.Limits
	// KeepState leaves all state that removed content sets in place, needed
	// or not: a plain way with the same picture, to compare with.
	KeepState bool
	// Flatten takes away every section with the tag OC, whatever its property
	// list is.
	Flatten bool
	// AcceptDamage goes on where content cannot be read whole, with what can be read
	// and without the rest; else that is a *failure.UnreadableError.
	AcceptDamage bool
	// Observer, where there is one, sees the pages.
	Observer Observer
}

// Result tells what Run did.
type Result struct {
	Pages    []Page
	Residue  []Residue
	Tagged   []Tagged
	Warnings []warning.Warning
	// Reduced holds the forms that have lost marks, by their numbers in the
	// original.
	Reduced map[pdf.Ref]bool
	// Missing holds the names in the output that no resource dictionary has:
	// they were missing in the original too.
	Missing map[resources.Name]bool

	rewriter *rewriter
}

// Page counts the marks of one page. A form counts with each time it is
// drawn; a form or image that is removed whole is one mark.
type Page struct {
	Number        int
	Kept, Removed int64
}

// Residue is something of removed content that had to be kept so that the rest
// looks as before.
type Residue struct {
	Page int
	Kind ResidueKind
	// Name is the resource name for state, "" for the others.
	Name string
}

// ResidueKind says what kind of thing was kept.
type ResidueKind uint8

const (
	// StateResidue is a resource that only state set in removed content
	// names.
	StateResidue ResidueKind = iota + 1
	// ClipResidue is a clipping path set in removed content.
	ClipResidue
	// TextClipResidue is text of removed content that clips.
	TextClipResidue
)

// String says it in words.
func (k ResidueKind) String() string {
	switch k {
	case StateResidue:
		return "state"
	case ClipResidue:
		return "clip"
	case TextClipResidue:
		return "text clip"
	}
	return "none"
}

// A rewriter filters every content stream that the output reaches, each once
// for each way in which its names resolve.
type rewriter struct {
	edit         *pdf.Edit
	decide       Decider
	lim          pdf.Limits
	keepState    bool
	flatten      bool
	acceptDamage bool
	removed      func(paint.Style) bool // nil where no style is
	painter      *paint.Painter         // with removed

	page     int              // the page at hand, for warnings
	unread   unread           // of the page or form at hand
	harmless map[pdf.Ref]bool // see leadsToRemoved
	res      *Result
	forms    map[pdf.Ref][]*form
	nesting  nesting
	depth    int
	library  *font.Library
	fonts    map[pdf.Ref]*font.Font
	tags     map[pdf.Ref]*tags
	versions map[pdf.Ref]map[string]pdf.Ref // of dictionaries, by their text
	dicts    map[string]pdf.Ref             // rebuilt resource dictionaries
	contents map[[sha256.Size]byte]pdf.Ref  // of pages
	pack     *pdf.Packer                    // compresses beside the walk

	left int64 // bytes of content that may still be gone through, see [pdf.Limits]

	maskNeed  map[*pdf.Stream]params // see maskNeeds
	maskDepth int                    // masks within masks that are being looked at
}

// Run filters the pages of the edited document with their annotations, in
// place in the edit. It gives an error where a page cannot be filtered
// exactly: a *failure.UnknownWidthError, a *failure.UnreadableError, a limit; the edit is of no use then.
func Run(ctx context.Context, edit *pdf.Edit, decide Decider, opt Options) (*Result, error) {
	w := &rewriter{
		edit: edit, decide: decide, lim: opt.Limits, keepState: opt.KeepState, flatten: opt.Flatten,
		acceptDamage: opt.AcceptDamage,
		forms:        map[pdf.Ref][]*form{}, fonts: map[pdf.Ref]*font.Font{}, tags: map[pdf.Ref]*tags{},
		versions: map[pdf.Ref]map[string]pdf.Ref{}, dicts: map[string]pdf.Ref{},
		contents: map[[sha256.Size]byte]pdf.Ref{},
		pack:     pdf.NewPacker(ctx, opt.Limits.Cores), maskNeed: map[*pdf.Stream]params{},
		harmless: map[pdf.Ref]bool{}, library: font.NewLibrary(edit),
	}
	w.left = w.lim.Content()
	w.res = &Result{Reduced: map[pdf.Ref]bool{}, Missing: map[resources.Name]bool{}, rewriter: w}
	if w.removed = decide.RemovedStyles(); w.removed != nil {
		w.painter = paint.New(edit.Original())
	}
	defer w.pack.Wait()
	defer w.disinherit()
	pages := readPages(ctx, edit.Original(), opt)
	defer pages.Wait()
	done := map[pdf.Ref]Page{}
	for _, p := range edit.Original().Pages() {
		w.page = p.Number
		counts, again := done[p.Ref]
		var read pageRead
		var now pageNow
		if !again {
			read = pages.Next()
			err := read.err
			if err == nil {
				counts, now, err = w.filterPage(ctx, p, read.content)
			}
			if err != nil {
				if opt.Observer != nil {
					opt.Observer.Abandoned()
				}
				return nil, fmt.Errorf("page %d: %w", p.Number, err)
			}
			done[p.Ref] = counts
		}
		counts.Number = p.Number
		w.res.Pages = append(w.res.Pages, counts)
		if opt.Observer != nil {
			opt.Observer.PageFiltered(p, now.data)
		}
		read.shared.Done()
		now.shared.Done()
	}
	pages.Wait()
	w.settleTags()
	return w.res, nil
}

// pageRead is the decoded contents of a page, which the observer and the rewriter share.
type pageRead struct {
	content pdf.Content
	err     error
	shared  *pdf.Shared
}

// readPages begins to decode the pages of a document, those with one object
// once, on the cores that there are to be.
func readPages(ctx context.Context, doc *pdf.Document, opt Options) *parallel.Queue[pdf.Page, pageRead] {
	var pages []pdf.Page
	seen := map[pdf.Ref]bool{}
	for _, p := range doc.Pages() {
		if !seen[p.Ref] {
			seen[p.Ref] = true
			pages = append(pages, p)
		}
	}
	size := func(p pdf.Page) int64 { return pdf.ContentSize(doc, p.Dict) }
	return parallel.NewQueue(pages, opt.Limits.Cores, size, func(p pdf.Page, give func(pageRead)) {
		c, err := pdf.PageContent(ctx, doc, p.Dict, opt.Limits)
		shared := c.Share(2)
		give(pageRead{c, err, shared})
		if opt.Observer != nil && err == nil {
			opt.Observer.PageRead(p, c.Data)
		}
		shared.Done()
	})
}

// pageNow is what the contents of a page have become. Where they are not those that
// were read, the observer and the packer share them.
type pageNow struct {
	data   []byte
	shared *pdf.Shared
}

// filterPage filters the contents, resources and annotations of a page.
func (w *rewriter) filterPage(ctx context.Context, p pdf.Page, c pdf.Content) (counts Page, now pageNow, err error) {
	for _, reason := range c.Faults {
		if err := w.damaged(reason); err != nil {
			return Page{}, now, err
		}
	}
	sc := newScope(w.edit.Original(), p.Resources, nil)
	text := initialText
	text.paint = w.pageState(p)
	out, err := w.stream(ctx, c.Data, len(c.Faults) == 0, sc, text)
	if err != nil {
		return Page{}, now, err
	}
	w.noteResidue(out.residue, sc)
	w.tagged(p.Ref, p.Dict, out)
	dict := p.Dict.Clone()
	res, _, err := w.resources(ctx, p.Resources, sc)
	if err != nil {
		return Page{}, now, err
	}
	w.noteMissing(sc.outer)
	if res != nil {
		dict["Resources"] = res // also what was inherited: see disinherit
	}
	now.data = c.Data
	if out.changed {
		now = pageNow{out.data, pdf.Share(out.data, 2)}
		sum := sha256.Sum256(now.data)
		ref, ok := w.contents[sum] // pages with equal contents share a stream
		if !ok {
			ref = w.edit.Add(w.pack.Stream(nil, now.data, now.shared.Done))
			w.contents[sum] = ref
		} else {
			now.shared.Done()
		}
		dict["Contents"] = ref
	}
	if err := w.annotations(ctx, dict); err != nil {
		return Page{}, now, err
	}
	if err := w.settleUnread(out.changed || out.removed > 0, drawnWith(w.edit.Original(), p)...); err != nil {
		return Page{}, now, err
	}
	delete(dict, "OC") // means nothing on a page
	if !equalEntries(dict, p.Dict) && p.Ref != 0 {
		w.edit.Set(p.Ref, dict)
	}
	return Page{Kept: out.kept, Removed: out.removed}, now, nil
}

// spend counts bytes of content that are gone through, or what takes as long. It
// gives a *failure.LimitError where there are too many.
func (w *rewriter) spend(bytes int) error {
	if w.left -= int64(bytes); w.left < 0 {
		return &failure.LimitError{Limit: failure.LimitContentBytes, Bound: w.lim.Content()}
	}
	return nil
}

// disinherit takes the resources out of the nodes of the page tree, where they
// would keep what no page uses any more: each page has its own now.
func (w *rewriter) disinherit() {
	for _, p := range w.edit.Original().Pages() {
		o := p.Dict["Parent"]
		for range maxDepth {
			ref, ok := o.(pdf.Ref)
			node := pdf.AsDict(w.edit, o)
			if !ok || node == nil {
				break
			}
			if _, has := node["Resources"]; has {
				node = node.Clone()
				delete(node, "Resources")
				w.edit.Set(ref, node)
			}
			o = node["Parent"]
		}
	}
}

// FilterOthers filters those of some objects that are content streams and that
// no page draws itself: icons of buttons (12.5.6.19), overlays of redactions
// (12.5.6.23), resources of forms (12.7.2). One that belongs to removed
// optional content becomes empty. What pages draw is passed over: Run has
// filtered that.
func (r *Result) FilterOthers(ctx context.Context, refs []pdf.Ref) error {
	w := r.rewriter
	defer w.pack.Wait()
	w.page = 0
	for _, ref := range refs {
		st, ok := w.edit.Original().Object(ref).(*pdf.Stream)
		if !ok || len(w.forms[ref]) > 0 || !resources.IsDrawing(w.edit, st.Dict) {
			continue
		}
		if w.removes(st.Dict["OC"]) {
			w.edit.Set(ref, emptied(st))
			continue
		}
		if _, err := w.drawn(ctx, ref, nil); err != nil {
			return err
		}
		// What draws it, if anything, may lend it resources.
		if err := w.settleUnread(w.res.Reduced[ref] || st.Dict["Resources"] == nil, st.Dict["Resources"]); err != nil {
			return err
		}
	}
	w.settleTags()
	return nil
}

// Versions are the numbers of what a drawing of the original has become: its
// own, and those of copies for callers that resolve its names differently.
func (r *Result) Versions(ref pdf.Ref) []pdf.Ref {
	if r.rewriter == nil { // nothing was filtered
		return []pdf.Ref{ref}
	}
	var list []pdf.Ref
	for _, f := range r.rewriter.forms[ref] {
		list = append(list, f.ref)
	}
	return list
}

// removes reports whether content that belongs to oc is removed.
func (w *rewriter) removes(oc pdf.Object) bool {
	decision, _ := w.decide.Decide(oc)
	return decision == Remove
}

func (w *rewriter) warn(code warning.Code, format string, args ...any) {
	said := warning.New(code, nil, format, args...)
	said.Page = w.page
	w.res.Warnings = append(w.res.Warnings, said)
}

// noteMissing records names in the output that no resource dictionary has.
func (w *rewriter) noteMissing(names map[resources.Name]use) {
	for n := range names {
		w.res.Missing[n] = true
	}
}

// noteResidue records what a stream had to keep of removed content.
func (w *rewriter) noteResidue(list []Residue, sc *scope) {
	names := slices.SortedFunc(maps.Keys(sc.used), func(a, b resources.Name) int {
		return cmp.Or(cmp.Compare(a.Category, b.Category), cmp.Compare(a.Name, b.Name))
	})
	for _, n := range names {
		if sc.used[n] == byHiddenState {
			list = append(list, Residue{Kind: StateResidue, Name: string(n.Name)})
		}
	}
	for _, r := range list {
		r.Page = w.page
		w.res.Residue = append(w.res.Residue, r)
	}
}
