package content

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// scanOne returns the first operation of a stream.
func scanOne(t *testing.T, in string) *Operation {
	t.Helper()
	var op Operation
	if !NewScanner([]byte(in)).Next(&op) {
		t.Fatalf("no operation in %q", in)
	}
	return &op
}

func TestOperandsCountFromTheOperatorsOwn(t *testing.T) {
	cases := []struct {
		name, in string
		count    int
		first    string
	}{
		{"exact", "1 2 m", 2, "1"},
		{"extra leading operands", "7 8 1 2 m", 2, "1"},
		{"too few", "1 m", 1, "1"},
		{"none", "m", 0, ""},
		{"wrong kind", "/N 2 m", 2, "/N"},
		{"no operands wanted", "1 2 S", 0, ""},
		{"any number", "1 2 /P scn", 3, "1"},
		{"unknown operator", "1 2 3 zz", 3, "1"},
		{"property name", "9 /OC /B BDC", 2, "/OC"},
		{"property dictionary", "/OC <<>> BDC", 2, "/OC"},
		{"property of another kind", "/Span 3 BDC", 2, "/Span"},
		{"string wanted", "1 2 (a) \"", 3, "1"},
		{"array wanted", "(a) TJ", 1, "(a)"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			op := scanOne(t, c.in)
			first, ok := op.Operand(0)
			if op.Count() != c.count || string(op.RawOf(first)) != c.first || ok != (c.count > 0) {
				t.Errorf("count %d, first %q; want %d, %q", op.Count(), op.RawOf(first), c.count, c.first)
			}
			if _, ok := op.Operand(c.count); ok {
				t.Error("there is an operand behind the last")
			}
			if _, ok := op.Operand(-1); ok {
				t.Error("there is an operand before the first")
			}
		})
	}
}

func TestAccessorsWantTheirKind(t *testing.T) {
	op := scanOne(t, "1 /N (s) [2] zz")
	for i := range 5 {
		_, number := op.Float(i)
		_, name := op.Name(i)
		_, bytes := op.Bytes(i)
		array := false
		op.Elements(i, func(Operand) bool { array = true; return true })
		want := [4]bool{i == 0, i == 1, i == 2, i == 3}
		if got := [4]bool{number, name, bytes, array}; got != want {
			t.Errorf("operand %d: number, name, string, array %v, want %v", i, got, want)
		}
	}
	if op.Floats(make([]float64, 2)) {
		t.Error("a name was taken for a number")
	}
}

func TestName(t *testing.T) {
	// The first five are from ISO 32000-1, 7.3.5, Table 4.
	cases := map[string]string{
		"/Name1": "Name1", "/A;Name_With-Various***Characters?": "A;Name_With-Various***Characters?",
		"/paired#28#29parentheses": "paired()parentheses", "/The_Key_of_F#23_Minor": "The_Key_of_F#_Minor",
		"/A#42": "AB", "/#4fC": "OC", "/": "", "/#": "#", "/a#4": "a#4", "/#zz": "#zz", "/##41": "#A",
	}
	for in, want := range cases {
		if got, ok := scanOne(t, in+" gs").Name(0); !ok || got != want {
			t.Errorf("%s is %q, want %q", in, got, want)
		}
	}
}

func TestBytes(t *testing.T) {
	// Escapes and line ends: ISO 32000-1, 7.3.4.2; digits: 7.3.4.3.
	cases := map[string]string{
		"()": "", "(a(b)c)": "a(b)c", `(\n\r\t\b\f\(\)\\)`: "\n\r\t\b\f()\\", `(\x\ )`: "x ",
		`(\0053)`: "\x053", `(\053)`: "+", `(\53)`: "+", `(\5x)`: "\x05x", `(\777)`: "\xff", `(\8)`: "8",
		"(a\\\nb\\\r\nc\\\rd)": "abcd", "(a\rb\r\nc\nd)": "a\nb\nc\nd", "(\x00\xff)": "\x00\xff",
		"<901FA3>": "\x90\x1f\xa3", "<901fa>": "\x90\x1f\xa0", "< 9 0\n>": "\x90", "<>": "", "<9z0>": "\x90",
	}
	for in, want := range cases {
		if got, ok := scanOne(t, in+" Tj").Bytes(0); !ok || string(got) != want {
			t.Errorf("%q is %q, want %q", in, got, want)
		}
	}
}

// kinds are the kinds of operands in words.
var kinds = map[Kind]string{
	Number: "number", NameObject: "name", String: "string", Array: "array", Dict: "dictionary", Keyword: "keyword",
}

func TestElements(t *testing.T) {
	op := scanOne(t, "[(a)-5 %]\n[1[2]]<</K[3]>> null 6.7.8]TJ")
	var got []string
	op.Elements(0, func(e Operand) bool {
		got = append(got, kinds[e.Kind]+" "+string(op.RawOf(e)))
		return true
	})
	want := []string{"string (a)", "number -5", "array [1[2]]", "dictionary <</K[3]>>", "keyword null", "number 6.7", "number .8"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("elements (-want +got):\n%s", diff)
	}
	n := 0
	op.Elements(0, func(Operand) bool { n++; return n < 2 })
	if n != 2 {
		t.Errorf("%d elements after a stop at the second", n)
	}
}

func TestEntries(t *testing.T) {
	op := scanOne(t, "/P<</MCID 0 3/#41(>>)/B<</C 1>>/D true/E>>BDC")
	got := map[string]string{}
	op.Entries(1, func(key string, value Operand) bool {
		got[key] = string(op.RawOf(value))
		return true
	})
	// The stray 3 is passed over; E has no value.
	want := map[string]string{"MCID": "0", "A": "(>>)", "B": "<</C 1>>", "D": "true"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("entries (-want +got):\n%s", diff)
	}
}
