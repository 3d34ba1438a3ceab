package testpdf

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var layouts = map[string]Layout{
	"classic":                   {},
	"classic, compressed":       {Compress: true},
	"object streams":            {ObjectStreams: true},
	"object streams, predictor": {ObjectStreams: true, Compress: true},
}

var sampleDoc = Doc{Groups: []string{"A", "B"}, Pages: []Page{{Content: "/OC /A BDC P1 EMC P2"}, {Contents: []string{"P1", "P2"}}}}

// content gives the decoded first content stream of the first page.
func content(t *testing.T, f *file) string {
	t.Helper()
	s, ok := f.get(ContentObject).(*stream)
	if !ok {
		t.Fatal("no content stream")
	}
	data, err := decode(s)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestOpenEveryLayout(t *testing.T) {
	for label, layout := range layouts {
		doc := sampleDoc
		doc.Layout = layout
		f, err := openFile(Build(doc))
		if err != nil {
			t.Errorf("%s: %v", label, err)
			continue
		}
		if f.start < 0 || f.streams != layout.ObjectStreams {
			t.Errorf("%s: start %d, streams %v: the tables were not read", label, f.start, f.streams)
		}
		if got, want := content(t, f), "/OC /A BDC 10 10 8 8 re f EMC 20 10 8 8 re f"; got != want {
			t.Errorf("%s: content %q, want %q", label, got, want)
		}
		if diff := cmp.Diff([]int{5, 6}, f.groups()); diff != "" {
			t.Errorf("%s: groups (-want +got):\n%s", label, diff)
		}
	}
}

// damages are ways to break a file that a reader must get over.
var damages = []struct {
	name    string
	scanned bool
	do      func(string) string
}{
	{"bytes before the header", false, func(s string) string { return "junk\n" + s }},
	{"wrong startxref", true, func(s string) string { return strings.Replace(s, "startxref\n", "startxref\n9", 1) }},
	{"no startxref", true, func(s string) string { return s[:strings.LastIndex(s, "startxref")] }},
	{"wrong length of a stream", true, func(s string) string { return strings.Replace(s, "/Length ", "/Length 9", 1) }},
	{"wrong offsets", true, func(s string) string { return strings.Replace(s, "%PDF-1.7\n", "%PDF-1.7\n\n\n", 1) }},
}

func TestOpenDamaged(t *testing.T) {
	for _, d := range damages {
		for label, layout := range layouts {
			doc := sampleDoc
			doc.Layout = layout
			f, err := openFile([]byte(d.do(string(Build(doc)))))
			if err != nil {
				t.Errorf("%s, %s: %v", d.name, label, err)
				continue
			}
			if diff := cmp.Diff([]int{5, 6}, f.groups()); diff != "" {
				t.Errorf("%s, %s: groups (-want +got):\n%s", d.name, label, diff)
			}
			if !d.scanned && f.start < 0 {
				t.Errorf("%s, %s: the tables were not read", d.name, label)
			}
			if !strings.Contains(content(t, f), "10 10 8 8 re f") {
				t.Errorf("%s, %s: content lost", d.name, label)
			}
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	cases := map[string]string{
		"nothing":       "",
		"not a PDF":     "hello",
		"no page tree":  "1 0 obj <</Type /Catalog>> endobj trailer <</Root 1 0 R>>",
		"cyclic root":   "1 0 obj 2 0 R endobj 2 0 obj 1 0 R endobj trailer <</Root 1 0 R>>",
		"encrypted":     strings.Replace(string(Build(Doc{})), "trailer\n<<", "trailer\n<</Encrypt 9 0 R ", 1),
		"cut in a word": string(Build(Doc{}))[:40],
	}
	for label, in := range cases {
		if _, err := openFile([]byte(in)); err == nil {
			t.Errorf("%s: opened", label)
		}
	}
}

// A hybrid file (7.5.8.4): the table declares the object free that its
// cross-reference stream has.
func TestHybrid(t *testing.T) {
	var b bytes.Buffer
	at := map[int]int{}
	put := func(num int, body string) {
		at[num] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", num, body)
	}
	b.WriteString("%PDF-1.5\n")
	put(1, "<</Type /Catalog /Pages 2 0 R /OCProperties <</OCGs [4 0 R]>>>>")
	put(2, "<</Type /Pages /Count 0 /Kids []>>")
	put(3, "<</Type /ObjStm /N 1 /First 4 /Length 33>>\nstream\n4 0 <</Type /OCG /Name (hidden)>>\nendstream")
	put(5, "<</Type /XRef /Size 6 /Index [4 1] /W [1 1 1] /Length 3>>\nstream\n\x02\x03\x00\nendstream")
	start := b.Len()
	fmt.Fprintf(&b, "xref\n0 5\n0000000000 65535 f \n%010d 00000 n \n%010d 00000 n \n%010d 00000 n \n0000000000 00000 f \n",
		at[1], at[2], at[3])
	fmt.Fprintf(&b, "trailer\n<</Size 6 /Root 1 0 R /XRefStm %d>>\nstartxref\n%d\n%%%%EOF\n", at[5], start)
	f, err := openFile(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]int{4}, f.groups()); diff != "" || f.start < 0 {
		t.Errorf("start %d, groups (-want +got):\n%s", f.start, diff)
	}
}

// The rows of PNG filters (PNG specification, third edition, 9.2), each of
// which gives the row 10 20 30 40 below the row 1 2 3 4, for one byte a pixel.
func TestUnfilter(t *testing.T) {
	cases := []struct {
		name string
		row  []byte
	}{
		{"none", []byte{0, 10, 20, 30, 40}},
		{"sub", []byte{1, 10, 10, 10, 10}},
		{"up", []byte{2, 9, 18, 27, 36}},
		{"average", []byte{3, 10, 14, 19, 23}},
		{"paeth", []byte{4, 9, 10, 10, 10}},
	}
	parms := dict{"Predictor": atom("15"), "Columns": atom("4")}
	for _, c := range cases {
		got, err := unpredict(append([]byte{0, 1, 2, 3, 4}, c.row...), parms)
		if diff := cmp.Diff([]byte{1, 2, 3, 4, 10, 20, 30, 40}, got); diff != "" || err != nil {
			t.Errorf("%s: %v (-want +got):\n%s", c.name, err, diff)
		}
	}
}
