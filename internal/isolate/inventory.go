package isolate

import (
	"github.com/sizeply/sizeply/internal/pdf"
)

// inventory counts what was removed besides layers and their marks, by kind:
// objects that the output no longer has, and dictionaries within others. now has
// the numbers of objects in the output.
func (e *editor) inventory(now map[pdf.Ref]pdf.Ref) map[string]int {
	counts := map[string]int{}
	for ref := range e.reach(e.doc.PDF) {
		was, left := e.doc.PDF.Object(ref), e.edit.Object(ref)
		if now[ref] == 0 {
			take(counts, was, 1)
		} else if e.edit.Changed(ref) {
			take(counts, was, 1)
			take(counts, left, -1)
		}
	}
	for ref := range now {
		if e.edit.Added(ref) {
			take(counts, e.edit.Object(ref), -1)
		}
	}
	for kind, n := range counts {
		if n <= 0 {
			delete(counts, kind)
		}
	}
	return counts
}

// take adds n for each dictionary of a kind in an object, not in what it refers to.
func take(counts map[string]int, o pdf.Object, n int) {
	switch o := o.(type) {
	case pdf.Array:
		for _, v := range o {
			take(counts, v, n)
		}
	case *pdf.Stream:
		if kind := kindOfStream(o.Dict); kind != "" {
			counts[kind] += n
		}
		takeAll(counts, o.Dict, n)
	case pdf.Dict:
		if kind := kindOf(o); kind != "" {
			counts[kind] += n
		}
		takeAll(counts, o, n)
	}
}

func takeAll(counts map[string]int, d pdf.Dict, n int) {
	for _, v := range d {
		take(counts, v, n)
	}
}

// kindOf says what a dictionary is, for the report; "" for one that counts as
// nothing of its own.
func kindOf(d pdf.Dict) string {
	kind, subtype := d["Type"], d["Subtype"]
	switch {
	case kind == pdf.Name("Font"): // 9.6, 9.7; what is within a composite font is part of it
		if subtype == pdf.Name("CIDFontType0") || subtype == pdf.Name("CIDFontType2") {
			return ""
		}
		return "font"
	case d["EF"] != nil: // 7.11.4
		return "attachment"
	case d["S"] == pdf.Name("JavaScript"): // 12.6.4.17
		return "script"
	case d["FT"] != nil: // 12.7.4; also where it is one with its annotation
		return "field"
	case subtype != nil && d["Rect"] != nil: // 12.5.2
		return "annotation"
	}
	return ""
}

// kindOfStream says what a stream is.
func kindOfStream(d pdf.Dict) string {
	switch {
	case d["Subtype"] == pdf.Name("Image"): // 8.9.5
		return "image"
	case d["Subtype"] == pdf.Name("Form"): // 8.10
		return "form"
	case d["PatternType"] != nil: // 8.7.3
		return "pattern"
	case d["Type"] == pdf.Name("Metadata"): // 14.3.2
		return "metadata"
	}
	return ""
}
