package isolate

import (
	"context"
	"reflect"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/internal/survey"
	"github.com/sizeply/sizeply/layers/warning"
)

// decisions are what a selection says of the optional content and the line
// styles of one document, as a [rewrite.Decider].
type decisions struct {
	doc     *optional.Document
	edit    *pdf.Edit
	flatten bool // the result is to have no layers
	// states are True for chosen groups, Undecided for those that keep their
	// state, False for those that are removed.
	states map[pdf.Ref]optional.Truth
	lines  map[paint.Style]bool // the styles that are removed; nil where none are
	// made are the decisions on memberships that are objects of their own.
	made  map[pdf.Ref]decision
	noted map[string]bool
	// warnings are what a user should know, each once.
	warnings []warning.Warning
}

// decision is what becomes of the content of a membership, and what stands for
// the membership then.
type decision struct {
	rewrite.Decision
	now pdf.Object
}

// newDecisions checks a selection. In a result without layers each group is on
// or removed.
func newDecisions(ctx context.Context, doc *optional.Document, sel Selection, flatten bool) (*decisions, error) {
	if err := sel.check(ctx, doc); err != nil {
		return nil, err
	}
	lines, err := survey.Painted(ctx, doc, sel.Lines)
	if err != nil {
		return nil, err
	}
	d := &decisions{
		doc: doc, edit: doc.PDF.Edit(), flatten: flatten, lines: lines,
		states: map[pdf.Ref]optional.Truth{}, made: map[pdf.Ref]decision{}, noted: map[string]bool{},
	}
	for _, part := range []struct {
		positions []int
		state     optional.Truth
	}{{sel.Unchanged, optional.Undecided}, {sel.Layers, optional.True}} {
		for _, i := range part.positions {
			d.states[doc.Groups[i].Ref] = part.state
		}
	}
	if flatten {
		for ref := range d.states {
			d.states[ref] = d.printed(ref)
		}
	}
	// Radio-button groups: layers that a viewer never shows together.
	for _, o := range pdf.AsArray(doc.PDF, doc.Config["RBGroups"]) {
		on := 0
		for _, g := range doc.Members(o) {
			if d.states[g.Ref] == optional.True {
				on++
			}
		}
		if on > 1 {
			d.note(warning.LayersExclude,
				"%d of the chosen layers exclude each other in viewers; all of them are kept and shown", on)
		}
	}
	return d, nil
}

// state implements [optional.States].
func (d *decisions) state(ref pdf.Ref) optional.Truth { return d.states[ref] }

// printed implements [optional.States] for paper: it is True for a group that is
// on there, False for others.
func (d *decisions) printed(ref pdf.Ref) optional.Truth {
	switch t := d.states[ref]; {
	case t != optional.Undecided:
		return t
	case d.doc.Group(ref).Layer.Print:
		return optional.True
	}
	return optional.False
}

// removed reports whether a group is removed.
func (d *decisions) removed(ref pdf.Ref) bool { return d.states[ref] == optional.False }

// keepsAll reports whether neither a group nor a line style is removed, and no page
// was before.
func (d *decisions) keepsAll() bool {
	for _, g := range d.doc.Groups {
		if d.removed(g.Ref) {
			return false
		}
	}
	return d.lines == nil && !d.doc.IsPart()
}

// layers are the groups that stay layers in the result.
func (d *decisions) layers() (list []*optional.Group) {
	for _, g := range d.doc.Groups {
		if !d.flatten && !d.removed(g.Ref) {
			list = append(list, g)
		}
	}
	return list
}

// RemovedStyles implements [rewrite.Decider].
func (d *decisions) RemovedStyles() func(paint.Style) bool {
	if d.lines == nil {
		return nil
	}
	return func(s paint.Style) bool { return d.lines[s] }
}

// Decide implements [rewrite.Decider]. A membership that is an object of its own
// changes there.
func (d *decisions) Decide(oc pdf.Object) (rewrite.Decision, pdf.Object) {
	ref, indirect := oc.(pdf.Ref)
	if made, ok := d.made[ref]; indirect && ok {
		return made.Decision, made.now
	}
	what, now := d.decide(oc)
	if indirect {
		if dict, ok := now.(pdf.Dict); ok {
			d.edit.Set(ref, dict)
			now = ref
		}
		d.made[ref] = decision{what, now}
	}
	return what, now
}

// decide reads a membership in the original document and reduces it to the
// groups that are kept.
func (d *decisions) decide(oc pdf.Object) (rewrite.Decision, pdf.Object) {
	m, notes := d.doc.Membership(oc)
	for _, n := range notes {
		d.note(warning.DoubtfulMembership, "%s", n)
	}
	if m == nil {
		return rewrite.Untouched, oc
	}
	if m.Eval(d.state) == optional.False {
		return rewrite.Remove, nil
	}
	reduced := m.Reduce(d.removed)
	if reduced.IsConstant() || d.flatten {
		return rewrite.Unwrap, nil
	}
	if reflect.DeepEqual(m, reduced) {
		return rewrite.Keep, oc
	}
	return rewrite.Keep, reduced.Object()
}

// isHidden reports whether the content of an OC entry is removed.
func (d *decisions) isHidden(oc pdf.Object) bool {
	what, _ := d.Decide(oc)
	return what == rewrite.Remove
}

// note warns of a thing, once.
func (d *decisions) note(code warning.Code, format string, args ...any) {
	d.warn(warning.New(code, nil, format, args...))
}

// warn warns of a thing, once.
func (d *decisions) warn(w warning.Warning) {
	if !d.noted[w.Text] {
		d.noted[w.Text] = true
		d.warnings = append(d.warnings, w)
	}
}
