package layers

import (
	"context"
	"math"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/font"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
)

// maxLooked bounds the operations that a search for blank pages goes through:
// those up to the first mark that is seen, of all pages.
const maxLooked = 5_000_000

// blanks finds the pages on which nothing can be seen of what stays, such as a
// tile of a sheet on which only other sizes are. In doubt there is something.
type blanks struct {
	in    *inspector
	left  int
	pages map[pdf.Ref]bool // true for a blank one
}

func (c *choice) searchBlanks(ctx context.Context) *blanks {
	return &blanks{newInspector(c.doc, ctx, aims{sight: true, stay: c.printed}, newForms(c.doc, nil)), maxLooked, map[pdf.Ref]bool{}}
}

// printed is optional.True for a group that is on paper, optional.False for another.
func (c *choice) printed(ref pdf.Ref) optional.Truth {
	t := c.state[ref]
	if g := c.doc.Group(ref); t == optional.Undecided && g != nil {
		t = optional.False
		if g.Layer.Print {
			t = optional.True
		}
	}
	return t
}

// page looks at a page, with its contents as they are now; at pages of one object
// once. Without a search it does nothing.
func (b *blanks) page(p pdf.Page, data []byte) {
	if b == nil {
		return
	}
	if _, again := b.pages[p.Ref]; again {
		return
	}
	f := b.in.read(p, data, b.left)
	b.left = max(0, b.left-f.count)
	b.pages[p.Ref] = f.err == nil && !f.seen
}

// sight notes that something is drawn within bounds, or nearly. The first thing
// that can be seen ends the page.
func (d *drawing) sight(bounds content.Rect, margin float64) {
	if d.aims.sight && !bounds.Grow(margin).Intersect(d.m.State.Clip).Empty() {
		d.see()
	}
}

// sightText is sight for shown text. Letters may reach beyond their box, by no more
// than their size; those of a Type 3 font, and of unknown width, anywhere.
func (d *drawing) sightText(f *font.Font, text []byte, box content.Rect) {
	if !d.aims.sight {
		return
	}
	known := !f.Type3
	f.Glyphs(text, func(g font.Glyph) bool {
		known = known && g.Known
		return known
	})
	if !known {
		box = content.Everywhere()
	}
	t, at := &d.m.State.Text, d.m.TextMatrix.Multiply(d.m.State.CTM)
	d.sight(box, math.Abs(t.Size)*max(1, math.Abs(t.Scale))*at.MaxScale())
}

// see ends the page where blank ones are looked for.
func (in *inspector) see() {
	if in.aims.sight && !in.hidden() {
		in.seen, in.most = true, 0
	}
}
