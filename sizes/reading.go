package sizes

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// A reading is what a name says about the sizes of a chart.
type reading struct {
	kind   Kind
	rule   Rule // zero for what rule 5 of [Chart.Match] finds
	sizes  []int
	text   string // the part of the name that was read
	lacks  string // the part that is not in the chart, where that is the reason
	reason reason
	claims []Claim  // for KindAmbiguous
	extent extent   // of what was read, where it has one
	other  string   // the size that it plainly says and the chart does not have
	bare   bool     // nothing marks it as a size
	may    []int    // for KindUnknown: the sizes that it may be
	beside []string // words of the name that nothing accounts for
	words  []string // what nothing accounts for, where that is why it only may be
	group  string   // the people it says it is for
}

// unknown is the reading of a name that says no size of the chart.
func unknown(kind reasonKind, texts ...string) reading {
	texts = append(texts, "", "")
	why := reason{kind: kind, text: texts[0], other: texts[1]}
	return reading{kind: KindUnknown, rule: RuleNone, reason: why}
}

// readName reads a folded name by the label rule, the last of [Chart.Match]:
//
//  1. the name in full is a label of the chart, in any script;
//  2. the name without what drawing programs append (" copy 2",
//     "[converted]"), without quotes and without brackets around it all, is a
//     label, or is all about sizes: "Sz. 08", "EU 38", "10-14", "8 (M)";
//  3. it is such a size with a kind of line behind, "8 SA", or a colour that is a label in another
//     language;
//  4. a longer name has one or several sizes in it that are marked by a size
//     word or a sizing system, and every other word of it is accounted for: "front_sz08_cut".
//
// A bare number or letter in a longer name is none: "Page 12", "2 in test square". A marked number
// is none where it is a length ("size 10 cm"), the size of another thing ("needle size 12"), or
// open to one side ("up to size 14", "size 14+"), or followed by a word that is not known and
// another number of the chart. Where a word is not accounted for, the name only may be the size.
func (x *labelIndex) readName(folded string) reading {
	plain := bare(folded)
	if r, ok := x.readWhole(folded, plain); ok {
		return r
	}
	return x.readMarked(plain)
}

// readWhole reads a text, or its bare form, that is about sizes and nothing else.
func (x *labelIndex) readWhole(folded, bare string) (reading, bool) {
	for _, text := range []string{folded, bare} {
		switch found := x.folded[text]; len(found) {
		case 0:
		case 1:
			r := reading{kind: KindSize, sizes: found, reason: reason{kind: reasonLabel, sizes: x.names(found)}}
			r.extent, _ = x.formOf(found[0]).extent()
			return r, true
		default:
			r, _ := item{text: text, labels: found}.doubtful(x)
			return r, true
		}
	}
	if e, ok := fullExpression(bare, x); ok {
		r := e.read(x)
		r.bare = !marksSize(tokens(bare))
		return r, true
	}
	if found := x.byColour(bare); len(found) > 0 {
		it := item{text: bare, labels: found}
		if r, bad := it.doubtful(x); bad {
			return r, true
		}
		why := reason{kind: reasonSays, text: bare, sizes: x.names(found)}
		return reading{kind: KindSize, sizes: found, reason: why}, true
	}
	return x.readLine(bare)
}

// readLine reads sizes of the chart that nothing marks with a kind of line behind: "8 SA" and
// "34 cutting line" are about one line of these sizes, where "8 lines" are eight.
func (x *labelIndex) readLine(bare string) (reading, bool) {
	p := &parser{toks: tokens(bare), index: x}
	e, ok := p.expression()
	if !ok {
		return reading{}, false
	}
	isLine := false
	for p.pos < len(p.toks) {
		n, what := p.aside(p.pos, make([]bool, len(p.toks)))
		if n == 0 || !what.is(meansLineKind) && !p.sign(p.pos, "-()[]:") {
			return reading{}, false
		}
		isLine = isLine || what.is(meansLineKind)
		p.pos += n
	}
	r := e.read(x)
	return r, isLine && r.kind == KindSize
}

// byColour returns the positions of the labels that are the colour of a text.
func (x *labelIndex) byColour(text string) (found []int) {
	if len(x.colours) == 0 {
		return nil
	}
	for _, c := range palette().find(withoutSizeWord(text)) {
		found = both(found, x.colours[c.Name])
	}
	return found
}

// read evaluates an expression. Items that lack a system take that of their
// neighbour first: in "US 8-10" both are US sizes.
//
// A chain such as "8-12-16" is read only where it is the same as a span and as a list. Within a
// side, all sizes must be in the chart: a layer that draws a size the chart does not have is not
// one the chart can speak for. Sides are names of the same, as in "US 8 / EU 38" or "8 (M)": those
// not in the chart are passed over, the others must agree.
func (e expression) read(index *labelIndex) reading {
	readSide := func(side expression) reading { return side.readSide(index) }
	r := agree(each(e.inherit(index).sides(), readSide), index)
	r.group = e.group
	return r
}

// inherit hands systems on, rightwards and then leftwards.
func (e expression) inherit(index *labelIndex) expression {
	e.items = slices.Clone(e.items)
	for i, sep := range e.seps {
		e.items[i+1].inherit(e.items[i].form, sep, false, index)
	}
	for i := len(e.seps) - 1; i >= 0; i-- {
		e.items[i].inherit(e.items[i+1].form, e.seps[i], true, index)
	}
	return e
}

// inherit gives an item what it lacks and the item beside it has: a sizing system, the unit of an
// age ("2, 3 and 4 years"), or the letter of a number ("2-4T"). Where the chart has the number by
// itself as well, it takes the letter only from an item behind it, and may be either size.
func (it *item) inherit(from form, sep separator, behind bool, index *labelIndex) {
	if sep.kind == sepDouble || from.kind == formText {
		return
	}
	number := it.form.kind == formNumber
	switch known := len(it.labels) > 0; {
	case from.kind == formAge && number && !known:
		_, unit, _ := strings.Cut(from.value, " ")
		f := form{kind: formAge, value: it.form.value + " " + unit}
		if found := index.fit(f); len(found) > 0 {
			it.form, it.labels = f, found
		}
	case from.kind == formRanged && number && (behind || !known):
		f := form{kind: formRanged, value: it.form.value + from.value[len(from.value)-1:]}
		found := index.fit(f)
		if !known && len(found) > 0 {
			it.form = f
		}
		it.labels = both(it.labels, found)
	case from.kind == it.form.kind && from.system != "" && it.form.system == "":
		it.form.system = from.system
		it.labels = index.fit(it.form)
	}
}

// sides splits an expression where two names of the same meet: at a bracket or an equals sign, and
// where another kind or system of size begins after any other sign.
func (e expression) sides() []expression {
	var out []expression
	start := 0
	for i, sep := range e.seps {
		if sep.double(e.items[i].form, e.items[i+1].form) {
			out = append(out, expression{items: e.items[start : i+1], seps: e.seps[start:i]})
			start = i + 1
		}
	}
	return append(out, expression{items: e.items[start:], seps: e.seps[start:]})
}

// double reports whether two names of the same meet at a separator.
func (s separator) double(a, b form) bool {
	if s.kind == sepDouble {
		return true
	}
	if a.system != "" && b.system != "" && a.system != b.system {
		return true
	}
	if a.kind == formText || b.kind == formText {
		return false
	}
	if a.kind == formRanged && b.kind == formNumber || a.kind == formNumber && b.kind == formRanged {
		return false // "2-4T"
	}
	return a.kind != b.kind && strings.Contains("/|,;-", s.text)
}

// readSide collects the sizes of one side.
func (e expression) readSide(index *labelIndex) reading {
	r := reading{kind: KindSize, text: e.text(), reason: reason{kind: reasonSays, text: e.text()}}
	ends, isRange := e.ends()
	if isRange && len(e.items[0].labels)+len(e.items[1].labels) == 0 && len(index.rangeOf(e, ends)) == 1 {
		r.sizes = index.rangeOf(e, ends)
		r.reason.sizes = index.names(r.sizes)
		return r
	}
	for _, it := range e.items {
		if r, bad := it.doubtful(index); bad {
			return e.another(r, index)
		}
	}
	r.extent, _ = e.extent()
	chained := false // one span begins where another ends, as in "8-12-16"
	for i, it := range e.items {
		r.sizes = append(r.sizes, it.labels[0])
		if i == 0 || e.seps[i-1].kind != sepSpan {
			continue
		}
		chained = chained || i > 1 && e.seps[i-2].kind == sepSpan
		r.reason.kind = reasonSpan
		from, to := e.items[i-1].labels[0], it.labels[0]
		for at := min(from, to); at <= max(from, to); at++ {
			r.sizes = append(r.sizes, at)
		}
	}
	slices.Sort(r.sizes)
	r.sizes = slices.Compact(r.sizes)
	if chained && len(r.sizes) > len(e.items) {
		chain := unknown(reasonChain, r.text)
		chain.lacks, chain.may = r.text, r.sizes
		return chain
	}
	r.reason.sizes = index.names(r.sizes)
	return r
}

// doubtful gives the reading of an item that is not one size of the chart.
func (it item) doubtful(index *labelIndex) (reading, bool) {
	switch len(it.labels) {
	case 1:
		return reading{}, false
	case 0:
		if number, ok := strings.CutSuffix(it.form.value, " months"); ok && strings.HasSuffix(it.text, "m") {
			if may := index.fit(form{kind: formNumber, value: number}); len(may) > 0 { // "Size 14 M"
				return reading{text: number, sizes: may}.inDoubt(index, []string{"m"}), true
			}
		}
		r := unknown(reasonLacks, it.text)
		r.lacks = clip(strings.TrimSpace(it.form.system + " " + it.form.value))
		return r, true
	}
	r := reading{kind: KindAmbiguous, reason: reason{kind: reasonFits, text: it.text, sizes: index.names(it.labels)}}
	r.claims = each(r.reason.sizes, func(label string) Claim { return Claim{[]string{label}, it.text} })
	return r, true
}

// agree combines readings of the same thing.
func agree(readings []reading, index *labelIndex) reading {
	var known []reading
	for _, r := range readings {
		if r.kind == KindAmbiguous {
			return r
		}
		if r.kind == KindSize {
			known = append(known, r)
		}
	}
	if len(known) == 0 {
		r := readings[0]
		if slices.ContainsFunc(readings, func(r reading) bool { return r.other == "" }) {
			r.other = ""
		}
		return r
	}
	differs := func(r reading) bool { return !slices.Equal(r.sizes, known[0].sizes) }
	if !slices.ContainsFunc(known, differs) {
		return known[0]
	}
	out := reading{kind: KindAmbiguous, reason: reason{kind: reasonDisagree}}
	for _, r := range known {
		out.claims = append(out.claims, Claim{Sizes: index.names(r.sizes), By: r.text})
		out.reason.parts = append(out.reason.parts, r.reason)
	}
	return out
}

// readMarked reads the marked sizes of a longer name.
func (x *labelIndex) readMarked(folded string) reading {
	p := &parser{toks: tokens(folded), index: x}
	var readings []reading
	var spans [][2]int // of the tokens that were read
	for p.pos < len(p.toks) {
		start := p.pos
		e, ok := p.marked()
		if !ok {
			p.pos = start + 1
			continue
		}
		if why := p.veto(start, e); why.kind == KindUnknown {
			return why.perhaps(e.read(x))
		}
		if kind := p.rangeBehind(); kind != "" {
			return e.variant(e.text() + " " + kind).perhaps(e.read(x))
		}
		for p.word(start - 1).is(meansIntro | meansArticle) { // "from size 14 to 18"
			start--
		}
		readings, spans = append(readings, e.read(x)), append(spans, [2]int{start, p.pos})
	}
	if len(readings) > 0 {
		return agree(readings, x).doubt(x, p.restOf(spans))
	}
	return p.unmarked()
}

// unmarked reads a name in which nothing marks a size, but which may have "8 tall" or "Langgröße 38" all
// the same.
func (p *parser) unmarked() reading {
	for i, t := range p.toks {
		if !p.inChart(i) {
			continue
		}
		p.pos = i + 1
		said := reading{sizes: p.index.fit(form{kind: formNumber, value: t.text})}
		if kind := p.rangeBehind(); kind != "" {
			return unknown(reasonLacks, t.text+" "+kind).perhaps(said)
		}
		if before := p.word(i - 1); before.is(meansVariant) {
			return unknown(reasonLacks, before.text+" "+t.text).perhaps(said)
		}
		if i+1 == len(p.toks) {
			break
		}
		if next := p.at(i + 1); i == 0 && len(p.toks) == 2 && !next.space && isCode(next) { // "12dd"
			return said.inDoubt(p.index, []string{next.text})
		}
		if n, what := p.aside(i+1, make([]bool, len(p.toks))); n > 0 && what.is(meansVariant) {
			return unknown(reasonLacks, phraseText(p.toks[i:i+1+n])).perhaps(said)
		}
	}
	return p.coded()
}

// coded reads a name that ends in a size word and something that is too short for a word behind it, such
// as "tam pp" and "size 12d": a size, perhaps, in a spelling that is not known.
func (p *parser) coded() reading {
	for i := range p.toks {
		at, number := i+1, -1
		if !p.word(i).is(meansSize) {
			continue
		}
		for ; p.sign(at, ".:#-(") || p.number(at, false); at++ {
			if p.inChart(at) {
				number = at
			}
		}
		end := at + 1
		if p.sign(end, ")") {
			end++
		}
		code := p.word(at)
		switch {
		case !isCode(code) || end < len(p.toks):
		case number >= 0:
			said := reading{sizes: p.index.fit(form{kind: formNumber, value: p.at(number).text})}
			return said.inDoubt(p.index, []string{code.text})
		default:
			out := unknown(reasonLacks, phraseText(p.toks[i:end]))
			out.lacks = out.reason.text
			return out
		}
	}
	return p.farMarked()
}

// farMarked reads a name with a size word, and a size of the chart further on: what stands between makes
// it not just that size, as in "all sizes except 12".
func (p *parser) farMarked() reading {
	marked := slices.IndexFunc(p.toks, func(t token) bool { return t.is(meansSize) })
	for i := marked + 2; marked >= 0 && i < len(p.toks); i++ {
		before := p.at(i - 1)
		if !p.inChart(i) || before.is(meansNumbered|meansCounted) || p.at(i+1).is(meansMeasure) {
			continue
		}
		out := unknown(reasonNotJust, p.toks[i].text, before.text)
		out.may = p.index.fit(form{kind: formNumber, value: p.toks[i].text})
		return out
	}
	return unknown(reasonNothing)
}

// isCode reports whether a word is no more than a few letters that have no meaning, as those are that
// stand for a cup, a length or a size: "dd", "k", "pp".
func isCode(t token) bool {
	const shortest = 2 // letters of other words
	n := utf8.RuneCountInString(t.text)
	isLetters := n <= shortest || len(t.text) < 5 && strings.Trim(t.text, "dglmpsx") == ""
	return t.kind == tokenWord && (n == 1 || isLetters && t.lexeme == nil)
}

// perhaps says of a name that it may be the sizes that it would be but for what speaks against that,
// where these are sizes of the chart and the name does not speak of others as well.
func (r reading) perhaps(said reading) reading {
	switch r.reason.kind {
	case reasonBeside, reasonUnknownWord, reasonLacks:
		r.may = said.sizes
	}
	return r
}

// inChart reports whether the token at i is a number of the chart.
func (p *parser) inChart(i int) bool {
	return p.number(i, false) && len(p.index.fit(form{kind: formNumber, value: p.at(i).text})) > 0
}

// marked reads the expression whose mark stands at pos. After a sizing
// system alone only a number will do: "US M" may be anything.
func (p *parser) marked() (expression, bool) {
	p.open = 0
	start, first := p.pos, p.word(p.pos)
	sized := p.markAt(start) || first.is(meansToddler) || p.number(start, false) && p.counter(start+1)
	if !sized && !first.is(meansSystem) {
		return expression{}, false
	}
	if e, ok := p.expression(); ok {
		return e, sized || e.items[0].form.kind == formNumber
	}
	p.pos, p.open = start, 0
	if !first.is(meansSize) {
		return expression{}, false
	}
	return p.opened()
}

// rangeBehind is the word at pos, or in brackets or behind a hyphen there, that
// makes another size of the one before it: the "tall" of "size 8 tall".
func (p *parser) rangeBehind() string {
	at := p.pos
	if p.sign(at, "-([") {
		at++
	}
	w, last := p.word(at), at == len(p.toks)-1 || p.sign(at+1, ")]")
	if w.is(meansRange) || last && w.is(meansLength) {
		return w.text
	}
	return p.cup(at)
}

// cup is the cup that stands at a place: "c cup", "dd cup", "a/b cup", "cup c". A
// hyphen beside the word does not count.
func (p *parser) cup(at int) string {
	if t := p.word(at); t.is(meansCup) {
		if name, _ := p.cupName(at + 1); name != "" {
			return t.text + " " + name
		}
		return ""
	}
	name, end := p.cupName(at)
	if p.sign(end, "-") {
		end++
	}
	if t := p.word(end); name != "" && t.is(meansCup) {
		return name + " " + t.text
	}
	return ""
}

// cupName reads letters such as "dd" or "a/b", and gives the place behind them.
func (p *parser) cupName(at int) (name string, end int) {
	for {
		w := p.word(at).text
		if w == "" || strings.Trim(w, w[:1]) != "" || w[0] < 'a' || w[0] > 'z' {
			return "", at
		}
		name += w
		if at++; !p.sign(at, "/") {
			return name, at
		}
		name += "/"
		at++
	}
}

// rangeBefore is the word before a place that makes another size of the one that
// stands there: the "plus" of "plus size 16".
func (p *parser) rangeBefore(at int) string {
	if at--; p.sign(at, "-") {
		at--
	}
	if w := p.word(at); w.is(meansRange) || w.text == "plus" {
		return w.text
	}
	return ""
}

// veto says why the expression that began at start and was just read is not a
// statement about sizes: a reading of KindUnknown, or the zero reading.
func (p *parser) veto(start int, e expression) reading {
	at := start - 1
	for p.word(at).is(meansArticle) && p.word(at-1).is(meansArticle|meansIntro|meansNotJust|meansSpan) {
		at--
	}
	before, text := p.word(at), e.text()
	phraseBefore := slices.ContainsFunc(spanPhrases(), func(words []string) bool { // "t/m maat 38"
		return p.stand(words, start-len(words))
	})
	switch kind := p.rangeBefore(start); {
	case kind != "":
		return e.variant(kind + " " + text)
	case before.is(meansThing):
		return unknown(reasonThing, before.text+" "+text)
	case before.is(meansNotJust), p.joinsBefore(at), phraseBefore:
		return unknown(reasonNotJust, text, before.text)
	case before.is(meansIntro) && before.text != "de" && len(e.items) == 1:
		return unknown(reasonEndless, text, before.text)
	case p.number(p.pos, false) && !p.dated(p.pos) && !p.at(p.pos+1).is(meansMeasure):
		return unknown(reasonBeside, text, p.at(p.pos).text)
	case p.openEnded():
		return unknown(reasonOpen, text)
	case p.secondSize():
		return unknown(reasonUnknownWord, text, p.at(p.pos+1).text)
	}
	return reading{}
}

// joinsBefore reports whether the word at i joins what follows to a size before it that nothing
// marks: "da 38 a taglia 42", or opens it below: "do velikosti 40". The "a" of "View A size 8" does
// not, nor does the "do" of "linha do tamanho 8", which is Portuguese: of the.
func (p *parser) joinsBefore(i int) bool {
	switch w := p.word(i); {
	case w.text == "a":
		return p.number(i-1, false)
	case w.is(meansList):
		return p.inChart(i - 1)
	default:
		next := p.word(i + 1)
		return w.is(meansSpan) && !(w.text == "do" && next.is(meansSize) && next.language == "pt")
	}
}

// openEnded reports whether what follows at pos leaves the sizes open: "and up",
// "plus", "+", "to fit".
func (p *parser) openEnded() bool {
	next, after := p.at(p.pos), p.word(p.pos+1)
	switch {
	case next.is(meansAndOthers):
		return true
	case next.text == "+":
		return after.kind == 0
	case next.is(meansList):
		return after.is(meansAndOthers)
	}
	return next.is(meansOnward) && (next.kind == tokenWord || after.kind == 0)
}

// secondSize reports whether a word follows, and behind it a number of the chart:
// "Size 36 sowie 40". The word may be an "and" or a "to" of some language. Where
// it is known to count something else, as in "size 8 cut 2", it is none.
func (p *parser) secondSize() bool {
	w, next := p.word(p.pos), p.at(p.pos+1)
	if w.kind == 0 || w.is(meansSystem|meansWeakSystem|meansSize|meansCounted) {
		return false
	}
	return next.space && p.inChart(p.pos+1) && p.ends(p.pos+2) && !p.at(p.pos+2).is(meansMeasure)
}
