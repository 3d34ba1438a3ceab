package layers

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// assignments calls f with each way to give the groups one of the values.
func assignments(groups []pdf.Ref, values []truth, f func(map[pdf.Ref]truth)) {
	at := map[pdf.Ref]truth{}
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

var onOff = []truth{isFalse, isTrue}

func given(at map[pdf.Ref]truth) states { return func(r pdf.Ref) truth { return at[r] } }

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
		assignments(memberGroups, onOff, func(at map[pdf.Ref]truth) {
			want := e.value(func(r pdf.Ref) bool { return at[r] == isTrue })
			if got := m.eval(given(at)); (got == isTrue) != want || got == isOpen {
				t.Errorf("%s under %v: %v, want %t", e.text(), at, got, want)
			}
		})
	}
}

// reducible are memberships of all kinds.
func reducible(tb testing.TB) map[string]membership {
	list := map[string]membership{}
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
		m, _ := doc.props.read(doc.pdf, pdf.Ref(o.Num))
		list[o.Body] = m
	}
	for _, g := range memberGroups {
		list[fmt.Sprintf("%d 0 R", g)] = single(g)
	}
	return list
}

// TestThreeValues: a value that is not open is that of every way in which the
// open groups may be switched.
func TestThreeValues(t *testing.T) {
	for text, m := range reducible(t) {
		assignments(memberGroups, []truth{isFalse, isOpen, isTrue}, func(at map[pdf.Ref]truth) {
			got := m.eval(given(at))
			seen := map[truth]bool{}
			assignments(memberGroups, onOff, func(full map[pdf.Ref]truth) {
				for r, v := range full {
					if at[r] != isOpen && at[r] != v {
						return
					}
				}
				seen[m.eval(given(full))] = true
			})
			if got != isOpen && !reflect.DeepEqual(seen, map[truth]bool{got: true}) {
				t.Errorf("%s under %v: %v, but switched it is %v", text, at, got, seen)
			}
			if len(seen) == 2 && got != isOpen {
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
		assignments(memberGroups, onOff, func(which map[pdf.Ref]truth) {
			gone := func(r pdf.Ref) bool { return which[r] == isTrue }
			reduced := m.reduce(gone)
			reduced.each(func(r pdf.Ref) {
				if gone(r) {
					t.Errorf("%s without %v: %v still names %d", text, which, reduced, r)
				}
			})
			again := reduced
			if _, ok := reduced.(constant); !ok {
				o := object(reduced)
				again, _ = doc.props.read(doc.pdf, o)
				if again == nil {
					t.Fatalf("%s without %v: %v is no membership", text, which, o)
				}
				if hasEmptyGroups(o) {
					t.Errorf("%s without %v: %v has an empty list of groups", text, which, o)
				}
			}
			assignments(memberGroups, onOff, func(at map[pdf.Ref]truth) {
				with := func(r pdf.Ref) truth {
					if gone(r) {
						return isFalse
					}
					return at[r]
				}
				want := m.eval(with)
				if got := reduced.eval(given(at)); got != want {
					t.Errorf("%s without %v under %v: %v, want %v", text, which, at, got, want)
				}
				if got := again.eval(given(at)); got != want {
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
		got := object(readText(t, doc, "<</Type /OCMD "+c.text+">>").reduce(func(r pdf.Ref) bool { return r == c.gone }))
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s without %d:\n got %v\nwant %v", c.text, c.gone, got, c.want)
		}
	}
}
