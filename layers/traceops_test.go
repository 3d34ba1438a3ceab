package layers

import (
	"fmt"
	"strings"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// traceRun is the execution of one content stream.
type traceRun struct {
	*tracer
	names  []pdf.Object // resource dictionaries, the stream's own first
	s      traceState
	base   content.Matrix // of the stream, for patterns
	saved  []traceState
	hidden []bool // open sections
	out    []traced

	path     string
	clip     string
	tm, tlm  content.Matrix
	textClip string
}

// run executes a content stream whose names the dictionaries give, the first
// that has one counting.
func (tr *tracer) run(data []byte, names []pdf.Object, s traceState) []traced {
	r := &traceRun{tracer: tr, names: names, s: s, base: s.ctm, tm: content.Identity(), tlm: content.Identity()}
	scan := content.NewScanner(data)
	scan.ColourComponents = func(name string) (int, bool) {
		v := r.find("ColorSpace", name)
		if a := pdf.AsArray(r.src, v); len(a) > 0 && pdf.AsName(r.src, a[0]) == "Separation" {
			return 1, true
		}
		return 0, false
	}
	var op content.Operation
	for scan.Next(&op) {
		if op.DropExtra(); op.Fits() { // as where damage is accepted
			r.step(&op)
		} else if op.Op == content.OpBeginMarked || op.Op == content.OpBeginMarkedProps {
			r.hidden = append(r.hidden, false)
		}
	}
	return r.out
}

func (r *traceRun) find(cat, name string) pdf.Object {
	for _, o := range r.names {
		if v := pdf.AsDict(r.src, pdf.AsDict(r.src, o)[pdf.Name(cat)])[pdf.Name(name)]; pdf.Resolve(r.src, v) != nil {
			return v
		}
	}
	return nil
}

func (r *traceRun) isHidden() bool {
	for _, h := range r.hidden {
		if h {
			return true
		}
	}
	return false
}

func (r *traceRun) paint(what string, nums ...float64) {
	if !r.isHidden() {
		r.out = append(r.out, traced{what, nums})
	}
}

func f64(op *content.Operation, i int) float64 { v, _ := op.Float(i); return v }

func (r *traceRun) at(op *content.Operation, i int) string {
	p := r.s.ctm.Apply(content.Point{X: f64(op, i), Y: f64(op, i+1)})
	return fmt.Sprintf("%.4f,%.4f ", p.X, p.Y)
}

// operands are all operands as written.
func operands(op *content.Operation) string {
	var list []string
	for i := range op.Count() {
		o, _ := op.Operand(i)
		if v, ok := op.FloatOf(o); ok {
			list = append(list, fmt.Sprint(v))
			continue
		}
		list = append(list, strings.Join(strings.Fields(string(op.RawOf(o))), " "))
	}
	return strings.Join(list, " ")
}

func (r *traceRun) step(op *content.Operation) {
	switch op.Op {
	case content.OpSave:
		r.saved = append(r.saved, r.s)
	case content.OpRestore:
		if n := len(r.saved); n > 0 {
			r.s, r.saved = r.saved[n-1], r.saved[:n-1]
		}
	case content.OpConcat:
		r.s.ctm = content.Matrix{A: f64(op, 0), B: f64(op, 1), C: f64(op, 2), D: f64(op, 3), E: f64(op, 4), F: f64(op, 5)}.Multiply(r.s.ctm)
	case content.OpLineWidth, content.OpLineCap, content.OpLineJoin, content.OpMiterLimit, content.OpDash, content.OpIntent, content.OpFlatness:
		k := map[content.Op]string{content.OpLineWidth: "LW", content.OpLineCap: "LC", content.OpLineJoin: "LJ", content.OpMiterLimit: "ML",
			content.OpDash: "D", content.OpIntent: "RI", content.OpFlatness: "FL"}[op.Op]
		r.s = r.s.with(k, operands(op))
	case content.OpGraphicsState:
		name, _ := op.Name(0)
		r.gs(pdf.AsDict(r.src, r.find("ExtGState", name)))
	case content.OpMoveTo, content.OpLineTo:
		r.path += op.Op.String() + r.at(op, 0)
	case content.OpCurveTo:
		r.path += "c" + r.at(op, 0) + r.at(op, 2) + r.at(op, 4)
	case content.OpCurveToV, content.OpCurveToY:
		r.path += op.Op.String() + r.at(op, 0) + r.at(op, 2)
	case content.OpClosePath:
		r.path += "h"
	case content.OpRectangle:
		r.path += "re" + r.at(op, 0) + fmt.Sprintf("%v %v %.4f %.4f %.4f %.4f ", f64(op, 2), f64(op, 3), r.s.ctm.A, r.s.ctm.B, r.s.ctm.C, r.s.ctm.D)
	case content.OpClip, content.OpClipEvenOdd:
		r.clip = op.Op.String()
	case content.OpShading:
		name, _ := op.Name(0)
		r.paint("sh "+r.words(r.find("Shading", name), 0)+r.s.params("ca"), matrixNums(r.s.ctm)...)
	case content.OpDo:
		r.do(op)
	case content.OpInlineImage:
		r.paint("inline "+hashed(string(op.Raw()))+r.s.filled(), matrixNums(r.s.ctm)...)
	case content.OpGlyphWidth, content.OpGlyphBox:
		r.out = append(r.out, traced{what: op.Op.String() + operands(op)})
	default:
		switch op.Op.Class() {
		case content.ClassPaint:
			r.endPath(op.Op)
		case content.ClassColour:
			r.colour(op)
		case content.ClassMarkedContent:
			r.marked(op)
		default:
			r.text(op)
		}
	}
}

// endPath paints the path: its inside and its outline as a mark each (8.5.3,
// Table 60).
func (r *traceRun) endPath(op content.Op) {
	switch op {
	case content.OpFill, content.OpFillCompat, content.OpFillStroke, content.OpCloseFillStroke:
		r.paint("inside " + hashed(r.path) + " " + r.s.filled())
	case content.OpFillEvenOdd, content.OpFillStrokeEvenOdd, content.OpCloseFillStrokeEvenOdd:
		r.paint("inside by the even-odd rule " + hashed(r.path) + " " + r.s.filled())
	}
	switch op {
	case content.OpCloseStroke, content.OpCloseFillStroke, content.OpCloseFillStrokeEvenOdd:
		r.paint("outline " + hashed(r.path+"h") + " " + r.s.stroked() + matrixWords(r.s.ctm))
	case content.OpStroke, content.OpFillStroke, content.OpFillStrokeEvenOdd:
		r.paint("outline " + hashed(r.path) + " " + r.s.stroked() + matrixWords(r.s.ctm))
	}
	if r.clip != "" {
		r.s.clip = hashed(r.s.clip + r.clip + r.path)
	}
	r.path, r.clip = "", ""
}

func (r *traceRun) do(op *content.Operation) {
	name, _ := op.Name(0)
	o := r.find("XObject", name)
	st := pdf.AsStream(r.src, o)
	if st == nil || r.isHidden() {
		return
	}
	if ref, ok := st.Dict["OC"].(pdf.Ref); ok && r.off[ref] {
		return
	}
	if pdf.AsName(r.src, st.Dict["Subtype"]) == "Form" {
		r.out = append(r.out, r.form(st, r.names, r.s)...)
		return
	}
	how := r.s.params("ca")
	if b, _ := pdf.Resolve(r.src, st.Dict["ImageMask"]).(bool); b {
		how = r.s.filled()
	}
	r.paint("image "+hashed(string(st.Raw))+r.words(st.Dict, 1)+how, matrixNums(r.s.ctm)...)
}

func (r *traceRun) marked(op *content.Operation) {
	switch op.Op {
	case content.OpBeginMarked:
		r.hidden = append(r.hidden, false)
	case content.OpBeginMarkedProps:
		tag, _ := op.Name(0)
		name, named := op.Name(1)
		off := false
		if tag == "OC" && named {
			ref, ok := r.find("Properties", name).(pdf.Ref)
			off = ok && r.off[ref]
		}
		r.hidden = append(r.hidden, off)
	case content.OpEndMarked:
		if n := len(r.hidden); n > 0 {
			r.hidden = r.hidden[:n-1]
		}
	}
}

func (r *traceRun) colour(op *content.Operation) {
	to, i := &r.s.fill, 0
	switch op.Op {
	case content.OpStrokeSpace, content.OpStrokeColour, content.OpStrokeColourN, content.OpStrokeGrey, content.OpStrokeRGB, content.OpStrokeCMYK:
		to, i = &r.s.stroke, 1
	}
	switch op.Op {
	case content.OpStrokeSpace, content.OpFillSpace:
		name, _ := op.Name(0)
		r.s.space[i] = name
		if v := r.find("ColorSpace", name); v != nil {
			r.s.space[i] = r.words(v, 0)
		}
		*to = r.s.space[i] + " initial"
	case content.OpStrokeGrey, content.OpFillGrey, content.OpStrokeRGB, content.OpFillRGB, content.OpStrokeCMYK, content.OpFillCMYK:
		r.s.space[i] = "Device" + op.Op.String()
		*to = op.Op.String() + " " + operands(op) + r.words(r.find("ColorSpace", map[string]string{"g": "DefaultGray", "rg": "DefaultRGB", "k": "DefaultCMYK"}[strings.ToLower(op.Op.String())]), 0)
	default:
		*to = r.s.space[i] + " " + operands(op)
		if name, ok := op.Name(op.Count() - 1); ok {
			v := r.find("Pattern", name)
			what := r.words(v, 0)
			if st := pdf.AsStream(r.src, v); st != nil {
				what = r.drawing(st, r.names, newTraceState())
			}
			var comps []string
			for k := range op.Count() - 1 {
				comps = append(comps, fmt.Sprint(f64(op, k)))
			}
			*to = r.s.space[i] + " pattern " + strings.Join(comps, " ") + what + matrixWords(r.base)
		}
	}
}

func (r *traceRun) gs(d pdf.Dict) {
	for _, k := range d.Keys() {
		switch k {
		case "Type":
		case "Font":
			a := pdf.AsArray(r.src, d[k])
			if len(a) == 2 {
				r.s.font = r.fontOf(a[0])
				r.s.size, _ = pdf.AsNumber(r.src, a[1])
			}
		case "SMask":
			mask := pdf.AsDict(r.src, d[k])
			if mask == nil {
				r.s = r.s.with("SMask", "None")
				continue
			}
			what := r.words(mask["S"], 0) + r.words(mask["BC"], 0) + matrixWords(r.s.ctm)
			if st := pdf.AsStream(r.src, mask["G"]); st != nil {
				what += r.drawing(st, r.names, r.s)
			}
			r.s = r.s.with("SMask", hashed(what))
		case "D":
			a := pdf.AsArray(r.src, d[k])
			if len(a) == 2 {
				r.s = r.s.with("D", r.words(a, 0))
			}
		default:
			r.s = r.s.with(string(k), r.words(d[k], 0))
		}
	}
}
