package pdf

import "context"

// plan lists the objects that can be reached from the catalog and the
// information dictionary, breadth first, and numbers them from 1.
func (e *Edit) plan(ctx context.Context) (order []Ref, number map[Ref]Ref, err error) {
	p := planner{src: e, number: map[Ref]Ref{}}
	p.ref(e.doc.root)
	p.ref(e.info)
	for i := 0; i < len(p.order); i++ {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		if err := p.object(e.Object(p.order[i]), 0); err != nil {
			return nil, nil, err
		}
	}
	return p.order, p.number, nil
}

// planner numbers objects in the order in which they are met.
type planner struct {
	src    Objects
	order  []Ref
	number map[Ref]Ref
	// missing collects references to nothing, unless it is nil.
	missing map[Ref]bool
}

// ref numbers the object that r leads to, unless that is null. A reference
// that leads on by another gets the number of the object at the end.
func (p *planner) ref(r Ref) {
	if p.number[r] != 0 {
		return
	}
	last, ok := lastRef(p.src, r)
	if !ok {
		if p.missing != nil {
			p.missing[r] = true
		}
		return
	}
	if p.number[last] == 0 {
		p.order = append(p.order, last)
		p.number[last] = Ref(len(p.order))
	}
	p.number[r] = p.number[last]
}

// object follows the references in o, dictionaries by ascending key.
func (p *planner) object(o Object, depth int) error {
	if depth > 2*maxNesting {
		return errNested
	}
	switch o := o.(type) {
	case Ref:
		p.ref(o)
	case Array:
		for _, v := range o {
			if err := p.object(v, depth+1); err != nil {
				return err
			}
		}
	case Dict:
		for _, key := range o.Keys() {
			if err := p.object(o[key], depth+1); err != nil {
				return err
			}
		}
	case *Stream:
		return p.object(o.Dict, depth+1)
	}
	return nil
}
