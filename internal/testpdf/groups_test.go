package testpdf

import (
	"fmt"
	"strings"
	"testing"
)

// Membership dictionaries with A on, B off, C on and U, unlisted, off. Objects
// 5 to 7 are A to C, 30 is U, 40 is the dictionary, 77 is missing. The states
// follow from ISO 32000-1, 8.11.2.2 and Table 99; where the standard is
// silent, the reason says what was decided.
var membershipCases = []struct {
	name, reason, body string
	want               bool
}{
	{"single on", "AnyOn is the default", "/OCGs 5 0 R", true},
	{"single off", "AnyOn is the default", "/OCGs 6 0 R", false},
	{"single AllOff", "a single group obeys P", "/OCGs 6 0 R /P /AllOff", true},
	{"single AnyOff", "a single group obeys P", "/OCGs 5 0 R /P /AnyOff", false},
	{"mixed AllOn", "Table 99", "/OCGs [5 0 R 6 0 R] /P /AllOn", false},
	{"mixed AnyOn", "Table 99", "/OCGs [5 0 R 6 0 R] /P /AnyOn", true},
	{"mixed AnyOff", "Table 99", "/OCGs [5 0 R 6 0 R] /P /AnyOff", true},
	{"mixed AllOff", "Table 99", "/OCGs [5 0 R 6 0 R] /P /AllOff", false},
	{"both on AllOn", "Table 99", "/OCGs [5 0 R 7 0 R] /P /AllOn", true},
	{"both on AnyOff", "Table 99", "/OCGs [5 0 R 7 0 R] /P /AnyOff", false},
	{"both on AllOff", "Table 99", "/OCGs [5 0 R 7 0 R] /P /AllOff", false},
	{"all off AllOff", "Table 99", "/OCGs [6 0 R 30 0 R] /P /AllOff", true},
	{"all off AnyOn", "Table 99", "/OCGs [6 0 R 30 0 R] /P /AnyOn", false},
	{"unlisted", "has a state like all", "/OCGs [30 0 R] /P /AllOff", true},
	{"no entry", "no effect", "", true},
	{"empty", "no effect", "/OCGs [] /P /AnyOn", true},
	{"null and missing", "no effect", "/OCGs [null 77 0 R] /P /AnyOff", true},
	{"null beside B", "null is ignored", "/OCGs [null 6 0 R] /P /AnyOn", false},
	{"null beside B AllOff", "null is ignored", "/OCGs [null 6 0 R] /P /AllOff", true},
	{"array by reference", "7.3.10", "/OCGs 41 0 R", false},
	{"P by reference", "7.3.10", "/OCGs [6 0 R] /P 43 0 R", true},
	{"unknown P", "as the default", "/OCGs [6 0 R] /P /Bogus", false},
	{"direct group", "a group is indirect, so this is ignored", "/OCGs [<</Type /OCG>> 6 0 R] /P /AllOn", false},
	{"VE wins", "8.11.2.2 note 2", "/OCGs 6 0 R /P /AllOn /VE [/Not 6 0 R]", true},
	{"VE nested", "8.11.2.2", "/VE [/And 5 0 R [/Not 6 0 R] [/Or 6 0 R 7 0 R]]", true},
	{"VE by reference", "7.3.10", "/VE 42 0 R", false},
	{"VE single operand", "one or more", "/VE [/Or 6 0 R]", false},
	{"VE unknown operator", "invalid: falls back to OCGs", "/VE [/Xor 5 0 R] /OCGs [6 0 R]", false},
	{"VE without operands", "invalid: no effect", "/VE [/And]", true},
	{"VE empty", "invalid: no effect", "/VE []", true},
	{"VE Not of two", "invalid: no effect", "/VE [/Not 5 0 R 6 0 R]", true},
	{"VE bad part behind a decided one", "invalid as a whole", "/VE [/Or 5 0 R [/Xor 5 0 R]] /OCGs [6 0 R]", false},
	{"VE number as operand", "invalid", "/VE [/Or 5 0 R 3] /OCGs [6 0 R]", false},
	{"VE null operand of Or", "left out", "/VE [/Or 6 0 R null] /OCGs [5 0 R]", false},
	{"VE null operand of Not", "invalid", "/VE [/Not null] /OCGs [6 0 R]", false},
	{"VE only nulls", "invalid", "/VE [/And null] /OCGs [6 0 R]", false},
	{"VE not an array", "ignored", "/VE 6 0 R /OCGs 5 0 R", true},
	{"VE cyclic", "invalid", "/VE 44 0 R /OCGs [6 0 R]", false},
	{"VE at the limit", "64 levels", "/VE " + deep(64) + " /OCGs [5 0 R]", false},
	{"VE beyond the limit", "65 levels: invalid", "/VE " + deep(65) + " /OCGs [5 0 R]", true},
	{"dictionary in a dictionary", "decided: evaluated", "/OCGs [45 0 R]", false},
	{"dictionary in an expression", "decided: evaluated", "/VE [/Not 45 0 R]", true},
	{"dictionary in itself", "decided: left out", "/OCGs [40 0 R 6 0 R] /P /AnyOn", false},
}

// deep is so many levels of And around B.
func deep(levels int) string {
	return strings.Repeat("[/And ", levels) + "6 0 R" + strings.Repeat("]", levels)
}

func TestMembership(t *testing.T) {
	for _, c := range membershipCases {
		t.Run(c.name, func(t *testing.T) {
			f, err := openFile(Build(Doc{Groups: []string{"A", "B", "C"}, Objects: []Object{
				Obj(30, "<</Type /OCG /Name (U)>>"), Obj(40, "<</Type /OCMD "+c.body+">>"),
				Obj(41, "[6 0 R]"), Obj(42, "[/And 5 0 R 6 0 R]"), Obj(43, "/AllOff"), Obj(44, "[/And 5 0 R 44 0 R]"),
				Obj(45, "<</Type /OCMD /OCGs [6 0 R]>>"),
			}}))
			if err != nil {
				t.Fatal(err)
			}
			e := &evaluator{f: f, on: map[int]bool{5: true, 6: false, 7: true, 30: false}}
			if got := e.visible(ref{num: 40}); got != c.want {
				t.Errorf("%s gives %v, want %v: %s", c.body, got, c.want, c.reason)
			}
		})
	}
}

// Every policy over every state of one, two and three groups, against its
// definition in words (Table 99).
func TestPolicies(t *testing.T) {
	for count := 1; count <= 3; count++ {
		refs := []string{"5 0 R", "6 0 R", "7 0 R"}[:count]
		for _, policy := range policies {
			f, err := openFile(Build(Doc{Groups: []string{"A", "B", "C"}, Objects: []Object{
				Obj(40, fmt.Sprintf("<</Type /OCMD /OCGs [%s] /P /%s>>", strings.Join(refs, " "), policy))}}))
			if err != nil {
				t.Fatal(err)
			}
			for bits := range 1 << count {
				on, number := map[int]bool{5: false, 6: false, 7: false}, 0
				for i := range count {
					if bits>>i&1 == 1 {
						on[5+i] = true
						number++
					}
				}
				want := map[string]bool{"AllOn": number == count, "AnyOn": number > 0, "AnyOff": number < count, "AllOff": number == 0}[policy]
				if got := (&evaluator{f: f, on: on}).visible(ref{num: 40}); got != want {
					t.Errorf("%s of %d groups, states %03b: %v, want %v", policy, count, bits, got, want)
				}
			}
		}
	}
}

func TestOtherValues(t *testing.T) {
	cases := []struct {
		name, value string
		want        bool
	}{
		{"group that is off", "6 0 R", false},
		{"missing object", "77 0 R", true},
		{"null", "null", true},
		{"dictionary of another type", "<</Type /Foo /OCGs [6 0 R]>>", true},
		{"dictionary without a type", "<</OCGs [6 0 R]>>", true},
		{"direct group", "<</Type /OCG /Name (B)>>", true},
		{"direct membership dictionary", "<</Type /OCMD /OCGs [6 0 R]>>", false},
	}
	f, err := openFile(Build(Doc{Groups: []string{"A", "B"}}))
	if err != nil {
		t.Fatal(err)
	}
	e := &evaluator{f: f, on: map[int]bool{5: true, 6: false}}
	for _, c := range cases {
		o, err := (&lexer{data: []byte(c.value)}).object()
		if err != nil {
			t.Fatal(c.name, err)
		}
		if got := e.visible(o); got != c.want {
			t.Errorf("%s: visible %v, want %v", c.name, got, c.want)
		}
	}
}
