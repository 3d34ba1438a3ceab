package testpdf

import "fmt"

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
