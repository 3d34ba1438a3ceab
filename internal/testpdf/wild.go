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

// content is so many operators, mostly in groups that make sense, with others
// strewn in.
func (g *wild) content(n int) []string {
	var ops []string
	for len(ops) < n {
		ops = append(ops, g.phrase()...)
		if g.chance(25) {
			ops = append(ops, g.bracket())
		}
	}
	return ops
}

// bracket opens or closes something, whatever is open.
func (g *wild) bracket() string {
	return []string{
		"q", "q", "Q", "Q", g.section(), g.section(), g.section(), "EMC", "EMC", "EMC", "EMC", "BX", "EX",
		"/T BMC", "/Span <</Lang (EMC) /A [1 (]) <<>>]>> BDC", "/OC <</Type /OCG /Name (x)>> BDC", "/OC /None BDC", "/OC BMC", "/P /N0 BDC",
		"/Span <</MCID 4 /ActualText (Q)>> BDC", "/Span /L0 BDC",
	}[g.IntN(20)]
}

func (g *wild) section() string {
	n := g.any("Properties")
	return []string{"/OC /" + n + " BDC", "/OC/" + n + " BDC", "/#4fC /" + n + " BDC", "3 (x) /OC /" + n + " BDC"}[g.IntN(4)]
}

func (g *wild) value() string {
	return fmt.Sprintf([]string{"%d", "%d.5", "+%d", "%d.", "%d.25", "-%d", "0%d"}[g.IntN(7)], g.IntN(200))
}

func (g *wild) point() string { return g.value() + " " + g.value() }

// phrase is some operators that belong together.
func (g *wild) phrase() []string {
	switch g.IntN(16) {
	case 0, 1, 2:
		return g.figure()
	case 3, 4, 5:
		return g.lines()
	case 6, 7:
		return []string{g.setter()}
	case 8:
		return []string{"/" + g.any("XObject") + " Do"}
	case 9:
		return []string{"/" + g.any("XObject") + " Do", "/S0 sh"}[:1+g.IntN(2)]
	case 10:
		return []string{g.inline()}
	case 11:
		return []string{"/" + g.any("ExtGState") + " gs"}
	case 12:
		return append(append([]string{g.section()}, g.figure()...), "EMC")
	case 13:
		return append(append([]string{g.section()}, g.lines()...), "EMC")
	case 14:
		return []string{"q", g.transform(), g.setter(), "/" + g.any("XObject") + " Do", "Q"}
	}
	return []string{[]string{"1 zz", "/T MP", "/OC /L1 DP", "/OC /N0 DP", "/T /L2 DP", "sh", "Do", "(a) ]", "0 0 0 0 0 0 0 w", "Tf", "rg"}[g.IntN(9)]}
}

func (g *wild) transform() string {
	return []string{"1 0 0 1 12 -7 cm", ".5 0 0 .5 30 30 cm", "0 1 -1 0 200 0 cm", ".9 .1 -.1 .9 0 0cm"}[g.IntN(4)]
}

// figure is a path, with anything between its parts.
func (g *wild) figure() []string {
	ops := []string{[]string{g.point() + " m", g.point() + " " + g.point() + " re"}[g.IntN(2)]}
	for range g.IntN(5) {
		ops = append(ops, []string{
			g.point() + " l", g.point() + " " + g.point() + " " + g.point() + " c", g.point() + " " + g.point() + " v", g.point() + " " + g.point() + " y",
			"h", g.point() + " " + g.point() + " re", g.point() + " m", g.point() + "l " + g.point() + "l",
		}[g.IntN(8)])
		if g.chance(15) {
			ops = append(ops, []string{g.bracket(), g.setter(), g.transform(), "W", "/G0 gs"}[g.IntN(5)])
		}
	}
	if g.chance(25) {
		ops = append(ops, []string{"W", "W*"}[g.IntN(2)])
	}
	if g.chance(15) {
		ops = append(ops, g.bracket())
	}
	return append(ops, []string{"f", "F", "f*", "S", "s", "B", "B*", "b", "b*", "n", "n"}[g.IntN(11)])
}

func (g *wild) setter() string {
	return []string{
		"1 0 0 rg", "0 .5 0RG", ".3 g", ".2 G", "0 1 0 0 k", "1 0 1 0 K", "/C0 cs", "/C0 cs .4 sc", "/C0 CS .7 SCN", "/Pattern cs /P0 scn", "/C1 cs 1 0 .5 /P1 scn",
		"/C1 CS 0 0 1 /P1 SCN", "/DeviceRGB cs .1 .2 .3 sc", "/Pattern CS /" + g.any("Pattern") + " SCN", "/Pattern cs /" + g.any("Pattern") + " scn",
		"3 w", "1 J", "2 j", "4 M", "[3 1]0 d", "[] 0 d", "/Perceptual ri", "2 i", "0 w", g.transform(), ".6 sc", "/P0 scn",
	}[g.IntN(27)]
}

// lines is a text object. Within one in a clipping mode there is no q, since
// the standard does not say when the glyphs of it clip then.
func (g *wild) lines() []string {
	ops := []string{"BT"}
	if g.chance(70) {
		ops = append(ops, g.font())
	}
	for range 1 + g.IntN(7) {
		ops = append(ops, g.word())
		if g.chance(20) {
			ops = append(ops, []string{g.section(), "EMC", g.setter(), "/T BMC", "q", "Q"}[g.IntN(6-2*g.clips)])
		}
	}
	return append(ops, "ET")
}

func (g *wild) font() string {
	return fmt.Sprintf("/%s %s Tf", g.any("Font"), []string{"10", "7.5", "-8", "0", "12."}[g.IntN(5)])
}

func (g *wild) text() string {
	return []string{"(abab)", "(a b c)", "<00410042>", "(ab\\\nc)", "()", "(a\\(EMC\\) Q)", "<61 6>", "(\\141\\2)", "(ba)"}[g.IntN(9)]
}

func (g *wild) word() string {
	switch g.IntN(14) {
	case 0, 1, 2:
		return g.text() + "Tj"
	case 3, 4:
		return fmt.Sprintf("[%s %d%s -%d.5 %s]TJ", g.text(), g.IntN(500), g.text(), g.IntN(900), g.text())
	case 5:
		return g.text() + " '"
	case 6:
		return fmt.Sprintf("%d .%d %s \"", g.IntN(4), g.IntN(9), g.text())
	case 7:
		return g.point() + " Td"
	case 8:
		return g.point() + " TD"
	case 9:
		return []string{"T*", "1 0 0 1 " + g.point() + " Tm", ".8 .2 -.2 .8 " + g.point() + " Tm"}[g.IntN(3)]
	case 10:
		return g.font()
	case 11:
		return []string{"[-300 20] TJ", "[] TJ", "[(a)[(b)] 3] TJ"}[g.IntN(2)]
	}
	return []string{"1.5 Tc", "0 Tc", "4 Tw", "0 Tw", "80 Tz", "100 Tz", "0 Tz", "-50 Tz", "3 Ts", "0 Ts", "12 TL", "0 Tr", "1 Tr", "2 Tr", "3 Tr", "0 Tr", "7 Tr", "5 Tr", "4 Tr"}[g.IntN(16+3*g.clips)]
}

// inline is an inline image, raw or through a filter, with EI in its data.
func (g *wild) inline() string {
	data := "ab EI Q\nEMC EI c"
	switch g.IntN(5) {
	case 0:
		return "BI /W 4 /H 4 /CS /G /BPC 8 ID " + data + "\nEI"
	case 1:
		return "BI /W 4 /H 4 /CS /C0 /BPC 8 ID " + data + " EI"
	case 2:
		return fmt.Sprintf("BI /W 4 /H 4 /CS /G /BPC 8 /F /AHx ID %X>\nEI", data)
	case 3:
		return "BI /W 4 /H 4 /CS /G /BPC 8 /F [/RL] ID " + string(rune(15)) + data + "\x80\nEI"
	}
	return "BI /W 8 /H 2 /IM true /D [1 0] ID " + strings.Repeat("E", 1) + "I\nEI"
}
