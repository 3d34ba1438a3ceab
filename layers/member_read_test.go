package layers

import (
	"fmt"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// The groups of the membership tests are A, B and C: objects 5, 6 and 7.
var memberGroups = []pdf.Ref{5, 6, 7}

// memberDoc is a document with those groups and further objects. Object 77 is
// missing.
func memberDoc(tb testing.TB, objects ...testpdf.Object) *Document {
	tb.Helper()
	return open(tb, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B", "C"}, Objects: objects}))
}

// byTable99 decides for a policy by counting, as ISO 32000-1, Table 99 has it.
// Without any group the dictionary has no effect.
func byTable99(policy string, on, off int) bool {
	if on+off == 0 {
		return true
	}
	switch policy {
	case "AllOn":
		return off == 0
	case "AnyOff":
		return off > 0
	case "AllOff":
		return on == 0
	}
	return on > 0 // AnyOn, the default
}

// entries are what an OCGs array may hold; noise stands for no group.
var entries = []struct {
	text  string
	group pdf.Ref
}{{"5 0 R", 5}, {"6 0 R", 6}, {"7 0 R", 7}, {"null", 0}, {"77 0 R", 0}, {"<</Type /OCG /Name (B)>>", 0}, {"3", 0}}

// policyCase is a membership dictionary with OCGs and P.
type policyCase struct {
	text   string
	policy string
	groups []pdf.Ref
}

// policyCases are all policies over all lists of up to three entries.
func policyCases() []policyCase {
	var cases []policyCase
	for _, p := range []string{"", "AnyOn", "AllOn", "AnyOff", "AllOff", "Bogus"} {
		policy := ""
		if p != "" {
			policy = " /P /" + p
		}
		var grow func(list string, groups []pdf.Ref, n int)
		grow = func(list string, groups []pdf.Ref, n int) {
			cases = append(cases, policyCase{"<</Type /OCMD /OCGs [" + list + "]" + policy + ">>", p, groups})
			if n == 3 {
				return
			}
			for _, e := range entries {
				more := groups[:len(groups):len(groups)]
				if e.group != 0 {
					more = append(more, e.group)
				}
				grow(list+" "+e.text, more, n+1)
			}
		}
		grow("", nil, 0)
		for _, g := range memberGroups {
			cases = append(cases, policyCase{fmt.Sprintf("<</Type /OCMD /OCGs %d 0 R%s>>", g, policy), p, []pdf.Ref{g}})
		}
		cases = append(cases,
			policyCase{"<</Type /OCMD" + policy + ">>", p, nil},
			policyCase{"<</Type /OCMD /OCGs null" + policy + ">>", p, nil},
			policyCase{"<</Type /OCMD /OCGs 77 0 R" + policy + ">>", p, nil},
			policyCase{"<</Type /OCMD /OCGs 900 0 R" + policy + ">>", p, []pdf.Ref{5, 6}},
			policyCase{"<</Type /OCMD /OCGs 901 0 R" + policy + ">>", p, []pdf.Ref{6}},
			policyCase{"<</Type /OCMD /OCGs 902 0 R" + policy + ">>", p, []pdf.Ref{7}},
		)
	}
	return cases
}

// indirect are arrays that policy cases refer to.
var indirect = []testpdf.Object{
	testpdf.Obj(900, "[5 0 R 6 0 R]"), testpdf.Obj(901, "[null 6 0 R 77 0 R]"), testpdf.Obj(902, "903 0 R"), testpdf.Obj(903, "[7 0 R]"),
}

// TestPolicies: all policies over all lists of up to three entries, groups and
// others, under all states (8.11.2.2, Table 99).
func TestPolicies(t *testing.T) {
	cases := policyCases()
	objects := indirect
	for i, c := range cases {
		objects = append(objects, testpdf.Obj(10000+i, c.text))
	}
	doc := memberDoc(t, objects...)
	for i, c := range cases {
		m, notes := doc.props.read(doc.pdf, pdf.Ref(10000+i))
		if m == nil {
			t.Errorf("%s is no membership", c.text)
			continue
		}
		if want := c.policy == "Bogus" && len(c.groups) > 0; (len(notes) > 0) != want {
			t.Errorf("%s: warnings %q", c.text, notes)
		}
		assignments(memberGroups, onOff, func(at map[pdf.Ref]truth) {
			on := 0
			for _, g := range c.groups {
				if at[g] == isTrue {
					on++
				}
			}
			want := byTable99(c.policy, on, len(c.groups)-on)
			if got := m.eval(given(at)); (got == isTrue) != want || got == isOpen {
				t.Errorf("%s with %v on: visible %t, want %t", c.text, at, got == isTrue, want)
			}
		})
	}
}

// TestNoMembership: what is neither a group of the file nor a dictionary of
// the type OCMD is no optional content (8.11.2, 8.11.3.2).
func TestNoMembership(t *testing.T) {
	doc := memberDoc(t, testpdf.Obj(30, "<</OCGs 6 0 R>>"), testpdf.Obj(31, "<</Type /Foo /OCGs 6 0 R>>"), testpdf.Obj(32, "[6 0 R]"))
	for _, o := range []pdf.Object{
		nil, pdf.Ref(30), pdf.Ref(31), pdf.Ref(32), pdf.Ref(77), pdf.Name("B"),
		pdf.Dict{"Type": pdf.Name("OCG"), "Name": pdf.String("B")},
	} {
		if m, _ := doc.props.read(doc.pdf, o); m != nil {
			t.Errorf("%v is taken for optional content", o)
		}
	}
}

// readText reads a membership dictionary given as source text.
func readText(tb testing.TB, doc *Document, text string) membership {
	tb.Helper()
	with := memberDoc(tb, append(indirect[:len(indirect):len(indirect)], testpdf.Obj(800, text))...)
	m, _ := doc.props.read(with.pdf, pdf.Ref(800))
	if m == nil {
		tb.Fatalf("%s is no membership", text)
	}
	return m
}

// TestStandardExpression is the example of 8.11.2.2: content that shows if the
// first group is on, or the second off, or the third to fifth are all on.
func TestStandardExpression(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{
		Groups:  []string{"1", "2", "3", "4", "5"},
		Objects: []testpdf.Object{testpdf.Obj(40, "<</Type /OCMD /VE [/Or 5 0 R [/Not 6 0 R] [/And 7 0 R 8 0 R 9 0 R]]>>")},
	}))
	m, notes := doc.props.read(doc.pdf, pdf.Ref(40))
	if m == nil || len(notes) > 0 {
		t.Fatalf("membership %v, warnings %q", m, notes)
	}
	assignments([]pdf.Ref{5, 6, 7, 8, 9}, onOff, func(at map[pdf.Ref]truth) {
		on := func(r pdf.Ref) bool { return at[r] == isTrue }
		want := on(5) || !on(6) || on(7) && on(8) && on(9)
		if got := m.eval(given(at)) == isTrue; got != want {
			t.Errorf("under %v: %t, want %t", at, got, want)
		}
	})
}

// TestMalformedMembership: what a membership shows where A and C are on and B
// is off. A malformed expression counts as absent: OCGs and P decide, or
// nothing (the standard does not say; 8.11.2.2 Note 2 calls them the
// approximation).
func TestMalformedMembership(t *testing.T) {
	deep := func(n int, last string) string { return strings.Repeat("[/And ", n) + last + strings.Repeat("]", n) }
	cases := []struct {
		name, text string
		want       bool
		note       string // part of the warning, "" for none
	}{
		{"expression before policy", "/OCGs 6 0 R /P /AllOn /VE [/Not 6 0 R]", true, ""},
		{"three levels", "/VE [/And 5 0 R [/Not 6 0 R] [/Or 6 0 R 7 0 R]]", true, ""},
		{"unknown operator, policy beside it", "/VE [/Xor 5 0 R] /OCGs [6 0 R]", false, "malformed"},
		{"unknown operator alone", "/VE [/Xor 6 0 R]", true, "malformed"},
		{"and of nothing", "/VE [/And]", true, "malformed"},
		{"and of nothing, policy beside it", "/VE [/And] /OCGs [6 0 R]", false, "malformed"},
		{"or of nothing", "/VE [/Or]", true, "malformed"},
		{"empty", "/VE []", true, "malformed"},
		{"not of nothing", "/VE [/Not] /OCGs 6 0 R", false, "malformed"},
		{"not of two", "/VE [/Not 5 0 R 6 0 R]", true, "malformed"},
		{"not of null", "/VE [/Not null] /OCGs 6 0 R", false, "malformed"},
		{"or with null", "/VE [/Or 6 0 R null]", false, ""},
		{"and with a missing object", "/VE [/And 5 0 R 77 0 R]", true, ""},
		{"or of nulls alone", "/VE [/Or null 77 0 R] /OCGs 6 0 R", false, "malformed"},
		{"operand that is a number", "/VE [/Or 5 0 R 3] /OCGs 6 0 R", false, "malformed"},
		{"operand that is no group", "/VE [/Or 5 0 R 29 0 R] /OCGs 6 0 R", false, "malformed"},
		{"operand that is a group in place", "/VE [/Or 5 0 R <</Type /OCG /Name (X)>>] /OCGs 6 0 R", false, "malformed"},
		{"one bad operand deep inside", "/VE [/Or 5 0 R [/And 5 0 R [/Not]]] /OCGs 6 0 R", false, "malformed"},
		{"operator is a string", "/VE [(Or) 5 0 R] /OCGs 6 0 R", false, "malformed"},
		{"not an array", "/VE 5 0 R /OCGs 6 0 R", false, ""},
		{"reference to an array", "/VE 51 0 R /OCGs 6 0 R", true, ""},
		{"operands are references to arrays", "/VE [/Or 52 0 R 51 0 R]", true, ""},
		{"64 levels", "/OCGs 6 0 R /VE " + deep(64, "5 0 R"), true, ""},
		{"65 levels", "/OCGs 6 0 R /VE " + deep(65, "5 0 R"), false, "malformed"},
		{"65 levels alone", "/VE " + deep(65, "6 0 R"), true, "malformed"},
		{"expression within itself", "/VE 53 0 R", true, "malformed"},
		{"expression within itself, policy beside it", "/VE 53 0 R /OCGs 6 0 R", false, "malformed"},
		{"expression twice, not within itself", "/VE [/And 51 0 R 51 0 R]", true, ""},
		{"membership in a membership", "/OCGs [54 0 R]", false, "only a group may"},
		{"membership in an expression", "/VE [/Not 54 0 R]", true, ""},
		{"membership within itself", "/OCGs [55 0 R]", true, "within itself"},
		{"membership within itself beside a group", "/OCGs [56 0 R]", false, "within itself"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			doc := memberDoc(t,
				testpdf.Obj(50, "<</Type /OCMD "+c.text+">>"),
				testpdf.Obj(51, "[/Not 6 0 R]"), testpdf.Obj(52, "[/And 6 0 R]"), testpdf.Obj(53, "[/And 5 0 R 53 0 R]"),
				testpdf.Obj(54, "<</Type /OCMD /OCGs [6 0 R]>>"), testpdf.Obj(55, "<</Type /OCMD /OCGs [55 0 R]>>"),
				testpdf.Obj(56, "<</Type /OCMD /OCGs [6 0 R 56 0 R]>>"))
			m, notes := doc.props.read(doc.pdf, pdf.Ref(50))
			if m == nil {
				t.Fatal("no membership")
			}
			got := m.eval(func(r pdf.Ref) truth { return map[pdf.Ref]truth{5: isTrue, 7: isTrue}[r] })
			if (got == isTrue) != c.want || got == isOpen {
				t.Errorf("visible: %v, want %t", got, c.want)
			}
			if all := strings.Join(notes, "; "); (c.note == "") != (all == "") || !strings.Contains(all, c.note) {
				t.Errorf("warnings %q, want one with %q", notes, c.note)
			}
		})
	}
}

// counting fails after a number of look-ups, so that work without bounds shows
// without being done.
type counting struct {
	pdf.Objects
	left int
}

type tooMuch struct{}

func (c *counting) Object(r pdf.Ref) pdf.Object {
	if c.left--; c.left < 0 {
		panic(tooMuch{})
	}
	return c.Objects.Object(r)
}

// TestMembershipBomb: thirty objects of two references each to the next are a
// thousand million operands; reading them has to end before.
func TestMembershipBomb(t *testing.T) {
	for _, c := range []struct{ name, node, last string }{
		{"expressions", "[/And %[1]d 0 R %[1]d 0 R]", "[/And 5 0 R]"},
		{"memberships", "<</Type /OCMD /OCGs [%[1]d 0 R %[1]d 0 R]>>", "<</Type /OCMD /OCGs 5 0 R>>"},
		{"expressions of memberships", "<</Type /OCMD /VE [/Or %[1]d 0 R %[1]d 0 R]>>", "<</Type /OCMD /OCGs 5 0 R>>"},
	} {
		t.Run(c.name, func(t *testing.T) {
			objects := []testpdf.Object{testpdf.Obj(100, "<</Type /OCMD /VE 101 0 R /OCGs 101 0 R>>"), testpdf.Obj(131, c.last)}
			for i := 101; i < 131; i++ {
				objects = append(objects, testpdf.Obj(i, fmt.Sprintf(c.node, i+1)))
			}
			doc := memberDoc(t, objects...)
			defer func() {
				if r := recover(); r != nil {
					if _, ours := r.(tooMuch); !ours {
						panic(r)
					}
					t.Error("reading one membership looks more than a million objects up")
				}
			}()
			m, _ := doc.props.read(&counting{doc.pdf, 1_000_000}, pdf.Ref(100))
			if m == nil {
				t.Error("the dictionary is no membership any more")
			}
		})
	}
}

// TestIsolateMembership: the content of a membership dictionary, with A and C
// chosen of A, B and C (8.11.2.2).
func TestIsolateMembership(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"one group, AllOff", "/OCGs 6 0 R /P /AllOff", "P1"},
		{"one chosen group, AnyOff", "/OCGs 5 0 R /P /AnyOff", ""},
		{"both, AllOn", "/OCGs [5 0 R 6 0 R] /P /AllOn", ""},
		{"both, AnyOn", "/OCGs [5 0 R 6 0 R] /P /AnyOn", "/OC /M BDC P1 EMC"},
		{"both, AnyOff", "/OCGs [5 0 R 6 0 R] /P /AnyOff", "P1"},
		{"both, AllOff", "/OCGs [5 0 R 6 0 R] /P /AllOff", ""},
		{"chosen ones, AllOn", "/OCGs [5 0 R 7 0 R] /P /AllOn", "/OC /M BDC P1 EMC"},
		{"chosen ones, AnyOff", "/OCGs [5 0 R 7 0 R] /P /AnyOff", ""},
		{"no groups", "/OCGs [] /P /AllOff", "P1"},
		{"no entry", "", "P1"},
		{"null and missing alone", "/OCGs [null 77 0 R] /P /AnyOff", "P1"},
		{"null and a group, AnyOn", "/OCGs [null 6 0 R]", ""},
		{"null and a group, AllOff", "/OCGs [null 6 0 R] /P /AllOff", "P1"},
		{"unknown policy", "/OCGs [6 0 R] /P /Bogus", ""},
		{"removed group under AnyOn", "/OCGs [6 0 R] /P /AnyOn", ""},
		{"expression", "/OCGs 6 0 R /P /AllOn /VE [/Not 6 0 R]", "P1"},
		{"expression of three", "/VE [/And 5 0 R [/Not 6 0 R] [/Or 6 0 R 7 0 R]]", "/OC /M BDC P1 EMC"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, direct := range []bool{false, true} {
				dict, m := "<</Type /OCMD "+c.text+">>", "40 0 R"
				if direct {
					m = dict
				}
				out, _ := isolate(t, testpdf.Build(testpdf.Doc{
					Groups: []string{"A", "B", "C"},
					Pages: []testpdf.Page{{
						Content:   "/OC /M BDC P1 EMC /OC /B BDC P2 EMC",
						Resources: "<</Properties <</B 6 0 R /M " + m + ">>>>",
					}},
					Objects: []testpdf.Object{testpdf.Obj(40, dict)},
				}), "A", "C")
				if got, want := fold(pageContent(t, out, 0)), fold(testpdf.Marks(c.want)); got != want {
					t.Errorf("in place %t: got %q, want %q", direct, got, want)
				}
			}
		})
	}
}

// TestUnlistedInMembership: a group that the list leaves out has a state like
// the others (8.11.4.2; engines differ).
func TestUnlistedInMembership(t *testing.T) {
	out, _ := isolate(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A"},
		Pages: []testpdf.Page{{
			Content:   "/OC /M BDC P1 EMC /OC /N BDC P2 EMC",
			Resources: "<</Properties <</M <</Type /OCMD /OCGs 50 0 R /P /AllOff>> /N <</Type /OCMD /OCGs 50 0 R>>>>>>",
		}},
		Objects: []testpdf.Object{testpdf.Obj(50, "<</Type /OCG /Name (U)>>")},
	}), "A")
	if got, want := fold(pageContent(t, out, 0)), testpdf.Marks("P1"); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
