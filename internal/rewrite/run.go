package rewrite

import (
	"context"
	"crypto/sha256"
	"fmt"

	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// Options says how to filter. The zero value is the normal case.
type Options struct {
	Limits pdf.Limits
	// KeepState leaves all state that removed content sets in place, needed
	// or not: a plain way with the same picture, to compare with.
	KeepState bool
	// Flatten takes away every section with the tag OC, whatever its property
	// list is.
	Flatten bool
	// Observer, where there is one, sees the pages.
	Observer Observer
}

// Result tells what Run did.
type Result struct {
	Pages    []Page
	Residue  []Residue
	Tagged   []Tagged
	Warnings []Warning
	// Less holds the forms that have lost marks, by their numbers in the
	// original.
	Less map[pdf.Ref]bool
	// Missing holds the names in what stays that no resource dictionary has:
	// they were missing in the original too.
	Missing map[resources.Name]bool

	walker *walker
}

// Page counts the marks of one page. A form counts with each time it is
// drawn; a form or image that goes whole is one mark.
type Page struct {
	Number        int
	Kept, Removed int64
}

// Run filters the pages of the edited document with their annotations, in
// place in the edit. It gives an error where a page cannot be filtered
// exactly: an *UnknownWidthError, a limit, a decoding failure of a page's
// contents; the edit is of no use then.
func Run(ctx context.Context, edit *pdf.Edit, decide Decider, opt Options) (*Result, error) {
	w := &walker{
		edit: edit, decide: decide, lim: opt.Limits, keepState: opt.KeepState, flatten: opt.Flatten, res: &Result{Less: map[pdf.Ref]bool{}, Missing: map[resources.Name]bool{}},
		tags: map[pdf.Ref]*tags{}, maskNeed: map[*pdf.Stream]params{},
		units: map[pdf.Ref][]*unit{}, fonts: map[pdf.Ref]*font.Font{},
		versions: map[pdf.Ref][]version{}, dicts: map[string]pdf.Ref{}, streams: map[[32]byte]pdf.Ref{},
		pack: pdf.NewPacker(),
	}
	defer w.pack.Wait()
	contents := newContents(edit.Original(), opt)
	w.res.walker = w
	if w.gone = decide.RemovedStyles(); w.gone != nil {
		w.painter = paint.New(edit.Original())
	}
	done := map[pdf.Ref]Page{}
	defer w.disinherit()
	for _, p := range edit.Original().Pages() {
		w.page = p.Number
		counts, again := done[p.Ref]
		var now []byte
		if !again {
			var err error
			if counts, now, err = w.filterPage(ctx, p, contents); err != nil {
				return nil, fmt.Errorf("page %d: %w", p.Number, err)
			}
			done[p.Ref] = counts
		}
		counts.Number = p.Number
		w.res.Pages = append(w.res.Pages, counts)
		if opt.Observer != nil {
			opt.Observer.PageFiltered(p, now)
		}
	}
	contents.Wait()
	w.settleTags()
	return w.res, nil
}

// filterPage filters the contents, resources and annotations of a page. left are
// its contents then.
func (w *walker) filterPage(ctx context.Context, p pdf.Page, contents *contents) (counts Page, left []byte, err error) {
	next := contents.Next()
	if next.err != nil {
		return Page{}, nil, next.err
	}
	c := next.content
	for _, text := range c.Warnings {
		w.warn("%s", text)
	}
	sc := newScope(w.edit.Original(), p.Resources, nil)
	text := initialText
	text.paint = w.begin(p)
	out, err := w.strip(ctx, c.Data, sc, text)
	if err != nil {
		return Page{}, nil, err
	}
	w.residue(out.residue, sc)
	w.tagged(p.Ref, p.Dict, out)
	dict := p.Dict.Clone()
	res, _, err := w.resources(ctx, p.Resources, sc)
	if err != nil {
		return Page{}, nil, err
	}
	w.missing(sc.outer)
	if res != nil {
		dict["Resources"] = res // also what was inherited: see disinherit
	}
	left = c.Data
	if out.changed {
		left = out.data
		dict["Contents"] = w.contents(left)
	}
	if err := w.annotations(ctx, dict); err != nil {
		return Page{}, nil, err
	}
	delete(dict, "OC") // means nothing on a page
	if !equalEntries(dict, p.Dict) && p.Ref != 0 {
		w.edit.Set(p.Ref, dict)
	}
	return Page{Kept: out.kept, Removed: out.removed}, left, nil
}

// disinherit takes the resources out of the nodes of the page tree, where they
// would keep what no page uses any more: each page has its own now.
func (w *walker) disinherit() {
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

// contents makes a stream of a page's new contents; pages with equal contents
// share it.
func (w *walker) contents(data []byte) pdf.Ref {
	sum := sha256.Sum256(data)
	ref, ok := w.streams[sum]
	if !ok {
		ref = w.edit.Add(w.pack.Stream(nil, data))
		w.streams[sum] = ref
	}
	return ref
}
