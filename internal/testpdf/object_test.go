package testpdf

import (
	"bytes"
	"testing"
)

// Source text and how it is written again; "" where it is no object.
var lexCases = []struct{ name, in, want string }{
	{"integer", "12", "12"},
	{"digits stay", "+1.50", "+1.50"},
	{"reference", "12 0 R", "12 0 R"},
	{"two numbers in an array", "[1 2 R3]", "[1 2 R3]"},
	{"numbers before a reference", "[1 2 3 0 R 4]", "[1 2 3 0 R 4]"},
	{"name with an escape", "/A#42#20", "/AB#20"},
	{"name with a hash that is no escape", "/A#4x", "/A#234x"},
	{"nested parentheses", `(a(b)\)c)`, `(a(b)\)c)`},
	{"hex string", "<4 1>", "<4 1>"},
	{"dictionary", "<</B[1 true]/A<</C null>>>>", "<</A <</C null>>/B [1 true]>>"},
	{"comments and spaces", "[ %x ]\n 1\t2 ]", "[1 2]"},
	{"empty name", "<</ 1>>", "<</ 1>>"},
	{"open array", "[1", ""},
	{"open string", "(a", ""},
	{"open hex string", "<41", ""},
	{"key without name", "<<1 2>>", ""},
	{"nothing", "  ", ""},
	{"stray bracket", "]", ""},
	{"nested beyond the limit", string(bytes.Repeat([]byte("["), 300)), ""},
}

func TestLexer(t *testing.T) {
	for _, c := range lexCases {
		o, err := (&lexer{data: []byte(c.in)}).object()
		if (err != nil) != (c.want == "") {
			t.Errorf("%s: %q gives error %v", c.name, c.in, err)
			continue
		}
		var b bytes.Buffer
		if write(&b, o); err == nil && b.String() != c.want {
			t.Errorf("%s: %q is written %q, want %q", c.name, c.in, b.String(), c.want)
		}
	}
}
