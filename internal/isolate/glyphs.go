package isolate

import (
	"context"
	"maps"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// editGlyphs takes the glyphs that no text shows any more out of Type 3 fonts
// (9.6.5): their drawings, and their names in the encoding. A font that a form
// field or a graphics state may set stays as it is, and so do all where content
// cannot be read whole.
func (e *editor) editGlyphs(ctx context.Context) error {
	now := e.reach(e.edit)
	g := &glyphEditor{e, ctx, map[pdf.Name][]pdf.Ref{}, map[pdf.Ref]*codes{}}
	for _, ref := range e.refs(now) {
		if d, _ := e.edit.Object(ref).(pdf.Dict); pdf.AsName(e.edit, d["Subtype"]) == "Type3" {
			g.shown[ref] = &codes{}
		}
	}
	if len(g.shown) == 0 {
		return nil
	}
	e.each(now, g.name)
	form := pdf.AsDict(e.edit, e.catalog()["AcroForm"])
	for name := range pdf.AsDict(e.edit, pdf.AsDict(e.edit, form["DR"])["Font"]) {
		for _, font := range g.fonts[name] {
			delete(g.shown, font)
		}
	}
	if whole, err := g.readAll(now); !whole || err != nil {
		return err
	}
	for _, font := range slices.Sorted(maps.Keys(g.shown)) {
		g.shorten(font)
	}
	return nil
}

// codes are character codes of a simple font.
type codes [256]bool

// glyphEditor finds which glyphs text shows.
type glyphEditor struct {
	*editor
	ctx   context.Context
	fonts map[pdf.Name][]pdf.Ref // those that any resources have under a name
	shown map[pdf.Ref]*codes     // by the fonts that may lose glyphs
}

// name notes the names of fonts in resources (7.8.3). A font that a dictionary of
// graphics state sets (8.4.5) has none, and may show anything.
func (g *glyphEditor) name(d pdf.Dict, _ pdf.Ref) pdf.Dict {
	switch set := pdf.Resolve(g.edit, d["Font"]).(type) {
	case pdf.Array:
		for _, o := range set {
			if font, ok := o.(pdf.Ref); ok {
				delete(g.shown, font)
			}
		}
	case pdf.Dict:
		for name, o := range set {
			if font, ok := o.(pdf.Ref); ok && g.shown[font] != nil && !slices.Contains(g.fonts[name], font) {
				g.fonts[name] = append(g.fonts[name], font)
			}
		}
	}
	return d
}

// readAll reads all content streams; whole is false where one cannot be read.
func (g *glyphEditor) readAll(now extent) (whole bool, err error) {
	for _, p := range g.doc.PDF.Pages() {
		c, err := pdf.PageContent(g.ctx, g.edit, g.page(p), g.doc.Limits)
		if err != nil {
			return false, g.ctx.Err() // it stays as it was
		}
		if err := g.read(c.Data); err != nil {
			return false, err
		}
	}
	drawings := map[pdf.Ref]bool{}
	for _, ref := range g.refs(now) {
		switch o := g.edit.Object(ref).(type) {
		case *pdf.Stream:
			drawings[ref] = drawings[ref] || resources.IsDrawing(g.edit, o.Dict)
		case pdf.Dict:
			for _, glyph := range pdf.AsDict(g.edit, o["CharProcs"]) {
				if ref, ok := glyph.(pdf.Ref); ok {
					drawings[ref] = true
				}
			}
		}
	}
	for _, ref := range slices.Sorted(maps.Keys(drawings)) {
		st := pdf.AsStream(g.edit, ref)
		if !drawings[ref] || st == nil {
			continue
		}
		data, err := pdf.Decode(g.ctx, g.edit, st, g.doc.Limits.StreamBytes)
		if err != nil {
			return false, g.ctx.Err()
		}
		if err := g.read(data); err != nil {
			return false, err
		}
	}
	return true, nil
}

// read notes what the text of one stream shows. The font at its start is that of
// whatever draws it: any.
func (g *glyphEditor) read(data []byte) error {
	scan := content.NewScanner(data).Within(g.ctx)
	var op content.Operation
	var saved []pdf.Name
	font := pdf.Name("") // any
	for scan.Next(&op) {
		switch op.Op.Class() {
		case content.ClassPath:
			scan.SkipPath()
		case content.ClassTextShow:
			op.EachString(func(text []byte) { g.show(font, text) }, func(float64) {})
		}
		switch op.Op {
		case content.OpFont:
			name, _ := op.Name(0)
			font = pdf.Name(name)
		case content.OpSave:
			saved = append(saved, font)
		case content.OpRestore:
			if n := len(saved); n > 0 {
				font, saved = saved[n-1], saved[:n-1]
			}
		}
	}
	return g.ctx.Err()
}

// show notes codes as shown in the fonts of a name, or in all.
func (g *glyphEditor) show(name pdf.Name, text []byte) {
	list := g.fonts[name]
	if name == "" {
		list = slices.Collect(maps.Keys(g.shown))
	}
	for _, font := range list {
		if shown := g.shown[font]; shown != nil {
			for _, c := range text {
				shown[c] = true
			}
		}
	}
}

// shorten takes what is not shown out of one font. One whose encoding is not made
// of differences alone stays as it is.
func (g *glyphEditor) shorten(font pdf.Ref) {
	d := pdf.AsDict(g.edit, font)
	encoding := pdf.AsDict(g.edit, d["Encoding"])
	was := pdf.AsArray(g.edit, encoding["Differences"])
	if was == nil || encoding["BaseEncoding"] != nil {
		return
	}
	now, code := slices.Clone(was), 0
	named := map[pdf.Name]bool{}
	for i, o := range was {
		name, ok := pdf.Resolve(g.edit, o).(pdf.Name)
		if !ok {
			code = pdf.AsInt(g.edit, o, code)
			continue
		}
		if code >= 0 && code < len(codes{}) && g.shown[font][code] {
			named[name] = true
		} else {
			now[i] = pdf.Name(".notdef")
		}
		code++
	}
	glyphs := pdf.AsDict(g.edit, d["CharProcs"])
	rest := pdf.Dict{}
	for name, o := range glyphs {
		if named[name] {
			rest[name] = o
		}
	}
	if len(rest) < len(glyphs) || !slices.Equal(now, was) {
		g.unneeded += len(glyphs) - len(rest)
		g.edit.Set(font, with(with(d, "CharProcs", rest), "Encoding", with(encoding, "Differences", now)))
	}
}
