package testpdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// Object numbers that Build gives. Numbers from 30 to 999 are the caller's.
const (
	CatalogObject = 1
	PagesObject   = 2
	PageObject    = 3 // the first page; see Doc.PageObject
	ContentObject = 4 // the first content stream of the first page
	GroupObject   = 5 // the first group; the others follow
	FontObject    = 29
	maxGroups     = FontObject - GroupObject
)

// Doc is a small document in words. Its zero value is one empty page.
type Doc struct {
	// Groups are the names of optional content groups, objects 5, 6, 7, …; at
	// most 24. All are on by default.
	Groups []string
	// OCProperties replaces the dictionary that lists Groups; "none" leaves
	// the entry out.
	OCProperties string
	// Pages are the pages in order, one empty page if none.
	Pages []Page
	// Objects come in addition, and replace what has the same number.
	Objects []Object
	// Catalog and Tree are more entries of the catalog and of the page tree
	// node, such as "/PageMode /UseOC".
	Catalog, Tree string
	// Layout is how the file is written.
	Layout Layout
}

// Page is one page of a Doc.
type Page struct {
	// Content is the content stream, with the macros of Marks; Contents are
	// several in its place.
	Content  string
	Contents []string
	// Resources replaces DefaultResources; "none" leaves the entry out.
	Resources string
	// Entries are more entries, such as "/Rotate 90". A MediaBox here replaces
	// [0 0 100 100].
	Entries string
}

// Build writes a document. The same Doc gives the same bytes.
func Build(d Doc) []byte {
	if len(d.Pages) == 0 {
		d.Pages = []Page{{}}
	}
	objects := []Object{
		Obj(CatalogObject, fmt.Sprintf("<</Type /Catalog /Pages 2 0 R %s %s>>", d.properties(), d.Catalog)),
		Obj(PagesObject, d.tree()),
		Obj(FontObject, helvetica),
	}
	for i, g := range d.Groups {
		objects = append(objects, Obj(GroupObject+i, fmt.Sprintf("<</Type /OCG /Name (%s)>>", escape(g))))
	}
	for i := range d.Pages {
		objects = append(objects, d.page(i)...)
	}
	return BuildObjects(append(objects, d.Objects...), d.Layout)
}

// PageObject is the object number of a page by its index from 0.
func (d Doc) PageObject(i int) int {
	if i == 0 {
		return PageObject
	}
	return 1000 + 100*i
}

// DefaultResources is what a page has by default: the groups as properties by
// their names, and Helvetica as F.
func (d Doc) DefaultResources() string {
	properties := dict{}
	for i, g := range d.Groups {
		properties[name(g)] = ref{num: GroupObject + i}
	}
	var b bytes.Buffer
	write(&b, dict{"Font": dict{"F": ref{num: FontObject}}, "Properties": properties})
	return b.String()
}

func (d Doc) properties() string {
	if len(d.Groups) > maxGroups {
		panic(fmt.Sprintf("testpdf: %d groups, more than %d", len(d.Groups), maxGroups))
	}
	switch {
	case d.OCProperties == "none" || d.OCProperties == "" && len(d.Groups) == 0:
		return ""
	case d.OCProperties != "":
		return "/OCProperties " + d.OCProperties
	}
	all := d.refs()
	return fmt.Sprintf("/OCProperties <</OCGs [%s] /D <</Name (default) /ON [%s] /OFF [] /Order [%s]>>>>", all, all, all)
}

func (d Doc) refs() string {
	var refs []string
	for i := range d.Groups {
		refs = append(refs, fmt.Sprintf("%d 0 R", GroupObject+i))
	}
	return strings.Join(refs, " ")
}

func (d Doc) tree() string {
	var kids []string
	for i := range d.Pages {
		kids = append(kids, fmt.Sprintf("%d 0 R", d.PageObject(i)))
	}
	return fmt.Sprintf("<</Type /Pages /Count %d /Kids [%s] %s>>", len(d.Pages), strings.Join(kids, " "), d.Tree)
}

// page gives the page object and its content streams.
func (d Doc) page(i int) []Object {
	p, num := d.Pages[i], d.PageObject(i)
	parts := p.Contents
	if parts == nil {
		parts = []string{p.Content}
	}
	var streams []Object
	var refs []string
	for k, part := range parts {
		n := num + 1 + k
		if i == 0 && k > 0 {
			n = 1000 + k
		}
		streams = append(streams, Stream(n, "", Marks(part)))
		refs = append(refs, fmt.Sprintf("%d 0 R", n))
	}
	contents := strings.Join(refs, " ")
	if p.Contents != nil {
		contents = "[" + contents + "]"
	}
	body := fmt.Sprintf("<</Type /Page /Parent 2 0 R %s %s /Contents %s %s>>", d.box(p), d.resources(p), contents, p.Entries)
	return append([]Object{Obj(num, body)}, streams...)
}

func (d Doc) box(p Page) string {
	if strings.Contains(p.Entries, "/MediaBox") || strings.Contains(d.Tree, "/MediaBox") {
		return ""
	}
	return "/MediaBox [0 0 100 100]"
}

func (d Doc) resources(p Page) string {
	switch p.Resources {
	case "none":
		return ""
	case "":
		return "/Resources " + d.DefaultResources()
	}
	return "/Resources " + p.Resources
}

var mark = regexp.MustCompile(`(^|[\s\]])P([1-9])\b`)

// Marks writes the words P1 to P9 out as small painted squares, a different
// place each: Pn is "10n 10 8 8 re f".
func Marks(content string) string {
	// Twice, since the space between two marks belongs to one match only.
	for range 2 {
		content = mark.ReplaceAllString(content, "${1}${2}0 10 8 8 re f")
	}
	return content
}

func escape(s string) string {
	return strings.NewReplacer("\\", "\\\\", "(", "\\(", ")", "\\)").Replace(s)
}

// helvetica has the widths of the standard font (Adobe font metrics), so that
// nothing depends on metrics built into a program.
var helvetica = "<</Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding" +
	" /FirstChar 32 /LastChar 126 /Widths [" + strings.Join(strings.Fields(helveticaWidths), " ") + "]>>"

const helveticaWidths = `
278 278 355 556 556 889 667 191 333 333 389 584 278 333 278 278
556 556 556 556 556 556 556 556 556 556 278 278 584 584 584 556
1015 667 667 722 722 667 611 778 722 278 500 667 556 833 722 778
667 778 722 667 611 722 667 944 667 667 611 278 278 278 469 556
333 556 556 500 556 556 278 556 556 222 222 500 222 833 556 556
556 556 333 500 278 556 500 722 500 500 500 334 260 334 584`

// Normal writes white space as single spaces, for comparing content in tests.
func Normal(content string) string {
	return string(bytes.Join(bytes.Fields([]byte(content)), []byte(" ")))
}

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
