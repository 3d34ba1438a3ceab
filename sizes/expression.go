package sizes

import (
	"strings"
	"unicode/utf8"
)

// An expression is the part of a name that speaks of sizes: items with
// separators between them, such as "sizes 10-14", "8 / 10", "US 8 (EU 38)".
type expression struct {
	items []item
	seps  []separator // one less than items
}

// An item is one size of an expression.
type item struct {
	text   string // as it stands in the folded name
	form   form
	labels []int // positions of the labels it fits: none when it is not in the chart
}

// A separator says how two items go together.
type separator struct {
	kind sepKind
	text string
}

type sepKind int

const (
	sepSpan   sepKind = iota + 1 // all from the one to the other
	sepList                      // just the two
	sepDouble                    // two names of the same
)

// A parser reads expressions from the tokens of a folded name. In a full name
// nothing else may stand there, so weak marks count as well.
type parser struct {
	toks  []token
	index *labelIndex
	full  bool
	pos   int
	open  int // brackets not yet closed
}

// fullExpression reads a folded text that must be an expression to its end. A
// word such as "from" may open it, behind a size word or not, when more than one
// size follows.
func fullExpression(folded string, index *labelIndex) (expression, bool) {
	p := &parser{toks: tokens(folded), index: index, full: true}
	if e, ok := p.whole(); ok {
		return e, true
	}
	p.pos, p.open = 0, 0
	if !p.opening() {
		return expression{}, false
	}
	e, ok := p.whole()
	return e, ok && len(e.items) > 1
}

// opening steps over the words that may open a span: "from", "sizes from".
func (p *parser) opening() bool {
	if sizeWord(p.word(p.pos)) {
		p.pos++
	}
	if !introWord(p.word(p.pos)) {
		return false
	}
	for p.pos++; article(p.word(p.pos)); {
		p.pos++
	}
	return true
}

func (p *parser) whole() (expression, bool) {
	e, ok := p.expression()
	return e, ok && p.pos == len(p.toks) && p.open == 0
}

// expression reads as far as it can and leaves pos at what follows.
func (p *parser) expression() (expression, bool) {
	first, ok := p.item()
	if !ok {
		return expression{}, false
	}
	e := expression{items: []item{first}}
	for {
		p.close()
		start, open := p.pos, p.open
		sep, ok := p.separator(e.items[len(e.items)-1])
		if !ok {
			return e, true
		}
		next, ok := p.item()
		if !ok {
			p.pos, p.open = start, open
			return e, true
		}
		e.items, e.seps = append(e.items, next), append(e.seps, sep)
	}
}

func (p *parser) close() {
	for p.open > 0 && (p.sign(p.pos, ")") || p.sign(p.pos, "]")) {
		p.open--
		p.pos++
	}
}

// separator reads what stands between the item before and another.
func (p *parser) separator(before item) (separator, bool) {
	if text, n := p.spanPhrase(); n > 0 {
		p.pos += n
		return separator{sepSpan, text}, true
	}
	if p.pos >= len(p.toks) || p.letterOnNumber() {
		return separator{}, false
	}
	t := p.toks[p.pos]
	p.pos++
	switch {
	case t.text == "(" || t.text == "[":
		p.open++
		return separator{sepDouble, t.text}, true
	case t.text == "=":
		return separator{sepDouble, t.text}, true
	case t.text == "a" && p.czech():
		return separator{sepList, t.text}, true
	case t.text == "au" && before.form.system == "": // French; else Australia
		return separator{sepSpan, t.text}, true
	case spanWord(t.text):
		return separator{sepSpan, t.text}, true
	case listWord(t.text):
		p.second()
		return separator{sepList, t.text}, true
	}
	p.pos--
	return separator{}, false
}

// letterOnNumber says whether a letter stands at pos that belongs to the number
// behind it alone: "12 A4" is no span from 12.
func (p *parser) letterOnNumber() bool {
	t := p.toks[p.pos]
	return t.kind == tokenWord && t.space && utf8.RuneCountInString(t.text) == 1 && p.numberAt(p.pos+1, true)
}

// spanPhrase returns the span phrase that stands at pos and its length.
func (p *parser) spanPhrase() (string, int) {
	best := 0
	for _, words := range spanPhrases() {
		n := len(words)
		if n > best && p.pos+n <= len(p.toks) && phrase(p.toks[p.pos:p.pos+n]) == strings.Join(words, " ") {
			best = n
		}
	}
	return phraseText(p.toks[p.pos:min(p.pos+best, len(p.toks))]), best
}

// czech says whether the name has a Czech or Slovak size word, since "a" is
// "and" in these languages, and "to" in Spanish.
func (p *parser) czech() bool {
	for _, t := range p.toks[:p.pos] {
		switch t.text {
		case "velikost", "velikosti", "vel", "veľkosť":
			return true
		}
	}
	return false
}

// second steps over the "and" of "10, and 12".
func (p *parser) second() {
	if p.pos < len(p.toks) && p.toks[p.pos-1].text == "," && listWord(p.toks[p.pos].text) && p.toks[p.pos].kind == tokenWord {
		p.pos++
	}
}

// item reads one size with the words that mark it.
func (p *parser) item() (item, bool) {
	start := p.pos
	it, ok := p.labelled()
	if !ok {
		named := p.marks()
		if p.pos > start {
			p.asNumbers()
		}
		if it, ok = p.atom(named); !ok {
			p.pos = start
			return item{}, false
		}
		if p.word(start) == "t" {
			it = it.perhapsToddler(p.index)
		}
	}
	it = p.trailing(it)
	if p.measured() {
		p.pos = start
		return item{}, false
	}
	it.text = phraseText(p.toks[start:p.pos])
	return it, true
}

// labelled reads the longest label of the chart that stands here in full.
func (p *parser) labelled() (item, bool) {
	if dotted, ok := decimalComma(p.toks, p.pos); ok && len(p.index.phrases[dotted]) > 0 && p.ends(p.pos+3) {
		p.pos += 3
		return item{form: form{kind: formNumber, value: dotted}, labels: p.index.phrases[dotted]}, true
	}
	for n := min(p.index.longest, len(p.toks)-p.pos); n > 0; n-- {
		found := p.index.phrases[phrase(p.toks[p.pos:p.pos+n])]
		if len(found) > 0 && p.ends(p.pos+n) {
			p.pos += n
			return item{labels: found, form: p.index.formOf(found[0])}, true
		}
	}
	return item{}, false
}

// atom reads a label, a letter size or a number after the words that mark it.
func (p *parser) atom(system string) (item, bool) {
	if it, ok := p.aged(); ok {
		return it, true
	}
	if p.toddlerMark() {
		p.pos++
		return p.index.toddler(p.toks[p.pos-1].text), true
	}
	if it, ok := p.labelled(); ok && (system == "" || it.form.system == "" || it.form.system == system) {
		return p.fitted(it, system), true
	}
	if p.pos >= len(p.toks) {
		return item{}, false
	}
	f, n := p.letter()
	if n == 0 {
		f, n = p.ranged()
	}
	if f2, ok := p.age(); n == 0 && ok {
		f, n = f2, 1
	}
	if n == 0 && p.toks[p.pos].kind == tokenNumber {
		f, n = form{kind: formNumber, value: p.toks[p.pos].text}, 1
	}
	if n == 0 || !p.ends(p.pos+n) {
		return item{}, false
	}
	p.pos += n
	f.system = system
	return item{form: f, labels: p.index.fit(f)}, true
}

// aged reads the number behind "Age" as years, where the chart has those.
func (p *parser) aged() (item, bool) {
	if w := p.word(p.pos - 1); w != "age" && w != "ages" || !p.numberAt(p.pos, false) || !p.ends(p.pos+1) {
		return item{}, false
	}
	f := form{kind: formAge, value: p.toks[p.pos].text + " years"}
	found := p.index.fit(f)
	if len(found) == 0 {
		return item{}, false
	}
	p.pos++
	return item{form: f, labels: found}, true
}

// fitted looks a label up again when a system before it may decide between
// several: "EU 38" in a chart of "38" and "EU 38".
func (p *parser) fitted(it item, system string) item {
	if system == "" {
		return it
	}
	it.form.system = system
	if found := p.index.fit(it.form); it.form.kind != formText && len(found) > 0 {
		it.labels = found
	}
	return it
}

// trailing reads a system or a size word that stands behind: "38 EU", "38
// (EU)", "9号".
func (p *parser) trailing(it item) item {
	if name, ok := p.bracketed(); ok && it.form.system == "" {
		p.pos += 3
		return p.fitted(it, name)
	}
	if p.pos >= len(p.toks) || p.toks[p.pos].kind != tokenWord {
		return it
	}
	next := p.toks[p.pos].text
	if name, weak, ok := system(next); ok && (p.full || !weak) && it.form.system == "" && !p.marksNext(p.pos+1) {
		p.pos++
		return p.fitted(it, name)
	}
	if p.full && sizeWord(next) && !p.marksNext(p.pos+1) {
		p.pos++
	}
	return it
}

// bracketed reads a sizing system in brackets of its own.
func (p *parser) bracketed() (string, bool) {
	if !p.sign(p.pos, "(") || !p.sign(p.pos+2, ")") {
		return "", false
	}
	name, _, ok := system(p.word(p.pos + 1))
	return name, ok
}

// marksNext says whether a size begins at i, so that the word before belongs
// to it.
func (p *parser) marksNext(i int) bool {
	if i >= len(p.toks) {
		return false
	}
	return p.toks[i].kind == tokenNumber || sizeWord(p.toks[i].text) || p.sign(i, ".")
}

// measured says whether what follows makes a length or a count of the number
// just read.
func (p *parser) measured() bool {
	if p.pos == 0 || p.pos >= len(p.toks) || p.toks[p.pos-1].kind != tokenNumber {
		return false
	}
	return measureWord(p.toks[p.pos].text)
}

// ends says whether the token at j begins anew, and is not the rest of the
// word or number before it: "16W" is not 16, "green2" not green.
func (p *parser) ends(j int) bool {
	if j >= len(p.toks) || p.toks[j].space || p.toks[j].kind == tokenSign {
		return true
	}
	w := p.toks[j].text
	if p.toks[j].kind == tokenNumber || j == 0 || p.toks[j-1].kind != tokenNumber {
		return j > 0 && p.toks[j-1].kind == tokenWord && sizeWord(w) // East Asian: "Mサイズ"
	}
	if _, _, ok := system(w); ok || sizeWord(w) {
		return true
	}
	joins := spanWord(w) || listWord(w)
	return joins && j+1 < len(p.toks) && p.toks[j+1].kind == tokenNumber && !p.toks[j+1].space
}

func (p *parser) sign(i int, text string) bool {
	return i < len(p.toks) && p.toks[i].kind == tokenSign && p.toks[i].text == text
}

// phraseText writes tokens as they are spaced in the name, cut to what a reason
// quotes.
func phraseText(toks []token) string {
	var b strings.Builder
	for i, t := range toks {
		if i > 0 && t.space {
			b.WriteByte(' ')
		}
		if t.parts != nil {
			b.WriteString(phraseText(t.parts))
			continue
		}
		b.WriteString(t.text)
	}
	return clip(b.String())
}
