package pdf

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/sizeply/sizeply/layers/failure"
)

// awkward are files with a fault each that nevertheless hold one page with
// the content square. Each is a seed of FuzzOpen.
func awkward() []awkwardFile {
	return []awkwardFile{
		{"without a fault", plain().bytes(), ""},
		{"junk before the header", with(func(s *source) { s.before = strings.Repeat("junk\n", 100) }), ""},
		{"junk before the header that offsets count", with(func(s *source) { s.before, s.shift = "junk\n", 5 }), "searching"},
		{"header of an unknown version", with(func(s *source) { s.header = "%PDF-1.8" }), ""},
		{"header without a version", with(func(s *source) { s.header = "%PDF-" }), ""},
		{"offsets too high", with(func(s *source) { s.shift = 3 }), "searching"},
		{"offsets too low", with(func(s *source) { s.shift = -2 }), ""},
		{"offsets past the end", with(func(s *source) { s.shift = 1e6 }), "searching"},
		{"no startxref", replace(plain().bytes(), "startxref", "startxxxx"), ""},
		{"startxref past the end", replace(plain().bytes(), "startxref\n", "startxref\n99"), ""},
		{"no table", replace(plain().bytes(), "xref\n0", "yref\n0"), ""},
		{"no trailer", replace(plain().bytes(), "trailer", "trolley"), "searching"},
		{"lines ended by carriage returns", bytes.ReplaceAll(plain().bytes(), []byte("\n"), []byte("\r")), ""},
		{"lines ended by both, table not adjusted", bytes.ReplaceAll(plain().bytes(), []byte("\n"), []byte("\r\n")), ""},
		{"table begins at 1", replace(plain().bytes(), "xref\n0 5", "xref\n1 5"), ""},
		{"no endobj", bytes.ReplaceAll(plain().bytes(), []byte("endobj"), nil), ""},
		{"length too short", replace(plain().bytes(), "/Length 16", "/Length  6"), "length of the stream"},
		{"length too long", replace(plain().bytes(), "/Length 16", "/Length 40"), "length of the stream"},
		{"length past the end", replace(plain().bytes(), "/Length 16", "/Length 99999999"), "length of the stream"},
		{"length below zero", replace(plain().bytes(), "/Length 16", "/Length -6"), ""},
		{"length missing", replace(plain().bytes(), "/Length 16", "/Xength 16"), ""},
		{"length is nowhere", withLength("9 0 R"), ""},
		{"length is its own stream", withLength("4 0 R"), "length of the stream"},
		{"length in another object", with(func(s *source) {
			s.objects = append(s.objects[:3], "<</Length 5 0 R>>stream\n"+square+"\nendstream", "16")
		}), ""},
		{"blanks after the word stream", replace(plain().bytes(), "stream\n10", "stream  \n10"), ""},
		{"no endstream", replace(plain().bytes(), "endstream", ""), ""},
		{"highest object number there is", with(func(s *source) {
			s.objects[3] += "\nendobj\n2147483647 0 obj\n<<>>"
		}), ""},
		{"Prev leads to the table itself", loop(), ""},
		{"reference to itself", with(func(s *source) { s.objects = append(s.objects, "5 0 R") }), ""},
		{"an object that is a bomb of arrays", with(func(s *source) {
			s.objects = append(s.objects, nest("[", 100_000))
		}), "lists cannot be read: 1"},
		{"a bomb of dictionaries", with(func(s *source) {
			s.objects = append(s.objects, nest("<</A", 100_000))
		}), "lists cannot be read: 1"},
		{"a string without an end", with(func(s *source) { s.objects = append(s.objects, "(") }), "lists cannot be read: 1"},
		{"a word that is no object", with(func(s *source) { s.objects = append(s.objects, "[oops]") }), ""},
		{"stream filter in another object", with(func(s *source) {
			s.objects = append(s.objects[:3], stream("/Filter[5 0 R]", asciiHex(square)), "/ASCIIHexDecode")
		}), ""},
		{"no Size", replace(plain().bytes(), "/Size 5", "/Sise 5"), ""},
		{"cross-reference stream", xrefStream("000000"), ""},
		{"cross-reference stream that is named as an object stream", xrefStream("020005"), ""},
		{"object in itself as an object stream", xrefStream("020006"), ""},
		{"hybrid file", hybrid(), ""},
		{"objects in an object stream", inObjectStream("ObjStm"), ""},
		{"trailing junk", append(plain().bytes(), bytes.Repeat([]byte{0}, 2000)...), ""},
	}
}

type awkwardFile struct {
	name string
	data []byte
	// warning is part of a warning that Open gives, "" where this does not
	// matter.
	warning string
}

// with is the plain file with changes.
func with(change func(*source)) []byte {
	s := plain()
	change(&s)
	return s.bytes()
}

func withLength(text string) []byte {
	return with(func(s *source) {
		s.objects[3] = fmt.Sprintf("<</Length %s>>\nstream\n%s\nendstream", text, square)
	})
}

// replace replaces old, which has to be there.
func replace(data []byte, old, new string) []byte {
	if !bytes.Contains(data, []byte(old)) {
		panic(old + " is not there")
	}
	return bytes.Replace(data, []byte(old), []byte(new), 1)
}

func asciiHex(s string) string { return fmt.Sprintf("%X>", s) }

// loop is a file whose trailer names its own table as the previous one.
func loop() []byte {
	data := plain().bytes()
	at := bytes.Index(data, []byte("xref\n0"))
	return replace(data, "/Root", fmt.Sprintf("/Prev %d/Root", at))
}

// xrefStream is the plain file with a cross-reference stream (7.5.8) as text,
// where object 6 has the given row.
func xrefStream(row string) []byte {
	data := plain().bytes()
	at := bytes.Index(data, []byte("xref\n0"))
	rows := "000000"
	for i := range 4 {
		rows += fmt.Sprintf("01%04X", bytes.Index(data, fmt.Appendf(nil, "%d 0 obj", i+1)))
	}
	rows += fmt.Sprintf("01%04X", at) + row
	s := stream("/Type/XRef/Size 7/W[1 2 0]/Root 1 0 R/Filter/AHx", rows+">")
	return fmt.Appendf(data[:at:at], "5 0 obj\n%s\nendobj\nstartxref\n%d\n%%%%EOF", s, at)
}

// hybrid is the plain file with the page hidden from older readers: free in
// the table, and in a cross-reference stream beside it (7.5.8.4).
func hybrid() []byte {
	data := plain().bytes()
	at := bytes.Index(data, []byte("xref\n0"))
	pageAt := bytes.Index(data, []byte("3 0 obj"))
	rows := fmt.Sprintf("01%04X>", pageAt)
	s := stream("/Type/XRef/Size 6/Index[3 1]/W[1 2 0]/Root 1 0 R/Filter/AHx", rows)
	tail := replace(data[at:], fmt.Sprintf("%010d 00000 n", pageAt), "0000000000 00001 f")
	tail = replace(tail, "/Root", fmt.Sprintf("/XRefStm %d/Root", at))
	body := fmt.Appendf(data[:at:at], "5 0 obj\n%s\nendobj\n", s)
	tail = replace(tail, fmt.Sprintf("startxref\n%d", at), fmt.Sprintf("startxref\n%d", len(body)))
	return append(body, tail...)
}

// TestHybrid: what a hybrid file hides from old readers is read by its
// cross-reference stream (7.5.8.4), not by searching, which would find what was
// deleted too.
func TestHybrid(t *testing.T) {
	doc := open(t, hybrid())
	if w := doc.Warnings(); len(w) > 0 || content(t, doc) != square {
		t.Errorf("content %q, warnings %q", content(t, doc), w)
	}
}

// inObjectStream is a file without a table whose catalog and pages are in an
// object stream (7.5.7).
func inObjectStream(kind string) []byte {
	texts := []string{catalog, onePage, page}
	index, body := "", ""
	for i, text := range texts {
		index += fmt.Sprintf("%d %d ", i+1, len(body))
		body += text + " "
	}
	dict := fmt.Sprintf("/Type/%s/N 3/First %d", kind, len(index))
	return fmt.Appendf(nil, "%%PDF-1.5\n4 0 obj\n%s\nendobj\n5 0 obj\n%s\nendobj\n",
		stream("", square), stream(dict, index+body))
}

func TestOpenAwkward(t *testing.T) {
	for _, tt := range awkward() {
		t.Run(tt.name, func(t *testing.T) {
			doc := open(t, tt.data)
			if n := len(doc.Pages()); n != 1 {
				t.Fatalf("%d pages", n)
			}
			if got := strings.TrimSpace(content(t, doc)); got != square {
				t.Errorf("content is %q", got)
			}
			if tt.warning != "" && !hasWarning(doc, tt.warning) {
				t.Errorf("no warning with %q: %q", tt.warning, doc.Warnings())
			}
			checkRewrite(t, doc)
		})
	}
}

func TestOpenErrors(t *testing.T) {
	tests := []struct {
		name string
		data []byte
		want error
	}{
		{"no bytes", nil, ErrEmpty},
		{"text", []byte("pattern\n"), ErrNotPDF},
		{"PostScript", []byte("%!PS-Adobe-3.0\n"), ErrNotPDF},
		{"header after the first 1024 bytes", with(func(s *source) { s.before = strings.Repeat(" ", 1020) }), ErrNotPDF},
		{"only a header", []byte("%PDF-1.7\n"), new(failure.FormatError)},
		{"cut short", plain().bytes()[:100], new(failure.FormatError)},
		{"no catalog", with(func(s *source) { s.objects[0] = "<</Type/Catalog>>" }), new(failure.FormatError)},
		{"a catalog without pages", with(func(s *source) { s.objects[0] = "<</Pages 9 0 R>>" }), new(failure.FormatError)},
		{"no pages", with(func(s *source) { s.objects[1] = "<</Type/Pages/Kids[]/Count 0>>" }), new(failure.FormatError)},
		{"page tree is a number", with(func(s *source) { s.objects[1] = "7" }), new(failure.FormatError)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Open(context.Background(), bytes.NewReader(tt.data), Options{})
			var format *failure.FormatError
			if _, isFormat := tt.want.(*failure.FormatError); isFormat && errors.As(err, &format) && format.Reason != "" {
				return
			}
			if !errors.Is(err, tt.want) {
				t.Errorf("got %v, want %v", err, tt.want)
			}
		})
	}
}

// TestOpenCut opens every beginning of a file.
func TestOpenCut(t *testing.T) {
	for _, data := range [][]byte{plain().bytes(), xrefStream("000000"), rewritten(t)} {
		for n := range data {
			_, err := Open(context.Background(), bytes.NewReader(data[:n]), Options{})
			if err != nil && !expected(err) {
				t.Errorf("cut to %d bytes: %v", n, err)
			}
		}
	}
}

// rewritten is the plain file as Write writes it.
func rewritten(t testing.TB) []byte {
	data, _ := write(t, open(t, plain().bytes()).Edit())
	return data
}

func TestOpenLimits(t *testing.T) {
	many := with(func(s *source) { s.objects[1] = "<</Kids[" + strings.Repeat("3 0 R ", 200) + "]>>" })
	tests := []struct {
		name string
		data []byte
		lim  Limits
		want string
	}{
		{"size of the file", plain().bytes(), Limits{FileBytes: 100}, "100 bytes of the file"},
		{"objects", plain().bytes(), Limits{Objects: 3}, "3 objects"},
		{"pages", many, Limits{Objects: 100}, "100 pages"},
		{"text of objects", many, Limits{ObjectBytes: 500}, "500 bytes of objects"},
		{"objects in object streams", inObjectStream("ObjStm"), Limits{ObjectBytes: 150}, "150 bytes of objects"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Open(context.Background(), bytes.NewReader(tt.data), Options{Limits: tt.lim})
			var limit *failure.LimitError
			if !errors.As(err, &limit) || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want the limit of %s", err, tt.want)
			}
		})
	}
}

// TestContentLimit: the content that may be gone through grows with the file, where
// nothing else is said.
func TestContentLimit(t *testing.T) {
	for _, c := range []struct {
		lim        Limits
		size, want int64
	}{
		{Limits{}, 0, 256 << 20},
		{Limits{}, 16 << 20, 256 << 20},
		{Limits{}, 226_000_000, 16 * 226_000_000},
		{Limits{PageBytes: 1 << 20}, 100, 256 << 20},
		{Limits{PageBytes: 1 << 30}, 100, 1 << 30},
		{Limits{ContentBytes: 5}, 226_000_000, 5},
	} {
		if got := c.lim.ForFile(c.size).Content(); got != c.want {
			t.Errorf("%+v, a file of %d bytes: %d bytes of content, want %d", c.lim, c.size, got, c.want)
		}
	}
}

// TestOpenSameObject has all entries of a table lead to one big object, which
// must not be read once for each.
func TestOpenSameObject(t *testing.T) {
	data := []byte("%PDF-1.4\n1 0 obj\n[" + strings.Repeat("0 ", 1<<18) + "]\nendobj\n")
	start := len(data)
	data = fmt.Appendf(data, "xref\n0 100000\n%strailer\n<</Size 100000/Root 1 0 R>>\nstartxref\n%d\n",
		strings.Repeat("0000000009 00000 n \n", 100_000), start)
	if _, err := Open(context.Background(), bytes.NewReader(data), Options{}); !expected(err) {
		t.Errorf("got %v", err)
	}
}

func TestOpenReader(t *testing.T) {
	in := bytes.NewReader(plain().bytes())
	if _, err := in.Seek(50, io.SeekStart); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(context.Background(), in, Options{}); err != nil {
		t.Errorf("reader that stands at byte 50: %v", err)
	}
	broken := struct {
		io.Reader
		io.Seeker
	}{iotest.ErrReader(os.ErrPermission), in}
	if _, err := Open(context.Background(), broken, Options{}); !errors.Is(err, os.ErrPermission) {
		t.Errorf("reader that fails: %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Open(ctx, in, Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("context that has ended: %v", err)
	}
}

func TestOpenUpdated(t *testing.T) {
	data := with(func(s *source) { s.objects = append(s.objects, "(deleted)", "(old)") })
	prev := bytes.LastIndex(data, []byte("xref\n0"))
	at := len(data)
	data = fmt.Appendf(data, "6 0 obj\n(new)\nendobj\n")
	start := len(data)
	data = fmt.Appendf(data, "xref\n5 2\n0000000000 00001 f \n%010d 00000 n \ntrailer\n<</Size 7/Root 1 0 R/Prev %d>>\nstartxref\n%d\n%%%%EOF\n",
		at, prev, start)
	doc := open(t, data)
	if got := doc.Object(6); got != String("new") {
		t.Errorf("object 6 is %v, want what the update says", got)
	}
	if got := doc.Object(5); got != nil {
		t.Errorf("object 5 is %v, want none: the update frees it", got)
	}
	if w := doc.Warnings(); len(w) > 0 {
		t.Errorf("warnings %q", w)
	}
}

func TestVersion(t *testing.T) {
	tests := []struct{ header, catalog, want string }{
		{"1.3", "", "1.3"},
		{"1.4", "1.7", "1.7"},
		{"1.7", "1.4", "1.7"},
		{"2.0", "1.7", "2.0"},
		{"1.8", "", "1.8"},
		{"1.4", "junk", "1.4"},
		{"", "", "1.4"},
	}
	for _, tt := range tests {
		doc := open(t, with(func(s *source) {
			s.header = "%PDF-" + tt.header
			if tt.catalog != "" {
				s.objects[0] = "<</Type/Catalog/Pages 2 0 R/Version/" + tt.catalog + ">>"
			}
		}))
		if got := doc.version; got != tt.want {
			t.Errorf("header %q, catalog %q: %q, want %q", tt.header, tt.catalog, got, tt.want)
		}
	}
}

func TestDocument(t *testing.T) {
	doc := open(t, with(func(s *source) {
		s.objects = append(s.objects, "<</Title(T)>>")
		s.trailer = "/Info 5 0 R"
	}))
	root, ref := doc.Root()
	if ref != 1 || root["Type"] != Name("Catalog") {
		t.Errorf("catalog is object %d, %v", ref, root)
	}
	if got := doc.Info(); got != 5 {
		t.Errorf("information dictionary is object %d", got)
	}
	if s := AsStream(doc, Ref(4)); s == nil || s.Dict["Length"] != nil || string(s.Raw) != square {
		t.Errorf("object 4 is %v", s)
	}
	for _, data := range [][]byte{xrefStream("000000"), inObjectStream("ObjStm")} {
		if doc := open(t, data); len(doc.Refs()) != 4 {
			t.Errorf("objects are %v: those of the file's own structure are none", doc.Refs())
		}
	}
}

// TestTrailerDirect reads what should be objects of their own.
func TestTrailerDirect(t *testing.T) {
	doc := open(t, with(func(s *source) { s.trailer = "/Info<</Title(T)>>" }))
	if d := AsDict(doc, doc.Info()); d["Title"] != String("T") {
		t.Errorf("information dictionary is %v", d)
	}
	checkRewrite(t, doc)
}

// TestOpenBig: what kept another reader busy for minutes is read at once, by its
// table and by searching, and the end of the context ends it as soon.
func TestOpenBig(t *testing.T) {
	for _, last := range []string{"[" + strings.Repeat("stream ", 200_000) + "]", "[" + strings.Repeat("(a) ", 1_000_000) + "]"} {
		data := with(func(s *source) { s.objects = append(s.objects, last) })
		for _, data := range [][]byte{data, replace(data, "startxref", "startxxxx")} {
			began := time.Now()
			if doc := open(t, data); len(doc.Pages()) != 1 {
				t.Errorf("%d pages", len(doc.Pages()))
			}
			whole := time.Since(began)
			ctx, cancel := context.WithTimeout(context.Background(), whole/20)
			began = time.Now()
			_, err := OpenBytes(ctx, data, Options{})
			cancel()
			if used := time.Since(began); !errors.Is(err, context.DeadlineExceeded) && used > whole/2+time.Second || used > 10*time.Second {
				t.Errorf("when the context ended: %v after %v, all takes %v", err, used, whole)
			}
		}
	}
}

// large is a file of several parts, none of which is like another.
func large() []byte {
	data := make([]byte, 2*readTogether+readTogether/3)
	for i := 0; i < len(data); i += 4096 {
		data[i], data[i+1] = byte(i>>12), byte(i>>20)
	}
	return data
}

func TestReadAllInParts(t *testing.T) {
	data := large()
	for name, in := range map[string]io.ReadSeeker{
		"read at offsets": bytes.NewReader(data),
		"read in order":   struct{ io.ReadSeeker }{bytes.NewReader(data)},
	} {
		if got, err := ReadAll(context.Background(), in, Limits{}); err != nil || !bytes.Equal(got, data) {
			t.Errorf("%s: %d bytes, %v; want the %d bytes of the file", name, len(got), err, len(data))
		}
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		if _, err := ReadAll(ctx, in, Limits{}); !errors.Is(err, context.Canceled) {
			t.Errorf("%s, cancelled: %v", name, err)
		}
	}
}

// shrinking is a file that lost its end after its size was asked for.
type shrinking struct{ *bytes.Reader }

func (s shrinking) ReadAt(p []byte, off int64) (int, error) {
	if off >= readTogether {
		return 0, io.EOF
	}
	return s.Reader.ReadAt(p, off)
}

func TestReadAllOfAShrinkingFile(t *testing.T) {
	if data, err := ReadAll(context.Background(), shrinking{bytes.NewReader(large())}, Limits{}); err == nil {
		t.Errorf("%d bytes and no error", len(data))
	}
}
