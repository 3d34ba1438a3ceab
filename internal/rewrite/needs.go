package rewrite

import (
	"math"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
	"github.com/sizeply/sizeply/layers/failure"
)

// params are parameters of the graphics state (8.4.1, Tables 52 and 53; 9.3.1,
// Table 104) and the text position (9.4.1), as far as setting one may or may
// not matter to a later mark.
type params uint32

const (
	ctmParam params = 1 << iota
	clipParam
	fillSpace
	fillColour
	strokeSpace
	strokeColour
	lineWidth
	lineCap
	lineJoin
	miterLimit
	dashPattern
	strokeAdjust // SA
	flatness
	intent
	smoothness // SM
	halftone   // BG, UCR, TR, HT
	overprint  // OP, op, OPM
	blendMode
	softMask
	strokeAlpha // CA
	fillAlpha   // ca
	alphaSource // AIS
	knockout    // TK
	charSpace
	wordSpace
	textScale
	leading
	fontParam // and size
	textRender
	textRise
	textPosition // Tm and Tlm: q and Q leave them alone

	allParams params = 1<<iota - 1
)

const (
	paintParams = ctmParam | clipParam | intent | smoothness | halftone | overprint | blendMode | softMask |
		alphaSource
	fillParams   = paintParams | fillSpace | fillColour | fillAlpha | flatness
	strokeParams = paintParams | strokeSpace | strokeColour | strokeAlpha | flatness | lineWidth | lineCap | lineJoin |
		miterLimit | dashPattern | strokeAdjust
	textParams = paintParams | charSpace | wordSpace | textScale | fontParam | textRender | textRise | textPosition |
		knockout
	// inherited is what a form or a mask takes from where it is drawn.
	inherited = allParams &^ textPosition
	// partial are parameters of which an ExtGState dictionary may set a part, so
	// that what was set before still matters.
	partial = overprint | halftone
)

// setBy gives what an operator sets as a whole: what was set before does not
// matter any more. cm, W and the operators that move the text position change
// what is there and are not among them. cs and CS set the colour too, but not in
// PDFium.
var setBy = [content.OpEndCompat + 1]params{
	content.OpLineWidth: lineWidth, content.OpLineCap: lineCap, content.OpLineJoin: lineJoin,
	content.OpMiterLimit: miterLimit, content.OpDash: dashPattern,
	content.OpIntent: intent, content.OpFlatness: flatness,
	content.OpFillSpace: fillSpace, content.OpFillColour: fillColour, content.OpFillColourN: fillColour,
	content.OpFillGrey: fillSpace | fillColour, content.OpFillRGB: fillSpace | fillColour,
	content.OpFillCMYK:    fillSpace | fillColour,
	content.OpStrokeSpace: strokeSpace, content.OpStrokeColour: strokeColour, content.OpStrokeColourN: strokeColour,
	content.OpStrokeGrey: strokeSpace | strokeColour, content.OpStrokeRGB: strokeSpace | strokeColour,
	content.OpStrokeCMYK:  strokeSpace | strokeColour,
	content.OpCharSpacing: charSpace, content.OpWordSpacing: wordSpace, content.OpHorizontalScale: textScale,
	content.OpLeading: leading, content.OpFont: fontParam, content.OpRender: textRender, content.OpRise: textRise,
	content.OpTextMatrix: textPosition, content.OpTextMoveSet: leading,
}

// neededBy gives what an operator needs: painters by 8.5.3, Table 60; a colour is
// one of the space that was set before. Do and the operators that show text are
// not among them: that depends.
var neededBy = [content.OpEndCompat + 1]params{
	content.OpStroke: strokeParams, content.OpCloseStroke: strokeParams,
	content.OpFill: fillParams, content.OpFillCompat: fillParams, content.OpFillEvenOdd: fillParams,
	content.OpFillStroke: fillParams | strokeParams, content.OpFillStrokeEvenOdd: fillParams | strokeParams,
	content.OpCloseFillStroke: fillParams | strokeParams, content.OpCloseFillStrokeEvenOdd: fillParams | strokeParams,
	content.OpShading: paintParams | fillAlpha, content.OpInlineImage: fillParams,
	content.OpFillColour: fillSpace, content.OpFillColourN: fillSpace,
	content.OpStrokeColour: strokeSpace, content.OpStrokeColourN: strokeSpace,
	content.OpNextLine: leading,
}

// gsParams gives what the entries of an ExtGState dictionary set (8.4.5, Table
// 58).
var gsParams = map[pdf.Name]params{
	"LW": lineWidth, "LC": lineCap, "LJ": lineJoin, "ML": miterLimit, "D": dashPattern, "RI": intent,
	"OP": overprint, "op": overprint, "OPM": overprint, "Font": fontParam, "BG": halftone, "BG2": halftone,
	"UCR": halftone, "UCR2": halftone, "TR": halftone, "TR2": halftone, "HT": halftone, "HTO": halftone,
	"FL": flatness, "SM": smoothness, "SA": strokeAdjust, "BM": blendMode, "SMask": softMask,
	"CA": strokeAlpha, "ca": fillAlpha, "AIS": alphaSource, "TK": knockout,
}

// gsSets gives what an ExtGState dictionary sets. whole is false where it has
// entries that are not known, so that all of it has to be kept.
func gsSets(src pdf.Objects, gs pdf.Dict) (sum params, whole bool) {
	whole = true
	for k, v := range gs {
		p, known := gsParams[k]
		sum |= p
		whole = whole && (known || k == "Type" || pdf.Resolve(src, v) == nil)
	}
	return sum, whole
}

// showNeeds gives what showing text in a rendering mode needs (9.3.6, Table
// 106).
func showNeeds(mode int) params {
	switch mode {
	case 0, 4:
		return textParams | fillParams
	case 1, 5:
		return textParams | strokeParams
	case 3, 7:
		return textParams
	}
	return textParams | fillParams | strokeParams
}

// operation is what a pruner has to know of one operation.
type operation struct {
	start, end int32
	other      int32 // of a bracket: 1 + index of its other half, 0 where it has none
	sets       params
	needs      params
	op         content.Op
	effect     effect
	kept       bool
}

// maxPruned bounds the operations of a stream, and maxPrunedBytes its bytes.
const (
	maxPruned      = 8_000_000
	maxPrunedBytes = math.MaxInt32
)

// effect says what kind of thing an operation does.
type effect uint8

const (
	sets       effect = iota // sets parameters; kept where one of them is needed
	paints                   // a mark
	shows                    // a mark that needs a text object
	clips                    // text of removed content that joins the clip
	builds                   // path construction and clipping
	ends                     // n
	opens                    // q, BT, BMC, BDC
	opensNamed               // BDC with a property list that is no optional content
	closes                   // Q, ET, EMC
	neutral                  // kept, and matters to nothing
	concats                  // cm
	adjusts                  // TJ without a string
	position                 // Td, TD, T*
)

// reader reads the operations of a stream from the front: what each sets and
// needs, and which brackets belong together.
type reader struct {
	*pruner
	textMode
	outer    []textMode // saved by q
	clip     bool       // W waits
	disorder bool       // text objects within or without each other

	openSaves, openSections []int32 // indices
	openText                int     // 1 + index of the open BT
}

// textMode is what decides on what showing text needs.
type textMode struct {
	render int  // Tr, -1 for any
	type3  bool // the font is a Type 3 font, or may be one
}

// read reads the stream. text is the text state at its start. It gives a
// *failure.LimitError where there is too much to remember, and the error of its context.
func (p *pruner) read(text textState) error {
	if len(p.data) > maxPrunedBytes {
		return &failure.LimitError{Limit: failure.LimitStreamBytes, Bound: maxPrunedBytes}
	}
	scan := content.NewScanner(p.data).Within(p.ctx)
	scan.ColourComponents = p.scope.Components
	r := &reader{pruner: p, textMode: textMode{text.mode, text.own&fontPart == 0}}
	if text.own&modePart == 0 {
		r.render = -1 // the caller's, whichever
	}
	var op content.Operation
	for scan.Next(&op) {
		if len(p.ops) == maxPruned {
			return &failure.LimitError{Limit: failure.LimitOperations, Bound: maxPruned}
		}
		p.ops = append(p.ops, operation{
			start: int32(op.Start), end: int32(op.End), op: op.Op, sets: setBy[op.Op], needs: neededBy[op.Op],
		})
		i := len(p.ops) - 1
		r.classify(&op, i)
		if p.ops[i].effect == builds { // all of a path is kept, or nothing
			if start, end := scan.SkipPath(); end > start {
				p.ops[i].end = int32(end)
			}
		}
	}
	if err := p.ctx.Err(); err != nil {
		return err
	}
	if r.disorder {
		for i := range p.ops {
			if p.ops[i].op.Class() == content.ClassTextObject {
				p.ops[i].other = 0
			}
		}
	}
	return nil
}

// classify says what operation i does.
func (r *reader) classify(op *content.Operation, i int) {
	o := &r.ops[i]
	switch op.Op.Class() {
	case content.ClassPath:
		o.effect = builds
	case content.ClassClip:
		o.effect, r.clip = builds, true
	case content.ClassPaint:
		o.effect = paints
		if op.Op == content.OpEndPath {
			o.effect = ends
			if r.clip {
				o.sets = clipParam
			}
		}
		r.clip = false
	case content.ClassShading, content.ClassInlineImage:
		o.effect = paints
	case content.ClassXObject:
		o.effect, o.needs = paints, r.xobject(op)
	case content.ClassTextShow:
		r.show(op, o)
	case content.ClassTextPosition:
		if o.effect = position; op.Op == content.OpTextMatrix {
			o.effect = sets
		}
	case content.ClassTextObject, content.ClassMarkedContent:
		r.bracket(op, i)
	case content.ClassState:
		r.state(op, i)
	case content.ClassColour:
	case content.ClassTextState:
		switch op.Op {
		case content.OpRender:
			mode, _ := op.Float(0)
			r.render = int(mode)
		case content.OpFont:
			name, _ := op.Name(0)
			r.setFont(r.scope.Lookup(resources.Font, pdf.Name(name)))
		}
	default: // d0, d1, BX, EX, what is unknown
		o.effect = neutral
	}
}

func (r *reader) setFont(font pdf.Object) {
	r.type3 = pdf.AsName(r.edit, pdf.AsDict(r.edit, font)["Subtype"]) == "Type3"
}

// state classifies q, Q, cm, gs and the simple setters.
func (r *reader) state(op *content.Operation, i int) {
	o := &r.ops[i]
	switch op.Op {
	case content.OpSave:
		o.effect, r.openSaves = opens, append(r.openSaves, int32(i))
		r.outer = append(r.outer, r.textMode)
	case content.OpRestore:
		o.effect, r.openSaves = closes, r.join(r.openSaves, i)
		if n := len(r.outer); n > 0 {
			r.textMode, r.outer = r.outer[n-1], r.outer[:n-1]
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
			r.setFont(f[0])
		}
	}
}

// xobject: a form inherits everything, an image mask is painted with the fill
// colour, other images need no colour (8.9.6.2, 8.10.1).
func (r *reader) xobject(op *content.Operation) params {
	name, _ := op.Name(0)
	st := pdf.AsStream(r.edit, r.scope.now(resources.Name{Category: resources.XObject, Name: pdf.Name(name)}))
	if st == nil || pdf.AsName(r.edit, st.Dict["Subtype"]) != "Image" {
		return inherited
	}
	if mask, _ := pdf.Resolve(r.edit, st.Dict["ImageMask"]).(bool); mask {
		return fillParams
	}
	return paintParams | fillAlpha
}

// show classifies the operators that show text.
func (r *reader) show(op *content.Operation, o *operation) {
	o.effect, o.needs = shows, showNeeds(r.render)
	if r.render == 7 && r.wasHidden(int32(op.Start)) {
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

// bracket classifies text objects and marked content. A section with a property
// list other than optional content may be referred to, so it is kept also where
// it is empty.
func (r *reader) bracket(op *content.Operation, i int) {
	o := &r.ops[i]
	switch op.Op {
	case content.OpBeginText:
		o.effect = opens
		r.disorder = r.disorder || r.openText > 0
		r.openText = i + 1
	case content.OpEndText:
		o.effect = closes
		if r.openText == 0 {
			r.disorder = true
			return
		}
		r.tie(r.openText-1, i)
		r.openText = 0
	case content.OpBeginMarked, content.OpBeginMarkedProps:
		o.effect, r.openSections = opens, append(r.openSections, int32(i))
		if tag, _ := op.Name(0); op.Op == content.OpBeginMarkedProps && tag != "OC" {
			o.effect = opensNamed
		}
	case content.OpEndMarked:
		o.effect, r.openSections = closes, r.join(r.openSections, i)
	default: // MP, DP
		o.effect = neutral
	}
}

// join closes the last of the open brackets, if there is one.
func (r *reader) join(open []int32, i int) []int32 {
	n := len(open)
	if n == 0 {
		return open
	}
	r.tie(int(open[n-1]), i)
	return open[:n-1]
}

// tie makes two operations the halves of a bracket.
func (r *reader) tie(i, j int) { r.ops[i].other, r.ops[j].other = int32(j+1), int32(i+1) }
