package sizes

import (
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"
)

// readName reads a folded name by the label rule, the last of Chart.Match:
//
//  1. the name in full is a label of the chart, in any script;
//  2. the name without what drawing programs append (" copy 2",
//     "[converted]"), without quotes and without brackets around it all, is a
//     label, or is all about sizes: "Sz. 08", "EU 38", "10-14", "8 (M)";
//  3. a longer name has one or several sizes in it that are marked by a size
//     word or a sizing system: "Tollmere_front_sz08_cut".
//
// A bare number or letter in a longer name is none: "Page 12", "2 in test
// square". A marked number is none where it is a length ("size 10 cm"), the
// size of another thing ("needle size 12"), or open to one side ("up to size
// 14", "size 14+"), or followed by a word that is not known and another
// number of the chart.
func (x *labelIndex) readName(folded string) reading {
	for _, text := range []string{folded, bare(folded)} {
		if found := x.folded[text]; len(found) > 0 {
			return x.inFull(text, found)
		}
	}
	if e, ok := fullExpression(bare(folded), x); ok {
		return e.read(x)
	}
	return x.readMarked(bare(folded))
}

func (x *labelIndex) inFull(text string, found []int) reading {
	if len(found) > 1 {
		r, _ := item{text: text, labels: found}.doubtful(x)
		return r
	}
	return reading{kind: KindSize, sizes: found, reason: fmt.Sprintf("is the label %q", x.labels[found[0]])}
}

// appended is what drawing programs put behind the name of a copied or
// converted layer.
var appended = regexp.MustCompile(`(?:(?:[ _-]+|[ _-]*[\[(])(?:copy|kopie|copie|copia|cópia|kopia|kópia|kopi|kopio|kopya|копия|копія|converted|recovered)|[ _-]*[\[(]?(?:のコピー|コピー|副本|복사본|복사))(?:[ _]*[0-9]+)?[\])]?$`)

// bare takes from a name what is not part of it.
func bare(s string) string {
	for range 8 {
		was := s
		s = withoutAppended(s)
		s = unquote(strings.Trim(s, " _*:"))
		if strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "..") {
			s = s[:len(s)-1]
		}
		if s = unbracket(s); s == was {
			break
		}
	}
	return s
}

// withoutAppended takes away what appended finds, of which the last part of a name
// is enough.
func withoutAppended(s string) string {
	const most = 80
	from := max(0, len(s)-most)
	for from > 0 && !utf8.RuneStart(s[from]) {
		from++
	}
	if at := appended.FindStringIndex(s[from:]); at != nil && from+at[0] > 0 {
		return s[:from+at[0]]
	}
	return s
}

// unquote takes away quotes, unless they stand behind alone: 2" is a length.
func unquote(s string) string {
	const quotes = "\"'“”„‘’«»"
	if strings.TrimLeft(s, quotes) == s {
		return s
	}
	return strings.Trim(s, quotes)
}

// unbracket takes away one pair of brackets around all of the text.
func unbracket(s string) string {
	for _, pair := range []string{"()", "[]", "{}", "<>"} {
		if len(s) > 2 && s[0] == pair[0] && s[len(s)-1] == pair[1] && strings.Count(s, pair[:1]) == 1 {
			return s[1 : len(s)-1]
		}
	}
	return s
}

// saysNothing is the reason for a name in which nothing is about a size.
const saysNothing = "says no size of the chart and is not listed in it"

// notInChart ends the reason for a name that says a size which the chart lacks.
const notInChart = ", which is not in the chart"

// readMarked reads the marked sizes of a longer name.
func (x *labelIndex) readMarked(folded string) reading {
	p := &parser{toks: tokens(folded), index: x}
	var readings []reading
	for p.pos < len(p.toks) {
		start := p.pos
		e, ok := p.markedHere()
		if !ok {
			p.pos = start + 1
			continue
		}
		if why := p.veto(start, e); why != "" {
			return reading{kind: KindUnknown, reason: why}
		}
		if kind := p.rangeWord(); kind != "" {
			return x.lacksRange(e.text(), kind)
		}
		readings = append(readings, e.read(x))
	}
	if len(readings) == 0 {
		return x.readRange(p.toks)
	}
	return agree(readings, x)
}

// rangeWord is the word at pos, or in brackets or behind a hyphen there, that
// makes another size of the one before it: the "tall" of "size 8 tall".
func (p *parser) rangeWord() string {
	at := p.pos
	if p.sign(at, "-") || p.sign(at, "(") || p.sign(at, "[") {
		at++
	}
	w, last := p.word(at), at == len(p.toks)-1 || p.sign(at+1, ")") || p.sign(at+1, "]")
	if isRange(w) || last && isLength(w) {
		return w
	}
	return p.cup(at)
}

// cup is the cup that stands at a place: "c cup", "dd cup", "a/b cup", "cup c". A
// hyphen beside the word does not count.
func (p *parser) cup(at int) string {
	if word := p.word(at); cupWord(word) {
		if name, _ := p.cupName(at + 1); name != "" {
			return word + " " + name
		}
		return ""
	}
	name, end := p.cupName(at)
	if p.sign(end, "-") {
		end++
	}
	if word := p.word(end); name != "" && cupWord(word) {
		return name + " " + word
	}
	return ""
}

// cupName reads letters such as "dd" or "a/b", and gives the place behind them.
func (p *parser) cupName(at int) (name string, end int) {
	for {
		w := p.word(at)
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
	if at--; p.sign(max(at, 0), "-") {
		at--
	}
	if w := p.word(at); isRange(w) || w == "plus" {
		return w
	}
	return ""
}

// readRange reads a name in which nothing marks a size: it may have "8 tall"
// all the same.
func (x *labelIndex) readRange(toks []token) reading {
	for i, t := range toks {
		p := &parser{toks: toks, index: x, pos: i + 1}
		if kind := p.rangeWord(); t.kind == tokenNumber && kind != "" && len(x.fit(form{kind: formNumber, value: t.text})) > 0 {
			return x.lacksRange(t.text, kind)
		}
	}
	return reading{kind: KindUnknown, reason: saysNothing}
}

func (x *labelIndex) lacksRange(text, kind string) reading {
	return reading{kind: KindUnknown, reason: fmt.Sprintf("says %q"+notInChart, text+" "+kind)}
}

// markedHere reads the expression whose mark stands at pos. After a sizing
// system alone only a number will do: "US M" may be anything.
func (p *parser) markedHere() (expression, bool) {
	p.open = 0
	sized := p.markAt(p.pos) || toddlerWord(p.word(p.pos))
	if _, weak, ok := system(p.word(p.pos)); !sized && (!ok || weak) {
		return expression{}, false
	}
	start := p.pos
	e, ok := p.expression()
	if !ok {
		p.pos, p.open = start, 0
		if !sizeWord(p.word(start)) || !p.opening() {
			return e, false
		}
		e, ok = p.expression()
		return e, ok && len(e.items) > 1
	}
	return e, sized || e.items[0].form.kind == formNumber
}

// veto says why the expression that began at start and was just read is not a
// statement about sizes, or "".
func (p *parser) veto(start int, e expression) string {
	at := start - 1
	for article(p.word(at)) && p.joins(at-1) {
		at--
	}
	before, text := p.word(at), e.text()
	switch {
	case p.rangeBefore(start) != "":
		return fmt.Sprintf("says %q"+notInChart, p.rangeBefore(start)+" "+text)
	case otherThing(before):
		return fmt.Sprintf("says %q, the size of another thing", before+" "+text)
	case vetoWord(before), p.joinsBefore(at), p.spanPhraseBefore(start):
		return fmt.Sprintf("has %q before %q, so it is not just that size", before, text)
	case introWord(before) && before != "de" && len(e.items) == 1:
		return fmt.Sprintf("has %q before %q, a span without an end", before, text)
	case p.numberAt(p.pos, false):
		return fmt.Sprintf("says %q and %q side by side, neither a span nor a list", text, p.toks[p.pos].text)
	case p.openEnded():
		return fmt.Sprintf("says %q and leaves it open to one side", text)
	case p.secondSize():
		return fmt.Sprintf("says %q and %q with a word between that is not known", text, p.toks[p.pos+1].text)
	}
	return ""
}

// joinsBefore says whether the word at i joins what follows to a size before it
// that nothing marks: "da 38 a taglia 42", or opens it below: "do velikosti 40".
// The "a" of "View A size 8" does not.
func (p *parser) joinsBefore(i int) bool {
	w, numbered := p.word(i), i > 0 && p.numberAt(i-1, false)
	switch {
	case w == "a":
		return numbered
	case w != "" && listWord(w):
		return numbered && len(p.index.fit(form{kind: formNumber, value: p.toks[i-1].text})) > 0
	}
	return w != "" && spanWord(w) && !p.portuguese(i)
}

// portuguese says whether the word at i is the "do" of "linha do tamanho 8": of
// the. In Slavic languages "do" is up to.
func (p *parser) portuguese(i int) bool {
	switch p.word(i + 1) {
	case "tamanho", "tamanhos", "tam":
		return p.word(i) == "do"
	}
	return false
}

// spanPhraseBefore says whether a span phrase ends before i: "t/m maat 38".
func (p *parser) spanPhraseBefore(i int) bool {
	for _, words := range spanPhrases() {
		if n := i - len(words); n >= 0 && phrase(p.toks[n:i]) == strings.Join(words, " ") {
			return true
		}
	}
	return false
}

// secondSize says whether a word follows, and behind it a number of the chart:
// "Size 36 sowie 40". The word may be an "and" or a "to" of some language. Where
// it is known to count something else, as in "size 8 cut 2", it is none.
func (p *parser) secondSize() bool {
	w, next := p.word(p.pos), p.pos+1
	if _, _, marks := system(w); marks || sizeWord(w) || w == "" || countWord(w) {
		return false
	}
	if !p.numberAt(next, false) || !p.toks[next].space || !p.ends(next+1) {
		return false
	}
	if next+1 < len(p.toks) && measureWord(p.toks[next+1].text) {
		return false
	}
	return len(p.index.fit(form{kind: formNumber, value: p.toks[next].text})) > 0
}

// joins says whether the word at i leaves a size open to one side.
func (p *parser) joins(i int) bool {
	w := p.word(i)
	return article(w) || introWord(w) || vetoWord(w) || spanWord(w)
}

// openEnded says whether what follows at pos leaves the sizes open: "and up",
// "plus", "+", "to fit".
func (p *parser) openEnded() bool {
	if p.pos >= len(p.toks) {
		return false
	}
	next, after := p.toks[p.pos].text, p.word(p.pos+1)
	switch {
	case openWord(next):
		return true
	case next == "+":
		return after == ""
	case listWord(next):
		return openWord(after)
	}
	switch next {
	case "to", "upto", "thru", "through", "till", "until", "bis", "tot", "til", "hasta", "até", "до", "..", "~":
		return p.toks[p.pos].kind == tokenWord || after == ""
	}
	return false
}
