package pdf

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestWriteHeader(t *testing.T) {
	for version, want := range map[string]string{"1.3": "1.5", "1.5": "1.5", "1.7": "1.7", "2.0": "2.0"} {
		out, _ := write(t, open(t, with(func(s *source) { s.header = "%PDF-" + version })).Edit())
		if !bytes.HasPrefix(out, []byte("%PDF-"+want+"\n%")) {
			t.Errorf("version %s becomes %q", version, out[:9])
		}
	}
}

// TestWriteReachable leaves out what nothing leads to, and numbers the rest
// breadth first.
func TestWriteReachable(t *testing.T) {
	doc := open(t, with(func(s *source) {
		s.objects[0] = "<</Type/Catalog/Pages 2 0 R/B 5 0 R/A 7 0 R/Z 9 0 R>>"
		s.objects = append(s.objects, "(B)", "(nothing leads here)", "8 0 R", "(A)", "null", "<</Title(T)>>")
		s.trailer = "/Info 10 0 R"
	}))
	out, number := write(t, doc.Edit())
	want := map[Ref]Ref{1: 1, 10: 2, 7: 3, 8: 3, 5: 4, 2: 5, 3: 6, 4: 7}
	if diff := cmp.Diff(want, number); diff != "" {
		t.Errorf("numbers (-want +got):\n%s", diff)
	}
	root, _ := open(t, out).Root()
	if diff := cmp.Diff(Dict{"Type": Name("Catalog"), "Pages": Ref(5), "B": Ref(4), "A": Ref(3)}, root); diff != "" {
		t.Errorf("catalog (-want +got):\n%s", diff)
	}
}

func TestWriteEdited(t *testing.T) {
	doc := open(t, with(func(s *source) {
		s.objects[0] = "<</Type/Catalog/Pages 2 0 R/A 5 0 R/B[5 0 R 6 0 R]>>"
		s.objects = append(s.objects, "(five)", "(six)")
	}))
	before := doc.Hash()
	e := doc.Edit()
	e.Set(5, nil)
	added := e.Add(Dict{"Title": String("new")})
	e.SetInfo(added)
	e.Set(4, NewStream(context.Background(), nil, []byte("new content")))
	if e.Object(5) != nil || e.Object(6) != String("six") || doc.Object(5) != String("five") {
		t.Error("the edit shows other objects than it should")
	}
	out, number := write(t, e)
	if doc.Hash() != before {
		t.Error("the document was changed")
	}
	result := open(t, out)
	root, _ := result.Root()
	if diff := cmp.Diff(Array{nil, number[6]}, root["B"]); diff != "" || root["A"] != nil {
		t.Errorf("references to null: %v", root)
	}
	if d := AsDict(result, result.Info()); d["Title"] != String("new") || number[added] != result.Info() {
		t.Errorf("information dictionary is %v", d)
	}
	if got := content(t, result); got != "new content" {
		t.Errorf("content is %q", got)
	}
	e.SetInfo(0)
	if out, _ = write(t, e); open(t, out).Info() != 0 {
		t.Error("an information dictionary is left")
	}
}

// TestEditAdd checks that new numbers are of no other object.
func TestEditAdd(t *testing.T) {
	e := open(t, plain().bytes()).Edit()
	a, b := e.Add(true), e.Add(false)
	e.Set(100, Integer(1))
	c := e.Add(nil)
	if a != 5 || b != 6 || c != 101 {
		t.Errorf("numbers %d, %d, %d", a, b, c)
	}
}

// TestWriteMany has objects for several object streams.
func TestWriteMany(t *testing.T) {
	doc := open(t, with(func(s *source) {
		var refs strings.Builder
		for i := range 3*perObjectStream + 1 {
			s.objects = append(s.objects, fmt.Sprintf("(%d)", i))
			fmt.Fprintf(&refs, "%d 0 R ", len(s.objects))
		}
		s.objects[0] = "<</Type/Catalog/Pages 2 0 R/A[" + refs.String() + "]>>"
	}))
	out := checkRewrite(t, doc)
	if n := bytes.Count(out, []byte("/ObjStm")); n != 4 {
		t.Errorf("%d object streams", n)
	}
}

var idPattern = regexp.MustCompile(`(?s)/ID \[\((.*?)\) \((.*?)\)\]`)

// TestWriteID checks the file identifier (14.4): the first element stays, the
// second follows from the content.
func TestWriteID(t *testing.T) {
	id := func(s source, content string) (first, second string) {
		e := open(t, s.bytes()).Edit()
		e.Set(4, NewStream(context.Background(), nil, []byte(content)))
		out, _ := write(t, e)
		m := idPattern.FindSubmatch(out)
		if m == nil {
			t.Fatal("no ID")
		}
		return string(m[1]), string(m[2])
	}
	with, without := plain(), plain()
	with.trailer = "/ID[<41424344><45>]"
	first, a := id(with, "a")
	_, b := id(with, "b")
	if first != "ABCD" || a == b || a == "E" {
		t.Errorf("ID is %q, %q, other content %q", first, a, b)
	}
	if first, second := id(without, "a"); first != second || second != a {
		t.Errorf("ID without one before is %q, %q, want %q twice", first, second, a)
	}
}

// TestWriteAwkwardObjects writes what other writers damage.
func TestWriteAwkwardObjects(t *testing.T) {
	objects := Array{
		String("\xfe\xff\x00A\r\n()\\"), String(""), Name("a b#/\u00a0"), Name(""),
		Real(0.1), Real(1e-9), Real(-3), Integer(-1 << 63), Dict{}, Array{}, Dict{"": String("x")},
	}
	doc := open(t, plain().bytes())
	e := doc.Edit()
	root, ref := doc.Root()
	root = root.Clone()
	root["A"] = objects
	e.Set(ref, root)
	out, _ := write(t, e)
	got, _ := open(t, out).Root()
	if diff := cmp.Diff(objects, got["A"]); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// failingWriter takes n bytes.
type failingWriter struct{ n int }

var errFull = errors.New("disk full")

func (w *failingWriter) Write(p []byte) (int, error) {
	if len(p) > w.n {
		n := w.n
		w.n = 0
		return n, errFull
	}
	w.n -= len(p)
	return len(p), nil
}

func TestWriteErrors(t *testing.T) {
	doc := open(t, with(func(s *source) { s.objects[3] = stream("", strings.Repeat(square+" ", 20_000)) }))
	out, _ := write(t, doc.Edit())
	for n := 0; n < len(out); n += 1 + len(out)/50 {
		if _, err := doc.Edit().Write(context.Background(), &failingWriter{n}); !errors.Is(err, errFull) {
			t.Errorf("writer that takes %d of %d bytes: %v", n, len(out), err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := doc.Edit().Write(ctx, new(bytes.Buffer)); !errors.Is(err, context.Canceled) {
		t.Errorf("context that has ended: %v", err)
	}
	e := doc.Edit()
	e.Set(3, Dict{"Type": Name("Page"), "A": 1.5})
	if _, err := e.Write(context.Background(), new(bytes.Buffer)); err == nil || !strings.Contains(err.Error(), "object 3") {
		t.Errorf("object of a wrong type: %v", err)
	}
}

// TestConcurrent writes one document from several goroutines; the race
// detector watches.
func TestConcurrent(t *testing.T) {
	doc := open(t, inObjectStream("ObjStm"))
	before := doc.Hash()
	want, _ := write(t, doc.Edit())
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			var out bytes.Buffer
			if _, err := doc.Edit().Write(context.Background(), &out); err != nil || !bytes.Equal(out.Bytes(), want) {
				t.Errorf("goroutine %d: other bytes, %v", i, err)
			}
			if _, err := PageContent(context.Background(), doc, doc.Pages()[0].Dict, Limits{}); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	if doc.Hash() != before {
		t.Error("the document was changed")
	}
}

// TestHash tells documents apart that differ in one place.
func TestHash(t *testing.T) {
	base := open(t, plain().bytes()).Hash()
	if open(t, plain().bytes()).Hash() != base {
		t.Error("two hashes of one file differ")
	}
	for old, changed := range map[string]string{"100 200": "100 201", "10 10": "10 11", "/Contents 4": "/Contents 5"} {
		if open(t, replace(plain().bytes(), old, changed)).Hash() == base {
			t.Errorf("%s in place of %s has the same hash", changed, old)
		}
	}
}

func TestSerialise(t *testing.T) {
	tests := []struct {
		name string
		in   Object
		want string
	}{
		{"null", nil, "null"},
		{"booleans", Array{true, false}, "[true false]"},
		{"integers", Array{Integer(0), Integer(-7), Integer(math.MaxInt64)}, "[0 -7 9223372036854775807]"},
		{"reals keep a point", Array{Real(1), Real(-0.5), Real(0.1), Real(100)}, "[1.0 -0.5 0.1 100.0]"},
		{"reals have no exponent", Array{Real(1e-7), Real(1e21)}, "[0.0000001 1000000000000000000000.0]"},
		{"what is no number is 0", Array{Real(math.NaN()), Real(math.Inf(1))}, "[0.0 0.0]"},
		{"name", Name("A b/c#d\x00é~"), "/A#20b#2Fc#23d#00#C3#A9~"},
		{"empty name", Name(""), "/"},
		{"string", String("a(b)\\c\r\n\x00\xff"), "(a\\(b\\)\\\\c\\r\n\x00\xff)"},
		{"dictionary by ascending key, without nulls", Dict{"B": nil, "A": Name("X"), "AB": Array{}}, "<</A /X/AB []>>"},
		{"reference", Array{Ref(7)}, "[107 0 R]"},
		{"reference to null in an array", Array{Ref(9)}, "[null]"},
		{"reference to null in a dictionary", Dict{"A": Ref(9), "B": Ref(1)}, "<</B 101 0 R>>"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := serialiser{number: func(r Ref) Ref { return (r + 100) * Ref(b2i(r != 9)) }}
			if err := s.append(tt.in, 0); err != nil || string(s.buf) != tt.want {
				t.Errorf("got %s, %v, want %s", s.buf, err, tt.want)
			}
		})
	}
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestSerialiseErrors(t *testing.T) {
	inside := Array{nil}
	inside[0] = inside
	tests := []struct {
		name string
		in   Object
		want string
	}{
		{"stream inside an object", Array{&Stream{}}, "*pdf.Stream"},
		{"value of another type", Dict{"A": 7}, "int"},
		{"array inside itself", inside, "inside itself"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := serialiser{number: func(r Ref) Ref { return r }}
			if err := s.append(tt.in, 0); err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v", err)
			}
		})
	}
}

// FuzzSerialise checks that what is read as an object is written so that it
// reads as the same object.
func FuzzSerialise(f *testing.F) {
	for _, s := range []string{"[1 -2.5 /A#20B (a\\)\r) <41 4>]", "<</A 1 0 R/B[true null]>>", "1e5", "(\\377\\0"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p := parser{lexer: lexer{data: text}}
		o, err := p.object(0)
		if err != nil {
			return
		}
		s := serialiser{number: func(r Ref) Ref { return r }}
		if err := s.append(o, 0); err != nil {
			t.Fatal(err)
		}
		again := parser{lexer: lexer{data: s.buf}}
		o2, err := again.object(0)
		if err != nil || again.damage != "" || again.pos != len(s.buf) {
			t.Fatalf("%q, written %q: %v, %q", text, s.buf, err, again.damage)
		}
		if !reflect.DeepEqual(o, o2) {
			t.Errorf("%q, written %q, reads as %v, not %v", text, s.buf, o2, o)
		}
	})
}

// Hash returns a hash over all objects with their numbers, and over the raw
// data of all streams: tests hold it against that of before.
func (d *Document) Hash() [32]byte {
	sum := sha256.New()
	same := func(r Ref) Ref { return r }
	for _, r := range d.refs {
		o := d.objects[r]
		stream, isStream := o.(*Stream)
		if isStream {
			o = stream.Dict
		}
		s := serialiser{number: same}
		if err := s.append(o, 0); err != nil {
			panic(fmt.Sprintf("pdf: object %d was changed: %v", r, err))
		}
		fmt.Fprintf(sum, "%d %t %d:%s", r, isStream, len(s.buf), s.buf)
		if isStream {
			fmt.Fprintf(sum, "%d:%s", len(stream.Raw), stream.Raw)
		}
	}
	return [32]byte(sum.Sum(nil))
}
