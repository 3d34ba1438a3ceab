package paint

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// Follow does what an operation does to the graphics state by way of resources:
// it comes after the machine's own Apply. Colour spaces get names that mean the
// same in every stream, so that a form inherits colours; gs sets what Table 58
// says, but for the font.
func (p *Painter) Follow(m *content.Machine, op *content.Operation, res Resources) {
	switch op.Op {
	case content.OpStrokeSpace:
		p.rename(&m.State.Stroke, op, res)
	case content.OpFillSpace:
		p.rename(&m.State.Fill, op, res)
	case content.OpGraphicsState:
		name, _ := op.Name(0)
		p.set(m, pdf.AsDict(p.src, res.Lookup("ExtGState", pdf.Name(name))))
	}
}

// rename replaces the resource name of the space that was just set.
func (p *Painter) rename(c *content.Colour, op *content.Operation, res Resources) {
	name, ok := op.Name(0)
	if !ok || deviceSpace(name) != nil || name == "Pattern" {
		return
	}
	c.Space = "?"
	if o := res.Lookup("ColorSpace", pdf.Name(name)); o != nil {
		c.Space = p.intern(o)
	}
}

// set takes the entries of an ExtGState dictionary (8.4.5, Table 58).
func (p *Painter) set(m *content.Machine, gs pdf.Dict) {
	number := func(key pdf.Name, set func(float64)) {
		if v, ok := pdf.AsNumber(p.src, gs[key]); ok {
			set(v)
		}
	}
	number("LW", m.SetLineWidth)
	number("LC", func(v float64) { m.SetLineCap(int(v)) })
	number("LJ", func(v float64) { m.SetLineJoin(int(v)) })
	number("ML", m.SetMiterLimit)
	number("CA", m.SetStrokeAlpha)
	number("ca", m.SetFillAlpha)
	if d := pdf.AsArray(p.src, gs["D"]); len(d) == 2 {
		phase, ok := pdf.AsNumber(p.src, d[1])
		if array, isArray := pdf.Resolve(p.src, d[0]).(pdf.Array); ok && isArray {
			m.SetDash(p.list(array), phase)
		}
	}
}
