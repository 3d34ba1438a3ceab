package survey

import (
	"cmp"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// PrivateData is what a program left in a file for itself (14.5): often the
// whole drawing a second time, in a form of its own. Isolate takes it out.
type PrivateData struct {
	// Page is the page it belongs to, 0 for the file as a whole or for a part of
	// a page that is drawn as a form.
	Page int `json:"page,omitempty"`
	// Program is the name under which the program left it.
	Program string `json:"program"`
	// Bytes is the size of its streams as they stand in the file. Without any, it
	// is a few settings and no drawing.
	Bytes int `json:"bytes"`
}

// privateData finds the page-piece dictionaries of all objects.
func privateData(doc *pdf.Document) []PrivateData {
	pages := map[pdf.Ref]int{}
	for _, p := range doc.Pages() {
		pages[p.Ref] = p.Number
	}
	var list []PrivateData
	for _, ref := range doc.Refs() {
		dict, _ := doc.Object(ref).(pdf.Dict)
		if st, ok := doc.Object(ref).(*pdf.Stream); ok {
			dict = st.Dict
		}
		pieces := pdf.AsDict(doc, dict["PieceInfo"])
		for _, program := range pieces.Keys() {
			list = append(list, PrivateData{pages[ref], string(program), weigh(doc, pieces[program])})
		}
	}
	slices.SortStableFunc(list, func(a, b PrivateData) int { return cmp.Compare(a.Page, b.Page) })
	return list
}

// maxWeighed bounds the objects that are weighed.
const maxWeighed = 100_000

// weigh adds up the streams that a value leads to, each once. It does not leave
// private data by the way of a page.
func weigh(src pdf.Objects, o pdf.Object) (size int) {
	seen := map[pdf.Ref]bool{}
	for todo := []pdf.Object{o}; len(todo) > 0; {
		o := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		switch o := o.(type) {
		case pdf.Ref:
			if !seen[o] && len(seen) < maxWeighed {
				seen[o] = true
				todo = append(todo, src.Object(o))
			}
		case pdf.Array:
			todo = append(todo, o...)
		case pdf.Dict:
			if t := pdf.AsName(src, o["Type"]); t != "Page" && t != "Pages" && t != "Catalog" {
				for _, k := range o.Keys() {
					todo = append(todo, o[k])
				}
			}
		case *pdf.Stream:
			size += len(o.Raw)
			todo = append(todo, o.Dict)
		}
	}
	return size
}
