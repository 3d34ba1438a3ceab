package rewrite

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// maxStates bounds the graphics state stack that is followed; deeper q are
// kept but not followed. Annex C, Table C.1 names 28 as a limit that readers
// should reach.
const maxStates = 1 << 16

// state follows an operation that changes state. It stays in the output, so
// the names in it are used.
func (s *stripper) state(op *content.Operation) {
	switch op.Op {
	case content.OpSave:
		if len(s.stack) < maxStates {
			s.stack = append(s.stack, s.text)
		}
	case content.OpRestore:
		if n := len(s.stack); n > 0 {
			s.text, s.stack = s.stack[n-1], s.stack[:n-1]
		}
	case content.OpBeginText, content.OpEndText, content.OpTextMove, content.OpTextMoveSet,
		content.OpTextMatrix, content.OpNextLine:
		s.pending = len(s.moves) // the position is set anew
	case content.OpFont:
		s.setFont(op)
	case content.OpCharSpacing:
		s.text.char, _ = op.Float(0)
		s.text.own |= charPart
	case content.OpWordSpacing:
		s.text.word, _ = op.Float(0)
		s.text.own |= wordPart
	case content.OpHorizontalScale:
		scale, _ := op.Float(0)
		s.text.scale = scale / 100
		s.text.own |= scalePart
	case content.OpRender:
		mode, _ := op.Float(0)
		s.text.mode = int(mode)
		s.text.own |= modePart
	case content.OpGraphicsState:
		s.setGraphicsState(op)
	case content.OpFillSpace, content.OpStrokeSpace:
		s.name(op, 0, resources.ColorSpace)
	case content.OpFillColour, content.OpFillColourN, content.OpStrokeColour, content.OpStrokeColourN:
		s.name(op, op.Count()-1, resources.Pattern)
	}
}

// name records that operand i of an operation that stays is a resource.
func (s *stripper) name(op *content.Operation, i int, cat pdf.Name) {
	name, ok := op.Name(i)
	if !ok {
		return
	}
	by := byContent
	if s.hidden > 0 {
		by = byHiddenState
	}
	s.uses[resources.Name{Category: cat, Name: pdf.Name(name)}] |= by
}

func (s *stripper) setFont(op *content.Operation) {
	name, _ := op.Name(0)
	s.text.size, _ = op.Float(1)
	s.text.fontOperand = s.operand(op, 0)
	s.text.own |= fontPart
	s.text.font = s.fontOf(s.scope.Lookup(resources.Font, pdf.Name(name)))
	s.name(op, 0, resources.Font)
}

// setGraphicsState takes the font from an ExtGState dictionary (8.4.5, Table
// 58); it holds nothing else that moves text.
func (s *stripper) setGraphicsState(op *content.Operation) {
	s.name(op, 0, resources.ExtGState)
	name, _ := op.Name(0)
	gs := pdf.AsDict(s.edit, s.scope.Lookup(resources.ExtGState, pdf.Name(name)))
	f := pdf.AsArray(s.edit, gs["Font"])
	if len(f) < 2 {
		return
	}
	s.text.size, _ = pdf.AsNumber(s.edit, f[1])
	s.text.fontOperand = ""
	s.text.own |= fontPart
	s.text.font = s.fontOf(f[0])
}

// fontOf loads a font once.
func (w *walker) fontOf(o pdf.Object) *font.Font {
	ref, ok := o.(pdf.Ref)
	if !ok {
		if pdf.AsDict(w.edit, o) == nil {
			return nil
		}
		return font.Load(w.edit, o)
	}
	f, ok := w.fonts[ref]
	if !ok && pdf.AsDict(w.edit, ref) != nil {
		f = font.Load(w.edit, ref)
		w.fonts[ref] = f
	}
	return f
}
