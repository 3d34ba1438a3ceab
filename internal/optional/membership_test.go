package optional

import (
	"context"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// open opens a file.
func open(tb testing.TB, file []byte) *Document {
	tb.Helper()
	doc, err := Open(context.Background(), file, "", pdf.Limits{})
	if err != nil {
		tb.Fatalf("open: %v", err)
	}
	return doc
}

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
		m, notes := doc.Membership(pdf.Ref(10000 + i))
		if m == nil {
			t.Errorf("%s is no membership", c.text)
			continue
		}
		if want := c.policy == "Bogus" && len(c.groups) > 0; (len(notes) > 0) != want {
			t.Errorf("%s: warnings %q", c.text, notes)
		}
		assignments(memberGroups, onOff, func(at map[pdf.Ref]Truth) {
			on := 0
			for _, g := range c.groups {
				if at[g] == True {
					on++
				}
			}
			want := byTable99(c.policy, on, len(c.groups)-on)
			if got := m.Eval(given(at)); (got == True) != want || got == Undecided {
				t.Errorf("%s with %v on: visible %t, want %t", c.text, at, got == True, want)
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
		if m, _ := doc.Membership(o); m != nil {
			t.Errorf("%v is taken for optional content", o)
		}
	}
}

// readText reads a membership dictionary given as source text.
func readText(tb testing.TB, doc *Document, text string) *Membership {
	tb.Helper()
	with := memberDoc(tb, append(indirect[:len(indirect):len(indirect)], testpdf.Obj(800, text))...)
	m, _ := with.Membership(pdf.Ref(800))
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
	m, notes := doc.Membership(pdf.Ref(40))
	if m == nil || len(notes) > 0 {
		t.Fatalf("membership %v, warnings %q", m, notes)
	}
	assignments([]pdf.Ref{5, 6, 7, 8, 9}, onOff, func(at map[pdf.Ref]Truth) {
		on := func(r pdf.Ref) bool { return at[r] == True }
		want := on(5) || !on(6) || on(7) && on(8) && on(9)
		if got := m.Eval(given(at)) == True; got != want {
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
			m, notes := doc.Membership(pdf.Ref(50))
			if m == nil {
				t.Fatal("no membership")
			}
			got := m.Eval(func(r pdf.Ref) Truth { return map[pdf.Ref]Truth{5: True, 7: True}[r] })
			if (got == True) != c.want || got == Undecided {
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
			m, _ := doc.membership(&counting{doc.PDF, 1_000_000}, pdf.Ref(100))
			if m == nil {
				t.Error("the dictionary is no membership any more")
			}
		})
	}
}

// assignments calls f with each way to give the groups one of the values.
func assignments(groups []pdf.Ref, values []Truth, f func(map[pdf.Ref]Truth)) {
	at := map[pdf.Ref]Truth{}
	var next func(i int)
	next = func(i int) {
		if i == len(groups) {
			f(at)
			return
		}
		for _, v := range values {
			at[groups[i]] = v
			next(i + 1)
		}
	}
	next(0)
}

var onOff = []Truth{False, True}

func given(at map[pdf.Ref]Truth) States { return func(r pdf.Ref) Truth { return at[r] } }

// An expr is a visibility expression with a value of its own, by the rules of
// 8.11.2.2 alone.
type expr struct {
	op    string // And, Or, Not; "" is a group
	group int    // index of memberGroups
	kids  []expr
}

func (e expr) text() string {
	if e.op == "" {
		return fmt.Sprintf("%d 0 R", memberGroups[e.group])
	}
	var b strings.Builder
	for _, k := range e.kids {
		b.WriteString(" " + k.text())
	}
	return "[/" + e.op + b.String() + "]"
}

func (e expr) value(on func(pdf.Ref) bool) bool {
	switch e.op {
	case "":
		return on(memberGroups[e.group])
	case "Not":
		return !e.kids[0].value(on)
	}
	n := 0
	for _, k := range e.kids {
		if k.value(on) {
			n++
		}
	}
	if e.op == "And" {
		return n == len(e.kids)
	}
	return n > 0
}

// expressions are all expressions of one level over one or two groups, those
// of two levels over them, and random ones.
func expressions() []expr {
	var leaves []expr
	for i := range memberGroups {
		leaves = append(leaves, expr{group: i})
	}
	over := func(operands []expr) (list []expr) {
		for _, a := range operands {
			list = append(list, expr{op: "Not", kids: []expr{a}}, expr{op: "And", kids: []expr{a}}, expr{op: "Or", kids: []expr{a}})
			for _, b := range operands {
				list = append(list, expr{op: "And", kids: []expr{a, b}}, expr{op: "Or", kids: []expr{a, b}})
			}
		}
		return list
	}
	one := over(leaves)
	list := append(one, over(one[:12])...)
	rnd := rand.New(rand.NewPCG(1, 2))
	var random func(depth int) expr
	random = func(depth int) expr {
		if depth == 0 || rnd.IntN(4) == 0 {
			return leaves[rnd.IntN(len(leaves))]
		}
		e := expr{op: []string{"And", "Or", "Not"}[rnd.IntN(3)]}
		n := 1
		if e.op != "Not" {
			n += rnd.IntN(4)
		}
		for range n {
			e.kids = append(e.kids, random(depth-1))
		}
		return e
	}
	for range 200 {
		if e := random(5); e.op != "" {
			list = append(list, e)
		}
	}
	return list
}

// TestExpressions: visibility expressions under all states (8.11.2.2). OCGs
// and P beside a valid one say the opposite and do not count (Note 2).
func TestExpressions(t *testing.T) {
	doc := memberDoc(t)
	for _, e := range expressions() {
		m := readText(t, doc, "<</Type /OCMD /OCGs 77 0 R /P /AllOff /VE "+e.text()+">>")
		assignments(memberGroups, onOff, func(at map[pdf.Ref]Truth) {
			want := e.value(func(r pdf.Ref) bool { return at[r] == True })
			if got := m.Eval(given(at)); (got == True) != want || got == Undecided {
				t.Errorf("%s under %v: %v, want %t", e.text(), at, got, want)
			}
		})
	}
}

// reducible are memberships of all kinds.
func reducible(tb testing.TB) map[string]*Membership {
	list := map[string]*Membership{}
	cases := policyCases()
	objects := indirect
	for i, c := range cases {
		objects = append(objects, testpdf.Obj(10000+i, c.text))
	}
	for i, e := range expressions() {
		text := "<</Type /OCMD /VE " + e.text() + ">>"
		objects = append(objects, testpdf.Obj(20000+i, text))
	}
	doc := memberDoc(tb, objects...)
	for _, o := range objects {
		if o.Num < 10000 {
			continue
		}
		m, _ := doc.Membership(pdf.Ref(o.Num))
		list[o.Body] = m
	}
	for _, g := range memberGroups {
		list[fmt.Sprintf("%d 0 R", g)] = &Membership{op: group, ref: g}
	}
	return list
}

// TestThreeValues: a value that is not open is that of every way in which the
// open groups may be switched.
func TestThreeValues(t *testing.T) {
	for text, m := range reducible(t) {
		assignments(memberGroups, []Truth{False, Undecided, True}, func(at map[pdf.Ref]Truth) {
			got := m.Eval(given(at))
			seen := map[Truth]bool{}
			assignments(memberGroups, onOff, func(full map[pdf.Ref]Truth) {
				for r, v := range full {
					if at[r] != Undecided && at[r] != v {
						return
					}
				}
				seen[m.Eval(given(full))] = true
			})
			if got != Undecided && !reflect.DeepEqual(seen, map[Truth]bool{got: true}) {
				t.Errorf("%s under %v: %v, but switched it is %v", text, at, got, seen)
			}
			if len(seen) == 2 && got != Undecided {
				t.Errorf("%s under %v: %v, though it depends", text, at, got)
			}
		})
	}
}

// TestReduce: a membership with some groups off is its reduction to the rest,
// whatever their states; written out and read again it is the same still
// (8.11.2.2, Table 99: an empty OCGs array would mean visible).
func TestReduce(t *testing.T) {
	doc := memberDoc(t)
	for text, m := range reducible(t) {
		assignments(memberGroups, onOff, func(which map[pdf.Ref]Truth) {
			gone := func(r pdf.Ref) bool { return which[r] == True }
			reduced := m.Reduce(gone)
			reduced.Each(func(r pdf.Ref) {
				if gone(r) {
					t.Errorf("%s without %v: %v still names %d", text, which, reduced, r)
				}
			})
			again := reduced
			if !reduced.IsConstant() {
				o := reduced.Object()
				again, _ = doc.Membership(o)
				if again == nil {
					t.Fatalf("%s without %v: %v is no membership", text, which, o)
				}
				if hasEmptyGroups(o) {
					t.Errorf("%s without %v: %v has an empty list of groups", text, which, o)
				}
			}
			assignments(memberGroups, onOff, func(at map[pdf.Ref]Truth) {
				with := func(r pdf.Ref) Truth {
					if gone(r) {
						return False
					}
					return at[r]
				}
				want := m.Eval(with)
				if got := reduced.Eval(given(at)); got != want {
					t.Errorf("%s without %v under %v: %v, want %v", text, which, at, got, want)
				}
				if got := again.Eval(given(at)); got != want {
					t.Errorf("%s without %v under %v: written and read %v, want %v", text, which, at, got, want)
				}
			})
		})
	}
}

func hasEmptyGroups(o pdf.Object) bool {
	d, ok := o.(pdf.Dict)
	if !ok {
		return false
	}
	groups, has := d["OCGs"]
	a, isArray := groups.(pdf.Array)
	_, ve := d["VE"]
	return has && (!isArray || len(a) == 0) || !has && !ve
}

// TestWrittenForm: a reduction to one group is that group, one to a policy is
// written with OCGs and P, which more viewers know than VE.
func TestWrittenForm(t *testing.T) {
	doc := memberDoc(t)
	for _, c := range []struct {
		text string
		gone pdf.Ref
		want pdf.Object
	}{
		{"/OCGs [5 0 R 6 0 R]", 6, pdf.Ref(5)},
		{"/OCGs [5 0 R 6 0 R] /P /AllOff", 6, pdf.Dict{"Type": pdf.Name("OCMD"), "OCGs": pdf.Array{pdf.Ref(5)}, "P": pdf.Name("AllOff")}},
		{"/OCGs [5 0 R 6 0 R 7 0 R]", 6, pdf.Dict{"Type": pdf.Name("OCMD"), "OCGs": pdf.Array{pdf.Ref(5), pdf.Ref(7)}, "P": pdf.Name("AnyOn")}},
		{"/OCGs [5 0 R 7 0 R] /P /AllOn", 6, pdf.Dict{"Type": pdf.Name("OCMD"), "OCGs": pdf.Array{pdf.Ref(5), pdf.Ref(7)}, "P": pdf.Name("AllOn")}},
		{"/OCGs [5 0 R 7 0 R] /P /AnyOff", 6, pdf.Dict{"Type": pdf.Name("OCMD"), "OCGs": pdf.Array{pdf.Ref(5), pdf.Ref(7)}, "P": pdf.Name("AnyOff")}},
		{"/VE [/Or [/And 5 0 R [/Not 6 0 R]] 7 0 R]", 6, pdf.Dict{"Type": pdf.Name("OCMD"), "OCGs": pdf.Array{pdf.Ref(5), pdf.Ref(7)}, "P": pdf.Name("AnyOn")}},
		{"/VE [/And 5 0 R [/Not 7 0 R] [/Or 6 0 R 7 0 R]]", 6, pdf.Dict{"Type": pdf.Name("OCMD"),
			"VE": pdf.Array{pdf.Name("And"), pdf.Ref(5), pdf.Array{pdf.Name("Not"), pdf.Ref(7)}, pdf.Ref(7)}}},
	} {
		got := readText(t, doc, "<</Type /OCMD "+c.text+">>").Reduce(func(r pdf.Ref) bool { return r == c.gone }).Object()
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s without %d:\n got %v\nwant %v", c.text, c.gone, got, c.want)
		}
	}
}
