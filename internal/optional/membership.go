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
// membership dictionary or a visibility expression (8.11.2) says. Policies are
// written with operators: AllOn is And, AnyOn Or, AllOff Not Or, AnyOff Not And.
type Membership struct {
	op       pdf.Name // And, Or or Not of operands, or one of those below
	operands []*Membership
	ref      pdf.Ref // of the group
}

// What a membership is besides.
const (
	group  pdf.Name = "group"
	always pdf.Name = "always" // no group decides
	never  pdf.Name = "never"
)

// Membership reads what the value of an OC entry or a property list stands for;
// nil where it is no optional content. The notes tell what of it is malformed.
func (d *Document) Membership(oc pdf.Object) (m *Membership, notes []string) {
	return d.membership(d.PDF, oc)
}

func (d *Document) membership(src pdf.Objects, oc pdf.Object) (*Membership, []string) {
	if !d.present {
		return nil, nil
	}
	r := &memberReader{src: src, doc: d, path: map[pdf.Ref]bool{}, left: maxOperands}
	m := r.value(oc)
	if m == nil && oc != nil && len(r.notes) == 0 && !isPropertyList(src, oc) {
		at := ""
		if ref, ok := oc.(pdf.Ref); ok {
			at = fmt.Sprintf(" (object %d)", ref)
		}
		r.note("content is in something" + at + " that is no layer, or that is missing; it is shown whatever is chosen")
	}
	return m, r.notes
}

// isPropertyList reports whether an object may be the property list of marked
// content that is not optional (14.6.2).
func isPropertyList(src pdf.Objects, o pdf.Object) bool {
	d := pdf.AsDict(src, o)
	return d != nil && d["OCGs"] == nil && d["VE"] == nil && pdf.AsName(src, d["Type"]) != "OCG"
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
func (r *memberReader) value(o pdf.Object) *Membership {
	if ref, ok := o.(pdf.Ref); ok && r.doc.byRef[ref] != nil {
		return &Membership{op: group, ref: ref}
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
func (r *memberReader) expression(o pdf.Object) (*Membership, error) {
	if m := r.value(o); m != nil {
		return m, nil
	}
	a := pdf.AsArray(r.src, o)
	leave, ok := r.enter(o)
	if len(a) == 0 || !ok {
		return nil, errExpression
	}
	defer leave()
	out := &Membership{op: pdf.AsName(r.src, a[0])}
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
func (r *memberReader) policy(d pdf.Dict) *Membership {
	entries := pdf.AsArray(r.src, d["OCGs"])
	if entries == nil {
		entries = pdf.Array{d["OCGs"]}
	}
	var list []*Membership
	for _, o := range entries {
		if m := r.value(o); m != nil {
			if m.op != group {
				r.note("a membership dictionary stands where only a group may")
			}
			list = append(list, m)
		}
	}
	if len(list) == 0 {
		return &Membership{op: always}
	}
	p := pdf.AsName(r.src, d["P"])
	m := &Membership{op: "Or", operands: list}
	switch p {
	case "AllOn", "AnyOff":
		m.op = "And"
	case "AllOff", "AnyOn", "":
	default:
		r.note(fmt.Sprintf("the policy %q is unknown; AnyOn is used", p))
	}
	if p == "AnyOff" || p == "AllOff" {
		m = &Membership{op: "Not", operands: []*Membership{m}}
	}
	return m
}

func (r *memberReader) note(s string) { r.notes = append(r.notes, s) }

// Eval gives the value under the states.
func (m *Membership) Eval(states States) Truth {
	switch m.op {
	case group:
		return states(m.ref)
	case always:
		return True
	case "Not":
		return True - m.operands[0].Eval(states)
	case "And":
		value := True
		for _, o := range m.operands {
			value = min(value, o.Eval(states))
		}
		return value
	}
	value := False // never, or Or
	for _, o := range m.operands {
		value = max(value, o.Eval(states))
	}
	return value
}

// IsConstant reports whether no group decides.
func (m *Membership) IsConstant() bool { return m.op == always || m.op == never }

// Reduce takes out the groups that are removed, counting them off.
func (m *Membership) Reduce(removed func(pdf.Ref) bool) *Membership {
	if m.op == group && removed(m.ref) {
		return &Membership{op: never}
	}
	if len(m.operands) == 0 {
		return m
	}
	decides, other := never, always // one operand that decides is the answer
	if m.op == "Or" {
		decides, other = always, never
	}
	var rest []*Membership
	for _, o := range m.operands {
		switch o = o.Reduce(removed); {
		case m.op == "Not" && o.op == always:
			return &Membership{op: never}
		case m.op == "Not" && o.op == never:
			return &Membership{op: always}
		case o.op == decides:
			return o
		case o.op != other:
			rest = append(rest, o)
		}
	}
	switch {
	case len(rest) == 0:
		return &Membership{op: other}
	case len(rest) == 1 && m.op != "Not":
		return rest[0]
	}
	return &Membership{op: m.op, operands: rest}
}

// Each calls f for every group that is named.
func (m *Membership) Each(f func(pdf.Ref)) {
	if m.op == group {
		f(m.ref)
	}
	for _, o := range m.operands {
		o.Each(f)
	}
}

// Object writes a membership that some group decides: as a dictionary, or as the
// reference to its only group. A plain policy over groups is written with OCGs
// and P, which more viewers know than VE.
func (m *Membership) Object() pdf.Object {
	if m.op == group {
		return m.ref
	}
	d := pdf.Dict{"Type": pdf.Name("OCMD")}
	if p, groups := m.policy(); p != "" {
		d["OCGs"], d["P"] = groups, p
		return d
	}
	d["VE"] = m.expression()
	return d
}

// policy gives the policy that a membership is, "" where it is none.
func (m *Membership) policy() (p pdf.Name, groups pdf.Array) {
	policies := map[pdf.Name]pdf.Name{"And": "AllOn", "Or": "AnyOn"}
	list := m.operands
	if m.op == "Not" {
		policies = map[pdf.Name]pdf.Name{"And": "AnyOff", "Or": "AllOff", group: "AllOff"}
		if m = list[0]; m.op == group {
			list = []*Membership{m}
		} else {
			list = m.operands
		}
	}
	for _, o := range list {
		if o.op != group {
			return "", nil
		}
		groups = append(groups, o.ref)
	}
	return policies[m.op], groups
}

// expression writes a membership as a visibility expression.
func (m *Membership) expression() pdf.Object {
	if m.op == group {
		return m.ref
	}
	a := pdf.Array{m.op}
	for _, o := range m.operands {
		a = append(a, o.expression())
	}
	return a
}
