package testpdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// makeMemberships adds properties that are membership dictionaries: of
// several groups with every policy, and with expressions.
func (g *generator) makeMemberships() {
	for range 2 + g.IntN(4) {
		body := g.membership()
		if g.chance(30) {
			g.use(FeatureDirectOCMD)
			g.resource("Properties", "L", body)
			continue
		}
		g.resource("Properties", "L", g.add(body))
	}
}

var policies = []string{"AllOn", "AnyOn", "AnyOff", "AllOff"}

func (g *generator) membership() string {
	if g.opt.Everything && g.chance(20) {
		g.use(FeatureMembershipEmpty)
		return []string{"<</Type /OCMD>>", "<</Type /OCMD /OCGs [] /P /AnyOff>>", "<</Type /OCMD /OCGs [null] /P /AllOn>>"}[g.IntN(3)]
	}
	if g.opt.Everything && g.chance(20) {
		g.use(FeatureMembershipOne)
		return fmt.Sprintf("<</Type /OCMD /OCGs %s /P /%s>>", g.group(), policies[g.IntN(4)])
	}
	if g.chance(40) {
		g.use(FeatureExpression)
		return "<</Type /OCMD /VE " + g.expression(0) + ">>"
	}
	g.use(FeatureMembership)
	var refs []string
	for range 1 + g.IntN(3) {
		refs = append(refs, g.group())
	}
	return fmt.Sprintf("<</Type /OCMD /OCGs [%s] /P /%s>>", strings.Join(refs, " "), policies[g.IntN(4)])
}

func (g *generator) group() string { return fmt.Sprintf("%d 0 R", g.groups[g.IntN(len(g.groups))]) }

func (g *generator) expression(depth int) string {
	operand := func() string {
		if depth < 3 && g.chance(40) {
			return g.expression(depth + 1)
		}
		return g.group()
	}
	switch g.IntN(3) {
	case 0:
		return "[/Not " + operand() + "]"
	case 1:
		return "[/And " + operand() + " " + operand() + "]"
	}
	return "[/Or " + operand() + " " + operand() + " " + operand() + "]"
}

func (g *generator) makeFonts() {
	g.resource("Font", "F", g.add(helvetica))
	if g.chance(35) {
		g.use(FeatureTrueType)
		g.resource("Font", "F", g.trueType())
	}
	if g.opt.Everything && g.chance(30) {
		g.use(FeatureType3)
		g.makeType3()
	}
}

// goFont is the font file, compressed, and the widths of the characters 32 to
// 126 in thousandths.
var goFont = sync.OnceValues(func() (string, string) {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	_, _ = z.Write(goregular.TTF) // a buffer does not fail
	_ = z.Close()
	f, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		panic(err) // the font is part of the program
	}
	var widths []string
	for r := rune(32); r <= 126; r++ {
		var buf sfnt.Buffer
		index, _ := f.GlyphIndex(&buf, r)
		advance, _ := f.GlyphAdvance(&buf, index, fixed.I(1000), font.HintingNone)
		widths = append(widths, fmt.Sprint(advance.Round()))
	}
	return b.String(), strings.Join(widths, " ")
})

func (g *generator) trueType() string {
	data, widths := goFont()
	file := g.addStream(fmt.Sprintf("/Filter /FlateDecode /Length1 %d", len(goregular.TTF)), data)
	descriptor := g.add("<</Type /FontDescriptor /FontName /Go /Flags 32 /FontBBox [-440 -432 2160 1283]" +
		" /ItalicAngle 0 /Ascent 944 /Descent -212 /CapHeight 730 /StemV 80 /FontFile2 " + file + ">>")
	return g.add("<</Type /Font /Subtype /TrueType /BaseFont /Go /Encoding /WinAnsiEncoding /FirstChar 32 /LastChar 126" +
		" /Widths [" + widths + "] /FontDescriptor " + descriptor + ">>")
}

// makeType3 adds a font whose glyph b is in a layer; its resources are the
// page's.
func (g *generator) makeType3() {
	a := g.addStream("", "1000 0 d0 0 0 700 700 re f")
	b := g.addStream("", "1000 0 d0 /OC /L0 BDC 0 0 350 700 re f EMC 500 0 200 200 re f")
	g.resource("Font", "T", g.add(fmt.Sprintf("<</Type /Font /Subtype /Type3 /FontMatrix [.001 0 0 .001 0 0] /FontBBox [0 0 1000 1000]"+
		" /CharProcs <</a %s /b %s>> /Encoding <</Type /Encoding /Differences [97 /a /b]>> /FirstChar 97 /LastChar 98"+
		" /Widths [1000 1000] /Resources <</Properties <</L0 %s>>>>>>", a, b, g.group())))
}

// makeStates adds graphics state dictionaries.
func (g *generator) makeStates() {
	bodies := []string{"/ca .5 /CA .7", "/LW 4 /LC 1", "/CA 1 /ca 1", "/D [[6 3] 0] /LJ 1", "/BM /Multiply", "/BM /Normal /ca .8"}
	if g.opt.Opaque {
		bodies = []string{"/LW 4 /LC 1", "/D [[6 3] 0] /LJ 1", "/ML 4", "/LW 2 /LJ 2"}
	}
	for _, body := range bodies {
		if g.chance(60) {
			g.resource("ExtGState", "G", "<</Type /ExtGState "+body+">>")
		}
	}
	if g.opt.Everything && g.chance(30) {
		mask := g.addStream("/Type /XObject /Subtype /Form /BBox [0 0 300 300] /Group <</S /Transparency /CS /DeviceGray>>",
			".8 g 40 40 220 220 re f")
		g.resource("ExtGState", "M", "<</SMask <</S /Luminosity /G "+mask+">>>>")
	}
}

// makePaints adds shadings, patterns and a separation colour space.
func (g *generator) makePaints() {
	function := "<</FunctionType 2 /Domain [0 1] /C0 [%s] /C1 [%s] /N 1>>"
	w := &writer{generator: g}
	for range 1 + g.IntN(2) {
		g.resource("Shading", "S", g.add(fmt.Sprintf("<</ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 %d %d] /Function %s /Extend [true true]>>",
			100+g.IntN(200), 100+g.IntN(200), fmt.Sprintf(function, w.colour(3), w.colour(3)))))
	}
	g.resource("ColorSpace", "C", "[/Separation /Ochre /DeviceRGB "+fmt.Sprintf(function, "1 1 1", ".8 .5 .1")+"]")
	cell, oc := "3 3 6 6 re f", ""
	if g.opt.Everything && g.chance(30) {
		g.use(FeaturePatternOC)
		cell, oc = "/OC /L0 BDC 3 3 6 6 re f EMC 8 8 4 4 re f", "/Properties <</L0 "+g.group()+">>"
	}
	g.resource("Pattern", "P", g.addStream("/Type /Pattern /PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 12 12]"+
		" /XStep 12 /YStep 12 /Resources <<"+oc+">>", w.colour(3)+" rg "+cell))
	g.resource("Pattern", "P", "<</Type /Pattern /PatternType 2 /Shading "+g.resources["Shading"]["S0"]+">>")
}

// makeImages adds small images, some in layers, and a stencil.
func (g *generator) makeImages() {
	for i := range 3 {
		oc := ""
		if i > 0 {
			g.use(FeatureImageOC)
			oc = " /OC " + g.resources["Properties"][g.any("Properties")]
		}
		if i == 2 {
			g.resource("XObject", "Im", g.addStream("/Type /XObject /Subtype /Image /Width 8 /Height 8 /ImageMask true /BitsPerComponent 1"+oc,
				g.noise(8)))
			continue
		}
		g.resource("XObject", "Im", g.addStream("/Type /XObject /Subtype /Image /Width 4 /Height 4 /ColorSpace /DeviceRGB /BitsPerComponent 8"+oc,
			g.noise(48)))
	}
}

// noise is random bytes.
func (g *generator) noise(n int) string {
	out := make([]byte, n)
	for i := range out {
		out[i] = byte(g.IntN(256))
	}
	return string(out)
}

// makeForms adds forms, each of which may call those made before it.
func (g *generator) makeForms() {
	for range 2 + g.IntN(4) {
		w := &writer{generator: g, depth: 1, forms: g.names("XObject", "Fm"), form: true}
		w.op("%s rg", w.colour(3))
		if g.opt.Everything && g.chance(30) {
			g.use(FeatureFormTextState)
		} else {
			w.op("9 TL 100 Tz 0 Ts")
		}
		w.items(4 + g.IntN(5))
		w.ends(true)
		entries := "/Type /XObject /Subtype /Form /BBox [0 0 300 300]"
		if g.chance(40) {
			g.use(FeatureFormOC)
			entries += " /OC " + g.resources["Properties"][g.any("Properties")]
		}
		if g.chance(30) && !g.opt.Opaque {
			entries += " /Group <</S /Transparency /I true>>"
		}
		if g.chance(70) {
			entries += " /Resources " + g.dictionary(g.shuffled())
		} else {
			g.use(FeatureFormInherits)
		}
		g.resource("XObject", "Fm", g.addStream(entries, strings.Join(w.lines, "\n")))
	}
}

// shuffled is the resources so far with the properties exchanged, so that a
// name means one thing in a form and another on the page.
func (g *generator) shuffled() map[string]map[string]string {
	out := maps.Clone(g.resources)
	if g.chance(50) {
		return out
	}
	names := slices.Sorted(maps.Keys(out["Properties"]))
	properties := map[string]string{}
	for i, k := range rand.New(g.Rand).Perm(len(names)) {
		properties[names[i]] = out["Properties"][names[k]]
	}
	out["Properties"] = properties
	return out
}
