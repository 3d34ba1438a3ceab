package pdf

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"slices"

	"github.com/sizeply/sizeply/layers/failure"
)

// pageWalk goes through the page tree of a document that is being opened
// (7.7.3.2), and mends it: what is no page is taken out, and types, parents and
// counts are made those that the tree has.
type pageWalk struct {
	doc   *Document
	limit int
	warn  *warnings
	// seen holds the nodes met, so that none is entered twice.
	seen  map[Ref]bool
	nodes []*treeNode // each before those below it
	pages []Page
	// parents are the nodes of the pages, in their order.
	parents []*treeNode
	// left is how many kids were left out.
	left int
	// copied are the pages met, and copies bounds the parts of those that are met
	// again.
	copied map[Ref]bool
	copies int
	// above holds what climb has found.
	above map[Ref]Dict
	// astray is the first page of which readers differ on what it inherits.
	astray error
}

// maxCopies bounds the parts of all pages that are copied.
const maxCopies = 1_000_000

// treeNode is an inner node of the page tree.
type treeNode struct {
	ref  Ref // 0 where it is no object of its own
	dict Dict
	// parent is the node above, nil for the root, and at the index there.
	parent *treeNode
	at     int
	// kids are those that count, in their places; nil for one that does not.
	// changed says that one is not as it was.
	kids    Array
	changed bool
	// pages is how many there are below it.
	pages int
}

// pageNode is a node yet to be visited, with the attributes it inherits.
type pageNode struct {
	obj    Object
	attrs  Dict
	parent *treeNode
	at     int
}

// readPages lists the pages that the catalog leads to, mends the tree and gives the
// inner nodes. It gives a *failure.FormatError where pages are left out of which the tree
// counts more than are there, and where a page inherits something else from its
// Parent than from the node that has it among its kids.
func (d *Document) readPages(ctx context.Context, root Dict, limit int, warn *warnings) error {
	w := pageWalk{
		doc: d, limit: limit, warn: warn, seen: map[Ref]bool{}, copied: map[Ref]bool{}, copies: maxCopies,
		above: map[Ref]Dict{},
	}
	todo := []pageNode{{obj: root["Pages"], attrs: Dict{}}}
	for len(todo) > 0 {
		if err := ctx.Err(); err != nil {
			return err
		}
		n := todo[len(todo)-1]
		todo = append(todo[:len(todo)-1], w.visit(n)...)
		if len(w.pages) > limit || len(todo) > limit {
			return &failure.LimitError{Limit: failure.LimitPages, Bound: int64(limit)}
		}
	}
	if err := w.mend(); err != nil {
		return err
	}
	d.pages = w.pages
	for _, n := range w.nodes {
		if n.ref != 0 {
			d.nodes = append(d.nodes, n.ref)
		}
	}
	return nil
}

// visit takes one node and returns its kids, the last first.
func (w *pageWalk) visit(n pageNode) []pageNode {
	d := AsDict(w.doc, n.obj)
	ref, isRef := lastRef(w.doc, n.obj)
	isPage, why := w.isPage(n, d)
	switch {
	case why == "" && isPage && !isRef:
		why = "a page is left out: it is no object of its own"
	case why == "" && !isPage && isRef && w.seen[ref]:
		why = fmt.Sprintf("object %d: this node of the page tree is met again and left out", ref)
	}
	if why != "" {
		w.left++
		w.warn.add("%s", why)
		return nil
	}
	if n.parent != nil {
		n.parent.kids[n.at] = n.obj
	}
	if isPage {
		w.page(w.alone(ref, d, n), d, n)
		return nil
	}
	w.seen[ref] = true
	kids := AsArray(w.doc, d["Kids"])
	node := &treeNode{ref: ref, dict: d, parent: n.parent, at: n.at, kids: make(Array, len(kids))}
	w.nodes = append(w.nodes, node)
	attrs := w.inherit(d, n.attrs)
	nodes := make([]pageNode, 0, len(kids))
	for i, kid := range slices.Backward(kids) {
		nodes = append(nodes, pageNode{kid, attrs, node, i})
	}
	return nodes
}

// alone gives a page that stands in the tree a second time a number of its own, as
// qpdf 11.3 does; readers show it twice.
func (w *pageWalk) alone(ref Ref, d Dict, n pageNode) Ref {
	if !w.copied[ref] || n.parent == nil {
		w.copied[ref] = true
		return ref
	}
	if w.copies >= 0 {
		Walk(d, func(Object) { w.copies-- })
	}
	if w.copies < 0 {
		return ref
	}
	copied := w.doc.next
	w.doc.next++
	w.doc.objects[copied] = d
	n.parent.kids[n.at], n.parent.changed = copied, true
	return copied
}

// isPage reports whether a node is a page, else it is an inner one; why says, where
// it is not "", that it is neither. What has kids is an inner node, since Type is
// often missing, and what has none a page: but no object of another type without
// anything of a page, and nothing that is of both.
func (w *pageWalk) isPage(n pageNode, d Dict) (isPage bool, why string) {
	kind := AsName(w.doc, d["Type"])
	kids := AsArray(w.doc, d["Kids"])
	draws := d["Contents"] != nil
	switch {
	case d == nil:
		return false, "a node of the page tree is left out: it is no dictionary"
	case kids != nil && (n.parent == nil || kind == "Pages" || kind != "Page" && !draws):
		return false, ""
	case kids == nil && d["Kids"] != nil && kind != "Page" && !draws:
		return false, "a node of the page tree is left out: its kids cannot be read"
	case len(kids) > 0:
		return false, "a node of the page tree is left out: it is a page, and has pages below it"
	case kind == "Pages":
		return false, "a node of the page tree is left out: it has no kids"
	case kind == "" || kind == "Page" || draws || d["MediaBox"] != nil || d["Resources"] != nil:
		return true, ""
	}
	return false, fmt.Sprintf("a node of the page tree is left out: it is no page, but of the type %q", string(kind))
}

// inherit returns the inheritable attributes (Table 30) in force below d. A
// box or a rotation that makes no sense does not replace one that does.
func (w *pageWalk) inherit(d, outer Dict) Dict {
	attrs := outer.Clone()
	if Resolve(w.doc, d["Resources"]) != nil {
		attrs["Resources"] = d["Resources"]
	}
	for _, key := range []Name{"MediaBox", "CropBox"} {
		if _, ok := readRect(w.doc, d[key]); ok {
			attrs[key] = d[key]
		}
	}
	if _, ok := AsNumber(w.doc, d["Rotate"]); ok {
		attrs["Rotate"] = d["Rotate"]
	}
	return attrs
}

// page adds one page.
func (w *pageWalk) page(ref Ref, d Dict, n pageNode) {
	attrs := w.inherit(d, n.attrs)
	w.hold(d, attrs)
	p := Page{Number: len(w.pages) + 1, Ref: ref, Dict: d, UserUnit: 1}
	if AsDict(w.doc, attrs["Resources"]) != nil {
		p.Resources = attrs["Resources"]
	}
	w.boxes(&p, attrs)
	if angle := AsInt(w.doc, attrs["Rotate"], 0); angle%90 == 0 { // it may be negative
		p.Rotate = (angle%360 + 360) % 360
	} else {
		w.warn.add("page %d has a rotation that is no multiple of 90 degrees; it is passed over", p.Number)
	}
	if u, ok := AsNumber(w.doc, d["UserUnit"]); ok && u > 0 && !math.IsInf(u, 0) {
		p.UserUnit = u
	}
	w.pages, w.parents = append(w.pages, p), append(w.parents, n.parent)
	if n.parent != nil {
		n.parent.pages++
	}
}

// inherited are the attributes that a page may have from the nodes above it (Table 31).
var inherited = [...]Name{"Resources", "MediaBox", "CropBox", "Rotate"}

// hold holds what a page inherits on the way down the tree, as Poppler and qpdf do,
// against what it does on the way up by Parent, as PDFium, MuPDF and pdf.js do.
func (w *pageWalk) hold(page, down Dict) {
	up := w.inherit(page, w.climb(page["Parent"]))
	for _, key := range inherited {
		if w.astray == nil && !reflect.DeepEqual(up[key], down[key]) {
			const why = "page %d has its %s from a node of the page tree that its Parent does not lead to: " +
				"readers differ on what they show of it, so download or copy the file again"
			w.astray = &failure.FormatError{Reason: fmt.Sprintf(why, len(w.pages)+1, key)}
		}
	}
}

// climb returns the attributes in force below a node for those who go up from it by
// Parent, as far as that leads.
func (w *pageWalk) climb(o Object) Dict {
	var attrs Dict
	var path []Ref
	for on := map[Ref]bool{}; ; {
		ref, ok := lastRef(w.doc, o)
		known := w.above[ref]
		if !ok || on[ref] || known != nil {
			attrs = known
			break
		}
		path, on[ref] = append(path, ref), true
		o = AsDict(w.doc, ref)["Parent"]
	}
	for _, ref := range slices.Backward(path) {
		attrs = w.inherit(AsDict(w.doc, ref), attrs)
		w.above[ref] = attrs
	}
	return attrs
}

func (w *pageWalk) boxes(p *Page, attrs Dict) {
	var ok bool
	if p.MediaBox, ok = readRect(w.doc, attrs["MediaBox"]); !ok {
		p.MediaBox = usLetter
		w.warn.add("page %d has no media box that makes sense; US Letter is assumed", p.Number)
	}
	p.CropBox = p.MediaBox
	crop, ok := readRect(w.doc, attrs["CropBox"])
	if !ok {
		return
	}
	if crop = crop.intersect(p.MediaBox); crop.empty() {
		w.warn.add("page %d has a crop box outside its media box; it is passed over", p.Number)
		return
	}
	p.CropBox = crop
}

// mend makes the tree one that all readers read alike.
func (w *pageWalk) mend() error {
	if w.astray != nil {
		return w.astray
	}
	for i, n := range slices.Backward(w.nodes) {
		if n.parent != nil {
			n.parent.pages += n.pages
		}
		now := w.mendedNode(n)
		if count := w.count(n); i == 0 && count > n.pages && w.left > 0 {
			const why = "its page tree counts %d pages, of which %d can be read; download or copy it again"
			return &failure.FormatError{Object: int(n.ref), Reason: fmt.Sprintf(why, count, n.pages)}
		}
		w.store(n, now)
	}
	w.mendPages()
	return nil
}

// count is the number of pages that a node says are below it, 0 where it does not.
func (w *pageWalk) count(n *treeNode) int { return AsInt(w.doc, n.dict["Count"], 0) }

// mendedNode is the dictionary of a node with the kids that count, and what follows
// from them. A count that is too low stays: it hides pages from all readers.
func (w *pageWalk) mendedNode(n *treeNode) Dict {
	now := n.dict
	kids := slices.DeleteFunc(slices.Clone(n.kids), func(o Object) bool { return o == nil })
	if n.changed || len(kids) < len(n.kids) {
		now = withEntry(now, "Kids", kids)
	}
	if AsName(w.doc, now["Type"]) != "Pages" {
		now = withEntry(now, "Type", Name("Pages"))
	}
	if n.parent != nil && n.parent.ref != 0 && now["Parent"] != n.parent.ref {
		now = withEntry(now, "Parent", n.parent.ref)
	}
	switch count := w.count(n); {
	case 0 < count && count < n.pages:
		const why = "the page tree counts %d pages and leads to %d; readers may show no more than it counts"
		w.warn.add(why, count, n.pages)
	case count != n.pages || now["Count"] == nil:
		if count > n.pages {
			w.warn.add("the page tree counts %d pages and leads to %d; some may be missing", count, n.pages)
		}
		now = withEntry(now, "Count", Integer(n.pages))
	}
	return now
}

// store makes a node what it is now, in the object that it is or stands in.
func (w *pageWalk) store(n *treeNode, now Dict) {
	switch root, catalog := w.doc.Root(); {
	case n.ref != 0:
		w.doc.objects[n.ref] = now
	case n.parent != nil:
		n.parent.kids[n.at], n.parent.changed = now, true
	default:
		w.doc.objects[catalog] = withEntry(root, "Pages", now)
	}
}

// mendPages gives pages their type, and the parent that has them among its kids.
func (w *pageWalk) mendPages() {
	right := map[Ref]bool{} // the same page may have several
	for i, p := range w.pages {
		n := w.parents[i]
		right[p.Ref] = right[p.Ref] || n == nil || n.ref == 0 || p.Dict["Parent"] == n.ref
	}
	for i := range w.pages {
		p := &w.pages[i]
		now := AsDict(w.doc, p.Ref)
		if AsName(w.doc, now["Type"]) != "Page" {
			now = withEntry(now, "Type", Name("Page"))
		}
		if !right[p.Ref] {
			if Resolve(w.doc, now["Parent"]) != nil {
				w.warn.add("the parent of page %d is not the node that it stands under, which counts", p.Number)
			}
			now, right[p.Ref] = withEntry(now, "Parent", w.parents[i].ref), true
		}
		p.Dict = now
		w.doc.objects[p.Ref] = now
	}
}

// withEntry gives a copy of a dictionary with another value.
func withEntry(d Dict, key Name, v Object) Dict {
	d = d.Clone()
	d[key] = v
	return d
}
