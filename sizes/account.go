package sizes

import (
	"cmp"
	"slices"
	"strings"
)

// accounted are the meanings of words that stand beside a size and are known: all but a variant
// leave it what it is.
const accounted = meansHarmless | meansLineKind | meansShared | meansVariant

// aside are the meanings of single words that may stand beside a size and say nothing of it.
const aside = meansHarmless | meansLineKind | meansShared | meansCounted | meansSystem |
	meansCopy | meansJoinedCopy | meansNumbered | meansColour | meansList | meansArticle | meansNumber |
	meansCalendar | meansMeasure

// The rest of a name is what stands in it beside its sizes. A name is a size only where every word
// of the rest is accounted for.
type rest struct {
	unknown []string // words that nothing accounts for, neighbours in one text
	variant string   // the words that make another size of the one beside them
	group   string   // the people it says it is for
}

// isClear reports whether every word is accounted for.
func (r rest) isClear() bool { return len(r.unknown) == 0 && r.variant == "" }

// restOf reads what stands beside the sizes, whose tokens are those of some spans.
func (p *parser) restOf(spans [][2]int) rest {
	var r rest
	read := make([]bool, len(p.toks))
	for _, span := range spans {
		for i := span[0]; i < span[1]; i++ {
			read[i] = true
		}
	}
	joined := false // the token before was unknown, and nothing stands between
	for i := 0; i < len(p.toks); {
		if read[i] {
			joined = false
			i++
			continue
		}
		n, what := p.aside(i, read)
		switch {
		case n > 0 && what.is(meansVariant) && p.besideSize(i, i+n, read):
			r.variant = phraseText(p.toks[i : i+n])
		case n > 0 && what.is(meansVariant), what.is(meansSized) && p.ofItsOwn(i+n, read):
			r.unknown = append(r.unknown, phraseText(p.toks[i:i+n]))
		case n > 0:
			if what.is(meansGroup) {
				r.group = what.value
			}
		case joined:
			last := len(r.unknown) - 1
			r.unknown[last] = clip(r.unknown[last] + spaceBefore(p.toks[i]) + p.unknownAt(i))
		default:
			r.unknown = append(r.unknown, p.unknownAt(i))
		}
		joined = n == 0
		i += max(n, 1)
		if joined && p.ofBody(i-1) {
			i++
		}
	}
	return r
}

// unknownAt writes the token at i, with its unit where it measures a body.
func (p *parser) unknownAt(i int) string {
	if p.ofBody(i) {
		return phraseText(p.toks[i : i+2])
	}
	return phraseText(p.toks[i : i+1])
}

// besideSize reports whether a size stands right before the tokens from one place to another, or right
// behind them, with signs between or none: "curvy" makes another size of "Size 10 curvy", and may be
// said of the front in "Size 10 front curvy".
func (p *parser) besideSize(from, to int, read []bool) bool {
	for from--; p.at(from).kind == tokenSign && !read[from]; {
		from--
	}
	for p.at(to).kind == tokenSign && !read[to] {
		to++
	}
	return from >= 0 && read[from] || to < len(read) && read[to]
}

// ofItsOwn reports whether a size word stands at i, so that the size may be that of the thing before it.
func (p *parser) ofItsOwn(i int, read []bool) bool {
	return i < len(read) && read[i] && p.word(i).is(meansSize)
}

func spaceBefore(t token) string {
	if t.space {
		return " "
	}
	return ""
}

// aside gives the number of tokens at i that are accounted for, 0 for none, and what is known of
// them: the longest phrase, else a word, a sign, or a number that is no size.
func (p *parser) aside(i int, read []bool) (n int, what *lexeme) {
	most := 0
	for most < longestKnown() && i+most < len(p.toks) && !read[i+most] {
		most++
	}
	for n = most; n > 1; n-- {
		if x := lookUp(wordsOf(p.toks[i : i+n])); x.is(accounted) {
			return n, x
		}
	}
	t := p.toks[i]
	switch {
	case p.index.title[t.text]:
		return 1, nil
	case t.kind == tokenSign:
		return p.asideSign(i), nil
	case t.kind == tokenNumber:
		return p.asideNumber(i), nil
	case t.kind == tokenAge:
		return p.asideAge(i), nil
	case t.is(meansVariant):
		return 1, t.lexeme
	case t.is(meansGroup) && t.value != "dolls", t.is(aside) && !isLetter(t.text):
		return 1, t.lexeme
	}
	return p.asideLetter(i), nil
}

// wordsOf writes tokens as phrases stand in the lexicon, with no hyphens between the words.
func wordsOf(toks []token) string {
	var b strings.Builder
	for i, t := range toks {
		if t.text == "-" {
			continue
		}
		if i > 0 && t.kind != tokenSign && toks[i-1].text != "'" {
			b.WriteByte(' ')
		}
		b.WriteString(t.text)
	}
	return b.String()
}

// isLetter reports whether a word is a single letter that may name a size, a cup or a view: one that
// is no "and" of another language.
func isLetter(word string) bool { return len(word) == 1 && !strings.Contains("eiyo", word) }

// asideSign accounts for the signs that part words, and for the "'s" of "women's".
func (p *parser) asideSign(i int) int {
	switch t := p.at(i); {
	case strings.Contains("'’", t.text) && p.word(i+1).text == "s" && !p.at(i+1).space && p.word(i-1).kind != 0:
		return 2
	case t.text == "<" && p.sign(i+2, ">"): // "<group>"
		return 1
	case t.text == "'" && p.number(i-1, false) && p.number(i+1, false): // feet
		return 0
	case t.text == "..", strings.Contains(`.,:;!/\|-+&()[]{}"'’‘“”„«»#=>*·•@`, t.text):
		return 1
	}
	return 0
}

// asideNumber accounts for a number that counts something, is a length, is the part of a code such as
// "A4" or is no size of the chart. A length that may be that of a body is none of these: "Size 14
// 176 cm" is for tall people.
func (p *parser) asideNumber(i int) int {
	before := p.at(i - 1)
	if before.kind == tokenSign && strings.Contains(".:#-=", before.text) {
		before = p.at(i - 2)
	}
	switch {
	case p.dated(i):
		return 5
	case p.ofBody(i):
		return 0
	case p.at(i + 1).is(meansMeasure):
		if p.word(i + 2).is(meansThing) { // "2 m elastic"
			return 3
		}
		return 2
	case before.is(meansCounted | meansNumbered | meansNumber | meansCopy),
		p.word(i-1).kind != 0 && !p.at(i).space, !p.inChart(i):
		return 1
	}
	return 0
}

// ofBody reports whether the number at i may measure a body: 50 cm or more, or feet with inches.
func (p *parser) ofBody(i int) bool {
	const least = 50
	centimetres := p.word(i+1).text == "cm" && numberValue(p.at(i).text) >= least
	return centimetres || p.sign(i+1, "'′") && p.number(i+2, false)
}

// dated reports whether a date in digits stands at i: "2024-10-12", "12.10.2024".
func (p *parser) dated(i int) bool {
	for k := i; k < i+5; k++ {
		if even := (k-i)%2 == 0; even != p.number(k, false) || !even && !p.sign(k, "-./") {
			return false
		}
	}
	return len(p.at(i).text) == 4 || len(p.at(i+4).text) == 4
}

// asideAge accounts for what looks like an age and may be a length, "2 m", with a thing behind or none.
func (p *parser) asideAge(i int) int {
	switch {
	case !p.at(i).weak:
		return 0
	case p.word(i + 1).is(meansThing):
		return 2
	}
	return 1
}

// asideLetter accounts for a letter that names a view or a piece, "view A", or that is part of a
// code, "A4".
func (p *parser) asideLetter(i int) int {
	t := p.word(i)
	if !isLetter(t.text) {
		return 0
	}
	at := i - 1
	for p.at(at).is(meansList) && isLetter(p.word(at-1).text) { // "view A & B"
		at -= 2
	}
	if p.sign(at, ".:#-") {
		at--
	}
	switch before := p.at(at); {
	case before.is(meansCounted|meansNumbered) && before.kind == tokenWord:
		return 1
	case p.number(i+1, true) && len(p.at(i+1).text) < 3 && t.text != "t" && t.text != "s":
		return 2
	}
	return 0
}

// doubt makes of the reading of a name what the rest of it leaves of that: nothing changes where every
// word is accounted for. A variant is another size, which the chart lacks; any other word may be one.
func (r reading) doubt(x *labelIndex, rest rest) reading {
	r.group, r.beside = cmp.Or(rest.group, r.group), rest.unknown
	switch {
	case rest.isClear() || r.kind != KindSize:
		return r
	case rest.variant != "":
		out := unknown(reasonLacks, r.text+" "+rest.variant).perhaps(r)
		out.extent, out.other = r.extent, out.reason.text
		return out
	}
	return r.inDoubt(x, rest.unknown)
}

// inDoubt makes of a size that a name says one that it may be, but for some words.
func (r reading) inDoubt(x *labelIndex, words []string) reading {
	return reading{
		kind: KindUnknown, rule: RuleNone, text: r.text, extent: r.extent, group: r.group,
		may: r.sizes, words: words, beside: words,
		reason: reason{kind: reasonDoubt, other: quoteAll(words), sizes: x.names(r.sizes)},
	}
}

// asWritten returns folded words as a name writes them, where they are found there.
func asWritten(name string, words []string) []string {
	text := strings.ReplaceAll(oneLine(name), "_", " ")
	lower := strings.ToLower(text)
	return each(words, func(word string) string {
		if at := strings.Index(lower, word); at >= 0 && len(lower) == len(text) {
			return text[at : at+len(word)]
		}
		return word
	})
}

// part puts those names in doubt that say one size for different people, or one of them for
// anybody: a man's 8 is no woman's, and a woman's 14 no miss's.
func (m *matcher) part(readings []reading) {
	groups := map[int]string{} // of each size, the group of the first name
	parted := map[int]bool{}
	for _, r := range readings {
		for _, size := range r.sizes {
			if r.rule != RuleLabel {
				continue
			}
			first, ok := groups[size]
			if !ok {
				groups[size] = r.group
			}
			parted[size] = parted[size] || ok && first != r.group
		}
	}
	for i, r := range readings {
		if r.rule == RuleLabel && r.group != "" && slices.ContainsFunc(r.sizes, func(s int) bool { return parted[s] }) {
			readings[i] = r.inDoubt(m.index, []string{r.group})
			readings[i].reason.kind, readings[i].reason.text = reasonPeople, r.group
		}
	}
}

// versions puts those names in doubt that say a size in a version, where another name differs from them
// by that alone: which of the two drawings is out of date only who made them knows.
func (m *matcher) versions(names []string, readings []reading) {
	seen := map[string]map[string]bool{} // of each name without its version, the versions
	split := func(i int) (rest, version string) {
		if readings[i].rule != RuleLabel || readings[i].kind != KindSize {
			return "", ""
		}
		return withoutVersion(tokens(fold(names[i])))
	}
	for i := range readings {
		rest, version := split(i)
		if seen[rest] == nil {
			seen[rest] = map[string]bool{}
		}
		seen[rest][version] = true
	}
	for i, r := range readings {
		if rest, version := split(i); version != "" && len(seen[rest]) > 1 {
			readings[i] = r.inDoubt(m.index, []string{version})
		}
	}
}

// withoutVersion parts the tokens of a name from a version such as "v2" or "rev. 3" among them, "" for
// none.
func withoutVersion(toks []token) (rest, version string) {
	for i, t := range toks {
		end := i + 1
		for end < len(toks) && toks[end].kind == tokenSign && strings.Contains(".:#-", toks[end].text) {
			end++
		}
		if t.is(meansVersion) && end < len(toks) && toks[end].kind == tokenNumber {
			return strings.TrimSpace(phrase(toks[:i]) + " " + phrase(toks[end+1:])), phraseText(toks[i : end+1])
		}
	}
	return phrase(toks), ""
}

// settle takes from doubt the names whose unknown words tell no size from another: those that all
// names have which say sizes, such as the name of the pattern, where they say several.
func (m *matcher) settle(readings []reading) {
	count, says, said := map[string]int{}, 0, map[string]bool{}
	for _, r := range readings {
		byLabel := r.rule == RuleLabel || len(r.words) > 0 || r.other != ""
		if !byLabel || len(r.sizes)+len(r.may) == 0 && r.other == "" {
			continue
		}
		says++
		said[quoteAll(m.index.names(slices.Concat(r.sizes, r.may)))+r.other] = true
		for _, word := range slices.Compact(slices.Sorted(slices.Values(r.beside))) {
			count[word]++
		}
	}
	for i, r := range readings {
		apart := func(word string) bool { return len(said) < 2 || count[word] < says }
		if len(r.words) > 0 && !slices.ContainsFunc(r.words, apart) {
			why := reason{kind: reasonSays, text: r.text, sizes: m.index.names(r.may)}
			r.kind, r.rule, r.sizes, r.may, r.words, r.reason = KindSize, RuleLabel, r.may, nil, nil, why
			readings[i] = r
		}
	}
}
