package rewrite

import (
	"sort"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// An eliminator takes out of a filtered stream the state that no mark needs:
// it drags fonts, patterns and clips of removed content along. It goes through
// the operations from the last to the first with the parameters that are
// needed behind each, so that a setter stays only where a later mark sees it.
type eliminator struct {
	*walker
	scope  *scope
	data   []byte
	hidden []span // what stands in removed content, ascending

	ops []operation

	need     params // after the operation at hand
	saves    []saved
	texts    []bool // for each open text object: something in it stays
	sections []bool // for each open section: something in it stays
	pathStay bool   // the path at hand stays
}

// operation is what elimination has to know of one operation.
type operation struct {
	start, end int
	op         content.Op
	match      bool   // q and Q, BDC and EMC, BT and ET: it has its other half
	effect     effect // see there
	sets       params // as a whole
	needs      params
	stays      bool
	// instead names the ExtGState dictionary that takes the place of the one
	// that the operation names, "" for none.
	instead pdf.Name
}

// effect says what kind of thing an operation does.
type effect uint8

const (
	sets     effect = iota // sets parameters; stays where one of them is needed
	moves                  // changes the text position
	paints                 // a mark
	shows                  // a mark that needs a text object
	clips                  // text of removed content that joins the clip
	builds                 // path construction and clipping
	ends                   // n
	opens                  // q, BT, BMC, BDC
	closes                 // Q, ET, EMC
	neutral                // stays, and matters to nothing
	concats                // cm
	adjusts                // TJ without a string
	position               // Td, TD, T*
)

// saved is a Q whose q is not reached yet.
type saved struct {
	need params // behind the Q
	kept bool   // something in between stays
}

// eliminate gives the stream without dead state, and what stays of removed
// content. It records the names that the result uses.
func (w *walker) eliminate(data []byte, sc *scope, hidden []span, text textState) ([]byte, []Residue) {
	e := &eliminator{walker: w, scope: sc, data: data, hidden: hidden}
	e.read(text)
	for i := len(e.ops) - 1; i >= 0; i-- {
		e.back(&e.ops[i])
	}
	return e.write()
}

// back decides on one operation, coming from behind.
func (e *eliminator) back(o *operation) {
	switch o.effect {
	case sets:
		if e.need&o.sets == 0 {
			return
		}
		if o.op == content.OpGraphicsState {
			e.reduce(o)
		}
		e.keep(o)
		e.need = e.need&^(o.sets&^partial) | o.needs
	case concats:
		if e.need&ctmParam != 0 {
			e.keep(o)
		}
	case position, adjusts:
		if e.need&(textPosition|o.sets) != 0 {
			e.keep(o)
			e.need = e.need&^o.sets | o.needs
		}
	case clips:
		if e.need&(clipParam|textPosition) != 0 {
			e.show(o)
		}
	case shows:
		e.show(o)
		e.mark()
	case paints:
		e.keep(o)
		e.need = e.need&^o.sets | o.needs
		e.pathStay = true
		e.mark()
	case ends:
		e.pathStay = o.sets != 0 && e.need&clipParam != 0
		if e.pathStay {
			e.keep(o)
		}
	case builds:
		if e.pathStay {
			e.keep(o)
			e.need |= ctmParam
		}
	case opens, closes:
		e.pair(o)
	default:
		e.keep(o)
		e.need |= o.needs
	}
}

// show keeps text and the text object around it.
func (e *eliminator) show(o *operation) {
	e.keep(o)
	e.need = e.need&^o.sets | o.needs
	for i := range e.texts {
		e.texts[i] = true
	}
}

// mark keeps the sections around a mark.
func (e *eliminator) mark() {
	for i := range e.sections {
		e.sections[i] = true
	}
}

// keep lets an operation stay.
func (e *eliminator) keep(o *operation) {
	o.stays = true
	if n := len(e.saves); n > 0 {
		e.saves[n-1].kept = true
	}
}

// pair handles brackets of three kinds. One without its other half goes, but
// for text objects, which stay as they are where they are out of order.
func (e *eliminator) pair(o *operation) {
	switch o.op {
	case content.OpRestore:
		if o.match {
			e.saves = append(e.saves, saved{need: e.need})
			e.need &= textPosition
			o.stays = true // until its q says otherwise
		}
	case content.OpSave:
		if n := len(e.saves); o.match && n > 0 {
			last := e.saves[n-1]
			e.saves = e.saves[:n-1]
			e.need |= last.need
			if last.kept {
				e.keep(o)
			}
		}
	case content.OpEndText:
		if !o.match {
			e.keep(o)
			return
		}
		e.texts = append(e.texts, false)
		e.need &^= textPosition
	case content.OpBeginText:
		n := len(e.texts)
		if !o.match || n == 0 {
			e.keep(o)
		} else {
			if e.texts[n-1] {
				e.keep(o)
			}
			e.texts = e.texts[:n-1]
		}
		e.need &^= textPosition
	case content.OpEndMarked:
		if o.match {
			e.sections = append(e.sections, false)
		}
	default: // BMC, BDC
		n := len(e.sections)
		if !o.match || n == 0 {
			return
		}
		if e.sections[n-1] || o.needs != 0 {
			e.keep(o)
		}
		e.sections = e.sections[:n-1]
	}
}

// write puts out what stays. The closing halves follow their opening ones.
func (e *eliminator) write() ([]byte, []Residue) {
	out := emitter{data: e.data}
	var residue []Residue
	stays := map[content.Op][]bool{}
	gap, clip := 0, false
	for i := range e.ops {
		o := &e.ops[i]
		if o.match {
			o.stays = bracket(stays, o)
		}
		if o.stays {
			p := piece{gap: gap, start: o.start, end: o.end}
			if o.instead != "" {
				p.text = spellName(o.instead) + " gs"
			}
			out.add(p)
			hidden := e.wasHidden(o.start)
			residue = append(residue, e.name(o, hidden)...)
			clip = clip || hidden && o.op.Class() == content.ClassClip
			if o.op.Class() == content.ClassPaint {
				if clip {
					residue = append(residue, Residue{Kind: ClipResidue})
				}
				clip = false
			}
			if o.effect == clips {
				residue = append(residue, Residue{Kind: TextClipResidue})
			}
		}
		gap = o.end
	}
	result, _ := out.bytes(nil)
	return result, residue
}

// bracket lets the second half of a pair do as the first.
func bracket(stays map[content.Op][]bool, o *operation) bool {
	k := o.op
	switch k {
	case content.OpRestore:
		k = content.OpSave
	case content.OpEndText:
		k = content.OpBeginText
	case content.OpEndMarked, content.OpBeginMarkedProps:
		k = content.OpBeginMarked
	}
	list := stays[k]
	if o.effect == opens {
		stays[k] = append(list, o.stays)
		return o.stays
	}
	last := list[len(list)-1]
	stays[k] = list[:len(list)-1]
	return last
}

// wasHidden tells whether a place stands in removed content.
func (e *eliminator) wasHidden(at int) bool {
	i := sort.Search(len(e.hidden), func(i int) bool { return e.hidden[i].end > at })
	return i < len(e.hidden) && e.hidden[i].start <= at
}

// name records the resources that an operation names.
func (e *eliminator) name(o *operation, hidden bool) []Residue {
	if !resources.MayName(o.op) {
		return nil
	}
	var op content.Operation
	if !content.NewScanner(e.data[o.start:o.end]).Next(&op) {
		return nil
	}
	k, ok := resources.NamedBy(&op)
	if !ok {
		return nil
	}
	if o.instead != "" {
		k.Name = o.instead
		e.scope.use(k, byHiddenState)
		return []Residue{{Kind: StateResidue, Name: string(k.Name)}}
	}
	e.scope.use(k, byContent)
	if hidden && e.scope.find(k) != nil {
		return []Residue{{Kind: StateResidue, Name: string(k.Name)}}
	}
	return nil
}
