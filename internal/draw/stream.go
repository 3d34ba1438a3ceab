package draw

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// stream is one content stream on its way through a walker.
type stream struct {
	*Walker
	m     content.Machine
	scope *resources.Scope
	depth int
	scan  content.Scanner
	op    content.Operation
	text  Text
	// sections are the places to go back to at the ends of the open sections of
	// marked content.
	sections []place
	// followed says that the path at hand cannot be passed over.
	followed bool
}

// stream begins a content stream in a state. There is one at each depth at a time,
// so that its memory serves the next one.
func (w *Walker) stream(depth int, state content.State, scope *resources.Scope) *stream {
	for len(w.streams) <= depth {
		s := &stream{Walker: w, depth: len(w.streams)}
		s.m.Path.Straight, s.m.Path.Measured = w.options.Straight, w.options.Styles
		w.streams = append(w.streams, s)
	}
	s := w.streams[depth]
	s.m.Reset(state.CTM, state.Clip)
	s.m.State = state
	s.scope, s.sections, s.followed = scope, s.sections[:0], false
	return s
}

// run goes through a content stream. It passes over paths that nobody wants, but
// for those that clip.
func (s *stream) run(data []byte) error {
	var seg content.Segment
	s.scan.Reset(data)
	s.scan.Within(s.ctx)
	for {
		if !s.followed && !s.wanted() {
			s.followed = !s.scan.SkipPainted()
		}
		for s.scan.NextSegment(&seg, s.m.State.CTM) {
			if err := s.spend(1); err != nil {
				return err
			}
			s.m.Path.Add(&seg)
		}
		if !s.scan.Next(&s.op) {
			if err := s.ctx.Err(); err != nil {
				return err
			}
			return s.spend(len(data) / operationBytes)
		}
		if err := s.spend(1); err != nil {
			return err
		}
		if err := s.step(&s.op); err != nil {
			return err
		}
	}
}

// step takes one operation.
func (s *stream) step(op *content.Operation) error {
	switch op.Op.Class() {
	case content.ClassPaint:
		return s.paint(op)
	case content.ClassPath:
		s.m.Apply(op)
	case content.ClassTextShow:
		s.m.Apply(op)
		return s.show(op)
	case content.ClassShading:
		return s.give(Shading, &s.m.State, s.m.State.Clip)
	case content.ClassInlineImage:
		return s.image()
	case content.ClassXObject:
		return s.xobject(op)
	case content.ClassMarkedContent:
		s.section(op)
	default:
		s.m.Apply(op)
		s.setFont(op)
		if op.Op == content.OpDash { // a number takes half as long to read as an operation
			if err := s.spend(len(s.m.State.Dash.Array) / 2); err != nil {
				return err
			}
		}
		if p := s.mark.Painter; p != nil {
			p.Follow(&s.m, op, s.scope)
			if op.Op == content.OpGraphicsState {
				return s.spend(len(s.m.State.Dash.Array)) // it may have been copied
			}
		}
	}
	return nil
}

// paint paints the path, or ends it (8.5.3).
func (s *stream) paint(op *content.Operation) error {
	if op.Op != content.OpEndPath && s.m.Path.Segments() > 0 {
		if s.options.Styles { // a style is written with all lengths of its dash pattern
			if err := s.spend(4 * len(s.m.State.Dash.Array)); err != nil {
				return err
			}
		}
		s.mark.Op, s.mark.Path = op.Op, &s.m.Path
		if err := s.give(PaintedPath, &s.m.State, s.m.Path.Extent()); err != nil {
			return err
		}
	}
	s.followed = false
	s.m.Apply(op)
	return nil
}

// image yields an image, which fills the unit square (8.9.5.1).
func (s *stream) image() error {
	return s.give(Image, &s.m.State, content.NewRect(0, 0, 1, 1).Transform(s.m.State.CTM))
}

// section follows marked content (14.6).
func (s *stream) section(op *content.Operation) {
	switch op.Op {
	case content.OpBeginMarked, content.OpBeginMarkedProps:
		before := s.place
		tag, _ := op.Name(0)
		if name, ok := op.Name(1); ok && tag == "OC" && op.Op == content.OpBeginMarkedProps {
			s.enter(s.scope.Lookup("Properties", pdf.Name(name)))
		}
		s.sections = append(s.sections, before)
	case content.OpEndMarked:
		if n := len(s.sections); n > 0 {
			s.leave(s.sections[n-1])
			s.sections = s.sections[:n-1]
		}
	}
}

// xobject draws an image or a form (8.8).
func (s *stream) xobject(op *content.Operation) error {
	name, _ := op.Name(0)
	st := pdf.AsStream(s.doc.PDF, s.scope.Lookup("XObject", pdf.Name(name)))
	if st == nil {
		return s.give(Unknown, &s.m.State, content.Everywhere())
	}
	before := s.enter(st.Dict["OC"])
	defer s.leave(before)
	if pdf.AsName(s.doc.PDF, st.Dict["Subtype"]) != "Form" {
		return s.image()
	}
	return s.form(st, &s.m.State, s.scope, s.depth)
}

// setFont gives the font of Tf or gs a name of its own, since forms inherit
// fonts but not their names.
func (s *stream) setFont(op *content.Operation) {
	src := s.doc.PDF
	var o pdf.Object
	size := s.m.State.Text.Size
	switch op.Op {
	case content.OpFont:
		name, _ := op.Name(0)
		o = s.scope.Lookup("Font", pdf.Name(name))
	case content.OpGraphicsState:
		name, _ := op.Name(0)
		gs := pdf.AsDict(src, s.scope.Lookup("ExtGState", pdf.Name(name)))
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
	if s.fonts[key] == nil {
		s.fonts[key] = &fonts{s.library.Load(o), s.library.Decoder(o)}
	}
	s.m.SetFont(key, size)
}

// show yields shown text and moves on (9.4.4).
func (s *stream) show(op *content.Operation) error {
	state := &s.m.State.Text
	both := s.fonts[state.Font]
	if both == nil {
		return s.give(Unknown, &s.m.State, content.Everywhere())
	}
	f, t := both.font, &s.text
	*t = Text{Font: f, Decoder: both.decoder, Codes: t.Codes[:0], Strings: t.Strings[:0]}
	box := content.EmptyRect()
	op.EachString(func(codes []byte) {
		x, y := advance(f, state, codes)
		span := content.NewRect(0, float64(f.Descent*state.Size)+state.Rise, x, float64(f.Ascent*state.Size)+state.Rise)
		if f.Vertical {
			span = content.NewRect(-state.Size/2, 0, state.Size/2, y)
		}
		at := s.m.TextMatrix.Multiply(s.m.State.CTM)
		from := len(t.Codes)
		t.Codes = append(t.Codes, codes...)
		t.Strings = append(t.Strings, String{Codes: t.Codes[from:], Matrix: at, Width: x, Bounds: span.Transform(at)})
		box = box.Union(t.Strings[len(t.Strings)-1].Bounds)
		s.m.Advance(x, y)
	}, func(n float64) {
		if f.Vertical {
			s.m.Advance(0, -float64(n/1000*state.Size))
		} else {
			s.m.Advance(-float64(n/1000*state.Size)*state.Scale, 0)
		}
	})
	if len(t.Codes) == 0 {
		return nil // it moves on alone
	}
	if err := s.spend(len(t.Codes)); err != nil {
		return err
	}
	s.mark.Text = t
	return s.give(ShownText, &s.m.State, box)
}

// advance is the displacement of a string in unscaled text space.
func advance(f *font.Font, t *content.TextState, codes []byte) (x, y float64) {
	sum := 0.0
	f.Glyphs(codes, func(g font.Glyph) bool {
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
