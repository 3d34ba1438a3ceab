package layers

import (
	"errors"
	"fmt"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// checker goes through the resources of a result as its content is drawn.
type checker struct {
	*made
	doc    *optional.Document
	states *choice // chosen layers are on, others may be on or off
	// read is what each stream names itself, needs what it and all that it
	// draws take from outside.
	read, needs map[pdf.Ref]needs
	active      map[pdf.Ref]bool
	err         error
}

var errHidden = errors.New("hidden content is left")

// document checks the pages, their annotations, and drawings that no page
// draws.
func (c *checker) document() error {
	for _, p := range c.doc.PDF.Pages() {
		c.root(p.Ref, p.Resources)
		for _, o := range pdf.AsArray(c.doc.PDF, p.Dict["Annots"]) {
			c.shown(pdf.AsDict(c.doc.PDF, o)["OC"])
		}
		if c.err != nil {
			return fmt.Errorf("page %d: %w", p.Number, c.err)
		}
	}
	for _, ref := range c.doc.PDF.Refs() {
		if _, drawn := c.needs[ref]; drawn || c.read[ref] == nil {
			continue
		}
		if st := pdf.AsStream(c.doc.PDF, ref); st != nil && resources.IsDrawing(c.doc.PDF, st.Dict) {
			c.root(ref, st.Dict["Resources"])
		}
	}
	return c.err
}

// root checks a stream that nothing draws: what it takes from outside is
// missing, and was so before.
func (c *checker) root(ref pdf.Ref, resources pdf.Object) {
	for n := range c.stream(ref, resources) {
		if !c.missing[n] && c.err == nil {
			c.err = fmt.Errorf("its %s %q is missing", n.Category, string(n.Name))
		}
	}
}

// shown refuses content that is hidden while the chosen layers are on.
func (c *checker) shown(oc pdf.Object) {
	if oc == nil || c.err != nil {
		return
	}
	if fate, _ := c.states.Decide(oc); fate == rewrite.Remove {
		c.err = errHidden
	}
}

// stream gives what a stream, with all that it draws, takes from outside.
func (c *checker) stream(ref pdf.Ref, resources pdf.Object) needs {
	if had, ok := c.needs[ref]; ok || c.active[ref] {
		return had
	}
	c.active[ref] = true
	defer delete(c.active, ref)
	found := c.within(c.read[ref], resources)
	c.needs[ref] = found
	return found
}

// within gives what is left of what is named after a resource dictionary, with
// what its own resources need besides.
func (c *checker) within(named needs, resources pdf.Object) needs {
	dict := pdf.AsDict(c.doc.PDF, resources)
	all := needs{}
	all.add(named)
	for _, cat := range []pdf.Name{"XObject", "Pattern", "Font", "ExtGState"} {
		entries := pdf.AsDict(c.doc.PDF, dict[cat])
		for _, k := range entries.Keys() {
			all.add(c.resource(cat, entries[k]))
		}
	}
	left := needs{}
	for n, optional := range all {
		v := pdf.AsDict(c.doc.PDF, dict[n.Category])[n.Name]
		if pdf.Resolve(c.doc.PDF, v) == nil {
			left[n] = left[n] || optional
		} else if optional {
			c.shown(v)
		}
	}
	return left
}

func (n needs) add(m needs) {
	for k, optional := range m {
		n[k] = n[k] || optional
	}
}

// resource gives what the drawings that a resource leads to take from outside.
func (c *checker) resource(category pdf.Name, o pdf.Object) needs {
	switch category {
	case "XObject":
		if st := pdf.AsStream(c.doc.PDF, o); st != nil {
			c.shown(st.Dict["OC"])
		}
		return c.drawing(o)
	case "Pattern":
		return c.drawing(o)
	case "Font":
		return c.font(o)
	}
	gs := pdf.AsDict(c.doc.PDF, o)
	all := needs{}
	all.add(c.drawing(pdf.AsDict(c.doc.PDF, gs["SMask"])["G"]))
	if f := pdf.AsArray(c.doc.PDF, gs["Font"]); len(f) > 0 {
		all.add(c.font(f[0]))
	}
	return all
}

// drawing gives what a form or the cell of a pattern takes from outside.
func (c *checker) drawing(o pdf.Object) needs {
	ref, _ := o.(pdf.Ref)
	st := pdf.AsStream(c.doc.PDF, o)
	if ref == 0 || st == nil || c.read[ref] == nil {
		return nil
	}
	return c.stream(ref, st.Dict["Resources"])
}

// font gives what the glyphs of a Type 3 font take from outside.
func (c *checker) font(o pdf.Object) needs {
	f := pdf.AsDict(c.doc.PDF, o)
	procs := pdf.AsDict(c.doc.PDF, f["CharProcs"])
	ref, _ := o.(pdf.Ref)
	if procs == nil || ref != 0 && c.active[ref] {
		return nil
	}
	c.active[ref] = true
	defer delete(c.active, ref)
	all := needs{}
	for _, name := range procs.Keys() {
		if glyph, ok := procs[name].(pdf.Ref); ok && c.read[glyph] != nil {
			all.add(c.stream(glyph, nil))
		}
	}
	return c.within(all, f["Resources"])
}
