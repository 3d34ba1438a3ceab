package pdf

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

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
