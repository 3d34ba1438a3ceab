package testpdf

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
)

// Ghostscript gives a layered file that another producer has written: the
// pdfwrite device of Ghostscript, from a random PostScript program with
// pdfmarks for the layers (pdfmark reference manual, 2.3 and 4.4, from
// memory). pdfwrite leaves out what the graphics state has already, so that
// sections use what earlier ones have set. The same seed gives the same
// program.
func Ghostscript(seed uint64) ([]byte, error) {
	dir, err := os.MkdirTemp("", "testpdf-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	in, out := filepath.Join(dir, "in.ps"), filepath.Join(dir, "out.pdf")
	if err := os.WriteFile(in, []byte(postScript(seed)), 0o600); err != nil {
		return nil, err
	}
	if err := run("gs", "-q", "-dNOPAUSE", "-dBATCH", "-dSAFER", "-sDEVICE=pdfwrite", "-o", out, in); err != nil {
		return nil, err
	}
	return os.ReadFile(out)
}

// postScript is a program of three to eight layers on one to three pages.
func postScript(seed uint64) string {
	p := &psWriter{Rand: rand.New(rand.NewPCG(seed, 0x6773))}
	p.layers = 3 + p.IntN(6)
	p.line("%%!PS-Adobe-3.0")
	var list strings.Builder
	for i := range p.layers {
		p.line("[/_objdef {layer%d} /type /dict /OBJ pdfmark", i)
		p.line("[{layer%d} <</Type /OCG /Name (Size %d)>> /PUT pdfmark", i, 6+2*i)
		fmt.Fprintf(&list, "{layer%d} ", i)
	}
	p.line("[{Catalog} <</OCProperties <</OCGs [%s] /D <</Order [%s]>>>>>> /PUT pdfmark", list.String(), list.String())
	p.line("<</PageSize [300 300]>> setpagedevice")
	for range 1 + p.IntN(3) {
		p.page()
	}
	return p.text.String()
}

// psWriter writes a random program.
type psWriter struct {
	*rand.Rand
	text   strings.Builder
	layers int
}

func (p *psWriter) line(format string, args ...any) { fmt.Fprintf(&p.text, format+"\n", args...) }

func (p *psWriter) page() {
	for range 6 + p.IntN(14) {
		p.section(0)
	}
	p.line("showpage")
}

// section draws in a layer, now and then in a layer within it, or in none.
func (p *psWriter) section(depth int) {
	layer := p.IntN(p.layers + 1)
	if layer < p.layers {
		p.line("[/OC {layer%d} /BDC pdfmark", layer)
	}
	for range 1 + p.IntN(3) {
		p.mark()
	}
	if depth < 2 && p.IntN(4) == 0 {
		p.section(depth + 1)
		p.mark()
	}
	if layer < p.layers {
		p.line("[/EMC pdfmark")
	}
}

// at is a place on the page.
func (p *psWriter) at() (x, y int) { return 10 + p.IntN(250), 10 + p.IntN(250) }

// mark sets some of the state and draws one thing.
func (p *psWriter) mark() {
	if p.IntN(2) == 0 {
		p.line("%.1f %.1f %.1f setrgbcolor", p.Float64(), p.Float64(), p.Float64())
	}
	if p.IntN(3) == 0 {
		p.line("%d setlinewidth %d setlinecap [%d %d] 0 setdash", 1+p.IntN(6), p.IntN(3), 2+p.IntN(9), 1+p.IntN(5))
	}
	x, y := p.at()
	x2, y2 := p.at()
	switch p.IntN(8) {
	case 0, 1:
		p.line("newpath %d %d moveto %d %d %d %d %d %d curveto stroke", x, y, y2, x2, x, y2, x2, y2)
	case 2:
		p.line("newpath %d %d moveto %d %d lineto %d %d lineto closepath %s", x, y, x2, y, x2, y2, []string{"fill", "eofill", "stroke"}[p.IntN(3)])
	case 3:
		p.line("/%s %d selectfont %d %d moveto (Size %d) show (grade) show", []string{"Helvetica", "Times-Italic", "Courier"}[p.IntN(3)], 8+p.IntN(20), x, y, 2*p.IntN(20))
	case 4:
		p.line("gsave newpath %d %d 40 0 360 arc clip newpath %d %d 60 50 rectfill grestore", x, y, x-20, y-10)
	case 5:
		p.line("gsave %d %d translate 60 40 scale 4 2 8 [4 0 0 2 0 0] {<00406080a0c0e0ff>} image grestore", x, y)
	case 6:
		p.line("gsave %d %d 60 60 rectclip <</ShadingType 2 /ColorSpace /DeviceRGB /Coords [%d %d %d %d] /Extend [true true] /Function <</FunctionType 2 /Domain [0 1] /N 1 /C0 [1 0 0] /C1 [0 .5 1]>>>> shfill grestore", x, y, x, y, x+60, y+60)
	case 7:
		p.line("gsave <</PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 8 8] /XStep 8 /YStep 8 /PaintProc {pop 0 .6 .2 setrgbcolor 1 1 4 4 rectfill}>> matrix makepattern setpattern newpath %d %d 30 0 360 arc fill grestore", x, y)
	}
}
