package layers

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

func (r *traceRun) text(op *content.Operation) {
	s := &r.s
	switch op.Op {
	case content.OpBeginText:
		r.tm, r.tlm, r.textClip = content.Identity(), content.Identity(), ""
	case content.OpEndText:
		if r.textClip != "" {
			s.clip = hashed(s.clip + r.textClip)
		}
		r.textClip = ""
	case content.OpCharSpacing:
		s.tc = f64(op, 0)
	case content.OpWordSpacing:
		s.tw = f64(op, 0)
	case content.OpHorizontalScale:
		s.th = f64(op, 0) / 100
	case content.OpLeading:
		s.tl = f64(op, 0)
	case content.OpRise:
		s.rise = f64(op, 0)
	case content.OpRender:
		s.mode = int(f64(op, 0))
	case content.OpFont:
		name, _ := op.Name(0)
		s.font, s.size = r.fontOf(r.find("Font", name)), f64(op, 1)
	case content.OpTextMove:
		r.move(f64(op, 0), f64(op, 1))
	case content.OpTextMoveSet:
		s.tl = -f64(op, 1)
		r.move(f64(op, 0), f64(op, 1))
	case content.OpTextMatrix:
		r.tlm = content.Matrix{A: f64(op, 0), B: f64(op, 1), C: f64(op, 2), D: f64(op, 3), E: f64(op, 4), F: f64(op, 5)}
		r.tm = r.tlm
	case content.OpNextLine:
		r.move(0, -s.tl)
	case content.OpShowText:
		b, _ := op.Bytes(0)
		r.show(b)
	case content.OpNextLineShow:
		r.move(0, -s.tl)
		b, _ := op.Bytes(0)
		r.show(b)
	case content.OpNextLineShowSpaced:
		s.tw, s.tc = f64(op, 0), f64(op, 1)
		r.move(0, -s.tl)
		b, _ := op.Bytes(2)
		r.show(b)
	case content.OpShowSpaced:
		op.Elements(0, func(e content.Operand) bool {
			if v, ok := op.FloatOf(e); ok {
				r.advance(-v / 1000 * s.size)
			} else if b, ok := op.BytesOf(e); ok {
				r.show(b)
			}
			return true
		})
	}
}

func (r *traceRun) move(x, y float64) {
	r.tlm = content.Translation(x, y).Multiply(r.tlm)
	r.tm = r.tlm
}

func (r *traceRun) advance(by float64) {
	if r.s.font != nil && r.s.font.vertical {
		r.tm = content.Translation(0, by).Multiply(r.tm)
		return
	}
	r.tm = content.Translation(by*r.s.th, 0).Multiply(r.tm)
}

// show paints glyph by glyph (9.4.4).
func (r *traceRun) show(b []byte) {
	s := &r.s
	step := 1
	if s.font != nil && s.font.two {
		step = 2
	}
	for i := 0; i+step <= len(b); i += step {
		code := 0
		for _, c := range b[i : i+step] {
			code = code<<8 | int(c)
		}
		font, width := "none", 0.0
		if s.font != nil {
			font, width = s.font.name+s.font.glyphs[code], s.font.width(code)
		}
		m := content.Matrix{A: s.size * s.th, D: s.size, F: s.rise}.Multiply(r.tm).Multiply(s.ctm)
		how := ""
		type3 := s.font != nil && s.font.type3
		switch {
		case type3:
			how = s.filled() + s.stroked()
		case s.mode%4 == 0:
			how = s.filled()
		case s.mode%4 == 1:
			how = s.stroked() + matrixWords(s.ctm)
		case s.mode%4 == 2:
			how = s.filled() + s.stroked() + matrixWords(s.ctm)
		}
		what := fmt.Sprintf("glyph %d of %s ", code, font)
		switch {
		case s.mode != 3 && s.mode != 7 || type3:
			r.paint(what+how, matrixNums(m)...)
		case s.mode == 3:
			r.paint(what+"unseen", matrixNums(m)...)
		}
		if s.mode >= 4 && !type3 {
			r.textClip += what + fmt.Sprintf("%.1f %.1f %.1f", m.A, m.E+offGrid, m.F+offGrid)
		}
		by := width*s.size + s.tc
		if step == 1 && code == 32 {
			by += s.tw
		}
		r.advance(by)
	}
}

func (r *traceRun) fontOf(o pdf.Object) *traceFont {
	d := pdf.AsDict(r.src, o)
	if d == nil {
		return nil
	}
	f := &traceFont{}
	number := func(o pdf.Object, def float64) float64 {
		if v, ok := pdf.AsNumber(r.src, o); ok {
			return v
		}
		return def
	}
	switch pdf.AsName(r.src, d["Subtype"]) {
	case "Type0":
		f.name, f.two = r.words(d, 0), true
		inner := pdf.AsDict(r.src, pdf.AsArray(r.src, d["DescendantFonts"])[0])
		if f.vertical = pdf.AsName(r.src, d["Encoding"]) == "Identity-V"; f.vertical {
			f.width = func(int) float64 { return -1 }
			if dw2 := pdf.AsArray(r.src, inner["DW2"]); len(dw2) == 2 {
				f.width = func(int) float64 { return number(dw2[1], -1000) / 1000 }
			}
			return f
		}
		f.width = func(int) float64 { return number(inner["DW"], 1000) / 1000 }
	case "Type3":
		f.type3 = true
		m := r.matrixOf(d["FontMatrix"])
		names := r.names
		if d["Resources"] != nil {
			names = append([]pdf.Object{d["Resources"]}, names...)
		}
		procs, code := pdf.AsDict(r.src, d["CharProcs"]), 0
		f.glyphs = map[int]string{}
		for _, o := range pdf.AsArray(r.src, pdf.AsDict(r.src, d["Encoding"])["Differences"]) {
			name, ok := pdf.Resolve(r.src, o).(pdf.Name)
			if !ok {
				code = pdf.AsInt(r.src, o, code)
				continue
			}
			if st := pdf.AsStream(r.src, procs[name]); st != nil && !r.active[st] {
				f.glyphs[code] = string(name) + r.drawing(st, names, newTraceState())
			}
			code++
		}
		f.name = hashed(matrixWords(m))
		f.width = func(code int) float64 { return r.simple(d, code) * 1000 * m.A }
	default:
		f.name = hashed(r.words(d, 0))
		f.width = func(code int) float64 { return r.simple(d, code) }
	}
	return f
}

// simple is the width of a code in a simple font, as a part of the size.
func (r *traceRun) simple(d pdf.Dict, code int) float64 {
	list, first := pdf.AsArray(r.src, d["Widths"]), pdf.AsInt(r.src, d["FirstChar"], 0)
	if i := code - first; i >= 0 && i < len(list) {
		v, _ := pdf.AsNumber(r.src, list[i])
		return v / 1000
	}
	v, _ := pdf.AsNumber(r.src, pdf.AsDict(r.src, d["FontDescriptor"])["MissingWidth"])
	return v / 1000
}
