package resources

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// A Role is what an object is to the content that draws with it.
type Role uint8

const (
	RolePage       Role = iota + 1
	RoleAppearance      // of an annotation, in one of its states (12.5.5)
	RoleForm            // a form XObject (8.10)
	RoleImage           // an image XObject (8.9.5)
	RoleCell            // of a tiling pattern (8.7.3)
	RoleMask            // the group of a soft mask (11.6.5.2)
	RoleFont            // a Type 3 font: it draws with its glyphs (9.6.5)
	RoleGlyph           // one of those
)

// A Node is an object that content draws with, or content itself.
type Node struct {
	// Role is the one in which the object was met first.
	Role Role
	Ref  pdf.Ref // 0 where it stands in place
	Dict pdf.Dict
	// Stream is nil for pages and fonts.
	Stream *pdf.Stream
	// Resources are its own, of a page inherited ones too; nil where it has none.
	Resources pdf.Object
	// Inside says that it is or stands within a cell, a mask or a glyph: what it
	// draws is drawn by way of a pattern, a graphics state or a font.
	Inside bool
}

// maxDepth bounds nodes within nodes; what stands deeper is passed over.
const maxDepth = 64

// A Walk goes through all that content draws with, from pages, from the
// appearances of their annotations and from single drawings. It goes by what
// resource dictionaries hold, whether content names it or not, and decodes
// nothing. Each object is visited once where it stands inside of something (see
// [Node]) and once where it does not, after everything that it draws with; what
// the visit gave is handed to all that draw with the object, so that sums and
// sets grow from the inside out:
//
//	images := resources.NewWalk(doc, func(n resources.Node, parts []int) int {
//		sum := 0
//		for _, p := range parts {
//			sum += p
//		}
//		if n.Role == resources.RoleImage {
//			sum++
//		}
//		return sum
//	})
//	for _, p := range doc.Pages() {
//		fmt.Println(p.Number, images.Page(p))
//	}
//
// An object within itself gives the zero value there.
type Walk[T any] struct {
	src   pdf.Objects
	visit func(n Node, parts []T) T
	done  map[place]T   // nodes; zero while they are open
	lists map[place][]T // resource dictionaries
	depth int
}

// place is an object, inside of something or not.
type place struct {
	ref    pdf.Ref
	inside bool
}

// NewWalk makes ready to walk. parts has what the visits of the things that n
// draws with gave: the glyphs of a font, then the entries of n's own resources by
// category and name. It is valid during the call.
func NewWalk[T any](src pdf.Objects, visit func(n Node, parts []T) T) *Walk[T] {
	return &Walk[T]{src: src, visit: visit, done: map[place]T{}, lists: map[place][]T{}}
}

// Page visits a page and what its contents draw with.
func (w *Walk[T]) Page(p pdf.Page) T {
	return w.node(Node{Role: RolePage, Ref: p.Ref, Dict: p.Dict, Resources: p.Resources})
}

// Appearances visits all appearances of the annotations of a page.
func (w *Walk[T]) Appearances(p pdf.Page) (list []T) {
	for _, a := range pdf.AsArray(w.src, p.Dict["Annots"]) {
		looks := pdf.AsDict(w.src, pdf.AsDict(w.src, a)["AP"])
		for _, k := range looks.Keys() {
			list = w.stream(list, RoleAppearance, looks[k], false)
			states := pdf.AsDict(w.src, looks[k])
			for _, k := range states.Keys() {
				list = w.stream(list, RoleAppearance, states[k], false)
			}
		}
	}
	return list
}

// Drawing visits a form or the cell of a pattern, see [IsDrawing], that no page
// may draw; the zero value where o is no stream.
func (w *Walk[T]) Drawing(o pdf.Object) (v T) {
	for _, v = range w.stream(nil, RoleForm, o, false) {
	}
	return v
}

// node visits a node, unless it was visited before.
func (w *Walk[T]) node(n Node) (v T) {
	at := place{n.Ref, n.Inside}
	if had, ok := w.done[at]; ok {
		return had
	}
	if w.depth >= maxDepth {
		return v
	}
	if n.Ref != 0 {
		w.done[at] = v
	}
	w.depth++
	v = w.visit(n, w.parts(n))
	w.depth--
	if n.Ref != 0 {
		w.done[at] = v
	}
	return v
}

// parts visits what a node draws with.
func (w *Walk[T]) parts(n Node) (list []T) {
	if n.Role == RoleFont {
		glyphs := pdf.AsDict(w.src, n.Dict["CharProcs"])
		for _, k := range glyphs.Keys() {
			list = w.stream(list, RoleGlyph, glyphs[k], true)
		}
	}
	return append(list, w.entries(n.Resources, n.Inside)...)
}

// entries visits what a resource dictionary leads to. One that leads to itself
// gives nothing there: it has all of it already.
func (w *Walk[T]) entries(o pdf.Object, inside bool) (list []T) {
	ref, _ := o.(pdf.Ref)
	at := place{ref, inside}
	if had, ok := w.lists[at]; ok {
		return had
	}
	if ref != 0 {
		w.lists[at] = nil
		defer func() { w.lists[at] = slices.Clip(list) }()
	}
	dict := pdf.AsDict(w.src, o)
	for _, category := range [...]pdf.Name{XObject, Pattern, Font, ExtGState} {
		entries := pdf.AsDict(w.src, dict[category])
		for _, name := range entries.Keys() {
			v := entries[name]
			switch category {
			case XObject:
				list = w.stream(list, RoleForm, v, inside)
			case Pattern:
				list = w.stream(list, RoleCell, v, true)
			case Font:
				list = w.font(list, v)
			case ExtGState: // 8.4.5, Table 58
				state := pdf.AsDict(w.src, v)
				list = w.stream(list, RoleMask, pdf.AsDict(w.src, state["SMask"])["G"], true)
				if f := pdf.AsArray(w.src, state["Font"]); len(f) > 0 {
					list = w.font(list, f[0])
				}
			}
		}
	}
	return list
}

// stream visits a stream, if there is one. A form may turn out to be an image.
func (w *Walk[T]) stream(list []T, role Role, o pdf.Object, inside bool) []T {
	st := pdf.AsStream(w.src, o)
	if st == nil {
		return list
	}
	if role == RoleForm && pdf.AsName(w.src, st.Dict["Subtype"]) == "Image" {
		role = RoleImage
	}
	ref, _ := o.(pdf.Ref)
	return append(list, w.node(Node{role, ref, st.Dict, st, st.Dict["Resources"], inside}))
}

// font visits a Type 3 font.
func (w *Walk[T]) font(list []T, o pdf.Object) []T {
	f := pdf.AsDict(w.src, o)
	if f["CharProcs"] == nil {
		return list
	}
	ref, _ := o.(pdf.Ref)
	return append(list, w.node(Node{Role: RoleFont, Ref: ref, Dict: f, Resources: f["Resources"], Inside: true}))
}
