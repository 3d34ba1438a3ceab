package layers

import (
	"fmt"
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// maxFormDepth bounds forms within forms.
const maxFormDepth = 64

// drawing is one content stream on its way through an inspector.
type drawing struct {
	*inspector
	m     content.Machine
	scope *resources.Scope
	depth int
	scan  content.Scanner
	op    content.Operation
	// outline is that of the path at hand, where lines are asked for.
	outline paint.Outline
	marks   []int // for each open section, how many groups were open before it
	edges   outline
	// followed says that the path at hand cannot be passed over.
	followed bool
}

// drawing begins a content stream. There is one at each depth at a time, so that
// its memory serves the next one.
func (in *inspector) drawing(depth int, ctm content.Matrix, clip content.Rect, scope *resources.Scope) *drawing {
	for len(in.drawings) <= depth {
		in.drawings = append(in.drawings, &drawing{inspector: in, depth: len(in.drawings)})
	}
	d := in.drawings[depth]
	d.m.Reset(ctm, clip)
	d.scope, d.marks, d.followed = scope, d.marks[:0], false
	d.outline.Reset()
	d.edges.reset()
	return d
}

// run goes through a content stream.
func (d *drawing) run(data []byte) error {
	var s content.Segment
	d.scan.Reset(data)
	for {
		d.skip()
		for d.scan.NextSegment(&s, d.m.State.CTM) {
			if err := d.spend(); err != nil {
				return err
			}
			d.segment(&s)
		}
		if !d.scan.Next(&d.op) {
			return nil
		}
		if err := d.spend(); err != nil {
			return err
		}
		if err := d.step(&d.op); err != nil {
			return err
		}
	}
}

// skip passes over a path that nobody asks for. One that clips is followed.
func (d *drawing) skip() {
	if d.aims.stay != nil && !d.followed && !d.wanted() {
		d.followed = !d.scan.SkipPainted()
	}
}

// spend counts an operation, and tells of a reason to stop.
func (d *drawing) spend() error {
	if d.count++; d.count > d.most {
		return errTooMuch
	}
	if d.count%4096 == 0 && d.ctx.Err() != nil {
		return d.ctx.Err()
	}
	return nil
}

// step takes one operation.
func (d *drawing) step(op *content.Operation) error {
	switch op.Op.Class() {
	case content.ClassPaint:
		d.paint(op.Op)
		d.m.Apply(op)
		return d.lines.full()
	case content.ClassPath:
		if s, ok := op.Segment(d.m.State.CTM); ok {
			d.segment(&s)
		}
	case content.ClassTextShow:
		d.m.Apply(op)
		d.show(op)
		return d.lines.full()
	case content.ClassShading:
		d.mark(d.m.State.Clip, func(u *Use) { u.Paths++ })
		d.sight(d.m.State.Clip, 0)
	case content.ClassInlineImage:
		d.image()
	case content.ClassXObject:
		return d.xobject(op)
	case content.ClassMarkedContent:
		d.section(op)
	default:
		d.m.Apply(op)
		d.setFont(op)
		if d.lines != nil {
			d.lines.painter.Follow(&d.m, op, d.scope)
		}
	}
	return nil
}

// segment adds to the path.
func (d *drawing) segment(s *content.Segment) {
	d.m.Path.Add(s)
	if d.aims.shapes {
		d.edges.add(s)
	}
	if d.aims.lines {
		d.outline.Add(s)
	}
}

// paint paints the path, or ends it (8.5.3).
func (d *drawing) paint(op content.Op) {
	if op != content.OpEndPath && d.m.Path.Segments() > 0 {
		bounds := d.m.Path.Extent().Intersect(d.m.State.Clip)
		d.mark(bounds, func(u *Use) { u.Paths++ })
		d.sight(d.m.Path.Extent(), d.m.State.StrokeReach())
		if d.aims.lines && d.wanted() {
			d.linePath(op, bounds)
		}
	}
	d.followed = false
	d.outline.Reset()
	if lines := d.edges.take(op); op != content.OpEndPath {
		d.shapes.paint(lines, op, d.m.State.Clip, d.groups)
	}
}

// image counts an image, which fills the unit square (8.9.5.1).
func (d *drawing) image() {
	square := content.NewRect(0, 0, 1, 1).Transform(d.m.State.CTM)
	d.mark(square.Intersect(d.m.State.Clip), func(u *Use) { u.Images++ })
	d.sight(square, 0)
}

// section follows marked content.
func (d *drawing) section(op *content.Operation) {
	switch op.Op {
	case content.OpBeginMarked, content.OpBeginMarkedProps:
		d.marks = append(d.marks, len(d.open))
		tag, _ := op.Name(0)
		if name, ok := op.Name(1); ok && tag == "OC" && op.Op == content.OpBeginMarkedProps {
			d.enter(d.scope.Lookup("Properties", pdf.Name(name)))
		}
	case content.OpEndMarked:
		if n := len(d.marks); n > 0 {
			d.open, d.marks = d.open[:d.marks[n-1]], d.marks[:n-1]
		}
	}
}

// xobject draws an image or a form (8.8).
func (d *drawing) xobject(op *content.Operation) error {
	name, _ := op.Name(0)
	st := pdf.AsStream(d.doc.PDF, d.scope.Lookup("XObject", pdf.Name(name)))
	if st == nil {
		d.see() // isolating has given it another name
		return nil
	}
	defer d.enter(st.Dict["OC"])()
	if pdf.AsName(d.doc.PDF, st.Dict["Subtype"]) != "Form" {
		d.image()
		return nil
	}
	return d.form(st, d.m.State, d.scope, d.depth)
}

// form draws a form XObject in the state of its caller (8.10.1).
func (in *inspector) form(st *pdf.Stream, state content.State, caller *resources.Scope, depth int) error {
	if in.active[st] || depth >= maxFormDepth || in.hidden() {
		return nil
	}
	in.active[st] = true
	defer delete(in.active, st)
	in.count += formCost
	data, err := in.forms.content(st)
	if err != nil {
		return err
	}
	d := in.drawing(depth+1, state.CTM, state.Clip, resources.NewScope(in.doc.PDF, st.Dict["Resources"], caller))
	d.m.State = state
	d.m.Concat(matrix(in.doc.PDF, st.Dict["Matrix"]))
	if box, ok := rectangle(in.doc.PDF, st.Dict["BBox"]); ok {
		d.m.State.Clip = d.m.State.Clip.Intersect(box.Transform(d.m.State.CTM))
	}
	before := len(in.open)
	err = d.run(data)
	in.open = in.open[:before] // what the form leaves open ends with it
	return err
}

// setFont gives the font of Tf or gs a name of its own, since forms inherit
// fonts but not their names.
func (d *drawing) setFont(op *content.Operation) {
	src := d.doc.PDF
	var o pdf.Object
	size := d.m.State.Text.Size
	switch op.Op {
	case content.OpFont:
		name, _ := op.Name(0)
		o = d.scope.Lookup("Font", pdf.Name(name))
	case content.OpGraphicsState:
		name, _ := op.Name(0)
		gs := pdf.AsDict(src, d.scope.Lookup("ExtGState", pdf.Name(name)))
		f := pdf.AsArray(src, gs["Font"])
		if len(f) < 2 {
			return
		}
		o = f[0]
		size, _ = pdf.AsNumber(src, f[1])
	default:
		return
	}
	key := fmt.Sprintf("%p", pdf.AsDict(src, o))
	if d.fonts[key] == nil {
		d.fonts[key] = font.Load(src, o)
		d.decoders[key] = font.NewDecoder(src, o)
	}
	d.m.SetFont(key, size)
}

// show counts shown text and moves on (9.4.4).
func (d *drawing) show(op *content.Operation) {
	t := &d.m.State.Text
	f := d.fonts[t.Font]
	if f == nil {
		d.see()
		return
	}
	box := content.EmptyRect()
	var text []byte
	op.EachString(func(s []byte) {
		text = append(text, s...)
		x, y := d.measure(f, s)
		span := content.NewRect(0, float64(f.Descent*t.Size)+t.Rise, x, float64(f.Ascent*t.Size)+t.Rise)
		if f.Vertical {
			span = content.NewRect(-t.Size/2, 0, t.Size/2, y)
		}
		at := d.m.TextMatrix.Multiply(d.m.State.CTM)
		box = box.Union(span.Transform(at))
		d.write(s, at, span, x)
		d.m.Advance(x, y)
	}, func(n float64) {
		if f.Vertical {
			d.m.Advance(0, -float64(n/1000*t.Size))
			return
		}
		d.m.Advance(-float64(n/1000*t.Size)*t.Scale, 0)
	})
	if len(text) == 0 {
		return // it moves on alone
	}
	d.list(text, box)
	d.sightText(f, text, box)
	box = box.Intersect(d.m.State.Clip)
	d.mark(box, func(u *Use) { u.Texts++ })
	if d.aims.lines && d.wanted() {
		d.lineText(box)
	}
}

// list adds the text of a show operator to those that each open layer shows.
func (d *drawing) list(codes []byte, box content.Rect) {
	if !d.aims.uses || len(d.open) == 0 {
		return
	}
	in, text := d.inspector, d.decoders[d.m.State.Text.Font].Text(codes)
	for i, ref := range in.open {
		if !slices.Contains(in.open[:i], ref) && len(in.shown) < maxShown {
			in.shown = append(in.shown, Shown{Layer: int(ref), Page: in.page, Text: text, Left: box.X0, Bottom: box.Y0})
		}
	}
}

// write keeps a shown string of horizontal writing as text. span is its extent
// and x its width in the text space of at.
func (d *drawing) write(s []byte, at content.Matrix, span content.Rect, x float64) {
	if !d.aims.shapes {
		return
	}
	t := &d.m.State.Text
	d.shapes.addText(textRun{
		text: d.decoders[t.Font].Text(s),
		from: at.Apply(content.Point{Y: t.Rise}), to: at.Apply(content.Point{X: x, Y: t.Rise}),
		size: math.Abs(t.Size) * at.MaxScale(), box: span.Transform(at),
	})
}

// measure is the displacement of a string in unscaled text space.
func (d *drawing) measure(f *font.Font, s []byte) (x, y float64) {
	t := &d.m.State.Text
	sum := 0.0
	f.Glyphs(s, func(g font.Glyph) bool {
		sum += float64(g.Advance*t.Size) + t.CharSpacing
		if g.Space {
			sum += t.WordSpacing
		}
		return true
	})
	if f.Vertical {
		return 0, sum
	}
	return sum * t.Scale, 0
}

// matrix reads a matrix; the identity where there is none (Table 95).
func matrix(src pdf.Objects, o pdf.Object) content.Matrix {
	a := pdf.AsArray(src, o)
	if len(a) < 6 {
		return content.Identity()
	}
	var v [6]float64
	for i := range v {
		v[i], _ = pdf.AsNumber(src, a[i])
	}
	return content.Matrix{A: v[0], B: v[1], C: v[2], D: v[3], E: v[4], F: v[5]}
}

// rectangle reads a rectangle (7.9.5).
func rectangle(src pdf.Objects, o pdf.Object) (content.Rect, bool) {
	a := pdf.AsArray(src, o)
	if len(a) < 4 {
		return content.Rect{}, false
	}
	var v [4]float64
	for i := range v {
		v[i], _ = pdf.AsNumber(src, a[i])
	}
	return content.NewRect(v[0], v[1], v[2], v[3]), true
}
