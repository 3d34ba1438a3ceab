package sheet

import (
	"bytes"
	"fmt"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/draft"
	"github.com/sizeply/sizeply/internal/demo/typeface"
)

// content writes marks as a content stream (7.8.2). Marks of one layer in a
// row share one section of marked content (8.11.3.2).
func (d *document) content(marks []artwork.Mark) ([]byte, error) {
	c := &content{document: d}
	for i, m := range marks {
		if i == 0 || m.Layer != marks[i-1].Layer {
			if err := c.open(m.Layer); err != nil {
				return nil, err
			}
		}
		if err := c.shape(m.Shape); err != nil {
			return nil, err
		}
		if i == len(marks)-1 || m.Layer != marks[i+1].Layer {
			c.close(m.Layer)
		}
	}
	return c.Bytes(), nil
}

// content is a stream in the making, with the graphics state as it stands.
type content struct {
	bytes.Buffer
	*document
	state state
}

func (c *content) op(format string, operands ...any) {
	fmt.Fprintf(c, format+"\n", operands...)
}

func (c *content) open(layer string) error {
	if layer != "" {
		property, err := c.property(layer)
		if err != nil {
			return err
		}
		c.op("/OC /%s BDC", property)
	}
	c.op("q")
	c.state = start
	return nil
}

func (c *content) close(layer string) {
	c.op("Q")
	if layer != "" {
		c.op("EMC")
	}
}

func (c *content) property(layer string) (string, error) {
	g, ok := c.groups[layer]
	if !ok {
		return "", fmt.Errorf("layer %q is not among the drawing's layers", layer)
	}
	return g.property, nil
}

func (c *content) shape(s artwork.Shape) error {
	switch s := s.(type) {
	case artwork.Stroke:
		c.stroke(s)
	case artwork.Fill:
		c.fill(s.Colour)
		c.paths(s.Paths, true)
		c.op("f")
	case artwork.Rectangle:
		c.line(s.Line)
		c.op("%s %s %s re S", pair(s.Corner), number(s.Width), number(s.Height))
	case artwork.Text:
		return c.text(s)
	case artwork.Stamp:
		return c.stamp(s)
	case artwork.Clip:
		return c.clip(s)
	default:
		return fmt.Errorf("shape of unknown kind %T", s)
	}
	return nil
}

func (c *content) stroke(s artwork.Stroke) {
	c.line(s.Line)
	c.paths(s.Paths, s.Closed)
	c.op("S")
}

// paths writes the construction of paths (8.5.2).
func (c *content) paths(paths []draft.Path, closed bool) {
	for _, p := range paths {
		c.op("%s m", pair(p.Start()))
		for i, cubic := range p {
			switch {
			case closed && i == len(p)-1 && cubic.IsStraight() && p.End() == p.Start():
				// h draws it
			case cubic.IsStraight():
				c.op("%s l", pair(cubic[3]))
			default:
				c.op("%s %s %s c", pair(cubic[1]), pair(cubic[2]), pair(cubic[3]))
			}
		}
		if closed {
			c.op("h")
		}
	}
}

// text writes one text object; each run that has a layer gets a section of
// its own inside it, so later runs start where hidden ones would have ended.
func (c *content) text(t artwork.Text) error {
	c.op("BT /F1 %s Tf", number(t.Size))
	c.op("%s Tm", matrix(t.At, t.Turn))
	for _, r := range t.Runs {
		if err := c.run(r); err != nil {
			return err
		}
	}
	c.op("ET")
	return nil
}

func (c *content) run(r artwork.Run) error {
	codes, err := typeface.Encode(r.Text)
	if err != nil {
		return err
	}
	if r.Layer != "" {
		property, err := c.property(r.Layer)
		if err != nil {
			return err
		}
		c.op("/OC /%s BDC", property)
		defer c.op("EMC")
	}
	c.fill(r.Colour)
	c.op("%s Tj", literal(codes))
	return nil
}

// stamp paints a symbol in the colour of its line (8.10.1: the form inherits
// the graphics state).
func (c *content) stamp(s artwork.Stamp) error {
	if _, ok := c.symbols[s.Symbol]; !ok {
		return fmt.Errorf("symbol %q is not among the drawing's symbols", s.Symbol)
	}
	c.line(s.Line)
	c.fill(s.Line.Colour)
	c.op("q %s cm /%s Do Q", matrix(s.At, s.Turn), s.Symbol)
	return nil
}

// clip writes a clipping path (8.5.4) and what it limits.
func (c *content) clip(s artwork.Clip) error {
	before := c.state
	c.op("q")
	c.paths(s.Paths, true)
	c.op("W n")
	for _, inner := range s.Shapes {
		if err := c.shape(inner); err != nil {
			return err
		}
	}
	c.op("Q")
	c.state = before
	return nil
}
