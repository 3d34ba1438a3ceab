package testpdf

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
)

// Wild makes a document of content that no program would write: brackets of
// all kinds open and close anywhere, across content streams too, operators
// stand where they may not, tokens touch, and every kind of resource is drawn
// from every kind of stream. Renderers differ on much of it; it is for
// comparing by a reading of the standard. The same seed gives the same bytes.
func Wild(seed uint64) RandomDoc {
	g := &wild{clips: int(seed % 2), generator: &generator{
		Rand: rand.New(rand.NewPCG(seed, 0x71D0)), // any constant does
		opt:  RandomOptions{Everything: true}, features: map[string]bool{}, next: 3, resources: map[string]map[string]string{},
	}}
	g.makeGroups()
	g.makeMemberships()
	g.resource("Properties", "N", "<</MCID 3 /ActualText (word)>>")
	g.fonts()
	g.paints()
	g.images()
	for i := range 6 {
		g.drawing(i)
	}
	pages := 1 + g.IntN(3)
	var kids []string
	shared := g.add(g.dictionary(g.resources))
	for range pages {
		kids = append(kids, g.page(shared))
	}
	g.objects = append(g.objects, Obj(2, fmt.Sprintf("<</Type /Pages /Count %d /Kids [%s] /MediaBox [0 0 300 300] /Resources %s>>",
		pages, strings.Join(kids, " "), shared)))
	g.makeCatalog()
	layout := Layout{ObjectStreams: g.chance(40), Compress: g.chance(50)}
	return RandomDoc{Bytes: BuildObjects(g.objects, layout), Groups: g.groups, Features: slices.Sorted(maps.Keys(g.features)), Pages: pages}
}

type wild struct {
	*generator
	clips int // 1 where text may clip
}

// page is a page whose contents are cut between any two operators.
func (g *wild) page(shared string) string {
	entries := ""
	if g.chance(50) {
		entries = "/Resources " + shared
	}
	if g.chance(30) {
		entries += fmt.Sprintf(" /Rotate %d /UserUnit 2", 90*g.IntN(4))
	}
	ops := g.content(60 + g.IntN(120))
	var refs []string
	for len(ops) > 0 {
		n := min(1+g.IntN(60), len(ops))
		refs = append(refs, g.addStream("", g.join(ops[:n])))
		ops = ops[n:]
	}
	return g.add(fmt.Sprintf("<</Type /Page /Parent 2 0 R %s /Contents [%s]>>", entries, strings.Join(refs, " ")))
}

// join puts operators together, now and then with a comment between.
func (g *wild) join(ops []string) string {
	var b strings.Builder
	for _, op := range ops {
		b.WriteString(op)
		b.WriteString([]string{"\n", " ", "\r\n", " % EMC Q (\n", "\t"}[g.IntN(5)])
	}
	return b.String()
}

// drawing adds a form, and a pattern, glyphs or a soft mask made of content.
func (g *wild) drawing(i int) {
	entries := "/Type /XObject /Subtype /Form /BBox [-50 -50 300 300]"
	if g.chance(40) {
		entries += " /OC " + g.resources["Properties"][g.any("Properties")]
	}
	if g.chance(30) {
		entries += " /Matrix [.9 .1 0 1 5 -5]"
	}
	if g.chance(30) {
		entries += " /Group <</S /Transparency /CS /DeviceRGB>>"
	}
	g.resource("XObject", "X", g.addStream(entries+g.some(60), g.join(g.content(10+g.IntN(25)))))
	switch i {
	case 1, 3:
		mask := g.addStream("/Type /XObject /Subtype /Form /BBox [0 0 300 300] /Group <</S /Transparency /CS /DeviceGray>>"+g.some(60), g.join(g.content(8)))
		g.resource("ExtGState", "M", g.add("<</SMask <</S /Luminosity /G "+mask+">> "+[]string{"", "/LW 5", "/Font [29 0 R 7]"}[g.IntN(2)]+">>"))
	case 2, 4:
		g.resource("Pattern", "P", g.addStream("/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 50 50] /XStep 50 /YStep 50"+
			g.some(60), g.join(g.content(8))))
	case 5:
		a, b := g.addStream("", "1000 0 d0 "+g.join(g.content(6))), g.addStream("", "800 0 0 0 700 700 d1 "+g.join(g.content(6)))
		g.resource("Font", "T", g.add(fmt.Sprintf("<</Type /Font /Subtype /Type3 /FontMatrix [.001 0 0 .001 0 0] /FontBBox [0 0 1000 1000]"+
			" /CharProcs <</a %s /b %s>> /Encoding <</Type /Encoding /Differences [97 /a /b]>> /FirstChar 97 /LastChar 98"+
			" /Widths [1000 800]%s>>", a, b, g.some(50))))
	}
}

// some is a resource dictionary in so many cases of a hundred, with the
// properties exchanged in some, and nothing in others.
func (g *wild) some(percent int) string {
	if !g.chance(percent) {
		return ""
	}
	return " /Resources " + g.dictionary(g.shuffled())
}

func (g *wild) fonts() {
	g.resource("Font", "F", g.add(helvetica))
	for _, writing := range []string{"H", "V"} {
		inner := g.add("<</Type /Font /Subtype /CIDFontType2 /BaseFont /Wild /CIDSystemInfo <</Registry (Adobe) /Ordering (Identity) /Supplement 0>>" +
			" /DW 650 /DW2 [880 -900]>>")
		g.resource("Font", "F", g.add("<</Type /Font /Subtype /Type0 /BaseFont /Wild /Encoding /Identity-"+writing+" /DescendantFonts ["+inner+"]>>"))
	}
	descriptor := g.add("<</Type /FontDescriptor /FontName /Few /Flags 32 /MissingWidth 432>>")
	g.resource("Font", "F", g.add("<</Type /Font /Subtype /TrueType /BaseFont /Few /FirstChar 97 /LastChar 99 /Widths [500 333.5 250] /FontDescriptor "+descriptor+">>"))
}

func (g *wild) paints() {
	for _, body := range []string{"/ca .5 /CA .7", "/LW 4 /LC 1", "/D [[6 3] 1] /LJ 1 /ML 3", "/BM /Multiply", "/SMask /None", "/OP true", "/op true /OPM 1",
		"/Font [" + g.resources["Font"]["F0"] + " 11]", "/Unheard 3 /LW 2", "/AIS true /SA true", "/RI /Saturation /FL 3"} {
		g.resource("ExtGState", "G", "<</Type /ExtGState "+body+">>")
	}
	function := "<</FunctionType 2 /Domain [0 1] /C0 [1 1 1] /C1 [.8 .5 .1] /N 1>>"
	g.resource("Shading", "S", g.add("<</ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 200 100] /Function "+function+">>"))
	g.resource("ColorSpace", "C", "[/Separation /Ochre /DeviceRGB "+function+"]")
	g.resource("ColorSpace", "C", "[/Pattern /DeviceRGB]")
	g.resource("Pattern", "P", "<</Type /Pattern /PatternType 2 /Shading "+g.resources["Shading"]["S0"]+">>")
	g.resource("Pattern", "P", g.addStream("/Type /Pattern /PatternType 1 /PaintType 2 /TilingType 1 /BBox [0 0 12 12] /XStep 12 /YStep 12 /Resources <<>>", "3 3 6 6 re f"))
}

func (g *wild) images() {
	g.makeImages()
	mask := g.addStream("/Type /XObject /Subtype /Image /Width 4 /Height 4 /ColorSpace /DeviceGray /BitsPerComponent 8 /OC "+
		g.resources["Properties"][g.any("Properties")], g.noise(16))
	other := g.addStream("/Type /XObject /Subtype /Image /Width 4 /Height 4 /ColorSpace /DeviceGray /BitsPerComponent 8", g.noise(16))
	g.resource("XObject", "Im", g.addStream("/Type /XObject /Subtype /Image /Width 4 /Height 4 /ColorSpace /DeviceRGB /BitsPerComponent 8 /SMask "+mask+
		" /Alternates [<</Image "+other+" /DefaultForPrinting true>>]", g.noise(48)))
}
