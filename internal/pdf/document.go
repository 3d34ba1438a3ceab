package pdf

import (
	"context"
	"slices"

	"github.com/sizeply/sizeply/layers/failure"
)

// Document is one open PDF file, read whole into memory. It never changes,
// so it is safe for concurrent use.
type Document struct {
	objects map[Ref]Object
	refs    []Ref
	root    Ref
	info    Ref
	// enc is how the file is encrypted, nil where it is not.
	enc *encryption
	// id is the permanent file identifier, "" where there is none.
	id String
	// version is the higher of the header's and the catalog's, such as "1.7".
	version  string
	warnings []string
	pages    []Page
	// nodes are the inner nodes of the page tree.
	nodes []Ref
	// next is above every number that is in use or referred to.
	next Ref
}

// document makes a document of the loaded objects. It gives a *failure.FormatError
// where they lead to no page.
func (l *loader) document(t trailer, version string) (*Document, error) {
	delete(l.objects, l.encRef)
	for _, s := range l.streams {
		if isContainer(s) || s.Dict["Type"] == Name("XRef") {
			delete(l.objects, s.num)
		}
	}
	d := &Document{objects: l.objects, id: t.ID, enc: l.enc}
	d.root, d.info = d.adopt(t.Root), d.adopt(t.Info)
	var err error
	if d.next, err = above(l.ctx, d.objects); err != nil {
		return nil, err
	}
	if d.root == 0 {
		return nil, &failure.FormatError{Reason: "it has no catalog; it may be cut short, so download or copy it again"}
	}
	root, _ := d.Root()
	d.version = version
	if v := string(AsName(d, root["Version"])); len(v) == 3 && isDigit(v[0]) && v[1] == '.' && isDigit(v[2]) {
		d.version = max(version, v)
	}
	if err := d.readPages(l.ctx, root, l.lim.pages(), l.warn); err != nil {
		return nil, err
	}
	if d.refs, err = Ascending(l.ctx, d.objects); err != nil {
		return nil, err
	}
	if len(d.pages) == 0 {
		const why = "it leads to no page; the file may be cut short, so download or copy it again"
		return nil, &failure.FormatError{Object: int(d.root), Reason: why}
	}
	d.warnings = l.warn.sentences()
	return d, nil
}

// adopt returns the number of a dictionary of the trailer, 0 where it is none.
// A direct one, which is against the standard, gets a number.
func (d *Document) adopt(o Object) Ref {
	dict := AsDict(d, o)
	if dict == nil {
		return 0
	}
	if r, ok := lastRef(d, o); ok {
		return r
	}
	r := highest(d.objects) + 1
	d.objects[r] = dict
	return r
}

func highest(objects map[Ref]Object) (h Ref) {
	for r := range objects {
		h = max(h, r)
	}
	return h
}

// above gives a number above all that objects have or refer to: a reference to
// nothing must not come to lead to a new object. The error is the context's.
func above(ctx context.Context, objects map[Ref]Object) (Ref, error) {
	top, seen := highest(objects), 0
	for _, o := range objects {
		if seen >= objectsAtOnce {
			if seen = 0; ctx.Err() != nil {
				return 0, ctx.Err()
			}
		}
		Walk(o, func(o Object) {
			seen++
			if r, ok := o.(Ref); ok {
				top = max(top, r)
			}
		})
	}
	return top + 1, nil
}

// Walk visits o and all that stands in it, following no reference.
func Walk(o Object, visit func(Object)) {
	visit(o)
	switch o := o.(type) {
	case Array:
		for _, v := range o {
			Walk(v, visit)
		}
	case Dict:
		for _, v := range o {
			Walk(v, visit)
		}
	case *Stream:
		Walk(o.Dict, visit)
	}
}

// lastRef follows references to the last, which leads to an object.
func lastRef(src Objects, o Object) (last Ref, ok bool) {
	for range maxRefChain {
		r, isRef := o.(Ref)
		if !isRef {
			return last, ok && o != nil
		}
		last, ok, o = r, true, src.Object(r)
	}
	return 0, false
}

// Object implements Objects.
func (d *Document) Object(r Ref) Object { return d.objects[r] }

// Refs returns the numbers of all objects, ascending. Cross-reference streams
// and object streams (7.5.7, 7.5.8) are no objects here.
func (d *Document) Refs() []Ref { return slices.Clone(d.refs) }

// Root returns the catalog (7.7.2) and its number.
func (d *Document) Root() (Dict, Ref) { return AsDict(d, d.root), d.root }

// Info returns the number of the document information dictionary (14.3.3), 0
// where there is none.
func (d *Document) Info() Ref { return d.info }

// Warnings returns what was repaired or left out on opening, a sentence each.
func (d *Document) Warnings() []string { return slices.Clone(d.warnings) }

// Pages returns the pages in order.
func (d *Document) Pages() []Page { return slices.Clone(d.pages) }

// PageNodes returns the inner nodes of the page tree (7.7.3.2).
func (d *Document) PageNodes() []Ref { return slices.Clone(d.nodes) }
