package sheet

import (
	"fmt"
	"io"
	"strings"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/typeface"
)

// Options say how to write a drawing. The zero value is one page, in sRGB.
type Options struct {
	// Print writes the colours in CMYK, and this one as a spot colour; nil for
	// sRGB.
	Print *Spot
	// Paper cuts the sheet into pages of it; nil for one page.
	Paper *Paper
}

// Write writes one drawing as a file, true to scale.
func Write(w io.Writer, d artwork.Drawing, opt Options) error {
	face, err := typeface.Regular()
	if err != nil {
		return err
	}
	doc := &document{drawing: d, groups: map[string]group{}, symbols: map[string]ref{}}
	if opt.Print != nil {
		doc.process = &process{*opt.Print}
	}
	if opt.Paper != nil {
		doc.tiles = tiles(d, *opt.Paper)
	}
	if err := doc.build(face); err != nil {
		return fmt.Errorf("write %q: %w", d.Title, err)
	}
	if _, err := w.Write(doc.bytes(doc.catalog, doc.info)); err != nil {
		return fmt.Errorf("write %q: %w", d.Title, err)
	}
	return nil
}

// a document is one drawing on its way into a file.
type document struct {
	file
	drawing       artwork.Drawing
	process       *process         // nil for sRGB
	tiles         []tile           // nil for one page
	groups        map[string]group // by layer name
	symbols       map[string]ref   // by symbol name
	pages, font   ref
	catalog, info ref
}

func (d *document) build(face *typeface.Face) error {
	d.catalog, d.pages = d.reserve(), d.reserve()
	d.addGroups()
	if err := d.addSymbols(); err != nil {
		return err
	}
	var err error
	if d.font, err = d.addFont(face); err != nil {
		return err
	}
	kids, err := d.addPages(face)
	if err != nil {
		return err
	}
	d.set(d.pages, fmt.Sprintf("<</Type/Pages/Kids[%s]/Count %d>>", strings.Join(kids, " "), len(kids)))
	d.addCatalog(d.addMetadata())
	return nil
}

// addPages adds the page, or one for each tile.
func (d *document) addPages(face *typeface.Face) (kids []string, err error) {
	if d.tiles == nil {
		content, err := d.content(d.drawing.Marks)
		if err != nil {
			return nil, err
		}
		page, err := d.addPage(content, d.drawing.Width, d.drawing.Height)
		return []string{page.String()}, err
	}
	for _, t := range d.tiles {
		content, err := d.tileContent(t, face)
		if err != nil {
			return nil, err
		}
		page, err := d.addPage(content, t.paper.Width, t.paper.Height)
		if err != nil {
			return nil, err
		}
		kids = append(kids, page.String())
	}
	return kids, nil
}

// addPage adds a page with its one content stream (7.7.3.3, table 30).
func (d *document) addPage(content []byte, w, h float64) (ref, error) {
	stream, err := d.addStream("", content)
	if err != nil {
		return 0, err
	}
	width, height := number(w), number(h)
	return d.add(fmt.Sprintf("<</Type/Page/Parent %v/MediaBox[0 0 %s %s]/Resources %s/Contents %v>>",
		d.pages, width, height, d.resources(), stream)), nil
}

func (d *document) resources() string {
	var b strings.Builder
	fmt.Fprintf(&b, "<</Font<</F1 %v>>", d.font)
	b.WriteString("/XObject<<")
	for _, s := range d.drawing.Symbols {
		fmt.Fprintf(&b, "/%s %v", s.Name, d.symbols[s.Name])
	}
	b.WriteString(">>")
	if d.process != nil {
		b.WriteString(d.process.spotSpace())
	}
	if len(d.drawing.Layers) > 0 {
		b.WriteString("/Properties<<")
		for _, l := range d.drawing.Layers {
			g := d.groups[l.Name]
			fmt.Fprintf(&b, "/%s %v", g.property, g.ref)
		}
		b.WriteString(">>")
	}
	b.WriteString(">>")
	return b.String()
}

// addCatalog adds the catalog (7.7.2, table 28); it asks viewers to show the
// layers, and printers not to scale (12.2, table 150).
func (d *document) addCatalog(metadata ref) {
	layers := ""
	if len(d.drawing.Layers) > 0 {
		layers = "/PageMode/UseOC/OCProperties " + d.properties()
	}
	d.set(d.catalog, fmt.Sprintf("<</Type/Catalog/Pages %v%s/Lang(en-GB)/ViewerPreferences<</DisplayDocTitle true/PrintScaling/None>>/Metadata %v>>",
		d.pages, layers, metadata))
}
