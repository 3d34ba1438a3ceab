package testpdf

import (
	"bytes"
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// A Nest is a small pattern as a designer may build it: an A4 page with the outlines
// of one piece, each around the next smaller one, and what all sizes share: a text, a
// grainline and a test square. Its writers draw the same with several programs, so
// that who reads them does not rely on the habits of one.
type Nest struct {
	Layers []NestLayer
	// Order replaces the list of layers that viewers show, "" for all in a row.
	Order string
}

// A NestLayer is a layer, or a group of marks in no layer.
type NestLayer struct {
	Name     string // "" for no layer
	Outlines []int  // which outlines it draws, from 0 for the smallest
	Colour   string // of the outlines: "rrggbb", black where there is none
	Dash     string // of the outlines: lengths in mm with spaces between
	Shared   bool   // it draws what all sizes share, in black
	Texts    []NestText
	Off      bool // switched off by default; Build alone
}

// A NestText is a line of text at a place in mm from the lower left corner.
type NestText struct {
	X, Y   float64
	Text   string
	Colour string
}

// The page and the piece, in mm.
const (
	nestWidth, nestHeight = 210.0, 297.0
	nestX, nestY          = 105.0, 170.0 // the middle of all outlines
)

// nestBlack is the colour of what has none of its own.
const nestBlack = "000000"

// NestOutline is the rectangle of an outline, in mm from the lower left corner.
func NestOutline(i int) (x, y, w, h float64) {
	w, h = 60+10*float64(i), 80+12*float64(i)
	return nestX - w/2, nestY - h/2, w, h
}

// nestText, nestSquare and nestGrain are what all sizes share.
var nestText = NestText{X: 20, Y: 40, Text: "Tollmere front, cut 2"}

const (
	nestSquareX, nestSquareY, nestSquare = 140.0, 15.0, 50.0
	nestGrainTop, nestGrainBottom        = 190.0, 150.0
)

// rgb gives the parts of a colour, from 0 to 1.
func rgb(colour string) (r, g, b float64) {
	v, _ := strconv.ParseUint(colour, 16, 32)
	return float64(v>>16) / 255, float64(v>>8&255) / 255, float64(v&255) / 255
}

// nestPen takes what a layer draws: lengths in mm, lines half a millimetre wide.
type nestPen interface {
	style(colour, dash string)
	rectangle(x, y, w, h float64)
	line(x0, y0, x1, y1 float64)
	text(t NestText)
}

// draw draws a layer.
func (l NestLayer) draw(pen nestPen) {
	pen.style(cmp.Or(l.Colour, nestBlack), l.Dash)
	for _, i := range l.Outlines {
		pen.rectangle(NestOutline(i))
	}
	if l.Shared {
		pen.style(nestBlack, "")
		pen.line(nestX, nestGrainBottom, nestX, nestGrainTop)
		pen.rectangle(nestSquareX, nestSquareY, nestSquare, nestSquare)
		pen.text(nestText)
		pen.text(NestText{X: nestSquareX + 5, Y: nestSquareY + 5, Text: "5 cm"})
	}
	for _, t := range l.Texts {
		pen.text(t)
	}
}

// operatorPen writes operators of PDF, or of PostScript, which differ in their words.
type operatorPen struct {
	strings.Builder
	words operatorWords
}

type operatorWords struct{ rectangle, line, colour, dash, width, text string }

var (
	pdfWords = operatorWords{"%s %s %s %s re S\n", "%s %s m %s %s l S\n", "%s %s %s RG %[1]s %[2]s %[3]s rg\n",
		"[%s] 0 d\n", "%s w\n", "BT /F 12 Tf %s %s Td (%s) Tj ET\n"}
	psWords = operatorWords{"%s %s %s %s rectstroke\n", "newpath %s %s moveto %s %s lineto stroke\n", "%s %s %s setrgbcolor\n",
		"[%s] 0 setdash\n", "%s setlinewidth\n", "%s %s moveto (%s) show\n"}
)

// points writes a length in mm as points.
func points(mm float64) string { return strconv.FormatFloat(mm/25.4*72, 'f', 3, 64) }

func (p *operatorPen) style(colour, dash string) {
	r, g, b := rgb(colour)
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', 4, 64) }
	fmt.Fprintf(p, p.words.colour, number(r), number(g), number(b))
	var lengths []string
	for _, mm := range strings.Fields(dash) {
		v, _ := strconv.ParseFloat(mm, 64)
		lengths = append(lengths, points(v))
	}
	fmt.Fprintf(p, p.words.dash, strings.Join(lengths, " "))
	fmt.Fprintf(p, p.words.width, points(0.5))
}

func (p *operatorPen) rectangle(x, y, w, h float64) {
	fmt.Fprintf(p, p.words.rectangle, points(x), points(y), points(w), points(h))
}

func (p *operatorPen) line(x0, y0, x1, y1 float64) {
	fmt.Fprintf(p, p.words.line, points(x0), points(y0), points(x1), points(y1))
}

func (p *operatorPen) text(t NestText) {
	if t.Colour != "" {
		p.style(t.Colour, "")
	}
	fmt.Fprintf(p, p.words.text, points(t.X), points(t.Y), t.Text)
}

// PDF writes the pattern with this package's own builder.
func (n Nest) PDF() []byte {
	d := Doc{Catalog: "/Lang (en)"}
	var page strings.Builder
	var off, list []string
	for _, l := range n.Layers {
		pen := &operatorPen{words: pdfWords}
		l.draw(pen)
		if l.Name == "" {
			page.WriteString(pen.String())
			continue
		}
		ref := fmt.Sprintf("%d 0 R", 5+len(d.Groups))
		if list = append(list, ref); l.Off {
			off = append(off, ref)
		}
		fmt.Fprintf(&page, "/OC /L%d BDC\n%sEMC\n", len(d.Groups), pen.String())
		d.Groups = append(d.Groups, l.Name)
	}
	var properties strings.Builder
	for i := range d.Groups {
		fmt.Fprintf(&properties, "/L%d %d 0 R ", i, 5+i)
	}
	if len(d.Groups) > 0 {
		order := strings.Join(list, " ")
		if n.Order != "" {
			order = n.Order
		}
		d.OCProperties = fmt.Sprintf("<</OCGs [%s] /D <</Order [%s] /OFF [%s]>>>>",
			strings.Join(list, " "), order, strings.Join(off, " "))
	}
	d.Pages = []Page{{
		Content:   page.String(),
		Resources: "<</Properties <<" + properties.String() + ">> /Font <</F <</Type /Font /Subtype /Type1 /BaseFont /Helvetica>>>>>>",
		Entries:   fmt.Sprintf("/MediaBox [0 0 %s %s]", points(nestWidth), points(nestHeight)),
	}}
	return Build(d)
}

// Ghostscript writes the pattern as Ghostscript's pdfwrite does, by pdfmarks.
func (n Nest) Ghostscript() ([]byte, error) {
	var ps, list strings.Builder
	fmt.Fprintf(&ps, "%%!PS-Adobe-3.0\n<</PageSize [%s %s]>> setpagedevice\n", points(nestWidth), points(nestHeight))
	for i, l := range n.Layers {
		if l.Name != "" {
			fmt.Fprintf(&ps, "[/_objdef {layer%d} /type /dict /OBJ pdfmark\n", i)
			fmt.Fprintf(&ps, "[{layer%d} <</Type /OCG /Name (%s)>> /PUT pdfmark\n", i, l.Name)
			fmt.Fprintf(&list, "{layer%d} ", i)
		}
	}
	if list.Len() > 0 {
		fmt.Fprintf(&ps, "[{Catalog} <</OCProperties <</OCGs [%[1]s] /D <</Order [%[1]s]>>>>>> /PUT pdfmark\n", list.String())
	}
	ps.WriteString("/Helvetica findfont 12 scalefont setfont\n")
	for i, l := range n.Layers {
		pen := &operatorPen{words: psWords}
		l.draw(pen)
		if l.Name == "" {
			ps.WriteString(pen.String())
			continue
		}
		fmt.Fprintf(&ps, "[/OC {layer%d} /BDC pdfmark\n%s[/EMC pdfmark\n", i, pen.String())
	}
	ps.WriteString("showpage\n")
	return written(map[string]string{"in.ps": ps.String()}, "gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER",
		"-sDEVICE=pdfwrite", "-o", "out.pdf", "in.ps")
}

// svgPen writes elements of SVG, whose y goes down.
type svgPen struct {
	strings.Builder
	colour, dash string
}

func (p *svgPen) style(colour, dash string) { p.colour, p.dash = colour, dash }

func (p *svgPen) rectangle(x, y, w, h float64) {
	fmt.Fprintf(p, `<rect x="%g" y="%g" width="%g" height="%g" fill="none" stroke="#%s" stroke-width="0.5" stroke-dasharray="%s"/>`+"\n",
		x, nestHeight-y-h, w, h, p.colour, strings.ReplaceAll(p.dash, " ", ","))
}

func (p *svgPen) line(x0, y0, x1, y1 float64) {
	fmt.Fprintf(p, `<path d="M %g %g L %g %g" stroke="#%s" stroke-width="0.5"/>`+"\n",
		x0, nestHeight-y0, x1, nestHeight-y1, p.colour)
}

func (p *svgPen) text(t NestText) {
	if t.Colour != "" {
		p.style(t.Colour, "")
	}
	fmt.Fprintf(p, `<text x="%g" y="%g" font-family="sans-serif" font-size="4.2" fill="#%s">%s</text>`+"\n",
		t.X, nestHeight-t.Y, p.colour, t.Text)
}

// Cairo writes the pattern as cairo does for rsvg-convert: without layers.
func (n Nest) Cairo() ([]byte, error) {
	pen := &svgPen{}
	fmt.Fprintf(pen, `<svg xmlns="http://www.w3.org/2000/svg" width="%[1]gmm" height="%[2]gmm" viewBox="0 0 %[1]g %[2]g">`+"\n",
		nestWidth, nestHeight)
	for _, l := range n.Layers {
		l.draw(pen)
	}
	pen.WriteString("</svg>\n")
	return written(map[string]string{"in.svg": pen.String()}, "rsvg-convert", "--format=pdf", "--output=out.pdf", "in.svg")
}

// texPen writes TikZ.
type texPen struct {
	strings.Builder
	options string
}

func (p *texPen) style(colour, dash string) {
	fmt.Fprintf(p, "\\definecolor{c%s}{HTML}{%s}\n", colour, strings.ToUpper(colour))
	p.options = "draw=c" + colour + ",text=c" + colour + ",line width=0.5mm"
	if f := strings.Fields(dash); len(f) > 0 {
		var pattern []string
		for i, mm := range f {
			pattern = append(pattern, []string{"on ", "off "}[i%2]+mm+"mm")
		}
		p.options += ",dash pattern=" + strings.Join(pattern, " ")
	}
}

func (p *texPen) rectangle(x, y, w, h float64) {
	fmt.Fprintf(p, "\\draw[%s] (%gmm,%gmm) rectangle (%gmm,%gmm);\n", p.options, x, y, x+w, y+h)
}

func (p *texPen) line(x0, y0, x1, y1 float64) {
	fmt.Fprintf(p, "\\draw[%s] (%gmm,%gmm) -- (%gmm,%gmm);\n", p.options, x0, y0, x1, y1)
}

func (p *texPen) text(t NestText) {
	if t.Colour != "" {
		p.style(t.Colour, "")
	}
	fmt.Fprintf(p, "\\node[%s,draw=none,anchor=base west,inner sep=0] at (%gmm,%gmm) {%s};\n", p.options, t.X, t.Y, t.Text)
}

// LaTeX writes the pattern as pdfTeX does, with the layers of the package ocgx2.
func (n Nest) LaTeX() ([]byte, error) {
	var tex strings.Builder
	fmt.Fprintf(&tex, "\\documentclass{article}\n\\usepackage[paperwidth=%gmm,paperheight=%gmm,margin=0mm]{geometry}\n", nestWidth, nestHeight)
	tex.WriteString("\\usepackage{tikz}\n\\usepackage{ocgx2}\n\\pagestyle{empty}\n\\begin{document}\n" +
		"\\begin{tikzpicture}[remember picture,overlay,shift={(current page.south west)}]\n")
	for i, l := range n.Layers {
		pen := &texPen{}
		l.draw(pen)
		if l.Name == "" {
			tex.WriteString(pen.String())
			continue
		}
		fmt.Fprintf(&tex, "\\begin{scope}\n\\begin{ocg}{%s}{layer%d}{1}\n%s\\end{ocg}\n\\end{scope}\n", l.Name, i, pen.String())
	}
	tex.WriteString("\\end{tikzpicture}\n\\end{document}\n")
	in := map[string]string{"out.tex": tex.String()}
	// Twice: the place of the page is known after the first run.
	return written(in, "sh", "-c", "pdflatex -interaction=batchmode out.tex >/dev/null && pdflatex -interaction=batchmode out.tex >/dev/null")
}

// GDAL writes the outlines of the pattern as GDAL's PDF driver does, a layer for each
// source.
func (n Nest) GDAL() ([]byte, error) {
	files := map[string]string{}
	var layers bytes.Buffer
	for i, l := range n.Layers {
		pen := &geoPen{}
		l.draw(pen)
		if l.Shared { // GDAL draws what there is as large as the page allows
			pen.rectangle(0, 0, nestWidth, nestHeight)
		}
		name := fmt.Sprintf("layer%d", i)
		files[name+".json"] = `{"type": "FeatureCollection", "features": [` + strings.TrimSuffix(pen.String(), ",") + "]}"
		fmt.Fprintf(&layers, "<OGRVRTLayer name=%q><SrcDataSource>%s.json</SrcDataSource><SrcLayer>%[2]s</SrcLayer><LayerSRS>NULL</LayerSRS></OGRVRTLayer>\n",
			l.Name, name)
	}
	files["all.vrt"] = "<OGRVRTDataSource>\n" + layers.String() + "</OGRVRTDataSource>\n"
	return written(files, "ogr2ogr", "-f", "PDF", "out.pdf", "all.vrt", "-dsco", "DPI=72", "-dsco", "MARGIN=0", "-q")
}

// geoPen writes features of GeoJSON in points, with a style of OGR each.
type geoPen struct {
	strings.Builder
	ogr string
}

func (p *geoPen) style(colour, dash string) {
	p.ogr = "PEN(c:#" + colour + ",w:0.5mm"
	if f := strings.Fields(dash); len(f) > 0 {
		p.ogr += ",p:\\\"" + strings.Join(f, "mm ") + "mm\\\""
	}
	p.ogr += ")"
}

func (p *geoPen) rectangle(x, y, w, h float64) {
	p.feature([][2]float64{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}})
}

func (p *geoPen) line(x0, y0, x1, y1 float64) { p.feature([][2]float64{{x0, y0}, {x1, y1}}) }

func (p *geoPen) feature(at [][2]float64) {
	var list []string
	for _, c := range at {
		list = append(list, fmt.Sprintf("[%s, %s]", points(c[0]), points(c[1])))
	}
	fmt.Fprintf(p, `{"type": "Feature", "properties": {"OGR_STYLE": "%s"}, "geometry": {"type": "LineString", "coordinates": [%s]}},`,
		p.ogr, strings.Join(list, ", "))
}

func (p *geoPen) text(NestText) {} // needs a font of GDAL's own

// written runs a program in a folder with some files and gives its out.pdf.
func written(files map[string]string, program string, args ...string) ([]byte, error) {
	dir, err := os.MkdirTemp("", "testpdf-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			return nil, err
		}
	}
	if err := runIn(dir, program, args...); err != nil {
		return nil, err
	}
	return os.ReadFile(filepath.Join(dir, "out.pdf"))
}
