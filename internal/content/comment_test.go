package content

import (
	"bytes"
	"context"
	"testing"
)

var commentCases = []struct{ name, in, want string }{
	{"none", "q (a) Tj Q", "q (a) Tj Q"},
	{"between operations", "q % one\nQ%two", "q \nQ"},
	{"between operands", "1 % x\r\n2 m", "1 \r\n2 m"},
	{"in an array", "[(a) % b\n3] TJ", "[(a) \n3] TJ"},
	{"in a dictionary", "/P <</K % v\n1>> BDC", "/P <</K \n1>> BDC"},
	{"sign in a string", "(100 % ( % ) of it) Tj % x", "(100 % ( % ) of it) Tj "},
	{"sign in a name", "/a#25 gs", "/a#25 gs"},
	{"in an inline image", "BI /W 4 /H 1 /BPC 8 /CS /G ID %%%% EI % x", "BI /W 4 /H 1 /BPC 8 /CS /G ID %%%% EI "},
	{"operands alone", "1 2 % x", "1 2 "},
	{"string without an end", "(a % b", "(a % b"},
}

func TestWithoutComments(t *testing.T) {
	for _, c := range commentCases {
		if got := WithoutComments(context.Background(), []byte(c.in), nil); string(got) != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// FuzzWithoutComments: the operations stay what they are but for comments within
// them, and nothing is left to take out.
func FuzzWithoutComments(f *testing.F) {
	for _, c := range commentCases {
		f.Add([]byte(c.in))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		out := WithoutComments(context.Background(), in, nil)
		if again := WithoutComments(context.Background(), out, nil); !bytes.Equal(again, out) {
			t.Fatalf("%q, then %q", out, again)
		}
		was, now := NewScanner(in), NewScanner(out)
		var a, b Operation
		for was.Next(&a) {
			if !now.Next(&b) || a.Op != b.Op || a.Count() != b.Count() {
				t.Fatalf("%v of %q became %v of %q", a.Op, in, b.Op, out)
			}
		}
		if now.Next(&b) {
			t.Fatalf("%v came to %q", b.Op, out)
		}
	})
}
