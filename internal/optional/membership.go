package optional

import (
	"errors"
	"fmt"

	"github.com/sizeply/sizeply/internal/pdf"
)

// Truth is the value of a membership under a selection. Undecided means that it
// depends on groups that keep the state they have.
type Truth uint8

// The values in the order in which And takes the least and Or the greatest.
const (
	False Truth = iota
	Undecided
	True
)

// States gives the truth of each group.
type States func(pdf.Ref) Truth

// A Membership is an expression over groups: what an optional content group, a
// membership dictionary or a visibility expression (8.11.2) says.
type Membership interface {
	// Eval gives the value under the states.
	Eval(States) Truth
	// Reduce takes out the groups that are removed, counting them off.
	Reduce(removed func(pdf.Ref) bool) Membership
	// Each calls f for every group that is named.
	Each(f func(pdf.Ref))
}

// A Constant is a membership that no group decides.
type Constant bool

type (
	// single is one group.
	single pdf.Ref
	// operation is And, Or or Not of operands. Policies are written with
	// them: AllOn is And, AnyOn Or, AllOff Not Or, AnyOff Not And.
	operation struct {
		op       pdf.Name // And, Or, Not
		operands []Membership
	}
)

// Membership reads what the value of an OC entry or a property list stands for;
// nil where it is no optional content. The notes tell what of it is malformed.
func (d *Document) Membership(oc pdf.Object) (m Membership, notes []string) {
	return d.membership(d.PDF, oc)
}

func (d *Document) membership(src pdf.Objects, oc pdf.Object) (Membership, []string) {
	if !d.present {
		return nil, nil
	}
	r := &memberReader{src: src, doc: d, path: map[pdf.Ref]bool{}, left: maxOperands}
	return r.value(oc), r.notes
}

// maxExpression bounds the depth of visibility expressions and of membership
// dictionaries within each other.
const maxExpression = 64

// maxOperands bounds the arrays and dictionaries of one membership, which may
// be referred to more than once.
const maxOperands = 10_000

// errExpression says that a visibility expression is malformed.
var errExpression = errors.New("malformed visibility expression")

// memberReader reads one membership.
type memberReader struct {
	src   pdf.Objects
	doc   *Document
	path  map[pdf.Ref]bool // what is being read, against cycles
	depth int
	left  int // how many dictionaries and arrays may still be read
	notes []string
}

// value reads a group or a membership dictionary. A group is always an
// indirect object (8.11.3.2).
func (r *memberReader) value(o pdf.Object) Membership {
	if ref, ok := o.(pdf.Ref); ok && r.doc.byRef[ref] != nil {
		return single(ref)
	}
	d := pdf.AsDict(r.src, o)
	if d == nil || pdf.AsName(r.src, d["Type"]) != "OCMD" {
		return nil
	}
	leave, ok := r.enter(o)
	if !ok {
		r.note("a membership dictionary is nested too deep, within itself, or too large")
		return nil
	}
	defer leave()
	if ve := pdf.AsArray(r.src, d["VE"]); ve != nil {
		if m, err := r.expression(d["VE"]); err == nil {
			return m
		}
		r.note("a visibility expression is malformed; the groups and policy beside it are used")
	}
	return r.policy(d)
}

// enter guards against cycles and depth.
func (r *memberReader) enter(o pdf.Object) (leave func(), ok bool) {
	ref, isRef := o.(pdf.Ref)
	if r.left--; r.left < 0 || r.depth > maxExpression || isRef && r.path[ref] {
		return nil, false
	}
	r.depth++
	if isRef {
		r.path[ref] = true
	}
	return func() {
		r.depth--
		if isRef {
			delete(r.path, ref)
		}
	}, true
}

// expression reads a visibility expression (8.11.2.2): And and Or of one or
// more operands, Not of exactly one. Null operands of And and Or are left out.
// Anything else makes the whole expression malformed.
func (r *memberReader) expression(o pdf.Object) (Membership, error) {
	if m := r.value(o); m != nil {
		return m, nil
	}
	a := pdf.AsArray(r.src, o)
	leave, ok := r.enter(o)
	if len(a) == 0 || !ok {
		return nil, errExpression
	}
	defer leave()
	out := operation{op: pdf.AsName(r.src, a[0])}
	for _, v := range a[1:] {
		if pdf.Resolve(r.src, v) == nil && out.op != "Not" {
			continue
		}
		m, err := r.expression(v)
		if err != nil {
			return nil, err
		}
		out.operands = append(out.operands, m)
	}
	switch {
	case out.op == "Not" && len(out.operands) == 1:
	case (out.op == "And" || out.op == "Or") && len(out.operands) > 0:
	default:
		return nil, errExpression
	}
	return out, nil
}

// policy reads OCGs and P (Table 99). Entries that are no group are ignored;
// without any the dictionary has no effect.
func (r *memberReader) policy(d pdf.Dict) Membership {
	entries := pdf.AsArray(r.src, d["OCGs"])
	if entries == nil {
		entries = pdf.Array{d["OCGs"]}
	}
	var list []Membership
	for _, o := range entries {
		if m := r.value(o); m != nil {
			if _, direct := m.(single); !direct {
				r.note("a membership dictionary stands where only a group may")
			}
			list = append(list, m)
		}
	}
	if len(list) == 0 {
		return Constant(true)
	}
	switch p := pdf.AsName(r.src, d["P"]); p {
	case "AllOn":
		return operation{"And", list}
	case "AnyOff":
		return operation{"Not", []Membership{operation{"And", list}}}
	case "AllOff":
		return operation{"Not", []Membership{operation{"Or", list}}}
	default:
		if p != "AnyOn" && p != "" {
			r.note(fmt.Sprintf("the policy %q is unknown; AnyOn is used", p))
		}
		return operation{"Or", list}
	}
}

func (r *memberReader) note(s string) { r.notes = append(r.notes, s) }

// Eval implements [Membership].
func (c Constant) Eval(States) Truth {
	if c {
		return True
	}
	return False
}

// Eval implements [Membership].
func (s single) Eval(st States) Truth { return st(pdf.Ref(s)) }

// Eval implements [Membership].
func (o operation) Eval(st States) Truth {
	if o.op == "Not" {
		return True - o.operands[0].Eval(st)
	}
	value := True
	if o.op == "Or" {
		value = False
	}
	for _, m := range o.operands {
		if o.op == "Or" {
			value = max(value, m.Eval(st))
		} else {
			value = min(value, m.Eval(st))
		}
	}
	return value
}

// Reduce implements [Membership].
func (c Constant) Reduce(func(pdf.Ref) bool) Membership { return c }

// Reduce implements [Membership].
func (s single) Reduce(removed func(pdf.Ref) bool) Membership {
	if removed(pdf.Ref(s)) {
		return Constant(false)
	}
	return s
}

// Reduce implements [Membership].
func (o operation) Reduce(removed func(pdf.Ref) bool) Membership {
	if o.op == "Not" {
		m := o.operands[0].Reduce(removed)
		if c, ok := m.(Constant); ok {
			return !c
		}
		return operation{"Not", []Membership{m}}
	}
	decides := Constant(o.op == "Or") // one such operand is the answer
	var rest []Membership
	for _, m := range o.operands {
		m = m.Reduce(removed)
		if c, ok := m.(Constant); ok {
			if c == decides {
				return decides
			}
			continue
		}
		rest = append(rest, m)
	}
	switch len(rest) {
	case 0:
		return !decides
	case 1:
		return rest[0]
	}
	return operation{o.op, rest}
}

// Each implements [Membership].
func (Constant) Each(func(pdf.Ref)) {}

// Each implements [Membership].
func (s single) Each(f func(pdf.Ref)) { f(pdf.Ref(s)) }

// Each implements [Membership].
func (o operation) Each(f func(pdf.Ref)) {
	for _, m := range o.operands {
		m.Each(f)
	}
}

// Object writes a membership that is no [Constant]: as a dictionary, or as the
// reference to its only group. A plain policy over groups is written with OCGs
// and P, which more viewers know than VE.
func Object(m Membership) pdf.Object {
	if s, ok := m.(single); ok {
		return pdf.Ref(s)
	}
	d := pdf.Dict{"Type": pdf.Name("OCMD")}
	if p, groups, ok := policy(m); ok {
		d["OCGs"], d["P"] = groups, p
		return d
	}
	d["VE"] = expression(m)
	return d
}

// policy gives the policy that a membership is, where it is one.
func policy(m Membership) (p pdf.Name, groups pdf.Array, ok bool) {
	names := map[pdf.Name]pdf.Name{"And": "AllOn", "Or": "AnyOn"}
	o, isOp := m.(operation)
	if isOp && o.op == "Not" {
		names = map[pdf.Name]pdf.Name{"And": "AnyOff", "Or": "AllOff"}
		m = o.operands[0]
		if s, one := m.(single); one {
			return "AllOff", pdf.Array{pdf.Ref(s)}, true
		}
		o, isOp = m.(operation)
	}
	if !isOp || names[o.op] == "" {
		return "", nil, false
	}
	for _, m := range o.operands {
		s, one := m.(single)
		if !one {
			return "", nil, false
		}
		groups = append(groups, pdf.Ref(s))
	}
	return names[o.op], groups, true
}

// expression writes a membership as a visibility expression.
func expression(m Membership) pdf.Object {
	switch m := m.(type) {
	case single:
		return pdf.Ref(m)
	case operation:
		a := pdf.Array{m.op}
		for _, operand := range m.operands {
			a = append(a, expression(operand))
		}
		return a
	}
	return nil
}
