package testpdf

import (
	"fmt"
	"slices"
	"strings"
)

// writer writes the content of one stream, an operator or an inline image a
// line.
type writer struct {
	*generator
	lines []string
	depth int      // nesting of sections, q and text
	forms []string // forms that may be called
	form  bool     // the content of a form
	mcid  int
}

func (w *writer) op(format string, args ...any) {
	w.lines = append(w.lines, fmt.Sprintf(format, args...))
}

// items writes so many pieces of content.
func (w *writer) items(n int) {
	for range n {
		w.item()
	}
}

// item writes one piece of content; q and Q are balanced over each.
func (w *writer) item() {
	kinds := []struct {
		weight int
		write  func()
	}{
		{30, w.path}, {14, w.setColour}, {8, w.setLine}, {4, w.transform}, {4, w.setState},
		{22, w.section}, {5, w.neutral}, {8, w.saved}, {7, w.straddle}, {4, w.openPath},
		{14, w.text}, {9, w.do}, {4, w.inlineImage}, {4, w.shade}, {4, w.clip}, {2, w.odd},
	}
	total := 0
	for _, k := range kinds {
		total += k.weight
	}
	n := w.IntN(total)
	for _, k := range kinds {
		if n -= k.weight; n < 0 {
			k.write()
			return
		}
	}
}

// colour is n components.
func (w *writer) colour(n int) string {
	var out []string
	for range n {
		out = append(out, []string{"0", ".2", "0.45", "0.7", "1", ".95"}[w.IntN(6)])
	}
	return strings.Join(out, " ")
}

// coordinate is a place on the page in one of the spellings of numbers.
func (w *writer) coordinate() string {
	n := 15 + w.IntN(260)
	return fmt.Sprintf([]string{"%d", "%d.5", "%d.250", "+%d", "%d."}[w.IntN(5)], n)
}

var painters = []string{"f", "f", "f*", "S", "s", "B", "b*", "F"}

func (w *writer) path() {
	w.outline()
	w.op("%s", painters[w.IntN(len(painters))])
}

// outline constructs a small path.
func (w *writer) outline() {
	x, y := 15+w.IntN(240), 15+w.IntN(240)
	a, b := 8+w.IntN(50), 8+w.IntN(50)
	switch w.IntN(4) {
	case 0, 1:
		w.op("%d %d %d %d re", x, y, a, b)
	case 2:
		w.op("%d %d m %d %d l %d.5 %d l h", x, y, x+a, y+b/2, x+a/2, y+b)
	case 3:
		w.op("%d %d m %d %d %d %d %d %d c %d %d %d %d v", x, y, x, y+b, x+a, y+b, x+a, y, x+a, y-b/2, x, y)
	}
}

func (w *writer) setColour() {
	switch w.IntN(8) {
	case 0, 1, 2:
		w.op("%s rg", w.colour(3))
	case 3:
		w.op("%s RG", w.colour(3))
	case 4:
		w.op("%s g", w.colour(1))
	case 5:
		w.op("%s k", w.colour(4))
	case 6:
		w.op("/C0 cs %s sc", w.colour(1))
	case 7:
		w.op("/Pattern cs /%s scn", w.any("Pattern"))
	}
}

func (w *writer) setLine() {
	w.op("%s", []string{"3 w", "2.5 w", "6 w", "[6 4] 0 d", "[] 0 d", "[2 1 5] 1 d", "1 J", "0 J 2 j", "1 j 4 w"}[w.IntN(9)])
}

func (w *writer) transform() {
	w.op("%s cm", []string{
		"1 0 0 1 12 -7", "1 0 0 1 -9.5 8", ".96 .1 -.1 .96 8 -6", ".9 0 0 .9 10 10", "1.05 0 0 1.05 -5 -5", "1 0 .1 1 -10 0",
	}[w.IntN(6)])
}

func (w *writer) setState() {
	n := w.any("ExtGState")
	if n == "" {
		return
	}
	if n[0] == 'M' {
		w.use(FeatureSoftMaskHidden)
	} else if !w.opt.Opaque {
		w.use(FeatureAlpha)
	}
	w.op("/%s gs", n)
}

// begin opens a section of a random layer.
func (w *writer) begin() {
	w.use(FeatureMarkedContent)
	tag := "/OC"
	if w.chance(5) {
		tag = "/O#43"
	}
	w.op("%s /%s BDC", tag, w.any("Properties"))
}

func (w *writer) section() {
	if w.depth >= 4 {
		w.path()
		return
	}
	if w.depth > 0 {
		w.use(FeatureNested)
	}
	w.begin()
	w.inside(2 + w.IntN(4))
	w.op("EMC")
}

// inside writes content one level down; what it sets stays set behind it.
func (w *writer) inside(n int) {
	w.use(FeatureHiddenState)
	w.depth++
	w.items(n)
	w.depth--
}

// neutral is a marked section that is no layer.
func (w *writer) neutral() {
	if w.depth >= 4 {
		return
	}
	w.use(FeatureNeutral)
	w.mcid++
	w.op("%s", []string{"/Artifact BMC", "/Span <</Lang (en)>> BDC", fmt.Sprintf("/P <</MCID %d>> BDC", w.mcid), "/Span /L0 BDC", "/OC BMC"}[w.IntN(5)])
	w.inside(1 + w.IntN(3))
	w.op("EMC")
}

func (w *writer) saved() {
	if w.depth >= 4 {
		return
	}
	w.op("q")
	w.inside(2 + w.IntN(3))
	w.op("Q")
}

// straddle opens q on one side of a section border and closes it on another.
func (w *writer) straddle() {
	if w.depth >= 3 {
		return
	}
	w.use(FeatureStraddle)
	w.use(FeatureMarkedContent)
	steps := [][]string{
		{"BDC", "q", "EMC", "Q"},
		{"q", "BDC", "Q", "EMC"},
		{"BDC", "q", "EMC", "BDC", "Q", "EMC"},
		{"q", "BDC", "q", "EMC", "Q", "BDC", "Q", "EMC"},
	}[w.IntN(4)]
	for _, s := range steps {
		if s == "BDC" {
			w.begin()
		} else {
			w.op("%s", s)
		}
		w.inside(1 + w.IntN(2))
	}
}

// openPath is a path with a section border inside.
func (w *writer) openPath() {
	x, y := 20+w.IntN(200), 20+w.IntN(200)
	w.op("%d %d m %d %d l", x, y, x+40, y)
	w.begin()
	w.op("%d %d l", x+40, y+30)
	if w.chance(50) {
		w.op("EMC")
		w.op("%d %d l b", x, y+40)
	} else {
		w.op("%d %d l B", x, y+40)
		w.op("EMC")
	}
}

// clip narrows the clip, mostly for the rest of its q only, sometimes with a
// painting operator.
func (w *writer) clip() {
	keep := w.chance(70) && w.depth < 4
	if keep {
		w.op("q")
	}
	x, y := 10+w.IntN(60), 10+w.IntN(60)
	w.op("%d %d %d %d re", x, y, 150+w.IntN(100), 150+w.IntN(100))
	if w.depth > 0 {
		w.use(FeatureHiddenClip)
	}
	if w.chance(30) {
		w.use(FeatureClipPaint)
		w.op("%s", []string{"W S", "W* s", "W B*", "W f"}[w.IntN(4)])
	} else {
		w.op("%s", []string{"W n", "W* n"}[w.IntN(2)])
	}
	if keep {
		w.inside(3)
		w.op("Q")
	}
}

func (w *writer) do() {
	names := append(w.names("XObject", "Im"), w.forms...)
	n := names[w.IntN(len(names))]
	if slices.Contains(w.forms, n) {
		w.use(FeatureForm)
		if w.form {
			w.use(FeatureFormNested)
		}
		w.op("q .%d 0 0 .%d %s %s cm", 4+w.IntN(5), 4+w.IntN(5), w.coordinate(), w.coordinate())
	} else {
		w.use(FeatureImage)
		w.op("q %d 0 %d %d %s %s cm", 20+w.IntN(40), w.IntN(9), 20+w.IntN(40), w.coordinate(), w.coordinate())
	}
	w.op("/%s Do", n)
	w.op("Q")
}

// inlineImage is 4 by 4 grey pixels, in whose data EI may stand.
func (w *writer) inlineImage() {
	w.use(FeatureInlineImage)
	data := w.noise(16)
	if w.chance(50) {
		w.use(FeatureInlineEI)
		data = data[:5] + " EI " + data[9:]
	}
	w.op("q %d 0 0 %d %s %s cm", 15+w.IntN(30), 15+w.IntN(30), w.coordinate(), w.coordinate())
	w.op("BI /W 4 /H 4 /CS /G /BPC 8 ID %s\nEI", data)
	w.op("Q")
}

func (w *writer) shade() {
	w.use(FeatureShading)
	w.op("q %s %s %d %d re W n", w.coordinate(), w.coordinate(), 20+w.IntN(40), 20+w.IntN(40))
	w.op("/%s sh", w.any("Shading"))
	w.op("Q")
}

// odd writes what is malformed but read alike by all.
func (w *writer) odd() {
	switch {
	case w.opt.Everything && w.chance(40):
		w.use(FeatureUnknownProperty)
		w.op("/OC /Nowhere BDC")
		w.inside(1)
		w.op("EMC")
	case w.opt.Everything && w.chance(20):
		w.use(FeatureFewOperands)
		w.op("/Span 3 BDC")
		w.op("EMC")
	case w.depth == 0:
		w.use(FeatureExtraEMC)
		w.op("EMC")
	}
}

// ends closes the content, sometimes leaving a section open. An open section
// of a page reaches its annotations in some renderers, that of a form its
// caller.
func (w *writer) ends(close bool) {
	if close && !w.opt.Everything || w.chance(75) {
		return
	}
	if close && !w.form {
		return
	}
	w.use(FeatureUnclosed)
	if w.form {
		w.use(FeatureFormUnclosed)
	}
	w.begin()
	w.items(2)
}

// text writes a text object, in some cases with a section border across its
// beginning or end.
func (w *writer) text() {
	if w.depth >= 4 {
		return
	}
	w.use(FeatureText)
	crossing := w.IntN(8)
	if crossing == 0 {
		w.use(FeatureTextCrossing)
		w.begin()
	}
	w.op("BT /%s %d Tf %s %s Td", w.any("Font"), 9+w.IntN(12), w.coordinate(), w.coordinate())
	if w.opt.Everything && w.chance(30) {
		w.use(FeaturePatternText)
	} else {
		w.op("%s rg", w.colour(3))
	}
	w.pieces(1 + w.IntN(3))
	switch crossing {
	case 0:
		w.op("EMC")
		w.pieces(2)
	case 1:
		w.use(FeatureTextCrossing)
		w.begin()
		w.pieces(2)
	}
	w.op("ET")
	if crossing == 1 {
		w.inside(1)
		w.op("EMC")
	}
}

// pieces writes parts of a text object.
func (w *writer) pieces(n int) {
	for range n {
		w.piece()
	}
}

func (w *writer) piece() {
	switch w.IntN(12) {
	case 0, 1, 2, 3:
		w.show()
	case 4, 5, 6:
		w.hiddenText()
	case 7:
		w.place()
	case 8, 9:
		w.textState()
	case 10:
		w.op("%s rg", w.colour(3))
	case 11:
		w.op("/%s %d Tf", w.any("Font"), 8+w.IntN(12))
		w.show()
	}
}

var words = []string{"Wave", "cut on fold", "grain", "A V A", "two (2)", "38", "seam 1.5 cm", "notch", "To fit"}

// literal is a word as a string in one of its spellings.
func (w *writer) literal() string {
	word := words[w.IntN(len(words))]
	if w.chance(25) {
		return fmt.Sprintf("<%X>", word)
	}
	return "(" + escape(word) + ")"
}

func (w *writer) show() {
	switch w.IntN(7) {
	case 0, 1, 2:
		w.op("%s Tj", w.literal())
	case 3, 4:
		w.op("[%s %d %s -%d.5 %s] TJ", w.literal(), 20+w.IntN(300), w.literal(), w.IntN(900), w.literal())
	case 5:
		w.op("%s '", w.literal())
	case 6:
		w.op("%d .%d %s \"", w.IntN(4), w.IntN(9), w.literal())
	}
}

// hiddenText is a section inside a text object, with text behind it that
// begins where the text in the section ended.
func (w *writer) hiddenText() {
	if w.depth >= 4 {
		w.show()
		return
	}
	w.use(FeatureHiddenAdvance)
	w.begin()
	w.depth++
	w.pieces(1 + w.IntN(3))
	w.show()
	w.depth--
	w.op("EMC")
	w.show()
}

func (w *writer) place() {
	switch w.IntN(5) {
	case 0:
		w.op("%d -%d Td", w.IntN(20), 8+w.IntN(12))
	case 1:
		w.op("0 -%d TD", 8+w.IntN(12))
	case 2:
		w.op("T*")
	case 3:
		w.op("1 0 0 1 %s %s Tm", w.coordinate(), w.coordinate())
	case 4:
		w.op(".9 .3 -.3 .9 %s %s Tm", w.coordinate(), w.coordinate())
	}
}

func (w *writer) textState() {
	w.use(FeatureTextState)
	if w.opt.Everything && w.chance(8) {
		w.use(FeatureTextClip)
		w.op("7 Tr")
		return
	}
	w.op("%s", []string{
		"1.5 Tc", "0 Tc", "-.3 Tc", "4 Tw", "0 Tw", "80 Tz", "120 Tz", "100 Tz", "3 Ts", "0 Ts", "-2 Ts",
		"12 TL", "15.5 TL", "0 Tr", "1 Tr", "2 Tr", "0 Tr",
	}[w.IntN(17)])
}
