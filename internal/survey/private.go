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
			size := (&weigher{src: doc, seen: map[pdf.Ref]bool{}}).weigh(pieces[program])
			list = append(list, PrivateData{Page: pages[ref], Program: string(program), Bytes: size})
		}
	}
	slices.SortStableFunc(list, func(a, b PrivateData) int { return cmp.Compare(a.Page, b.Page) })
	return list
}

// maxWeighed bounds the objects that a weigher goes through.
const maxWeighed = 100_000

// weigher adds up the streams that a value leads to, each once. It does not
// leave private data by the way of a page.
type weigher struct {
	src  pdf.Objects
	seen map[pdf.Ref]bool
}

func (w *weigher) weigh(o pdf.Object) int {
	size := 0
	for todo := []pdf.Object{o}; len(todo) > 0; {
		o := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		switch o := o.(type) {
		case pdf.Ref:
			if !w.seen[o] && len(w.seen) < maxWeighed {
				w.seen[o] = true
				todo = append(todo, w.src.Object(o))
			}
		case pdf.Array:
			todo = append(todo, o...)
		case pdf.Dict:
			if t := pdf.AsName(w.src, o["Type"]); t == "Page" || t == "Pages" || t == "Catalog" {
				continue
			}
			for _, k := range o.Keys() {
				todo = append(todo, o[k])
			}
		case *pdf.Stream:
			size += len(o.Raw)
			todo = append(todo, o.Dict)
		}
	}
	return size
}
