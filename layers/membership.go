package layers

import (
	"github.com/sizeply/sizeply/internal/pdf"
)

// truth is the value of a membership under a selection. Open means that it
// depends on layers that stay in the state they have.
type truth uint8

const (
	isFalse truth = iota
	isOpen
	isTrue
)

func (t truth) not() truth { return isTrue - t }

// states gives the truth of each group.
type states func(pdf.Ref) truth

// maxExpression bounds the depth of visibility expressions and of membership
// dictionaries within each other.
const maxExpression = 64

// maxOperands bounds the arrays and dictionaries of one membership, which may
// be referred to more than once.
const maxOperands = 10_000

// membership is an expression over groups: what an optional content group, a
// membership dictionary or a visibility expression (8.11.2) says.
type membership interface {
	// eval gives the value under the states.
	eval(states) truth
	// reduce takes out the groups that are gone, counting them off.
	reduce(gone func(pdf.Ref) bool) membership
	// each calls f for every group that is named.
	each(f func(pdf.Ref))
}

type (
	// constant is a membership that no group decides.
	constant bool
	// single is one group.
	single pdf.Ref
	// operation is And, Or or Not of operands. Policies are written with
	// them: AllOn is And, AnyOn Or, AllOff Not Or, AnyOff Not And.
	operation struct {
		op       pdf.Name // And, Or, Not
		operands []membership
	}
)

func (c constant) eval(states) truth {
	if c {
		return isTrue
	}
	return isFalse
}
func (s single) eval(st states) truth { return st(pdf.Ref(s)) }
func (o operation) eval(st states) truth {
	if o.op == "Not" {
		return o.operands[0].eval(st).not()
	}
	value := isTrue
	if o.op == "Or" {
		value = isFalse
	}
	for _, m := range o.operands {
		if o.op == "Or" {
			value = max(value, m.eval(st))
		} else {
			value = min(value, m.eval(st))
		}
	}
	return value
}

func (c constant) reduce(func(pdf.Ref) bool) membership { return c }
func (s single) reduce(gone func(pdf.Ref) bool) membership {
	if gone(pdf.Ref(s)) {
		return constant(false)
	}
	return s
}
func (o operation) reduce(gone func(pdf.Ref) bool) membership {
	if o.op == "Not" {
		m := o.operands[0].reduce(gone)
		if c, ok := m.(constant); ok {
			return !c
		}
		return operation{"Not", []membership{m}}
	}
	decides := constant(o.op == "Or") // one such operand is the answer
	var rest []membership
	for _, m := range o.operands {
		m = m.reduce(gone)
		if c, ok := m.(constant); ok {
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

func (constant) each(func(pdf.Ref))   {}
func (s single) each(f func(pdf.Ref)) { f(pdf.Ref(s)) }
func (o operation) each(f func(pdf.Ref)) {
	for _, m := range o.operands {
		m.each(f)
	}
}

// object writes a membership as a dictionary, or as the reference to its only
// group. A plain policy over groups is written with OCGs and P, which more
// viewers know than VE.
func object(m membership) pdf.Object {
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
func policy(m membership) (p pdf.Name, groups pdf.Array, ok bool) {
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
func expression(m membership) pdf.Object {
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
