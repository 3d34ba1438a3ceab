package sizes

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// An expression is the part of a name that speaks of sizes: items with
// separators between them, such as "sizes 10-14", "8 / 10", "US 8 (EU 38)".
type expression struct {
	items []item
	seps  []separator // one less than items
	group string      // the people it is for, where words for them stand beside it
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

// text writes an expression for reasons.
func (e expression) text() string {
	var b strings.Builder
	for i, it := range e.items {
		if i > 0 {
			b.WriteString(" " + e.seps[i-1].text + " ")
		}
		b.WriteString(it.text)
	}
	return clip(b.String())
}

// A parser reads expressions from the tokens of a folded name. In a full name
// nothing else may stand there, so weak marks count as well.
type parser struct {
	toks  []token
	index *labelIndex
	full  bool
	pos   int
	open  int // brackets not yet closed
}

// at returns the token at i, the zero token where there is none.
func (p *parser) at(i int) token {
	if 0 <= i && i < len(p.toks) {
		return p.toks[i]
	}
	return token{}
}

// word returns the token at i if it is a word.
func (p *parser) word(i int) token {
	if t := p.at(i); t.kind == tokenWord {
		return t
	}
	return token{}
}

// sign reports whether one of some signs stands at i.
func (p *parser) sign(i int, signs string) bool {
	t := p.at(i)
	return t.kind == tokenSign && strings.Contains(signs, t.text)
}

// number reports whether the token at i is a number, attached to what is
// before it where that is asked for.
func (p *parser) number(i int, attached bool) bool {
	t := p.at(i)
	return t.kind == tokenNumber && !(attached && t.space)
}

// stand reports whether words stand from i on.
func (p *parser) stand(words []string, i int) bool {
	for k, word := range words {
		if p.at(i+k).text != word {
			return false
		}
	}
	return true
}

// fullExpression reads a folded text that must be an expression to its end. A word such as "from"
// may open it, behind a size word or not, when more than one size follows.
//
// Words for people may stand there as well, "Women's 14", but for those of dolls, and the "plus" of
// "Plus 2X".
func fullExpression(folded string, index *labelIndex) (expression, bool) {
	toks := tokens(folded)
	if e, ok := wholeExpression(slices.Clone(toks), index); ok {
		return e, true
	}
	if len(toks) > 1 && toks[0].text == "plus" {
		e, ok := wholeExpression(toks[1:], index)
		plus := func(it item) bool { return it.form.kind == formLetter && strings.HasSuffix(it.form.value, "x") }
		return e, ok && !slices.ContainsFunc(e.items, func(it item) bool { return !plus(it) })
	}
	toks, group := withoutGroup(toks)
	if group == "" {
		return expression{}, false
	}
	e, ok := wholeExpression(toks, index)
	e.group = group
	return e, ok
}

// withoutGroup takes the words for people from tokens, with the "'s" behind, and gives the last.
func withoutGroup(toks []token) (out []token, group string) {
	for i := 0; i < len(toks); i++ {
		t := toks[i]
		if !t.is(meansGroup) || t.value == "dolls" {
			out = append(out, t)
			continue
		}
		group = t.value
		if i+1 < len(toks) && strings.Contains("'’", toks[i+1].text) {
			if i++; i+1 < len(toks) && toks[i+1].text == "s" && !toks[i+1].space {
				i++
			}
		}
	}
	return out, group
}

// wholeExpression reads tokens that must be an expression to their end.
func wholeExpression(toks []token, index *labelIndex) (expression, bool) {
	p := &parser{toks: toks, index: index, full: true}
	if e, ok := p.expression(); ok && p.ended() {
		return e, true
	}
	p.pos, p.open = 0, 0
	e, ok := p.opened()
	return e, ok && p.ended()
}

// ended reports whether all is read and each bracket closed.
func (p *parser) ended() bool { return p.pos == len(p.toks) && p.open == 0 }

// opened reads several sizes behind the words that may open a span: "from", "sizes from".
func (p *parser) opened() (expression, bool) {
	if p.word(p.pos).is(meansSize) {
		p.pos++
	}
	if !p.word(p.pos).is(meansIntro) {
		return expression{}, false
	}
	for p.pos++; p.word(p.pos).is(meansArticle); {
		p.pos++
	}
	e, ok := p.expression()
	return e, ok && len(e.items) > 1
}

// expression reads as far as it can and leaves pos at what follows.
func (p *parser) expression() (expression, bool) {
	marked := p.markAt(p.pos)
	first, ok := p.item()
	if !ok {
		return expression{}, false
	}
	e := expression{items: []item{first}}
	for {
		for p.open > 0 && p.sign(p.pos, ")]") {
			p.open--
			p.pos++
		}
		start, open := p.pos, p.open
		sep, ok := p.separator(e.items[len(e.items)-1])
		if !ok {
			return e, true
		}
		numbered := sep.text == "-" && !marked && p.markAt(p.pos) // "10 - Size 14" is no span from 10
		next, ok := p.item()
		if !ok || numbered {
			p.pos, p.open = start, open
			return e, true
		}
		e.items, e.seps = append(e.items, next), append(e.seps, sep)
	}
}

// separator reads what stands between the item before and another.
func (p *parser) separator(before item) (separator, bool) {
	for _, words := range spanPhrases() {
		if p.stand(words, p.pos) {
			p.pos += len(words)
			return separator{sepSpan, phraseText(p.toks[p.pos-len(words) : p.pos])}, true
		}
	}
	t := p.at(p.pos)
	letter := t.kind == tokenWord && t.space && utf8.RuneCountInString(t.text) == 1
	if letter && p.number(p.pos+1, true) {
		return separator{}, false // "12 A4" is no span from 12
	}
	sep := separator{text: t.text}
	switch {
	case p.sign(p.pos, "(["):
		p.open++
		sep.kind = sepDouble
	case t.text == "=":
		sep.kind = sepDouble
	case t.text == "a" && p.czech():
		sep.kind = sepList
	case t.text == "au" && before.form.system == "", t.is(meansSpan): // au is French, behind a system Australia
		sep.kind = sepSpan
	case t.is(meansList):
		sep.kind = sepList
	default:
		return separator{}, false
	}
	p.pos++
	if t.text == "," && p.word(p.pos).is(meansList) {
		p.pos++ // the "and" of "10, and 12"
	}
	return sep, true
}

// czech reports whether the name has a Czech or Slovak size word, since "a" is
// "and" in these languages, and "to" in Spanish.
func (p *parser) czech() bool {
	for _, t := range p.toks[:p.pos] {
		if t.is(meansSize) && (strings.HasPrefix(t.language, "cs") || t.language == "sk") {
			return true
		}
	}
	return false
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
		if p.word(start).text == "t" {
			it = it.perhapsToddler(p.index)
		}
	}
	it = p.trailing(it)
	if p.index.heights && p.number(p.pos-1, false) && p.word(p.pos).text == "cm" {
		p.pos++
	} else if p.number(p.pos-1, false) && p.at(p.pos).is(meansMeasure) && !p.times(p.pos) { // a length or a count
		p.pos = start
		return item{}, false
	}
	it.text = phraseText(p.toks[start:p.pos])
	return it, true
}

// times reports whether an "x2" stands at i, which says how often a piece is cut.
func (p *parser) times(i int) bool {
	return p.word(i).text == "x" && p.at(i).space && p.number(i+1, true) && len(p.at(i+1).text) == 1
}

// labelled reads the longest label of the chart that stands here in full.
func (p *parser) labelled() (item, bool) {
	if dotted, ok := decimalComma(p.toks, p.pos); ok && len(p.index.phrases[dotted]) > 0 && p.ends(p.pos+3) {
		p.pos += 3
		return item{form: form{kind: formNumber, value: dotted}, labels: p.index.phrases[dotted]}, true
	}
	most := min(p.index.longest, len(p.toks)-p.pos)
	text := phrase(p.toks[p.pos : p.pos+most])
	for n := most; n > 0; n-- {
		if found := p.index.phrases[text]; len(found) > 0 && p.ends(p.pos+n) {
			p.pos += n
			return item{labels: found, form: p.index.formOf(found[0])}, true
		}
		text = text[:max(0, len(text)-len(p.at(p.pos+n-1).text)-1)]
	}
	return item{}, false
}

// atom reads a label, a letter size, a number or an age after the words that mark it.
func (p *parser) atom(system string) (item, bool) {
	if w := p.word(p.pos - 1).text; (w == "age" || w == "ages") && p.number(p.pos, false) && p.ends(p.pos+1) {
		f := form{kind: formAge, value: p.at(p.pos).text + " years"} // where the chart has years
		if found := p.index.fit(f); len(found) > 0 {
			p.pos++
			return item{form: f, labels: found}, true
		}
	}
	if p.toddlerMark() {
		p.pos++
		return p.index.toddler(p.at(p.pos - 1).text), true
	}
	start := p.pos
	if it, ok := p.labelled(); ok && (system == "" || it.form.system == "" || it.form.system == system) {
		return p.fitted(it, system), true
	}
	p.pos = start
	f, n := p.letter()
	if n == 0 {
		f, n = p.ranged()
	}
	if a, ok := p.age(); n == 0 && ok {
		f, n = a, 1
	}
	if n == 0 && p.number(p.pos, false) {
		f, n = form{kind: formNumber, value: p.at(p.pos).text}, 1
	}
	if n == 0 || !p.ends(p.pos+n) {
		return item{}, false
	}
	p.pos += n
	f.system = system
	return item{form: f, labels: p.index.fit(f)}, true
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

// trailing reads a system or a size word that stands behind: "38 EU", "38 (EU)", "9号".
func (p *parser) trailing(it item) item {
	const anySystem = meansSystem | meansWeakSystem
	noSystem := it.form.system == ""
	if t := p.word(p.pos + 1); t.is(anySystem) && noSystem && p.sign(p.pos, "(") && p.sign(p.pos+2, ")") {
		p.pos += 3
		return p.fitted(it, t.value)
	}
	t, next := p.word(p.pos), p.at(p.pos+1)
	switch {
	case next.kind == tokenNumber || next.is(meansSize) || p.sign(p.pos+1, "."): // the word belongs to what follows
	case t.is(meansSystem) && noSystem, t.is(meansWeakSystem) && noSystem && p.full:
		p.pos++
		return p.fitted(it, t.value)
	case t.is(meansSize) && (p.full || p.counter(p.pos)):
		p.pos++
	case p.full && p.sign(p.pos, "-") && next.kind == tokenWord && p.word(p.pos+2).is(meansSize):
		p.pos += 3 // the "-as méret" of Hungarian
	}
	return it
}

// ends reports whether the token at j begins anew, and is not the rest of the
// word or number before it: "16W" is not 16, "green2" not green.
func (p *parser) ends(j int) bool {
	t := p.at(j)
	if t.kind == 0 || t.space || t.kind == tokenSign {
		return true
	}
	if t.kind == tokenNumber || !p.number(j-1, false) {
		return p.word(j-1).kind != 0 && t.is(meansSize) // East Asian: "Mサイズ"
	}
	if p.index.heights && t.text == "cm" {
		return true
	}
	return t.is(meansSystem|meansWeakSystem|meansSize) || t.is(meansSpan|meansList) && p.number(j+1, true)
}
