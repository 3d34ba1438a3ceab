package testpdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Object is an indirect object as source text. A stream has its dictionary in
// Body, without Length.
type Object struct {
	Num    int
	Body   string
	Data   string
	Stream bool
}

// Obj is a plain object: Obj(30, "<</Type /OCMD /OCGs 5 0 R>>").
func Obj(num int, body string) Object { return Object{Num: num, Body: body} }

// Stream is a stream object: Stream(31, "/Type /XObject", "0 0 8 8 re f"). The
// entries go without the angle brackets.
func Stream(num int, entries, data string) Object {
	return Object{Num: num, Body: "<<" + entries + ">>", Data: data, Stream: true}
}

// Form is a form XObject of 100 by 100 units with further entries.
func Form(num int, entries, content string) Object {
	return Stream(num, "/Type /XObject /Subtype /Form /BBox [0 0 100 100] "+entries, Marks(content))
}

// Layout says how BuildObjects writes a file.
type Layout struct {
	// ObjectStreams puts all but streams into one object stream, with a
	// cross-reference stream (ISO 32000-1, 7.5.7, 7.5.8).
	ObjectStreams bool
	// Compress writes all streams with FlateDecode, and the cross-reference
	// stream with a PNG predictor.
	Compress bool
}

// BuildObjects writes a file of the given objects; of several with one number
// the last counts. Object 1 is the catalog.
func BuildObjects(objects []Object, layout Layout) []byte {
	last := map[int]Object{}
	for _, o := range objects {
		last[o.Num] = o
	}
	w := &builder{layout: layout, rows: map[int][3]int{}}
	w.out.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	var packed []Object
	for _, num := range slices.Sorted(maps.Keys(last)) {
		if o := last[num]; layout.ObjectStreams && !o.Stream {
			packed = append(packed, o)
		} else {
			w.object(o)
		}
	}
	next := slices.Max(slices.Collect(maps.Keys(last))) + 1
	if layout.ObjectStreams {
		w.objectStream(next, packed)
		w.xrefStream(next + 1)
	} else {
		w.table(next)
	}
	return w.out.Bytes()
}

type builder struct {
	layout Layout
	out    bytes.Buffer
	rows   map[int][3]int // as in a cross-reference stream
}

func (w *builder) object(o Object) {
	w.rows[o.Num] = [3]int{1, w.out.Len(), 0}
	fmt.Fprintf(&w.out, "%d 0 obj\n", o.Num)
	if !o.Stream {
		w.out.WriteString(o.Body)
	} else {
		w.stream(o)
	}
	w.out.WriteString("\nendobj\n")
}

func (w *builder) stream(o Object) {
	data, filter := o.Data, ""
	if w.layout.Compress && !strings.Contains(o.Body, "/Filter") {
		data, filter = deflate(data), "/Filter /FlateDecode "
	}
	body := strings.TrimSuffix(strings.TrimSpace(o.Body), ">>")
	fmt.Fprintf(&w.out, "%s %s/Length %d>>\nstream\n%s\nendstream", body, filter, len(data), data)
}

func deflate(data string) string {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	_, _ = z.Write([]byte(data)) // a buffer does not fail
	_ = z.Close()
	return b.String()
}

func (w *builder) objectStream(num int, packed []Object) {
	var head, body strings.Builder
	for i, o := range packed {
		fmt.Fprintf(&head, "%d %d ", o.Num, body.Len())
		body.WriteString(o.Body + "\n")
		w.rows[o.Num] = [3]int{2, num, i}
	}
	entries := fmt.Sprintf("/Type /ObjStm /N %d /First %d", len(packed), head.Len())
	w.object(Stream(num, entries, head.String()+body.String()))
}

func (w *builder) xrefStream(num int) {
	start := w.out.Len()
	w.rows[num] = [3]int{1, start, 0}
	var rows, above string
	for i := range num + 1 {
		r := w.rows[i]
		row := string([]byte{byte(r[0]), byte(r[1] >> 16), byte(r[1] >> 8), byte(r[1]), byte(r[2] >> 8), byte(r[2])})
		rows += w.predict(row, above)
		above = row
	}
	entries := fmt.Sprintf("/Type /XRef /Size %d /Root 1 0 R /W [1 3 2]", num+1)
	if w.layout.Compress {
		entries += " /DecodeParms <</Predictor 12 /Columns 6>>"
	}
	w.object(Stream(num, entries, rows))
	fmt.Fprintf(&w.out, "startxref\n%d\n%%%%EOF\n", start)
}

// predict writes a row by the PNG filter Up where streams are compressed.
func (w *builder) predict(row, above string) string {
	if !w.layout.Compress {
		return row
	}
	out := []byte{2}
	for i := range len(row) {
		c := row[i]
		if above != "" {
			c -= above[i]
		}
		out = append(out, c)
	}
	return string(out)
}

func (w *builder) table(size int) {
	start := w.out.Len()
	fmt.Fprintf(&w.out, "xref\n0 %d\n0000000000 65535 f \n", size)
	for i := 1; i < size; i++ {
		if r, ok := w.rows[i]; ok {
			fmt.Fprintf(&w.out, "%010d 00000 n \n", r[1])
		} else {
			w.out.WriteString("0000000000 00000 f \n")
		}
	}
	fmt.Fprintf(&w.out, "trailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", size, start)
}
