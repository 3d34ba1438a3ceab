package pdf

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestEvenHex: white space within hexadecimal strings is read behind their
// digits (7.3.4.3), in whatever portions, and nothing else changes.
func TestEvenHex(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, c := range []struct{ in, want string }{
		{"<4 1>", "<41 >"},
		{"x<4\n1 5>y<41><a\x00b>", "x<415  >y<41><ab >"},
		{"<< /A <4 1> >>", "<< /A <41 > >>"},
		{"<4 g>< 41><41", "<4 g>< 41><41"},
		{"", ""},
	} {
		in, want := strings.Repeat(c.in, 50), strings.Repeat(c.want, 50)
		read := newLibraryReader([]byte(in), largeStream)
		if got, err := io.ReadAll(read); err != nil || string(got) != want {
			t.Errorf("%q is read as %q (%v), want %q", c.in, got[:len(c.want)], err, c.want)
		}
		for range 500 {
			from := r.IntN(len(in) + 1)
			buf := make([]byte, r.IntN(20))
			if _, err := read.Seek(int64(from), io.SeekStart); err != nil {
				t.Fatal(err)
			}
			n, _ := io.ReadFull(read, buf)
			if string(buf[:n]) != want[from:from+n] {
				t.Fatalf("%q from %d: %q, want %q", c.in, from, buf[:n], want[from:from+n])
			}
		}
	}
}

// TestHasBrokenHex: the short way gives the answer of the long one.
func TestHasBrokenHex(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	found := 0
	for range 20000 {
		text := make([]byte, r.IntN(12))
		for i := range text {
			text[i] = "<<>> \n4aG("[r.IntN(10)]
		}
		want := brokenHex.Match(text)
		if got := hasBrokenHex(text); got != want {
			t.Fatalf("%q: %t, want %t", text, got, want)
		}
		if want {
			found++
		}
	}
	if found == 0 {
		t.Error("none was found")
	}
}

// TestOutsideStreams: the data of streams is not touched, which may be that of
// an object stream.
func TestOutsideStreams(t *testing.T) {
	for _, c := range []struct{ in, want string }{
		{"1 0 obj<</A <4 1>>>stream\n<4 1><4 2>\nendstream endobj <4 3>", "1 0 obj<</A <41 >>>stream\n<4 1><4 2>\nendstream endobj <43 >"},
		{"<4 1> stream <4 1>", "<41 > stream <41 >"},
		{"<</A 1>>stream <4 1>", "<</A 1>>stream <41 >"}, // no end in sight
		{"<<>>stream <4 1>endstream<<>>stream<4 1>endstream <4 1>", "<<>>stream <4 1>endstream<<>>stream<4 1>endstream <41 >"},
	} {
		if got, err := io.ReadAll(newLibraryReader([]byte(c.in), largeStream)); err != nil || string(got) != c.want {
			t.Errorf("%q is read as %q (%v), want %q", c.in, got, err, c.want)
		}
	}
}

// TestCutAt: nothing that begins with the byte and does not hold it again is
// cut in two.
func TestCutAt(t *testing.T) {
	for _, c := range []struct {
		in   string
		n    int
		want []int
	}{
		{"aa<aaaa<aa", 2, []int{0, 7, 10}},
		{"<<<<<<<<", 4, []int{0, 2, 4, 6, 8}},
		{"<aaaaaaa", 2, []int{0, 8, 8}},
		{"", 3, []int{0, 0, 0, 0}},
		{"aaaaaaa<", 4, []int{0, 7, 7, 7, 8}},
		{"<", 1, []int{0, 1}},
	} {
		if got := cutAt([]byte(c.in), '<', c.n); !slices.Equal(got, c.want) {
			t.Errorf("%q in %d: %v, want %v", c.in, c.n, got, c.want)
		}
	}
}

// TestStreamData: only what is the data of a stream, to its true end, is not
// given to pdfcpu.
func TestStreamData(t *testing.T) {
	for _, c := range []struct {
		name, before, data, after string
		want                      bool
	}{
		{"a stream", "1 0 obj\n<</Length 9>>\nstream\n", "123456789", "\nendstream", true},
		{"without an end of line behind", "1 0 obj<</Length 9>>stream\r\n", "123456789", "endstream", true},
		{"a length that is too short", "1 0 obj<</Length 8>>stream\n", "12345678", "9\nendstream", false},
		{"one that is too long", "1 0 obj<</Length 10>>stream\n", "123456789\n", "endstream", true},
		{"one far too long", "1 0 obj<</Length 12>>stream\n", "123456789\nen", "dstream", false},
		{"an object stream", "1 0 obj<</Type/ObjStm/N 1/Length 9>>stream\n", "123456789", "\nendstream", false},
		{"a cross-reference stream", "1 0 obj<</Type/XRef/Length 9>>stream\n", "123456789", "\nendstream", false},
		{"a type that may be spelt otherwise", "1 0 obj<</Type/O#62jStm/Length 9>>stream\n", "123456789", "\nendstream", false},
		{"the type of the object before", "1 0 obj<</Type/ObjStm>>endobj 2 0 obj<</Length 9>>stream\n", "123456789", "\nendstream", true},
		{"no object in sight", "<</Length 9>>stream\n", "123456789", "\nendstream", false},
		{"a dictionary without an end in sight", "1 0 obj<</A(" + strings.Repeat("x", longestDict) + ")>>stream\n", "123456789", "\nendstream", false},
		{"no stream", "1 0 obj(a)\n", "123456789", "\nendstream", false},
		{"the end of the file", "1 0 obj<</Length 9>>stream\n", "123456789", "", false},
	} {
		all := []byte(c.before + c.data + c.after)
		if got := isStreamData(all, len(c.before), len(c.before)+len(c.data)); got != c.want {
			t.Errorf("%s: %t", c.name, got)
		}
		buf := bytes.Repeat([]byte("z"), len(c.data))
		read := newLibraryReader(all, 1)
		_, _ = read.Seek(int64(len(c.before)), io.SeekStart)
		if n, err := read.Read(buf); n != len(buf) || err != nil || (buf[0] == 'z') != c.want || all[len(c.before)] == 'z' {
			t.Errorf("%s: %d bytes are read (%v): %q", c.name, n, err, buf)
		}
		if rest, _ := io.ReadAll(read); string(rest) != c.after {
			t.Errorf("%s: behind it, %q is read", c.name, rest)
		}
	}
	if isStreamData([]byte("1 0 obj<<>>stream\n123"), 18, 40) {
		t.Error("data beyond the end of the file")
	}
}

// TestLibraryReader: what is read of a file does not depend on the data of
// streams that pdfcpu does not get, however small, sound files and damaged
// ones.
func TestLibraryReader(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for _, file := range sample(corpusFiles(t)) {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if len(data) > 300<<10 {
			continue
		}
		for n := range 4 {
			if n > 0 { // a byte changed, or the end cut off
				data[r.IntN(len(data))] ^= byte(1 << r.IntN(8))
			}
			if n == 3 {
				data = data[:len(data)-r.IntN(len(data)/4)]
			}
			if want, got := byLibraryWith(data, math.MaxInt), byLibraryWith(data, 1); want != got {
				t.Errorf("%s, change %d: other objects are read", filepath.Base(file), n)
			}
		}
	}
}

// byLibraryWith describes what pdfcpu reads where streams of a size are not
// given.
func byLibraryWith(data []byte, large int) string {
	l := loader{ctx: context.Background(), data: data, lim: Limits{}.withDefaults(), warn: &warnings{}, large: large}
	doc, lost, err := l.byLibrary("1.7")
	if err != nil {
		return err.Error()
	}
	var b strings.Builder
	fmt.Fprintln(&b, lost, doc.root, doc.info, doc.id, l.warn.sentences())
	for _, ref := range doc.Refs() {
		fmt.Fprintf(&b, "%d: ", ref)
		if s, ok := doc.Object(ref).(*Stream); ok {
			fmt.Fprintf(&b, "%v %x\n", s.Dict, sha256.Sum256(s.Raw))
			continue
		}
		fmt.Fprintln(&b, doc.Object(ref))
	}
	return b.String()
}
