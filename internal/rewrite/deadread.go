package rewrite

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// read goes through the stream once from the front: what each operation sets
// and needs, and which brackets belong together. text is the text state at its
// start.
func (e *eliminator) read(text textState) {
	scan := content.NewScanner(e.data)
	scan.ColourComponents = e.scope.Components
	r := &reader{eliminator: e, mode: text.mode}
	if text.own&modePart == 0 {
		r.mode = -1 // the caller's, whichever
	}
	r.type3 = text.own&fontPart == 0 // may be
	var op content.Operation
	for scan.Next(&op) {
		o := operation{start: op.Start, end: op.End, op: op.Op}
		r.classify(&op, &o)
		if o.effect == builds { // all of a path stays, or nothing
			if start, end := scan.SkipPath(); end > start {
				o.end = end
			}
		}
		e.ops = append(e.ops, o)
		r.match(len(e.ops) - 1)
	}
	if r.disorder { // text objects within or without each other stay as they are
		for i := range e.ops {
			if e.ops[i].op.Class() == content.ClassTextObject {
				e.ops[i].match = false
			}
		}
	}
}

// reader is what an eliminator keeps while it reads.
type reader struct {
	*eliminator
	saves, sections []int // indices of what is open
	text            int   // 1 + index of the open BT
	disorder        bool
	mode            int // Tr
	modes           []int
	type3           bool
	types           []bool
	clip            bool // W waits
}

// classify says what an operation does.
func (r *reader) classify(op *content.Operation, o *operation) {
	o.sets = setters(op.Op)
	switch op.Op.Class() {
	case content.ClassPath:
		o.effect = builds
	case content.ClassClip:
		o.effect, r.clip = builds, true
	case content.ClassPaint:
		o.effect, o.needs = paints, paintNeeds(op.Op)
		if op.Op == content.OpEndPath {
			o.effect = ends
		}
		if r.clip {
			o.sets = 0
			if op.Op == content.OpEndPath {
				o.sets = clipParam
			}
		}
		r.clip = false
	case content.ClassShading:
		o.effect, o.needs = paints, paintParams|fillAlpha
	case content.ClassInlineImage:
		o.effect, o.needs = paints, fillParams
	case content.ClassXObject:
		o.effect, o.needs = paints, r.xobject(op)
	case content.ClassTextShow:
		r.show(op, o)
	case content.ClassTextPosition:
		r.position(op, o)
	case content.ClassTextObject, content.ClassMarkedContent:
		r.brackets(op, o)
	case content.ClassState:
		r.state(op, o)
	case content.ClassColour:
		o.needs = colourNeeds(op.Op)
	case content.ClassTextState:
		r.textState(op)
	default: // d0, d1, BX, EX, what is unknown
		o.effect = neutral
	}
}

// colourNeeds: a colour is one of the space that was set before.
func colourNeeds(op content.Op) params {
	switch op {
	case content.OpFillColour, content.OpFillColourN:
		return fillSpace
	case content.OpStrokeColour, content.OpStrokeColourN:
		return strokeSpace
	}
	return 0
}

// state classifies q, Q, cm, gs and the simple setters.
func (r *reader) state(op *content.Operation, o *operation) {
	switch op.Op {
	case content.OpSave:
		o.effect = opens
		r.modes, r.types = append(r.modes, r.mode), append(r.types, r.type3)
	case content.OpRestore:
		o.effect = closes
		if n := len(r.modes); n > 0 {
			r.mode, r.modes = r.modes[n-1], r.modes[:n-1]
			r.type3, r.types = r.types[n-1], r.types[:n-1]
		}
	case content.OpConcat:
		o.effect = concats
	case content.OpGraphicsState:
		name, _ := op.Name(0)
		gs := pdf.AsDict(r.edit, r.scope.Lookup(resources.ExtGState, pdf.Name(name)))
		var whole bool
		if o.sets, whole = gsSets(r.edit, gs); o.sets&softMask != 0 {
			o.needs = ctmParam | r.maskNeeds(gs["SMask"]) // its group is drawn in the state of this place
		}
		if !whole {
			o.effect, o.sets = neutral, 0
		}
		if f := pdf.AsArray(r.edit, gs["Font"]); len(f) > 0 {
			r.type3 = r.isType3(f[0])
		}
	}
}

// textState follows the font and the rendering mode.
func (r *reader) textState(op *content.Operation) {
	switch op.Op {
	case content.OpRender:
		mode, _ := op.Float(0)
		r.mode = int(mode)
	case content.OpFont:
		name, _ := op.Name(0)
		r.type3 = r.isType3(r.scope.Lookup(resources.Font, pdf.Name(name)))
	}
}

func (r *reader) isType3(font pdf.Object) bool {
	return pdf.AsName(r.edit, pdf.AsDict(r.edit, font)["Subtype"]) == "Type3"
}

// xobject: a form inherits everything, an image mask is painted with the fill
// colour, other images need no colour (8.9.6.2, 8.10.1).
func (r *reader) xobject(op *content.Operation) params {
	name, _ := op.Name(0)
	st := pdf.AsStream(r.edit, r.bound(resources.Name{Category: resources.XObject, Name: pdf.Name(name)}))
	if st == nil || pdf.AsName(r.edit, st.Dict["Subtype"]) != "Image" {
		return allParams &^ textPosition
	}
	if mask, _ := pdf.Resolve(r.edit, st.Dict["ImageMask"]).(bool); mask {
		return fillParams
	}
	return paintParams | fillAlpha
}

// bound finds an XObject by its name in the output.
func (r *reader) bound(k resources.Name) pdf.Object {
	for at := r.scope; at != nil; at = at.parent {
		if ref, ok := at.bound[k]; ok {
			return ref
		}
		if at.Has(k) {
			break
		}
	}
	return r.scope.find(k)
}

// show classifies the operators that show text.
func (r *reader) show(op *content.Operation, o *operation) {
	o.effect, o.needs, o.sets = shows, showNeeds(r.mode), 0
	if r.mode == 7 && r.wasHidden(op.Start) {
		o.effect = clips
	}
	if r.type3 {
		o.needs = allParams
	}
	switch op.Op {
	case content.OpNextLineShowSpaced:
		o.sets = wordSpace | charSpace
		o.needs = o.needs&^o.sets | leading
	case content.OpNextLineShow:
		o.needs |= leading
	case content.OpShowSpaced:
		empty := true
		op.EachString(func([]byte) { empty = false }, func(float64) {})
		if empty {
			o.effect, o.needs = adjusts, textPosition|fontParam|textScale
		}
	}
}

// position classifies the operators that move the text position.
func (r *reader) position(op *content.Operation, o *operation) {
	switch op.Op {
	case content.OpTextMatrix:
		o.effect = sets
	case content.OpTextMoveSet:
		o.effect, o.sets = position, leading
	case content.OpNextLine:
		o.effect, o.needs = position, leading
	default:
		o.effect = position
	}
}

// brackets classifies text objects and marked content. A section with a
// property list other than optional content may be referred to, so it stays
// also where it is empty.
func (r *reader) brackets(op *content.Operation, o *operation) {
	o.sets = 0
	switch op.Op {
	case content.OpBeginText, content.OpBeginMarked:
		o.effect = opens
	case content.OpBeginMarkedProps:
		o.effect = opens
		if tag, _ := op.Name(0); tag != "OC" {
			o.needs = 1
		}
	case content.OpEndText, content.OpEndMarked:
		o.effect = closes
	default:
		o.effect = neutral
	}
}

// match finds the other half of a bracket.
func (r *reader) match(i int) {
	ops := r.ops
	pop := func(list *[]int) {
		if n := len(*list); n > 0 {
			ops[i].match, ops[(*list)[n-1]].match = true, true
			*list = (*list)[:n-1]
		}
	}
	switch ops[i].op {
	case content.OpSave:
		r.saves = append(r.saves, i)
	case content.OpRestore:
		pop(&r.saves)
	case content.OpBeginMarked, content.OpBeginMarkedProps:
		r.sections = append(r.sections, i)
	case content.OpEndMarked:
		pop(&r.sections)
	case content.OpBeginText:
		r.disorder = r.disorder || r.text > 0
		r.text = i + 1
	case content.OpEndText:
		if r.text == 0 {
			r.disorder = true
			return
		}
		ops[i].match, ops[r.text-1].match = true, true
		r.text = 0
	}
}
