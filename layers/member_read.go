package layers

import (
	"errors"
	"fmt"

	"github.com/sizeply/sizeply/internal/pdf"
)

// errNoExpression says that a visibility expression is malformed.
var errNoExpression = errors.New("malformed visibility expression")

// memberReader reads memberships of one document.
type memberReader struct {
	doc   pdf.Objects
	props *properties
	path  map[pdf.Ref]bool // what is being read, against cycles
	depth int
	left  int // how many dictionaries and arrays may still be read
	notes []string
}

// read gives the membership that the value of an OC entry or a property list
// stands for; nil where it is no optional content.
func (p *properties) read(doc pdf.Objects, o pdf.Object) (membership, []string) {
	if !p.present {
		return nil, nil
	}
	r := &memberReader{doc: doc, props: p, path: map[pdf.Ref]bool{}, left: maxOperands}
	return r.value(o), r.notes
}

// value reads a group or a membership dictionary. A group is always an
// indirect object (8.11.3.2).
func (r *memberReader) value(o pdf.Object) membership {
	if ref, ok := o.(pdf.Ref); ok && r.props.byRef[ref] != nil {
		return single(ref)
	}
	d := pdf.AsDict(r.doc, o)
	if d == nil || pdf.AsName(r.doc, d["Type"]) != "OCMD" {
		return nil
	}
	leave, ok := r.enter(o)
	if !ok {
		r.note("a membership dictionary is nested too deep, within itself, or too large")
		return nil
	}
	defer leave()
	if ve := pdf.AsArray(r.doc, d["VE"]); ve != nil {
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

// policy reads OCGs and P (Table 99). Entries that are no group are ignored;
// without any the dictionary has no effect.
func (r *memberReader) policy(d pdf.Dict) membership {
	entries := pdf.AsArray(r.doc, d["OCGs"])
	if entries == nil {
		entries = pdf.Array{d["OCGs"]}
	}
	var list []membership
	for _, o := range entries {
		if m := r.value(o); m != nil {
			if _, direct := m.(single); !direct {
				r.note("a membership dictionary stands where only a group may")
			}
			list = append(list, m)
		}
	}
	if len(list) == 0 {
		return constant(true)
	}
	switch p := pdf.AsName(r.doc, d["P"]); p {
	case "AllOn":
		return operation{"And", list}
	case "AnyOff":
		return operation{"Not", []membership{operation{"And", list}}}
	case "AllOff":
		return operation{"Not", []membership{operation{"Or", list}}}
	default:
		if p != "AnyOn" && p != "" {
			r.note(fmt.Sprintf("the policy %q is unknown; AnyOn is used", p))
		}
		return operation{"Or", list}
	}
}

// expression reads a visibility expression (8.11.2.2): And and Or of one or
// more operands, Not of exactly one. Null operands of And and Or are left out.
// Anything else makes the whole expression malformed.
func (r *memberReader) expression(o pdf.Object) (membership, error) {
	if ref, ok := o.(pdf.Ref); ok && r.props.byRef[ref] != nil {
		return single(ref), nil
	}
	if m := r.value(o); m != nil {
		return m, nil
	}
	a := pdf.AsArray(r.doc, o)
	leave, ok := r.enter(o)
	if len(a) == 0 || !ok {
		return nil, errNoExpression
	}
	defer leave()
	out := operation{op: pdf.AsName(r.doc, a[0])}
	for _, v := range a[1:] {
		if pdf.Resolve(r.doc, v) == nil && out.op != "Not" {
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
		return nil, errNoExpression
	}
	return out, nil
}

func (r *memberReader) note(s string) { r.notes = append(r.notes, s) }
