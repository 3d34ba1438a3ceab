package layers

import (
	"context"
	"fmt"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// words describes an object: equal ones look alike.
func (tr *tracer) words(o pdf.Object, depth int) string {
	if depth > 12 {
		return "…"
	}
	if ref, ok := o.(pdf.Ref); ok {
		if tr.off[ref] || depth > 0 && tr.known[ref] != "" {
			return tr.known[ref]
		}
		tr.known[ref] = "…"
		w := tr.words(pdf.Resolve(tr.src, o), depth)
		if tr.known[ref] = w; len(w) > 40 {
			tr.known[ref] = hashed(w)
		}
		return tr.known[ref]
	}
	switch o := o.(type) {
	case nil:
		return "null"
	case pdf.Array:
		var b strings.Builder
		for _, v := range o {
			b.WriteString(tr.words(v, depth+1) + " ")
		}
		return "[" + b.String() + "]"
	case pdf.Dict:
		var b strings.Builder
		for _, k := range o.Keys() {
			switch k {
			case "OC", "Parent", "Alternates", "StructParents", "StructParent", "Length", "Resources", "Type", "Metadata", "PieceInfo", "LastModified":
				continue
			}
			b.WriteString(string(k) + ":" + tr.words(o[k], depth+1) + " ")
		}
		return "<" + b.String() + ">"
	case *pdf.Stream:
		if pdf.AsInt(tr.src, o.Dict["PatternType"], 0) == 1 || pdf.AsName(tr.src, o.Dict["Subtype"]) == "Form" {
			return tr.drawing(o, nil, newTraceState())
		}
		return hashed(string(o.Raw)) + tr.words(o.Dict, depth+1)
	}
	return fmt.Sprintf("%v", o)
}

// drawing describes a stream by what it paints.
func (tr *tracer) drawing(st *pdf.Stream, outer []pdf.Object, s traceState) string {
	d := st.Dict.Clone()
	delete(d, "Filter")
	delete(d, "DecodeParms")
	delete(d, "Matrix")
	var b strings.Builder
	b.WriteString(tr.words(d, 1) + tr.words(st.Dict["Matrix"], 0))
	for _, m := range tr.form(&pdf.Stream{Dict: d, Raw: tr.raw(st)}, outer, s) {
		b.WriteString(m.String() + ";")
	}
	return hashed(b.String())
}

func (tr *tracer) raw(st *pdf.Stream) []byte {
	data, err := pdf.Decode(context.Background(), tr.src, st, 0)
	if err != nil {
		return nil
	}
	return data
}
