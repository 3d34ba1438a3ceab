package sizes

import (
	"slices"
	"strconv"
	"strings"
)

// marks steps over the words that mark a size, in any order and number, and
// returns the sizing system they name: "Size", "Sz. no.", "EU Gr.", "#".
func (p *parser) marks() (system string) {
	for {
		if p.sizeMark() {
			continue
		}
		name, ok := p.systemMark()
		if !ok {
			return system
		}
		system = name
	}
}

// sizeMark steps over a size word and the signs behind it.
func (p *parser) sizeMark() bool {
	if !p.markAt(p.pos) {
		return false
	}
	p.pos += max(1, p.sizePhrase(p.pos))
	p.signs()
	if p.at(p.pos).is(meansNumber) {
		p.pos++
		p.signs()
	}
	return true
}

// signs steps over what stands between a mark and its size.
func (p *parser) signs() {
	for p.sign(p.pos, ".:#-=°") {
		p.pos++
	}
	if p.word(p.pos).text == "o" && p.word(p.pos-2).text == "n" && p.number(p.pos+1, false) {
		p.pos++ // the "n.º" of Spanish and Portuguese
	}
}

// markAt reports whether the token at i marks a size. The letters S and T do so only when a number
// follows: T before any, S when it is all there is and the chart has no letter size S; "#" and
// "No." only when nothing stands before, and a number behind: "No 8", "Nr. 8", "n° 8", "n.º 8"
// (where the fold makes an o of the raised one).
func (p *parser) markAt(i int) bool {
	t := p.at(i)
	switch {
	case t.kind == tokenWord && (t.is(meansSize) || t.is(meansHeight) && p.index.heights) || p.sizePhrase(i) > 0:
		return true
	case t.kind == tokenWord && (t.text == "t" || t.text == "р"): // French, and Russian
		dotted := p.sign(i+1, ".") && p.number(i+2, false)
		return p.number(i+1, !p.full) || p.full && (p.at(i+1).kind == tokenAge || dotted)
	case t.kind == tokenWord && t.text == "s":
		return p.full && i == 0 && p.number(1, true) && len(p.index.fit(form{kind: formLetter, value: "s"})) == 0
	case t.text == "#":
		return p.full && p.number(i+1, false)
	case t.is(meansNumber):
		raised := p.sign(i+1, ".") && p.word(i+2).text == "o" && p.number(i+3, false)
		return p.full && (p.number(i+1, false) || p.sign(i+1, ".°") && p.number(i+2, false) || raised)
	}
	return false
}

// sizePhrase returns the number of tokens of a size word of several that stands at i, 0 for none.
func (p *parser) sizePhrase(i int) int {
	for _, words := range sizePhrases() {
		if p.stand(words, i) {
			return len(words)
		}
	}
	return 0
}

// counter reports whether a size word at i is joined to the number before it, as East Asian ones are:
// "9号".
func (p *parser) counter(i int) bool {
	t := p.word(i)
	return t.is(meansSize) && !t.space && p.number(i-1, false) && isEast([]rune(t.text)[0])
}

// systemMark steps over a sizing system that stands before its number.
func (p *parser) systemMark() (string, bool) {
	t := p.word(p.pos)
	if !t.is(meansSystem) && !(t.is(meansWeakSystem) && p.full) {
		return "", false
	}
	start := p.pos
	p.pos++
	p.signs()
	if p.number(p.pos, false) || p.markAt(p.pos) {
		return t.value, true
	}
	if _, n := p.letter(); n > 0 && p.full {
		return t.value, true
	}
	p.pos = start
	return "", false
}

// letter reads a letter size at pos and returns its number of tokens, 0 for
// none. It knows "XL", "2XL", "XXL", "X-Large", "Extra Large", "Medium", and "1X"
// and "2X", which are plus sizes and so none of the others.
func (p *parser) letter() (form, int) {
	value, n := "", 1
	switch t, next := p.at(p.pos), p.word(p.pos+1); {
	case t.kind == tokenNumber && len(t.text) == 1:
		n = 2
		times := int(t.text[0] - '0')
		switch next.text {
		case "x":
			if 1 <= times && times <= 6 && !next.space {
				value = t.text + "x"
			}
		case "xl", "xlarge":
			value = extra(times, "l")
		case "xs", "xsmall":
			value = extra(times, "s")
		}
	case t.kind == tokenWord:
		if value = letterSize(t.text); value == "" {
			value, n = p.extraLetter()
		}
	}
	if value == "" || !p.ends(p.pos+n) {
		return form{}, 0
	}
	return form{kind: formLetter, value: value}, n
}

// extraLetter reads "X-Large", "XX Small", "X-L" and "Extra Extra Large".
func (p *parser) extraLetter() (string, int) {
	i, times := p.pos, 0
	for p.word(i).text == "extra" {
		times++
		if i++; p.sign(i, "-") {
			i++
		}
	}
	if w := p.word(i).text; times == 0 && strings.Trim(w, "x") == "" {
		times = len(w)
		if i++; p.sign(i, "-") {
			i++
		}
	}
	letter := letterSize(p.word(i).text)
	if len(letter) != 1 || letter == "m" {
		return "", 0
	}
	return extra(times, letter), i + 1 - p.pos
}

// letterSize reads one word as a letter size in its one spelling: "s", "m",
// "l", "xs" to "6xs", "xl" to "6xl", where "xxl" is "2xl"; "" for none.
func letterSize(w string) string {
	if x := lookUp(w); x.is(meansLetter) {
		return x.value
	}
	rest := strings.TrimLeft(w, "x")
	switch rest {
	case "s", "small", "l", "large":
		return extra(len(w)-len(rest), rest[:1])
	}
	return ""
}

// extra spells a letter size with n times "extra" before it, "" for too many or none.
func extra(n int, letter string) string {
	switch {
	case n < 1 || n > 6:
		return ""
	case n == 1:
		return "x" + letter
	}
	return strconv.Itoa(n) + "x" + letter
}

// ofToddlers reports whether a number may be a toddler's size; "8T" is tall.
func ofToddlers(number string) bool {
	return len(number) == 1 && '1' <= number[0] && number[0] <= '6'
}

// ranged reads a number with a letter that makes another size of it: "2T", in a full name "2 T"
// too. For toddlers it is also written "Toddler 2" and "T2". A chart that has 42R, or 42S and 42L,
// has "42 Regular" too. Common practice, no source.
func (p *parser) ranged() (form, int) {
	letter := p.word(p.pos + 1)
	if !p.number(p.pos, false) || !p.ends(p.pos+2) {
		return form{}, 0
	}
	f := form{kind: formRanged, value: p.at(p.pos).text + letter.text}
	switch {
	case letter.is(meansRangeLetter) && (p.full || !letter.space):
		return f, 2
	case letter.is(meansGauge):
		f.value = p.at(p.pos).text + letter.value
	case letter.text == "" || !strings.Contains("rsl", letter.text) || letter.space:
		return form{}, 0
	case p.index.ofLabels:
		return f, 2
	}
	if len(p.index.fit(f)) == 0 {
		return form{}, 0
	}
	return f, 2
}

// toddlerMark steps over a word for toddlers before a number, with a size word behind it or none.
func (p *parser) toddlerMark() bool {
	start := p.pos
	if !p.word(p.pos).is(meansToddler) {
		return false
	}
	p.pos++
	p.signs()
	p.sizeMark()
	if p.number(p.pos, false) && ofToddlers(p.at(p.pos).text) && p.ends(p.pos+1) {
		return true
	}
	p.pos = start
	return false
}

// toddler finds the toddler's size of a number.
func (x *labelIndex) toddler(number string) item {
	f := form{kind: formRanged, value: number + "t"}
	return item{form: f, labels: x.fit(f)}
}

// perhapsToddler is the number behind the T of "T2", which may be that of
// toddlers where the chart has it.
func (it item) perhapsToddler(index *labelIndex) item {
	if it.form.kind != formNumber || !ofToddlers(it.form.value) {
		return it
	}
	other := index.toddler(it.form.value)
	if len(it.labels) == 0 && len(other.labels) > 0 {
		return other
	}
	it.labels = both(it.labels, other.labels)
	return it
}

// both are the positions of two lists, each once.
func both(list, more []int) []int {
	out := slices.Clone(list)
	for _, i := range more {
		if !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	return out
}

// age reads an age at pos. A single letter makes one of a number within a longer name only where
// the size word stands before it: "size 8, 2 m elastic" is about a length.
func (p *parser) age() (form, bool) {
	t, before := p.at(p.pos), p.at(p.pos-1)
	if t.kind == tokenWord && t.is(meansBirth) {
		return form{kind: formAge, value: t.value}, true
	}
	listed := before.kind == tokenSign && before.is(meansSpan|meansList)
	if t.kind != tokenAge || t.weak && !p.full && listed && !readAge(t.text).isRange() {
		return form{}, false
	}
	a := readAge(t.text)
	from, to := a.ends()
	if !p.lists(t.text) && a.isRange() && p.lists(from.String()) && p.lists(to.String()) { // then it is a span
		t = token{kind: tokenAge, text: from.String(), space: t.space}
		p.replace(t, p.at(p.pos).between(), token{kind: tokenAge, text: to.String()})
	}
	return form{kind: formAge, value: t.text}, true
}

// lists reports whether the chart has an age.
func (p *parser) lists(value string) bool {
	return len(p.index.fit(form{kind: formAge, value: value})) > 0
}

// asNumbers takes the unit from an age in years behind a size word where the
// chart has the numbers alone: "size 2 years", "sizes 4-5 years".
func (p *parser) asNumbers() {
	t := p.at(p.pos)
	if t.kind != tokenAge {
		return
	}
	a := readAge(t.text)
	from := token{kind: tokenNumber, text: strconv.Itoa(a.from), space: true}
	to := token{kind: tokenNumber, text: strconv.Itoa(a.to)}
	numbers := []token{from}
	if a.isRange() {
		numbers = append(numbers, t.between(), to)
	}
	has := func(t token) bool { return len(p.index.fit(form{kind: formNumber, value: t.text})) > 0 }
	if a.unit == "years" && !p.lists(t.text) && (has(from) && has(to) || len(p.index.phrases[phrase(numbers)]) > 0) {
		p.replace(numbers...)
	}
}

// between is the sign between the ends of a range of ages.
func (t token) between() token {
	sign := "-"
	if slices.ContainsFunc(t.parts, func(part token) bool { return part.text == "/" }) {
		sign = "/"
	}
	return token{kind: tokenSign, text: sign, lexeme: lookUp(sign)}
}

// replace puts others in the place of the token at pos.
func (p *parser) replace(others ...token) {
	p.toks = slices.Concat(p.toks[:p.pos], others, p.toks[p.pos+1:])
}
