package pdf

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The rules are those of ISO 32000-1, 7.2 and 7.3; where a case breaks them,
// it is read as viewers do.
func TestObjects(t *testing.T) {
	tests := []struct {
		name, text string
		want       Object
		damaged    bool
	}{
		{"integer", "42", Integer(42), false},
		{"signed integers", "[+17 -98 0 -0]", Array{Integer(17), Integer(-98), Integer(0), Integer(0)}, false},
		{"real numbers of 7.3.3", "[34.5 -3.62 +123.6 4. -.002 0.0]",
			Array{Real(34.5), Real(-3.62), Real(123.6), Real(4), Real(-.002), Real(0)}, false},
		{"integer past 64 bits keeps its digits", "9223372036854775808", Numeral("9223372036854775808"), false},
		{"double sign counts once", "--5", Integer(-5), true},
		{"minus inside is passed over", "0.00-35", Real(0.0035), true},
		{"no digits", "-", Integer(0), true},
		{"second point begins another number", "[1.2.3]", Array{Real(1.2), Real(.3)}, false},
		{"comment counts as white space", "[1%2 3\n4]", Array{Integer(1), Integer(4)}, false},
		{"comment to the end", "[1]%x", Array{Integer(1)}, false},

		{"names of 7.3.5", "[/Name1 /A;Name_With-Various***Characters? /$$ /@pattern /.notdef]",
			Array{Name("Name1"), Name("A;Name_With-Various***Characters?"), Name("$$"), Name("@pattern"), Name(".notdef")}, false},
		{"number signs in names", "[/Lime#20Green /paired#28#29parentheses /A#42]",
			Array{Name("Lime Green"), Name("paired()parentheses"), Name("AB")}, false},
		{"number sign without digits", "[/A#G1 /B#4]", Array{Name("A#G1"), Name("B#4")}, false},
		{"number sign before 00, which no name holds (7.3.5)", "/A#00B", Name("A#00B"), false},
		{"empty name", "[/ /A]", Array{Name(""), Name("A")}, false},
		{"UTF-8 blank in a name (U+00A0)", "/a\u00a0b", Name("a\u00a0b"), false},
		{"wide UTF-8 blank in a name (U+3000)", "/a\u3000b", Name("a\u3000b"), false},
		{"name ends at a delimiter", "[/A(x)/B<41>]", Array{Name("A"), String("x"), Name("B"), String("A")}, false},

		{"balanced parentheses", "(a(b(c))d)", String("a(b(c))d"), false},
		{"escapes of Table 3", `(\n\r\t\b\f\(\)\\)`, String("\n\r\t\b\f()\\"), false},
		{"unknown escape loses its backslash", `(\q)`, String("q"), false},
		{"octal of one to three digits", `(\0053\53\5x\400)`, String("\0053+\005x\000"), false},
		{"line continued", "(a\\\nb\\\r\nc\\\rd)", String("abcd"), false},
		{"ends of lines become line feeds", "(a\r\nb\rc\nd)", String("a\nb\nc\nd"), false},
		{"escaped parenthesis does not count", `(a\)b)`, String("a)b"), false},
		{"two backslashes before the end", `(a\\)`, String(`a\`), false},
		{"empty string", "()", String(""), false},

		{"hexadecimal string", "<4E6F76 20\n73>", String("Nov s"), false},
		{"odd last digit is followed by 0", "<901FA>", String("\x90\x1f\xa0"), false},
		{"broken after an odd digit", "<FEFF0\n041>", String("\xfe\xff\x00A"), false},
		{"backslash in hexadecimal is plain", "<433A5C6E6577>", String(`C:\new`), false},
		{"other characters are passed over", "<4x1>", String("A"), true},

		{"reference", "12 0 R", Ref(12), false},
		{"reference, number, reference", "[1 0 R 2 3 0 R]", Array{Ref(1), Integer(2), Ref(3)}, false},
		{"three numbers and a word that begins with R", "[1 0 RG]", Array{Integer(1), Integer(0), nil}, true},
		{"reference to object 0 is null", "[0 0 R]", Array{nil}, false},
		{"reference past the highest number is null", "[8388608 0 R]", Array{nil}, false},
		{"reference broken over lines", "1\n0\nR", Ref(1), false},

		{"words", "[true false null]", Array{true, false, nil}, false},
		{"unknown word is null", "[yes]", Array{nil}, true},
		{"dictionary", "<</A 1/B/C/D<</E(f)>>>>", Dict{"A": Integer(1), "B": Name("C"), "D": Dict{"E": String("f")}}, false},
		{"null value is no entry", "<</A null/B 1>>", Dict{"B": Integer(1)}, false},
		{"last of two keys counts", "<</A 1/A 2>>", Dict{"A": Integer(2)}, false},
		{"last of two keys counts, and is null", "<</A 1/A null>>", Dict{}, false},
		{"key without value", "<</A 1/B>>", Dict{"A": Integer(1)}, true},
		{"value without key", "<</A 1 2/B 3>>", Dict{"A": Integer(1), "B": Integer(3)}, true},
		{"value on the next line", "<</A\n\n1>>", Dict{"A": Integer(1)}, false},
		{"dictionary without end", "<</A[1 2 endobj", Dict{"A": Array{Integer(1), Integer(2)}}, true},
		{"array closed by a dictionary", "<</A[1 2>>", Dict{"A": Array{Integer(1), Integer(2)}}, true},
		{"bracket in a dictionary", "<</A 1]/B 2>>", Dict{"A": Integer(1), "B": Integer(2)}, true},
		{"empty array and dictionary", "[[]<<>>]", Array{Array{}, Dict{}}, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := parser{lexer: lexer{data: []byte(tt.text), names: map[string]Name{}}}
			got, err := p.object(0)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("%q reads otherwise (-want +got):\n%s", tt.text, diff)
			}
			if (p.damage != "") != tt.damaged {
				t.Errorf("damage is %q", p.damage)
			}
		})
	}
}

func TestObjectErrors(t *testing.T) {
	tests := []struct {
		name, text string
		want       error
	}{
		{"string without end", "(abc", errString},
		{"string with an unbalanced parenthesis", "(a(bc)", errString},
		{"hexadecimal string without end", "<4142", errString},
		{"string without end inside", "<</A[(abc]>>", errString},
		{"nothing", " %comment", errNothing},
		{"arrays too deep", nest("[", maxNesting+1), errNesting},
		{"dictionaries too deep", nest("<</A", maxNesting+1), errNesting},
		{"a million arrays", nest("[", 1_000_000), errNesting},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := parser{lexer: lexer{data: []byte(tt.text)}}
			if got, err := p.object(0); err != tt.want || got != nil {
				t.Errorf("got %v, %v, want %v", got, err, tt.want)
			}
		})
	}
	p := parser{lexer: lexer{data: []byte(nest("[", maxNesting))}}
	if _, err := p.object(0); err != nil {
		t.Errorf("%d arrays inside each other: %v", maxNesting, err)
	}
}

func nest(s string, n int) string {
	b := make([]byte, 0, n*len(s))
	for range n {
		b = append(b, s...)
	}
	return string(b)
}

// TestLargeNumbers: a number that no type holds keeps its digits, and counts for
// the largest that readers take where it is beyond that.
func TestLargeNumbers(t *testing.T) {
	for text, want := range map[string]struct {
		object Object
		value  float64
	}{
		"9223372036854775807":                 {Integer(9223372036854775807), 9223372036854775807},
		"9223372036854775808":                 {Numeral("9223372036854775808"), largest},
		"+200000000000000000000":              {Numeral("200000000000000000000"), largest},
		"-99999999999999999999":               {Numeral("-99999999999999999999"), -largest},
		"12345678901234567890.5":              {Numeral("12345678901234567890.5"), largest},
		"1" + strings.Repeat("0", 400) + ".5": {Numeral("1" + strings.Repeat("0", 400) + ".5"), largest},
		"30000000000.5":                       {Real(30000000000.5), 30000000000.5},
		"0.333333333333333333333":             {Numeral("0.333333333333333333333"), 1. / 3},
		"-.333333333333333333333":             {Numeral("-.333333333333333333333"), -1. / 3},
		"000000000000000000000.5":             {Real(.5), .5},
		"-0.50000000000000000000":             {Real(-.5), -.5},
		"12.000000000000000000":               {Real(12), 12},
		"0.30000000000000004":                 {Real(0.30000000000000004), 0.30000000000000004},
	} {
		p := parser{lexer: lexer{data: []byte(text)}}
		got, err := p.object(0)
		if err != nil || got != want.object {
			t.Errorf("%s: %v (%v), want %v", text, got, err, want.object)
		}
		if v, ok := AsNumber(noObjects{}, got); !ok || v != want.value {
			t.Errorf("%s counts for %v, want %v", text, v, want.value)
		}
		s := serialiser{}
		if err := s.append(got, 0); err != nil || fmt.Sprintf("%T", got) == "pdf.Numeral" && string(s.buf) != strings.TrimPrefix(text, "+") {
			t.Errorf("%s is written %q (%v)", text, s.buf, err)
		}
	}
}
