package sheet

import (
	"fmt"
	"io"
	"strings"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/typeface"
)

// Write writes one drawing as a file of one page, true to scale.
func Write(w io.Writer, d artwork.Drawing) error {
	face, err := typeface.Regular()
	if err != nil {
		return err
	}
	doc := &document{drawing: d, groups: map[string]group{}, symbols: map[string]ref{}}
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
	page, err := d.addPage()
	if err != nil {
		return err
	}
	d.set(d.pages, fmt.Sprintf("<</Type/Pages/Kids[%v]/Count 1>>", page))
	d.addCatalog(d.addMetadata())
	return nil
}

// addPage adds the page with its one content stream (7.7.3.3, table 30).
func (d *document) addPage() (ref, error) {
	content, err := d.content(d.drawing.Marks)
	if err != nil {
		return 0, err
	}
	stream, err := d.addStream("", content)
	if err != nil {
		return 0, err
	}
	width, height := number(d.drawing.Width), number(d.drawing.Height)
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
