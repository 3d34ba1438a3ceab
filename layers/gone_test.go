package layers

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
)

// found is everything that a file holds: each object as text, the decoded data
// of each stream, and the bytes of the file itself.
type found struct{ places map[string]string }

// find reads a file with the packages below this one and gives all of it.
func find(tb testing.TB, file []byte) found {
	tb.Helper()
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		tb.Fatalf("open the output: %v", err)
	}
	f := found{map[string]string{"bytes of the file": string(file)}}
	for _, ref := range doc.Refs() {
		o := doc.Object(ref)
		if st, ok := o.(*pdf.Stream); ok {
			data, err := pdf.Decode(doc, st, 0)
			if err != nil {
				data = st.Raw
			}
			f.places[fmt.Sprintf("data of object %d", ref)] = string(data)
			o = st.Dict
		}
		f.places[fmt.Sprintf("object %d", ref)] = spelled(o)
	}
	return f
}

// spelled is an object as text with its strings and names as they are.
func spelled(o pdf.Object) string {
	var b strings.Builder
	switch o := o.(type) {
	case pdf.Array:
		for _, v := range o {
			b.WriteString(spelled(v) + " ")
		}
		return "[" + b.String() + "]"
	case pdf.Dict:
		for _, k := range o.Keys() {
			b.WriteString("/" + string(k) + " " + spelled(o[k]) + " ")
		}
		return "<<" + b.String() + ">>"
	case pdf.Name:
		return "/" + string(o)
	case pdf.String:
		return "(" + string(o) + ")"
	case pdf.Ref:
		return fmt.Sprintf("%d 0 R", o)
	default:
		return fmt.Sprint(o)
	}
}

// has tells whether a text is anywhere.
func (f found) has(text string) bool { return len(f.where(text)) > 0 }

// where lists the places of a text.
func (f found) where(text string) []string {
	var list []string
	for place, s := range f.places {
		if strings.Contains(s, text) {
			list = append(list, place)
		}
	}
	return list
}
