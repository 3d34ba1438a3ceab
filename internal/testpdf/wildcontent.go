package testpdf

import (
	"fmt"
	"strings"
)

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
