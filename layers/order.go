package layers

import (
	"github.com/sizeply/sizeply/internal/pdf"
)

// maxOrderDepth bounds the nesting of the order array.
const maxOrderDepth = 32

// order reads the order in which viewers show the layers (8.11.4.3, Table
// 101): an array that begins with a string is labelled with it; one without a
// label that follows a group holds the group's children.
func (p *properties) order(doc *pdf.Document) {
	seen, arrays := map[*group]bool{}, map[pdf.Ref]bool{}
	var walk func(o pdf.Object, parents []string, depth int)
	walk = func(o pdf.Object, parents []string, depth int) {
		if depth > maxOrderDepth {
			return
		}
		var last *group
		for i, v := range pdf.AsArray(doc, o) {
			if s, ok := pdf.AsString(doc, v); ok && i == 0 && depth > 0 {
				parents = under(parents, pdf.Text(s))
				continue
			}
			if ref, ok := v.(pdf.Ref); ok && p.byRef[ref] != nil {
				last = p.byRef[ref]
				if !seen[last] {
					seen[last] = true
					last.layer.Parents = parents
					last.layer.Place = len(seen)
				}
				continue
			}
			inner := pdf.AsArray(doc, v)
			if inner == nil || again(arrays, v) {
				continue
			}
			above := parents
			if last != nil && !labelled(doc, inner) {
				above = under(parents, last.layer.Name)
			}
			walk(inner, above, depth+1)
		}
	}
	walk(p.config["Order"], nil, 0)
}

// again tells whether an indirect array has been met before, and notes it: what
// is referred to twice is listed once.
func again(arrays map[pdf.Ref]bool, v pdf.Object) bool {
	ref, ok := v.(pdf.Ref)
	if !ok {
		return false
	}
	before := arrays[ref]
	arrays[ref] = true
	return before
}

// under gives the parents of what stands below name.
func under(parents []string, name string) []string {
	return append(parents[:len(parents):len(parents)], name)
}

// labelled tells whether an array of the order begins with a string.
func labelled(doc pdf.Objects, a pdf.Array) bool {
	if len(a) == 0 {
		return false
	}
	_, ok := pdf.AsString(doc, a[0])
	return ok
}
