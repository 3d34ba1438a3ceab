package layers

import (
	"fmt"
	"reflect"
	"slices"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/internal/survey"
)

// A Selection says which layers stay, by position in Layers, and which line
// styles go. All other layers go, with everything that only they show; all other
// line styles stay.
type Selection struct {
	// Layers stay, switched on and printable.
	Layers []int
	// Unchanged stay in the state that they have for printing, on or off.
	// A position that Layers holds too is chosen.
	Unchanged []int
	// Lines go, as Lines has found them: every mark of these styles on the
	// pages and in the forms that they draw. A path that is filled and stroked
	// loses just what is of such a style. What is drawn in a tiling pattern, a
	// soft mask, a glyph or an annotation stays. Nil where sizes are told apart
	// by layer; an empty list that is not nil lets every line stay, also in a
	// file without layers.
	Lines []LineStyle
}

// choice is a selection as it applies to one document. It is the decider of
// one isolation.
type choice struct {
	doc   *optional.Document
	edit  *pdf.Edit
	state map[pdf.Ref]optional.Truth
	fates map[pdf.Ref]decided
	lines map[paint.Style]bool // the styles that go
	// selected are the same as the caller gave them.
	selected []LineStyle
	notes    map[string]bool
	warn     []Warning

	flatten, keepState, keepAttachments, noResidue bool // see IsolateOptions
	claims                                         bool // the result claims to be PDF/A
	untagged                                       bool // nothing of the structure is left
	lostFields                                     map[string]bool
	tell                                           *teller
	// What is looked for beside: the test squares, the line styles and the blank
	// pages of what is kept; nil where nobody asks.
	squares, keptLines, blank *survey.Search
}

// decided is a decision that has been made.
type decided struct {
	fate rewrite.Decision
	now  pdf.Object
}

// choose checks a selection. Where the result is to have no layers, each is on
// or goes.
func newChoice(d *optional.Document, sel Selection, opt IsolateOptions) (*choice, error) {
	c := &choice{
		doc: d, edit: d.PDF.Edit(), selected: slices.Clone(sel.Lines), flatten: opt.Flatten, keepState: opt.keepState, keepAttachments: opt.KeepAttachments,
		noResidue: opt.NoResidue,
		state:     map[pdf.Ref]optional.Truth{}, fates: map[pdf.Ref]decided{}, notes: map[string]bool{},
	}
	set := func(positions []int, t optional.Truth) error {
		for _, i := range positions {
			if i < 0 || i >= len(d.Groups) {
				return fmt.Errorf("there is no layer at position %d: the file has %d", i, len(d.Groups))
			}
			g := d.Groups[i]
			c.state[g.Ref] = t
			if opt.Flatten && t == optional.Undecided {
				c.state[g.Ref] = optional.False
				if g.Layer.Print {
					c.state[g.Ref] = optional.True
				}
			}
		}
		return nil
	}
	var err error
	if c.lines, err = survey.Painted(sel.Lines); err != nil {
		return nil, err
	}
	if err := set(sel.Unchanged, optional.Undecided); err != nil {
		return nil, err
	}
	if err := set(sel.Layers, optional.True); err != nil {
		return nil, err
	}
	c.radio()
	return c, nil
}

// RemovedStyles implements rewrite.Decider.
func (c *choice) RemovedStyles() func(paint.Style) bool {
	if c.lines == nil {
		return nil
	}
	return func(s paint.Style) bool { return c.lines[s] }
}

// radio warns of layers that a viewer never shows together.
func (c *choice) radio() {
	for _, o := range pdf.AsArray(c.doc.PDF, c.doc.Config["RBGroups"]) {
		on := 0
		for _, g := range c.doc.Members(o) {
			if c.state[g.Ref] == optional.True {
				on++
			}
		}
		if on > 1 {
			c.note("%d of the chosen layers exclude each other in viewers; all of them are kept and shown", on)
		}
	}
}

// gone tells whether a group goes.
func (c *choice) gone(r pdf.Ref) bool { return c.state[r] == optional.False }

// all tells whether neither a group nor a line style goes.
func (c *choice) all() bool {
	if c.lines != nil {
		return false
	}
	for _, g := range c.doc.Groups {
		if c.gone(g.Ref) {
			return false
		}
	}
	return true
}

// Decide implements rewrite.Decider.
func (c *choice) Decide(oc pdf.Object) (rewrite.Decision, pdf.Object) {
	ref, indirect := oc.(pdf.Ref)
	if d, ok := c.fates[ref]; indirect && ok {
		return d.fate, d.now
	}
	fate, now := c.decide(oc)
	if indirect {
		if dict, ok := now.(pdf.Dict); ok {
			c.edit.Set(ref, dict)
			now = ref
		}
		c.fates[ref] = decided{fate, now}
	}
	return fate, now
}

// decide reads a membership in the original document and reduces it to what
// stays.
func (c *choice) decide(oc pdf.Object) (rewrite.Decision, pdf.Object) {
	m, notes := c.doc.Membership(oc)
	for _, n := range notes {
		c.note("%s", n)
	}
	if m == nil {
		return rewrite.Untouched, oc
	}
	if m.Eval(func(r pdf.Ref) optional.Truth { return c.state[r] }) == optional.False {
		return rewrite.Remove, nil
	}
	reduced := m.Reduce(c.gone)
	if _, ok := reduced.(optional.Constant); ok || c.flatten {
		return rewrite.Unwrap, nil
	}
	if reflect.DeepEqual(m, reduced) {
		return rewrite.Keep, oc
	}
	return rewrite.Keep, optional.Object(reduced)
}

// note warns once of each thing.
func (c *choice) note(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if !c.notes[text] {
		c.notes[text] = true
		c.warn = append(c.warn, Warning{Text: text})
	}
}
